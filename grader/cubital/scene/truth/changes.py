"""What can be seen to change between the frames of a series, from the frames alone."""

from typing import Any

import numpy as np
from scipy import ndimage

from cubital import tables
from cubital.scene.anatomy.vessels import Scene, View
from cubital.scene.happening.series import moved, unsteadiness
from cubital.scene.light.geometry import to_skin

BLOCK_PX = 10  # brightness is compared in squares of this side
LEAST_SHARE = 0.03  # less than this of the brightness is no change to an eye
LEAST_BLOCKS = 2  # a single square may be chance
DIGITS = 3


def _blocks(frames: np.ndarray) -> np.ndarray:
    """Return the mean brightness of each square of each frame."""
    count, height, width = frames.shape
    rows, columns = height // BLOCK_PX, width // BLOCK_PX
    cut = frames[:, : rows * BLOCK_PX, : columns * BLOCK_PX]
    return cut.reshape(count, rows, BLOCK_PX, columns, BLOCK_PX).mean(axis=(2, 4), dtype=np.float32)


def _middle_px(squares: np.ndarray) -> list[float]:
    """Return column and row of the middle of some squares [px]."""
    rows, columns = np.nonzero(squares)
    return [BLOCK_PX * (float(values.mean()) + 0.5) - 0.5 for values in (columns, rows)]


def _region(view: View, share: np.ndarray, where: np.ndarray, sign: int) -> dict[str, Any]:
    """Return one change: when it is first seen, when most, where, how much and how large."""
    over = (np.abs(share) >= threshold_share(share)) & where & (np.sign(share) == sign)
    sizes = over.sum(axis=(1, 2))
    frames = np.flatnonzero(sizes >= LEAST_BLOCKS)
    onset, last = int(frames[0]), int(frames[-1])
    most = int(np.argmax(sizes))
    all_rows, all_columns = np.nonzero(over.any(axis=0))
    place, final = (_middle_px(over[frame]) for frame in (onset, last))
    x, y = to_skin(view, *place)
    return {
        "sign": "darker" if sign < 0 else "lighter",
        "onset_frame": onset,
        "last_frame": last,
        "most_frame": most,
        "share": round(float(np.abs(share[most][over[most]]).mean()), DIGITS),
        "x_mm": round(float(x), DIGITS),
        "y_mm": round(float(y), DIGITS),
        "column": round(place[0], 1),
        "row": round(place[1], 1),
        "last_column": round(final[0], 1),
        "last_row": round(final[1], 1),
        "left": BLOCK_PX * int(all_columns.min()),
        "right": BLOCK_PX * (int(all_columns.max()) + 1) - 1,
        "top": BLOCK_PX * int(all_rows.min()),
        "bottom": BLOCK_PX * (int(all_rows.max()) + 1) - 1,
    }


def threshold_share(share: np.ndarray) -> np.ndarray:
    """Return the share of each square's brightness that counts as a change, above its own noise.

    Each square's own, as dark skin flickers more; never below that of the frames as a whole.
    """
    steps = np.abs(np.diff(share, axis=0))
    # median of absolute values to standard deviation; a step holds two frames' noise
    scale = 1.4826 / np.sqrt(2)
    own = scale * np.median(steps, axis=0) if len(steps) else np.zeros(share.shape[1:])
    whole = scale * float(np.median(steps)) if len(steps) else 0.0
    needed = tables.constant("contrast-to-noise-needed").value
    # twice: thousands of squares are looked at
    return np.maximum(LEAST_SHARE, 2 * needed * np.maximum(own, whole))


def steadied(scene: Scene, frames: np.ndarray) -> np.ndarray:
    """Return the frames without the stir of hand and light that all series have."""
    stir = unsteadiness(scene, len(frames))
    still = np.empty(frames.shape, np.float32)
    for at, frame in enumerate(frames):
        back = moved(frame.astype(np.float32), -stir.columns_px[at], -stir.rows_px[at])
        still[at] = back / np.float32(stir.brightness[at])
    return still


def changes(frames: np.ndarray, view: View, area: np.ndarray | None = None) -> list[dict[str, Any]]:
    """Return where and when the picture becomes darker or lighter than its first frame.

    `area` is where to look, as the limb's edge stirs with the hand; all of it if not given.

    Examples
    --------
    >>> frames = np.full((4, 480, 640), 100, np.uint8)
    >>> changes(frames, View())
    []
    >>> frames[2:, 100:140, 200:240] = 80
    >>> [(row["sign"], row["onset_frame"], row["share"]) for row in changes(frames, View())]
    [('darker', 2, 0.2)]
    """
    blocks = _blocks(np.asarray(frames))
    share = blocks / np.maximum(blocks[:1], 1) - 1
    if area is not None:
        share = np.where(_blocks(area[None].astype(np.float32)) == 1, share, 0)
    least, found = threshold_share(share), []
    for sign in (-1, 1):
        over = (np.abs(share) >= least) & (np.sign(share) == sign)
        lasting = over.sum(axis=0) >= min(2, len(share) - 1)  # one frame may be chance
        labels, count = ndimage.label(lasting, structure=np.ones((3, 3)))
        for label in range(1, count + 1):
            where = labels == label
            if where.sum() < LEAST_BLOCKS or ((over & where).sum(axis=(1, 2)) < LEAST_BLOCKS).all():
                continue
            found.append(_region(view, share, where, sign))
    return sorted(found, key=lambda row: (row["onset_frame"], row["column"], row["row"]))

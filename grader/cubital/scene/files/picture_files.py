"""Picture files that tell nothing but their picture, written atomically.

All files of one kind of picture have the same length to the byte, and no more in them than their
pixels: no time, no name, no words. Simulated, not clinically validated.
"""

import bisect
import functools
import hashlib
import io
import json
from pathlib import Path
from typing import Any

import numpy as np

from cubital.scene.files.atomic import write_atomically

STORED = 0  # how much a file is compressed: the length of a compressed one tells what it shows
FIXED_TIME_NS = 946_684_800_000_000_000  # of every picture file: 2000-01-01, midnight UTC
READ_BY_ALL = 0o644
_SKIN_PER_CENT, _SKIN_GREY = 95, 190  # of all pixels, skin among the brightest; grey on a screen


def png_bytes(pixels: np.ndarray) -> bytes:
    """Return a grey picture as a PNG file that has a header, its pixels and an end, and no more.

    Stored and not compressed: its length depends on height and width alone [byte].

    Examples
    --------
    >>> even, busy = np.zeros((4, 6), np.uint8), np.arange(24, dtype=np.uint8).reshape(4, 6)
    >>> len(png_bytes(even)) == len(png_bytes(busy))
    True
    """
    if pixels.ndim != 2 or pixels.dtype != np.uint8:  # 2: rows and columns
        raise ValueError(
            f"picture is {pixels.dtype} of shape {pixels.shape}: it must be uint8, rows by columns"
        )
    from PIL import Image  # noqa: PLC0415 - on use: it is slow to load

    held = io.BytesIO()
    Image.fromarray(pixels).save(held, format="PNG", compress_level=STORED)
    return held.getvalue()


def jpeg_bytes(pixels: np.ndarray, *, qualities: range, length: int) -> bytes:
    """Return a grey picture as a JPEG file of a given length [byte], at the best quality it holds.

    What is left of the length is filled after the end of the picture with bytes that no zip makes
    shorter, so that a list of the files, or of an archive, tells nothing of what they show.

    Raises
    ------
    ValueError
        The picture takes more than that at the least quality; the text says how much.

    Examples
    --------
    >>> even, busy = np.zeros((8, 8), np.uint8), np.arange(64, dtype=np.uint8).reshape(8, 8)
    >>> [len(jpeg_bytes(one, qualities=range(80, 83), length=2000)) for one in (even, busy)]
    [2000, 2000]
    """
    from PIL import Image  # noqa: PLC0415 - on use: it is slow to load

    @functools.cache
    def compressed(quality: int) -> bytes:
        held = io.BytesIO()
        image.save(held, format="JPEG", quality=quality, optimize=True, progressive=True)
        return held.getvalue()

    image = Image.fromarray(pixels)
    held = bisect.bisect_right(qualities, length, key=lambda quality: len(compressed(quality)))
    data = compressed(qualities[max(held - 1, 0)])
    if not held:
        raise ValueError(f"the picture takes {len(data)} bytes: {length} are there for it")
    return data + hashlib.shake_256(data).digest(length - len(data))


def brightened(pixels: np.ndarray) -> np.ndarray:
    """Return frames as a screen shows them: all multiplied alike, so that skin is well lit.

    The camera leaves room above the skin for glare, and a dark room is not to be had on a ward.

    Examples
    --------
    >>> brightened(np.full((1, 2, 2), 95, np.uint8)).max()
    np.uint8(190)
    """
    skin = float(np.percentile(pixels[0], _SKIN_PER_CENT))
    gain = max(1.0, _SKIN_GREY / max(skin, 1.0))
    return np.minimum(np.round(pixels * np.float32(gain)), 255).astype(np.uint8)  # 8 bits


def strip(frames: np.ndarray) -> np.ndarray:
    """Return the frames of a series as one tall picture, the first on top.

    Examples
    --------
    >>> strip(np.zeros((40, 24, 32), np.uint8)).shape
    (960, 32)
    """
    return frames.reshape(-1, frames.shape[-1])


def frames_of(path: Path, frames: int = 1) -> np.ndarray:
    """Read a picture file of one or more frames back; ValueError if it cannot be split so.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     path = Path(folder) / "a.png"
    ...     write_whole(path, png_bytes(strip(np.zeros((3, 4, 5), np.uint8))))
    ...     frames_of(path, 3).shape
    (3, 4, 5)
    """
    from PIL import Image  # noqa: PLC0415 - on use: it is slow to load

    with Image.open(path) as image:
        pixels = np.asarray(image)
    if frames < 1 or len(pixels) % frames:
        raise ValueError(
            f"{path.name} has {len(pixels)} rows: they cannot be split into {frames} equal frames"
        )
    return pixels.reshape(frames, -1, pixels.shape[1])


def write_whole(path: Path, data: bytes) -> None:
    """Write a file atomically, with the same time and the same rights always.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     write_whole(Path(folder) / "a", b"data")
    ...     (Path(folder) / "a").stat().st_mtime_ns == FIXED_TIME_NS
    True
    """
    write_atomically(path, data, rights=READ_BY_ALL, time_ns=FIXED_TIME_NS)


def json_bytes(data: Any) -> bytes:
    """Return data as readable JSON in UTF-8; NaN and infinity raise ValueError.

    Examples
    --------
    >>> json_bytes({"depth_mm": 2.5})
    b'{\\n "depth_mm": 2.5\\n}\\n'
    """
    text = json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False)
    return f"{text}\n".encode()


def read_json(path: Path) -> Any:
    """Read JSON that `json_bytes` wrote; ValueError with the file's name if it is not whole.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     write_whole(Path(folder) / "a.json", json_bytes({"seed": 3}))
    ...     read_json(Path(folder) / "a.json")
    {'seed': 3}
    """
    try:
        return json.loads(path.read_bytes())
    except ValueError as error:
        raise ValueError(f"{path} is not readable: {error}") from error


def forget_halves(folder: Path) -> None:
    """Remove what a run that was killed left half written.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     (Path(folder) / ".x.part").touch()
    ...     forget_halves(Path(folder))
    ...     list(Path(folder).iterdir())
    []
    """
    for path in folder.glob(".*.part"):
        path.unlink(missing_ok=True)

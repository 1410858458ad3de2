"""The pictures of a release and their truth: where they lie, whose they are, what they show.

Learners get ``pictures/`` beside their worksheet. The truth stays with who marks: in the
educator's workspace, or in the folder of a practice of one's own. The described version of a
release has pictures of its own, from a pool of its own, so that neither hand-out tells anything of
the other's.
"""

import base64
import io
from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple, TypedDict

import numpy as np

from cubital.handin.files import read_json
from cubital.items import Item, PictureForm, PictureItem
from cubital.items.kinds.on_pictures.pictured import PictureKey
from cubital.scene import NOTICE
from cubital.scene.files import picture_files, planning

FOLDER = "pictures"
WORDS = ".txt"  # a picture's described version, where a learner was given it
_LARGEST_TRUTH = 20_000_000
_KEPT_TRUTHS, _KEPT_PICTURES = 64, 16  # of the last that were read; 16 series are some 50 MB
_SHOWN_PX = 640  # how wide feedback shows a picture
_SKIN_PER_CENT, _SKIN_GREY = 95, 190  # of all pixels, skin among the brightest; grey on a screen
_QUALITY = 80  # of the JPEG in feedback: the grey stays what it was to the eye


class Description(TypedDict):
    """What an eye takes in of a picture, a sentence each."""

    sentences: list[str]


class Sealed(TypedDict):
    """What is kept of a picture: what is true of it, and its description."""

    truth: dict[str, Any]
    description: Description


Truths = Callable[[str], Sealed]


class Shown(NamedTuple):
    """A picture of the feedback: JPEG bytes, and the same in words."""

    jpeg: bytes
    words: str

    @property
    def bundle(self) -> dict[str, str]:
        """The picture and its words by media type, as a notebook's output holds them."""
        return {"image/jpeg": base64.b64encode(self.jpeg).decode(), "text/plain": self.words}


def wanted(listed: Sequence[Item]) -> dict[str, int]:
    """Return how many pictures of each kind these items take."""
    counts: dict[str, int] = {}
    for item in listed:
        for kind, count in _pool(item).items():
            counts[kind] = counts.get(kind, 0) + count
    return counts


def assigned(listed: Sequence[Item], jobs: Sequence[planning.Job]) -> dict[str, tuple[str, ...]]:
    """Return which pictures of a pool are whose, by item; a name tells nothing of its kind."""
    left = {kind: [job.name for job in jobs if job.kind == kind] for kind in planning.kinds()}
    names: dict[str, tuple[str, ...]] = {}
    for item in listed:
        own = [left[kind].pop(0) for kind, count in _pool(item).items() for _ in range(count)]
        if own:
            names[item.id] = tuple(sorted(own))
    return names


def _pool(item: Item) -> Mapping[str, int]:
    return (item.pool or {}) if isinstance(item, PictureItem) else {}


def pool_folder(workspace: Path, worksheet: str, release: str) -> Path:
    """Return where an educator's workspace holds the pool of a release."""
    return workspace / "sealed" / "pools" / worksheet / release


def described_folder(workspace: Path, worksheet: str, release: str) -> Path:
    """Return where an educator's workspace holds the pool of a release's described version."""
    return workspace / "sealed" / "described" / worksheet / release


def folder_of(workspace: Path, worksheet: str, release: str, *, described: bool) -> Path:
    """Return the pool that holds the pictures of a release, or of its described version."""
    place = described_folder if described else pool_folder
    return place(workspace, worksheet, release)


def sealed_truths(workspace: Path, worksheet: str, release: str) -> Truths:
    """Return the truths of a release's pictures in a workspace, those described included."""
    return truths(
        *(place(workspace, worksheet, release) for place in (pool_folder, described_folder))
    )


def truths(*folders: Path) -> Truths:
    """Return what reads the truths of pools by a picture's name.

    Raises, when asked for one, ValueError if it is not there or not readable.
    """

    def read(name: str) -> Sealed:
        paths = [folder / "sealed" / "truth" / f"{name}.json" for folder in folders]
        path = next((path for path in paths if path.is_file()), None)
        if path is None:
            raise ValueError(
                f"the truth of picture {name} is not in {folders[0]}: restore the pool"
            )
        return _truth(path, _as_it_lies(path))

    return read


@lru_cache(maxsize=_KEPT_TRUTHS)
def _truth(path: Path, _lies: tuple[int, ...]) -> Sealed:
    told: Sealed = read_json(path, largest=_LARGEST_TRUTH)
    return told


def _as_it_lies(path: Path) -> tuple[int, ...]:
    """Return what a change of a file changes; a pool's files all have the same date."""
    seen = path.stat()
    return seen.st_ino, seen.st_size, seen.st_ctime_ns


def frames(folder: Path, form: PictureForm) -> np.ndarray:
    """Read a form's picture in a folder as a screen shows it; as `recorded` otherwise.

    Learners share the pictures of a release, so that the last ones are kept: nobody writes into
    what this returns.
    """
    path = _file(folder, form)
    return _frames(path, _as_it_lies(path), _size(form))


@lru_cache(maxsize=_KEPT_PICTURES)
def _frames(path: Path, _lies: tuple[int, ...], size: tuple[int, int, int]) -> np.ndarray:
    found = brightened(_recorded(path, size))
    found.flags.writeable = False
    return found


def recorded(folder: Path, form: PictureForm) -> np.ndarray:
    """Read a form's picture in a worksheet's folder as frames, rows, columns [0 to 255].

    Raises
    ------
    ValueError
        It is not there or not of the form's size; the text says what to do.
    """
    return _recorded(_file(folder, form), _size(form))


def _file(folder: Path, form: PictureForm) -> Path:
    path = folder / FOLDER / f"{form.picture}.png"
    if not path.is_file():
        raise ValueError(
            "its picture is missing: open the worksheet again, as your educator gave it out"
        )
    return path


def _size(form: PictureForm) -> tuple[int, int, int]:
    return form.frames, form.height_px, form.width_px


def _recorded(path: Path, size: tuple[int, int, int]) -> np.ndarray:
    found = picture_files.frames_of(path, size[0])
    if found.shape != size:
        raise ValueError(f"the picture {path.name} has the size {found.shape}, not {size}")
    return found


def brightened(pixels: np.ndarray) -> np.ndarray:
    """Return frames as a screen shows them: all multiplied alike, so that skin is well lit.

    The camera leaves room above the skin for glare, and a dark room is not to be had on a ward.
    """
    skin = float(np.percentile(pixels[0], _SKIN_PER_CENT))
    gain = max(1.0, _SKIN_GREY / max(skin, 1.0))
    return np.minimum(np.round(pixels * np.float32(gain)), 255).astype(np.uint8)  # 8 bits


def in_words(folder: Path, name: str) -> str:
    """Return a picture's described version, where it was given out; else nothing."""
    path = folder / FOLDER / f"{name}{WORDS}"
    return path.read_text(encoding="utf-8") if path.is_file() else ""


def described(told: Sealed) -> str:
    """Return the described version that a truth comes with, a sentence a line."""
    return "\n".join((*told["description"]["sentences"], f"The picture is {NOTICE}."))


def shown(
    form: PictureForm,
    key: PictureKey,
    answer: Mapping[str, Any] | None,
    told: Sealed,
    pixels: np.ndarray,
) -> Shown:
    """Return the picture with what is there and what the learner marked, and the same in words.

    What is there stands in squares, a learner's mark is a cross: told apart by their shape.
    """
    from PIL import Image, ImageDraw  # noqa: PLC0415 - on use

    truth = told["truth"]
    there, marked = key.there(form, truth), form.marks(answer or {})
    frame, happening = key.frame_to_show(truth), key.happening(truth)
    image = Image.fromarray(pixels[frame]).convert("RGB")
    scale = _SHOWN_PX / image.width
    image = image.resize((_SHOWN_PX, round(image.height * scale)))
    pen = ImageDraw.Draw(image)
    for ink, width in (("black", 5), ("white", 2)):
        for column, row in there:
            x, y = scale * (column + 0.5), scale * (row + 0.5)
            pen.rectangle((x - 12, y - 12, x + 12, y + 12), outline=ink, width=width)
        for column, row in marked:
            x, y = scale * (column + 0.5), scale * (row + 0.5)
            for dx in (-1, 1):
                pen.line((x - 8 * dx, y - 8, x + 8 * dx, y + 8), fill=ink, width=width)
    held = io.BytesIO()
    image.save(held, format="JPEG", quality=_QUALITY)
    words = (
        f"{_listed('There, in squares', there)} {_listed('Your marks, crosses', marked)}"
        + ("" if frame == 0 else f" Frame {frame} is shown.")
        + (f" {happening}" if happening else "")
        + f" The picture is {NOTICE}."
    )
    return Shown(held.getvalue(), words)


def _listed(name: str, places: list[list[int]]) -> str:
    if not places:
        return f"{name}: none."
    return f"{name}: " + "; ".join(f"column {c}, row {r}" for c, r in places) + "."

"""The pictures of a release and their truth: where they lie, whose they are, what they show.

Learners get ``pictures/`` beside their worksheet. The truth stays with who marks: in the
educator's workspace, or in the folder of a practice of one's own. The described version of a
release has pictures of its own, from a pool of its own, so that neither hand-out tells anything of
the other's.
"""

import base64
import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple, TypedDict

import numpy as np

from cubital.handin.files import read_json
from cubital.handin.released import allocating
from cubital.items import Item, OnPictures, PictureForm, PictureItem, TrialsForm, TrialsItem
from cubital.items.kinds.on_pictures.pictured import PictureKey
from cubital.scene import NOTICE
from cubital.scene.files import picture_files, planning

FOLDER = "pictures"
WORDS = ".txt"  # a picture's described version, where a learner was given it
_LARGEST_TRUTH = 20_000_000
_KEPT_TRUTHS, _KEPT_PICTURES = 64, 16  # of the last that were read; 16 series are some 50 MB
_SHOWN_PX = 640  # how wide feedback shows a picture
_ACROSS, _LABEL_PX = 4, 14  # trials beside each other, and the room for a number above each
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


def wanted(listed: Sequence[Item], deep: int = 1) -> dict[str, int]:
    """Return how many pictures of each kind these items take; ``deep`` is that of `assigned`."""
    counts: dict[str, int] = {}
    for item in listed:
        for kind, count in _pool(item, deep).items():
            counts[kind] = counts.get(kind, 0) + count
    return counts


def assigned(
    listed: Sequence[Item], jobs: Sequence[planning.Job], deep: int = 1
) -> dict[str, tuple[str, ...]]:
    """Return which pictures of a pool are whose, by item; a name tells nothing of its kind.

    ``deep`` is how many there are for each of a paper's trials, see `allocating`.
    """
    found = {
        key: [n for own in rows.values() for n in own] for key, rows in _own(listed, jobs, deep)
    }
    return {key: tuple(sorted(names)) for key, names in found.items() if names}


def allocated(
    listed: Sequence[Item],
    jobs: Sequence[planning.Job],
    deep: int,
    papers: Sequence[str],
    *,
    secret: str,
) -> dict[str, dict[str, tuple[str, ...]]]:
    """Return by item on trials which pictures each paper gets: one for each of its cells."""
    trials = {item.id: item for item in listed if isinstance(item, TrialsItem)}
    found = {}
    for key, rows in _own(listed, jobs, deep):
        if key not in trials:
            continue
        cells, left = [], {kind: list(names) for kind, names in rows.items()}
        for kind in trials[key].cells:
            cells.append([left[kind].pop(0) for _ in range(deep)])
        found[key] = allocating.shares(cells, papers, seed=f"{secret}/{key}")
    return found


def deep_of(listed: Sequence[Item], counts: Mapping[str, int] | None, learners: int) -> int:
    """Return how many trials there are for each cell: as in a pool that is there, or as needed."""
    tried = range(1, allocating.DEEPEST + 1)
    found = (deep for deep in tried if counts and wanted(listed, deep) == dict(counts))
    return next(found, allocating.deep_for(max(learners, 1)))


def _own(
    listed: Sequence[Item], jobs: Sequence[planning.Job], deep: int
) -> Iterator[tuple[str, dict[str, list[str]]]]:
    """Yield each item's pictures by their kind, in the order of their names."""
    left = {kind: [job.name for job in jobs if job.kind == kind] for kind in planning.kinds()}
    for item in listed:
        pool = _pool(item, deep)
        yield item.id, {kind: [left[kind].pop(0) for _ in range(n)] for kind, n in pool.items()}


def _pool(item: Item, deep: int = 1) -> Mapping[str, int]:
    if not isinstance(item, PictureItem):
        return {}
    times = deep if isinstance(item, TrialsItem) else 1
    return {kind: times * count for kind, count in (item.pool or {}).items()}


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


def frames(folder: Path, form: OnPictures, name: str = "") -> np.ndarray:
    """Read a form's picture in a folder as a screen shows it; as `recorded` otherwise.

    ``name`` is that of the picture where the form has several.

    Learners share the pictures of a release, so that the last ones are kept: nobody writes into
    what this returns.
    """
    path = _file(folder, form, name)
    return _frames(path, _as_it_lies(path), _size(form))


@lru_cache(maxsize=_KEPT_PICTURES)
def _frames(path: Path, _lies: tuple[int, ...], size: tuple[int, int, int]) -> np.ndarray:
    found = _recorded(path, size)
    if path.suffix == planning.EXACT:  # what is compressed was brightened before
        found = picture_files.brightened(found)
    found.flags.writeable = False
    return found


def recorded(folder: Path, form: OnPictures, name: str = "") -> np.ndarray:
    """Read a form's picture in a worksheet's folder as frames, rows, columns [0 to 255].

    Raises
    ------
    ValueError
        It is not there or not of the form's size; the text says what to do.
    """
    return _recorded(_file(folder, form, name), _size(form))


def file_of(folder: Path, name: str) -> Path:
    """Return the file of a picture in a worksheet's folder, or raise ValueError with what to do."""
    path = lying(folder, name)
    if not path.is_file():
        raise ValueError(
            "its picture is missing: open the worksheet again, as your educator gave it out"
        )
    return path


def lying(folder: Path, name: str) -> Path:
    """Return where a pool has a picture, whatever kind of file it is."""
    found = [folder / FOLDER / f"{name}{suffix}" for suffix in planning.SUFFIXES]
    return next((path for path in found if path.is_file()), found[0])


def _file(folder: Path, form: OnPictures, name: str) -> Path:
    return file_of(folder, name or form.pictures[0])


def _size(form: OnPictures) -> tuple[int, int, int]:
    return form.frames, form.height_px, form.width_px


def _recorded(path: Path, size: tuple[int, int, int]) -> np.ndarray:
    found = picture_files.frames_of(path, size[0])
    if found.shape != size:
        raise ValueError(f"the picture {path.name} has the size {found.shape}, not {size}")
    return found


def in_words(folder: Path, name: str) -> str:
    """Return a picture's described version, where it was given out; else nothing."""
    path = folder / FOLDER / f"{name}{WORDS}"
    return path.read_text(encoding="utf-8") if path.is_file() else ""


def described(told: Sealed) -> str:
    """Return the described version that a truth comes with, a sentence a line."""
    return "\n".join((*told["description"]["sentences"], f"The picture is {NOTICE}."))


def shown(
    form: OnPictures,
    key: PictureKey,
    answer: Mapping[str, Any] | None,
    truths: Truths,
    folder: Path,
) -> Shown:
    """Return the picture with what is there and what the learner marked, and the same in words.

    What is there stands in squares, a learner's mark is a cross: told apart by their shape. Trials
    stand beside each other by their numbers.
    """
    if isinstance(form, TrialsForm):
        return _trials_shown(form, key, answer, truths, folder)
    if not isinstance(form, PictureForm):
        raise TypeError(f"a form of kind {form.kind} has no picture to show")
    return _marks_shown(form, key, answer, truths(form.picture), frames(folder, form))


def _trials_shown(
    form: TrialsForm,
    key: PictureKey,
    answer: Mapping[str, Any] | None,
    truths: Truths,
    folder: Path,
) -> Shown:
    from PIL import Image, ImageDraw  # noqa: PLC0415 - on use

    texts = dict(form.options)
    said = (answer or {}).get("said", {})
    width = _SHOWN_PX // _ACROSS
    height = round(width * form.height_px / form.width_px)
    rows = -(-len(form.trials) // _ACROSS)
    sheet = Image.new("L", (_SHOWN_PX, rows * (height + _LABEL_PX)), "white")
    pen = ImageDraw.Draw(sheet)
    lines = []
    for place, (number, name) in enumerate(zip(form.numbers(), form.trials, strict=True)):
        truth = truths(name)["truth"]
        frame = key.frame_to_show(truth)
        x, y = place % _ACROSS * width, place // _ACROSS * (height + _LABEL_PX)
        one = Image.fromarray(frames(folder, form, name)[frame]).resize((width - 2, height))
        pen.text((x + 2, y + 1), f"trial {number}", fill="black")
        sheet.paste(one, (x, y + _LABEL_PX))
        own = texts.get(said.get(number, ""), "not answered").rstrip(".")
        at = f" in frame {frame}, which is shown" if frame else ""
        lines.append(f"Trial {number}: {key.happening(truth)}{at}; your answer: {own}.")
    held = io.BytesIO()
    sheet.save(held, format="JPEG", quality=_QUALITY)
    return Shown(held.getvalue(), " ".join((*lines, f"The pictures are {NOTICE}.")))


def _marks_shown(
    form: PictureForm,
    key: PictureKey,
    answer: Mapping[str, Any] | None,
    told: Sealed,
    pixels: np.ndarray,
) -> Shown:
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

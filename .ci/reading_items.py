"""What a second reader is asked: a release of fixed values, and answers by letter and number."""

import functools
import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from string import ascii_uppercase
from typing import Any

import numpy as np

from cubital import items
from cubital.handin.released import pictures
from cubital.handin.released.release import Release, new_release
from cubital.items import Item, PictureItem
from cubital.scene.files import planning, rendering

NAME = "reading"
LEARNERS = ("ada.alder", "bo.birch")
_DIGITS = 12  # hexadecimal: enough to tell two drawings of an item apart

Values = Mapping[str, Any]


def pool_seed(worksheet: str) -> str:
    """Return what the pictures of a worksheet are rendered from: the same each time."""
    return f"{NAME} {worksheet}"


@functools.cache
def jobs_of(worksheet: str) -> tuple[planning.Job, ...]:
    """Return the pictures of a worksheet that are to be rendered."""
    counts = pictures.wanted(items.WORKSHEETS[worksheet])
    return planning.planned(counts, seed=pool_seed(worksheet)) if counts else ()


@functools.cache
def release_of(worksheet: str) -> Release:
    """Return the release that a worksheet is read in."""
    release = new_release(NAME, worksheet)
    return replace(release, pictures=pictures.assigned(release.listed(), jobs_of(worksheet)))


@functools.cache
def rendered(worksheet: str, name: str) -> planning.Rendered:
    """Render one picture of a worksheet again, with its truth."""
    return rendering.rendered(next(job for job in jobs_of(worksheet) if job.name == name))


def frames_of(worksheet: str, item: Item, values: Values) -> np.ndarray | None:
    """Return the frames that an item is about, if it is about a picture."""
    if not isinstance(item, PictureItem):
        return None
    names = item.form(values).pictures
    return np.concatenate([rendered(worksheet, name).frames for name in names])


def drawn(item: Item, values: Values, frames: np.ndarray | None) -> str:
    """Return a check sum of what was drawn for a learner: it stays when only words are mended.

    `frames` are those that the camera recorded, not those of a file, which may be compressed;
    trials go by their names.
    """
    keys = [_columns(item, values), _rows(item, values)]
    told = json.dumps([values, keys], sort_keys=True).encode()
    seen = b"" if frames is None or item.kind == "trials" else frames.tobytes()
    return hashlib.sha256(told + seen).hexdigest()[:_DIGITS]


def _columns(item: Item, values: Values) -> list[str]:
    """Return what has letters on the page, as keys in the order shown."""
    groups = item.form(values).parts().get("groups", ())
    grouped = [one["key"] for group in groups for one in group["options"]]
    return grouped or _shown_keys(item, values, "options", "columns")


def _rows(item: Item, values: Values) -> list[str]:
    """Return what has numbers on the page, as keys in the order shown."""
    return _shown_keys(item, values, "steps", "rows")


def _shown_keys(item: Item, values: Values, *names: str) -> list[str]:
    parts = item.form(values).parts()
    return [one["key"] for name in names for one in parts.get(name, ())]


def typed(item: Item, values: Values, answer: Any) -> Any:
    """Return a reader's answer as the page would have sent it; ValueError if it has no form."""
    return _TYPED.get(item.kind, lambda _i, _v, answer: answer)(item, values, answer)


def _choice(item: Item, values: Values, answer: Any) -> str:
    return _by_letter(answer, _columns(item, values))


def _decision(item: Item, values: Values, answer: Any) -> dict[str, str]:
    if not isinstance(answer, dict):
        raise ValueError('a decision is two letters, such as {way = "B", reason = "E"}')
    return {name: _by_letter(letter, _columns(item, values)) for name, letter in answer.items()}


def _order(item: Item, values: Values, answer: Any) -> list[str]:
    if not isinstance(answer, list):
        raise ValueError("an order is a list of the steps' numbers, such as [3, 1, 2]")
    return [_by_number(number, _rows(item, values)) for number in answer]


def _table(item: Item, values: Values, answer: Any) -> dict[str, str]:
    if not isinstance(answer, dict):
        raise ValueError('a table is a letter for each row\'s number, such as {1 = "B", 2 = "A"}')
    rows, columns = _rows(item, values), _columns(item, values)
    return {_by_number(row, rows): _by_letter(one, columns) for row, one in answer.items()}


def _series(item: Item, values: Values, answer: Any) -> dict[str, Any]:
    if not isinstance(answer, dict) or "what" not in answer:
        raise ValueError('a series is {what = "B", frame = 12, mark = [160, 120]}')
    return answer | {"what": _by_letter(answer["what"], _columns(item, values))}


def _trials(item: Item, values: Values, answer: Any) -> dict[str, Any]:
    if not isinstance(answer, dict) or not isinstance(answer.get("said"), dict):
        raise ValueError('trials are {said = {1 = "A", 2 = "B"}, way = "A"}')
    said = {
        str(number): _by_letter(letter, _columns(item, values))
        for number, letter in answer["said"].items()
    }
    ways = _shown_keys(item, values, "ways")
    return {"said": said, "way": _by_letter(answer["way"], ways) if answer.get("way") else None}


_TYPED: dict[str, Callable[[Any, Values, Any], Any]] = {
    "number": lambda _i, _v, answer: str(answer),
    "text": lambda _i, _v, answer: str(answer),
    "choice": _choice,
    "decision": _decision,
    "order": _order,
    "table": _table,
    "series": _series,
    "trials": _trials,
    "expression": lambda _i, _v, answer: str(answer).strip().removeprefix("return "),
}


def _by_letter(letter: Any, keys: Sequence[str]) -> str:
    known = dict(zip(ascii_uppercase, keys, strict=False))
    if str(letter).strip().upper() not in known:
        raise ValueError(f"there is no letter {letter!r}: there are {', '.join(known)}")
    return known[str(letter).strip().upper()]


def _by_number(number: Any, keys: Sequence[str]) -> str:
    known = {str(place): key for place, key in enumerate(keys, 1)}
    if str(number).strip() not in known:
        raise ValueError(f"there is no number {number!r}: there are 1 to {len(keys)}")
    return known[str(number).strip()]

"""Plain data of many papers, packed so that what stands in several is kept once.

Papers of a release differ in a few numbers and in the order of options. So a file of them holds
``parts``: each text, number, list and object that occurs, once, whatever holds it. A list or an
object is ``[shape, place, place, ...]``: the places of what is in it among the parts before it,
and the place of its keys among the ``shapes``, where that of a list is null. The papers name the
place of theirs. What is read back is shared in the same way: it is not to be changed.
"""

from collections.abc import Collection, Mapping
from typing import Any

_DEEPEST, _MOST = 50, 100_000  # of one paper: objects within each other, and values in all
_LIST = 0  # the shape of lists
_HOLDING = {dict, list}  # as JSON is read


class OtherFormatError(ValueError):
    """A file is of a format that this edition of the course does not read."""


def check_format(found: object, wanted: str) -> None:
    """Hold that a file is of the wanted format, or raise OtherFormatError."""
    if found != wanted:
        raise OtherFormatError(f"its format is {found!r:.60}, not {wanted!r}")


def packed(papers: Mapping[str, Any]) -> dict[str, Any]:
    """Return papers, each plain data, as the file holds them.

    Raises
    ------
    TypeError
        A key of an object is no text.
    """
    shapes: list[list[str] | None] = [None]
    parts: list[Any] = []
    shape_of: dict[tuple[str, ...], int] = {}
    place_of: dict[Any, int] = {}

    def shape(keys: tuple[str, ...]) -> int:
        if keys not in shape_of:
            if not all(isinstance(key, str) for key in keys):
                raise TypeError(f"a key in a paper is no text: {keys!r:.80}")
            shape_of[keys] = len(shapes)
            shapes.append(list(keys))
        return shape_of[keys]

    def place(value: Any) -> int:
        told: Any = value
        mark: Any = (type(value), value if isinstance(value, str) else repr(value))
        if isinstance(value, Mapping):
            told = [shape(tuple(value)), *map(place, value.values())]
            mark = tuple(told)
        elif isinstance(value, list | tuple):
            told = [_LIST, *map(place, value)]
            mark = tuple(told)
        if mark not in place_of:
            place_of[mark] = len(parts)
            parts.append(told)
        return place_of[mark]

    return {
        "papers": {paper: place(data) for paper, data in papers.items()},
        "shapes": shapes,
        "parts": parts,
    }


def unpacked(told: Mapping[str, Any]) -> dict[str, Any]:
    """Return the papers that a file holds.

    Raises
    ------
    ValueError, TypeError, KeyError, AttributeError
        It is not as `packed` writes it, or a paper is nested too deeply or too large.
    """
    shapes, parts = [shape and [*map(str, shape)] for shape in told["shapes"]], told["parts"]
    _check([place for part in parts if isinstance(part, list) for place in part])
    _check(told["papers"].values())
    found, deep, sizes = list[Any](), list[int](), list[int]()
    try:
        for part in parts:
            value, depth, size = part, 0, 1
            if type(part) is list and part:
                shape, *places = part
                value = [*map(found.__getitem__, places)]
                if shape != _LIST:
                    value = dict(zip(shapes[shape], value, strict=True))
                depth += 1 + max(map(deep.__getitem__, places), default=0)
                size += sum(map(sizes.__getitem__, places))
                if depth > _DEEPEST or size > _MOST:
                    raise ValueError("a paper is nested too deeply or too large")
            elif type(part) in _HOLDING:
                raise ValueError("a part of a paper is not as it is written")
            found.append(value)
            deep.append(depth)
            sizes.append(size)
        return {paper: found[place] for paper, place in told["papers"].items()}
    except IndexError as error:
        raise ValueError("a paper names a part that there is not") from error


def _check(places: Collection[Any]) -> None:
    """Hold that all of these can be places, from 0 on, or raise ValueError."""
    if not {*map(type, places)} <= {int} or min(places, default=0) < 0:
        raise ValueError("a paper names a part by what is no place")

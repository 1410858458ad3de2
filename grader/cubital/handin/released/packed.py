"""Plain data of many papers, packed so that what stands in several is kept once.

Papers of a release differ in a few numbers and in the order of options. So a file of them holds
``parts``: each text, number, list and object that occurs, once, whatever holds it. A list or an
object is ``[shape, place, place, ...]``: the places of what is in it among the parts before it,
and the place of its keys among the ``shapes``, where that of a list is null. The papers name the
place of theirs. What is read back is shared in the same way: it is not to be changed.
"""

from collections.abc import Mapping
from typing import Any

_DEEPEST, _MOST = 50, 100_000  # of one paper: objects within each other, and values in all
_LIST = 0  # the shape of lists


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
    shapes, found = [shape and [*map(str, shape)] for shape in told["shapes"]], list[Any]()
    deep, sizes = list[int](), list[int]()
    for part in told["parts"]:
        value, depth, size = part, 0, 1
        if isinstance(part, dict) or part == []:
            raise ValueError("a part of a paper is not as it is written")
        if isinstance(part, list):
            places = [_checked(place, len(found)) for place in part[1:]]
            inside = [found[place] for place in places]
            if part[0] != _LIST:
                keys = shapes[_checked(part[0], len(shapes))]
                value = dict(zip(keys, inside, strict=True))
            else:
                value = inside
            depth += 1 + max((deep[place] for place in places), default=0)
            size += sum(sizes[place] for place in places)
            if depth > _DEEPEST or size > _MOST:
                raise ValueError("a paper is nested too deeply or too large")
        found.append(value)
        deep.append(depth)
        sizes.append(size)
    return {paper: found[_checked(place, len(found))] for paper, place in told["papers"].items()}


def _checked(place: object, before: int) -> int:
    """Return a place that is among those before it, or raise ValueError."""
    if type(place) is not int or not 0 <= place < before:
        raise ValueError(f"a paper names a part that there is not: {place!r:.20}")
    return place

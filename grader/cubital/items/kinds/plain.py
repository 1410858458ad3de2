"""Frozen dataclasses of plain values: to JSON and back, each part held to its type."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from types import UnionType
from typing import Any, ClassVar, NamedTuple, Self, get_args, get_origin, get_type_hints


class Offered(NamedTuple):
    """One option, step, row or column: its key in the saved answer, and its text on the page."""

    key: str
    text: str


@dataclass(frozen=True, kw_only=True)
class Plain:
    """What `data` writes and `of` reads back; ``kind`` goes with it and names the subclass.

    A part is a text, a number, a yes or no, None, a named tuple of those, or a tuple of them.
    """

    kind: ClassVar[str] = ""
    called: ClassVar[str] = "plain data"  # in an error

    def data(self) -> dict[str, Any]:
        """Return this as JSON holds it."""
        own = {one.name: _plain(getattr(self, one.name)) for one in fields(self)}
        return {"kind": self.kind} | own

    @classmethod
    def of(cls, data: Mapping[str, Any]) -> Self:
        """Return what `data` gave.

        Raises
        ------
        ValueError
            Something is missing, unknown or not of its type; the text names it.
        """
        readers = _readers(cls)  # type: ignore[arg-type]  # a class can be a key
        if odd := sorted(readers.keys() ^ (data.keys() - {"kind"})):
            raise ValueError(f"not {cls.called} of kind {cls.kind}: {odd[0]} is missing or unknown")
        try:
            parts = {name: read(name, data[name]) for name, read in readers.items()}
        except ValueError as error:
            raise ValueError(f"not {cls.called}: {error}") from error
        made = cls.__new__(cls)
        vars(made).update(parts)  # all there are: a frozen class sets them one by one, slowly
        return made


@cache
def _readers(kind: type) -> dict[str, "_Reader"]:
    """Return what reads each part of a class; thousands of papers are read by the same few."""
    hints = get_type_hints(kind)
    names = [one.name for one in fields(kind)] if is_dataclass(kind) else [*hints]
    return {name: _reader(hints[name]) for name in names}


def _plain(value: Any) -> Any:
    if hasattr(value, "_asdict"):
        return {name: _plain(part) for name, part in value._asdict().items()}
    return [_plain(one) for one in value] if isinstance(value, tuple) else value


# Given a part's name and its value from JSON, returns it as the part is declared, or raises.
_Reader = Callable[[str, Any], Any]


def _reader(hint: Any) -> _Reader:
    """Return what reads a value that is declared as ``hint``."""
    if get_origin(hint) is UnionType:
        return _any_of([_reader(one) for one in get_args(hint)])
    if get_origin(hint) is tuple:
        wanted = get_args(hint)
        if wanted[-1] is ...:
            return _each(_reader(wanted[0]))
        return _one_by_one([_reader(one) for one in wanted])
    return _named(hint) if hasattr(hint, "_fields") else _single(hint)


def _refused(name: str, value: Any) -> ValueError:
    return ValueError(f"{name} is {value!r:.40}")


def _any_of(readers: list[_Reader]) -> _Reader:
    def read(name: str, value: Any) -> Any:
        for one in readers:
            try:
                return one(name, value)
            except ValueError:
                continue
        raise _refused(name, value)

    return read


def _each(one: _Reader) -> _Reader:
    def read(name: str, value: Any) -> Any:
        if isinstance(value, list):
            return tuple([one(name, part) for part in value])
        raise _refused(name, value)

    return read


def _one_by_one(readers: list[_Reader]) -> _Reader:
    def read(name: str, value: Any) -> Any:
        if isinstance(value, list) and len(value) == len(readers):
            return tuple(one(name, part) for one, part in zip(readers, value, strict=True))
        raise _refused(name, value)

    return read


def _named(kind: Any) -> _Reader:
    readers = _readers(kind)

    def read(name: str, value: Any) -> Any:
        if not isinstance(value, Mapping) or value.keys() != readers.keys():
            raise _refused(name, value)
        try:
            return kind._make([one(name, value[part]) for part, one in parts])
        except ValueError:  # again, to name the part
            return kind(**{part: one(f"{name}.{part}", value[part]) for part, one in parts})

    parts = tuple(readers.items())
    return read


def _single(hint: Any) -> _Reader:
    wanted = (int, float) if hint is float else hint

    def read(name: str, value: Any) -> Any:
        if type(value) is hint:
            return value
        if isinstance(value, wanted) and (hint is bool or not isinstance(value, bool)):
            return value
        raise _refused(name, value)

    return read

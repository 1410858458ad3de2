"""Frozen dataclasses of plain values: to JSON and back, each part held to its type."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
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
        hints = _hints(cls)  # type: ignore[arg-type]  # a class can be a key
        names = [one.name for one in fields(cls)]
        if odd := sorted(set(names) ^ (set(data) - {"kind"})):
            raise ValueError(f"not {cls.called} of kind {cls.kind}: {odd[0]} is missing or unknown")
        try:
            return cls(**{name: _typed(name, hints[name], data[name]) for name in names})
        except ValueError as error:
            raise ValueError(f"not {cls.called}: {error}") from error


@cache
def _hints(kind: type) -> dict[str, Any]:
    """Return what a class's parts are declared as; thousands of papers are read by the same few."""
    return get_type_hints(kind)


def _plain(value: Any) -> Any:
    if hasattr(value, "_asdict"):
        return {name: _plain(part) for name, part in value._asdict().items()}
    return [_plain(one) for one in value] if isinstance(value, tuple) else value


def _typed(name: str, hint: Any, value: Any) -> Any:
    """Return a value from JSON as the annotation ``hint`` wants it, or raise."""
    if get_origin(hint) is UnionType:
        for one in get_args(hint):
            try:
                return _typed(name, one, value)
            except ValueError:
                continue
    elif get_origin(hint) is tuple:
        wanted = get_args(hint)
        if isinstance(value, list) and (wanted[-1] is ... or len(wanted) == len(value)):
            each = [wanted[0]] * len(value) if wanted[-1] is ... else wanted
            return tuple(_typed(name, one, part) for one, part in zip(each, value, strict=True))
    elif hasattr(hint, "_fields"):
        if isinstance(value, Mapping) and set(value) == set(hint._fields):
            hints = _hints(hint)
            return hint(**{k: _typed(f"{name}.{k}", hints[k], value[k]) for k in value})
    elif isinstance(value, bool):
        if hint is bool:
            return value
    elif isinstance(value, (int, float) if hint is float else hint):
        return value
    raise ValueError(f"{name} is {value!r:.40}")

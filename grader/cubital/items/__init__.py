"""The questions: which worksheet asks which, and what is loaded on its first use. An item draws
values, states the question, judges answers and knows the slips."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache
from importlib import import_module
from typing import TYPE_CHECKING

__all__ = [
    "KINDS",
    "WORKSHEETS",
    "AskedBackError",
    "Before",
    "ChoiceItem",
    "CodeItem",
    "Column",
    "DecisionItem",
    "ExpressionItem",
    "Form",
    "Item",
    "Judgement",
    "Key",
    "Mistake",
    "NumberItem",
    "OnPictures",
    "Option",
    "OrderItem",
    "PictureForm",
    "PictureItem",
    "PlaceItem",
    "Row",
    "SeriesItem",
    "Slip",
    "Step",
    "TableItem",
    "TextItem",
    "TrialsForm",
    "TrialsItem",
    "UnreadableAnswerError",
    "find",
    "form_of",
    "key_of",
    "knowing",
]

if TYPE_CHECKING:
    from cubital.items.kinds import KINDS, form_of, key_of
    from cubital.items.kinds.base import Item, Mistake, Slip
    from cubital.items.kinds.choice import ChoiceItem, Option
    from cubital.items.kinds.code import CodeItem
    from cubital.items.kinds.deciding import DecisionItem
    from cubital.items.kinds.expression import ExpressionItem
    from cubital.items.kinds.form import Form
    from cubital.items.kinds.key import Judgement, Key
    from cubital.items.kinds.number import NumberItem
    from cubital.items.kinds.on_pictures.pictured import OnPictures, PictureForm, PictureItem
    from cubital.items.kinds.on_pictures.placing import PlaceItem
    from cubital.items.kinds.on_pictures.series import SeriesItem
    from cubital.items.kinds.on_pictures.trials import TrialsForm, TrialsItem
    from cubital.items.kinds.ordering import Before, OrderItem, Step
    from cubital.items.kinds.tabling import Column, Row, TableItem
    from cubital.items.kinds.text import TextItem
    from cubital.items.typed.quantity import AskedBackError, UnreadableAnswerError
    from cubital.items.worksheets import WORKSHEETS

# Where each name is defined, to be imported when it is asked for: a figure needs none of them.
_HOMES = {
    "AskedBackError": "typed.quantity",
    "Before": "kinds.ordering",
    "ChoiceItem": "kinds.choice",
    "CodeItem": "kinds.code",
    "Column": "kinds.tabling",
    "DecisionItem": "kinds.deciding",
    "ExpressionItem": "kinds.expression",
    "Form": "kinds.form",
    "Item": "kinds.base",
    "Judgement": "kinds.key",
    "KINDS": "kinds",
    "Key": "kinds.key",
    "Mistake": "kinds.base",
    "NumberItem": "kinds.number",
    "OnPictures": "kinds.on_pictures.pictured",
    "Option": "kinds.choice",
    "OrderItem": "kinds.ordering",
    "PictureForm": "kinds.on_pictures.pictured",
    "PictureItem": "kinds.on_pictures.pictured",
    "PlaceItem": "kinds.on_pictures.placing",
    "Row": "kinds.tabling",
    "SeriesItem": "kinds.on_pictures.series",
    "Slip": "kinds.base",
    "Step": "kinds.ordering",
    "TableItem": "kinds.tabling",
    "TextItem": "kinds.text",
    "TrialsForm": "kinds.on_pictures.trials",
    "TrialsItem": "kinds.on_pictures.trials",
    "UnreadableAnswerError": "typed.quantity",
    "WORKSHEETS": "worksheets",
    "form_of": "kinds",
    "key_of": "kinds",
}

_MORE: ContextVar[Mapping[str, Item] | None] = ContextVar("more items", default=None)


@contextmanager
def knowing(more: Iterable[Item]) -> Iterator[None]:
    """Let `find` know these items first, such as an educator's own, while this lasts."""
    before = _MORE.set({item.id: item for item in more})
    try:
        yield
    finally:
        _MORE.reset(before)


def find(item_id: str) -> Item:
    """Return the item of that id; an unknown one raises with the ids there are."""
    more = _MORE.get() or {}
    if item_id in more:
        return more[item_id]
    known = _by_id(tuple(_worksheets()))
    if item_id not in known:
        there = dict.fromkeys((*known, *more))
        raise ValueError(f"there is no item “{item_id}”; there are: {', '.join(there)}")
    return known[item_id]


@lru_cache(maxsize=1)
def _by_id(_names: tuple[str, ...]) -> Mapping[str, Item]:
    """Return the items of the worksheets of these names, which are all that there are, by id."""
    return {item.id: item for worksheet in _worksheets().values() for item in worksheet}


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)


def _worksheets() -> dict[str, tuple[Item, ...]]:
    from cubital.items.worksheets import WORKSHEETS  # noqa: PLC0415 - as above

    return WORKSHEETS

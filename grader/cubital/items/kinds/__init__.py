"""The kinds of item, each one module: what a learner is given and what decides, how an answer is
judged right or as a slip and how near is near enough; the rules that every item keeps.

A new kind is a module here and a line in `KINDS`; a field of its own on the page is a function
in ``worksheet/``, unless one of those there takes its answers.
"""

from collections.abc import Mapping
from typing import Any, NamedTuple

from cubital.items.kinds.base import Item
from cubital.items.kinds.choice import ChoiceForm, ChoiceItem, ChoiceKey
from cubital.items.kinds.code import CodeForm, CodeItem, CodeKey
from cubital.items.kinds.deciding import DecisionForm, DecisionItem, DecisionKey
from cubital.items.kinds.expression import ExpressionForm, ExpressionItem, ExpressionKey
from cubital.items.kinds.form import Form
from cubital.items.kinds.key import Key
from cubital.items.kinds.number import NumberForm, NumberItem, NumberKey
from cubital.items.kinds.on_pictures.placing import PlaceForm, PlaceItem, PlaceKey
from cubital.items.kinds.on_pictures.series import SeriesForm, SeriesItem, SeriesKey
from cubital.items.kinds.on_pictures.trials import TrialsForm, TrialsItem, TrialsKey
from cubital.items.kinds.ordering import OrderForm, OrderItem, OrderKey
from cubital.items.kinds.tabling import TableForm, TableItem, TableKey
from cubital.items.kinds.text import TextForm, TextItem, TextKey


class Kind(NamedTuple):
    """What a kind of item is made of: what is asked, what decides, and what makes the two."""

    form: type[Form]
    key: type[Key]
    item: type[Item]


KINDS: dict[str, Kind] = {
    form.kind: Kind(form, key, item)
    for form, key, item in (
        (NumberForm, NumberKey, NumberItem),
        (ChoiceForm, ChoiceKey, ChoiceItem),
        (DecisionForm, DecisionKey, DecisionItem),
        (OrderForm, OrderKey, OrderItem),
        (TableForm, TableKey, TableItem),
        (TextForm, TextKey, TextItem),
        (ExpressionForm, ExpressionKey, ExpressionItem),
        (CodeForm, CodeKey, CodeItem),
        (PlaceForm, PlaceKey, PlaceItem),
        (SeriesForm, SeriesKey, SeriesItem),
        (TrialsForm, TrialsKey, TrialsItem),
    )
}


def form_of(data: Mapping[str, Any]) -> Form:
    """Return the form that `Form.data` gave, with no item at hand.

    Raises
    ------
    ValueError
        There is no such kind, or the data are not of its form; the text names what is wrong.
    """
    return _kind(data).form.of(data)


def key_of(data: Mapping[str, Any]) -> Key:
    """Return the key that `Key.data` gave, with no item at hand.

    Raises
    ------
    ValueError
        As `form_of` does.
    """
    return _kind(data).key.of(data)


def _kind(data: Mapping[str, Any]) -> Kind:
    kind = data.get("kind")
    if kind not in KINDS:
        raise ValueError(f"there is no kind {kind!r:.40}; there are: {', '.join(KINDS)}")
    return KINDS[kind]

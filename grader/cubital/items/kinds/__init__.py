"""The kinds of item, each one module: the learner's form and the educator's judgement.

A new kind is a module here and a line in `KINDS`; a field of its own on the page is a function
in ``worksheet/``, unless one of those there takes its answers.
"""

from collections.abc import Mapping
from typing import Any, NamedTuple

from cubital.items.kinds.base import Item
from cubital.items.kinds.choice import ChoiceForm, ChoiceItem
from cubital.items.kinds.code import CodeForm, CodeItem
from cubital.items.kinds.form import Form
from cubital.items.kinds.number import NumberForm, NumberItem
from cubital.items.kinds.ordering import OrderForm, OrderItem
from cubital.items.kinds.placing import PlaceForm, PlaceItem
from cubital.items.kinds.series import SeriesForm, SeriesItem
from cubital.items.kinds.tabling import TableForm, TableItem
from cubital.items.kinds.text import TextForm, TextItem


class Kind(NamedTuple):
    """The two halves of a kind of item."""

    form: type[Form]
    item: type[Item]


KINDS: dict[str, Kind] = {
    form.kind: Kind(form, item)
    for form, item in (
        (NumberForm, NumberItem),
        (ChoiceForm, ChoiceItem),
        (OrderForm, OrderItem),
        (TableForm, TableItem),
        (TextForm, TextItem),
        (CodeForm, CodeItem),
        (PlaceForm, PlaceItem),
        (SeriesForm, SeriesItem),
    )
}


def form_of(data: Mapping[str, Any]) -> Form:
    """Return the form that `Form.data` gave, with no item at hand.

    Raises
    ------
    ValueError
        There is no such kind, or the data are not of its form; the text names what is wrong.
    """
    kind = data.get("kind")
    if kind not in KINDS:
        raise ValueError(f"there is no kind {kind!r:.40}; there are: {', '.join(KINDS)}")
    return KINDS[kind].form.of(data)

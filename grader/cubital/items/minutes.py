"""How long questions take: each its own minutes of work, and reading it. An estimate."""

from collections.abc import Iterable

from cubital import tables
from cubital.items.kinds.base import Item
from cubital.items.kinds.on_pictures.pictured import PictureItem

WORDS_A_MINUTE = 200


def minutes_to_answer(listed: Iterable[Item]) -> float:
    """Return the minutes that questions take [min], without those that nobody has to answer."""
    asked = [item for item in listed if not item.optional]
    read = sum(_words(item) for item in asked if not isinstance(item, PictureItem))
    return sum(item.minutes for item in asked) + read / WORDS_A_MINUTE


def _words(item: Item) -> int:
    form = item.form(item.values("", "", tables.followed(tables.profile())))
    offered = (getattr(form, name, ()) for name in ("options", "ways", "reasons"))
    return len(" ".join([form.question, *(t for rows in offered for _, t in rows)]).split())

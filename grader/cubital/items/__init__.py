"""Exercise items: they draw values, state the question, judge answers and know the slips."""

from cubital.items import choosing, infusion, sizing
from cubital.items.base import (
    ChoiceItem,
    CodeItem,
    Item,
    Judgement,
    NumberItem,
    Option,
    Slip,
    TextItem,
)
from cubital.items.quantity import UnreadableAnswerError

__all__ = [
    "WORKSHEETS",
    "ChoiceItem",
    "CodeItem",
    "Item",
    "Judgement",
    "NumberItem",
    "Option",
    "Slip",
    "TextItem",
    "UnreadableAnswerError",
    "find",
]

WORKSHEETS: dict[str, tuple[Item, ...]] = {
    "catheter-sizing": (
        sizing.UPPER_DIAMETER,
        sizing.FRENCH,
        sizing.RATIO_ITEM,
        sizing.SMALLEST_VEIN,
        sizing.AREA_SHARE,
        choosing.PICTURE_WIDTH,
        choosing.SMALLEST_ADEQUATE,
        infusion.BORE_FLOW,
        infusion.GRAVITY_FLOW,
        infusion.DRIP_RATE,
        infusion.INFUSION_TIME,
        sizing.RATIO_CODE,
        choosing.REASONS,
    ),
}


def find(item_id: str) -> Item:
    """Return the item of that id; an unknown one raises with the ids there are."""
    known = {item.id: item for worksheet in WORKSHEETS.values() for item in worksheet}
    if item_id not in known:
        raise ValueError(f"there is no item “{item_id}”; there are: {', '.join(known)}")
    return known[item_id]

"""Exercise items: they draw values, state the question, judge answers and know the slips."""

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar

from cubital.items import (
    after_placement,
    attempts,
    before_insertion,
    before_use,
    bleeding,
    charge,
    choosing,
    dwelling,
    eye_light,
    focusing,
    given_and_watched,
    infusion,
    leaks,
    length_and_angle,
    light,
    lighting,
    lying,
    movements,
    processing,
    reaching,
    refilling,
    registering,
    seeing,
    site_signs,
    siting,
    sizing,
    spotting,
    stopping,
    stored_pictures,
    target,
    touching,
    unchanged_picture,
    unseen,
    use_or_not,
    watching_sites,
    whole_first,
    whole_hand_on,
    whole_leak,
    whole_procedure,
    whole_reach,
    whole_size,
)
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
from cubital.items.ordering import Before, OrderItem, Step
from cubital.items.quantity import AskedBackError, UnreadableAnswerError
from cubital.items.recognition import PictureItem, PlaceItem, SeriesItem
from cubital.items.tabling import Column, Row, TableItem

__all__ = [
    "WORKSHEETS",
    "AskedBackError",
    "Before",
    "ChoiceItem",
    "CodeItem",
    "Column",
    "Item",
    "Judgement",
    "NumberItem",
    "Option",
    "OrderItem",
    "PictureItem",
    "PlaceItem",
    "Row",
    "SeriesItem",
    "Slip",
    "Step",
    "TableItem",
    "TextItem",
    "UnreadableAnswerError",
    "find",
    "knowing",
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
    "reaching-the-vein": (
        reaching.NEAR_WALL,
        reaching.TRACK,
        reaching.ROOM,
        lying.LENGTH_IN_VEIN,
        lying.SHARE_IN_VEIN,
        lying.DEEPEST,
        lying.ANGLE,
        length_and_angle.CHOICE,
        reaching.SHIFT,
        after_placement.BLOOD_PROVES,
        reaching.CATHETER_END,
        after_placement.ATTEMPTS,
        after_placement.FLUSH,
        after_placement.STANDSTILL,
        after_placement.AFTER_BLOOD,
    ),
    "light-and-depth": (
        light.CONTRAST,
        light.PENETRATION,
        light.SURFACE,
        seeing.OVER_NOISE,
        seeing.DEEPEST,
        seeing.FRAMES,
        light.MELANIN,
        light.BLOOD,
        seeing.APPARENT_WIDTH,
        seeing.DEEPER,
        unseen.DEPTH,
        unseen.ARTERY,
        unseen.NERVE,
        unseen.OPEN,
        seeing.BEST_CASE_REASONS,
    ),
    "reading-the-vein": (
        touching.FINGER,
        processing.AVERAGED,
        refilling.PALE,
        refilling.FRONT_SPEED,
        refilling.REFILL_TIME,
        refilling.EVEN_BAND,
        siting.MOVE,
        siting.LIMB,
        siting.ORDER,
        siting.STRAIGHT_RUN,
        processing.GAIN,
        processing.FALSE_BANDS,
        spotting.FORKS,
        spotting.SERIES,
        processing.GAIN_REASONS,
    ),
    "one-patient": (
        before_insertion.ARM,
        before_insertion.PULSE,
        before_insertion.TOUCHED,
        given_and_watched.ADDED_FLUID,
        attempts.WITHIN_TWO,
        attempts.NONE_FAILED,
        attempts.CANNOT_WAIT,
        whole_procedure.ORDER,
        whole_procedure.TABLE,
        given_and_watched.LEAST_DOSE,
        given_and_watched.LOOKING_TIME,
        dwelling.DWELL,
        dwelling.HALF_LEFT,
        dwelling.MORE_CATHETERS,
        before_insertion.HANDED_OVER,
    ),
    "focal-geometry": (
        focusing.SHOWN_WIDTH,
        focusing.SMEAR,
        focusing.WIDER,
        focusing.LARGEST_TILT,
        movements.MOVEMENTS,
        registering.SHIFT,
        registering.ALLOWED,
        registering.REST,
        lighting.ILLUMINANCE,
        lighting.ROOM_LIMIT,
        lighting.LAMP,
        target.CHECK_ORDER,
        target.FAILED,
        target.LINE_OR_FINGER,
        registering.STAND,
    ),
    "readiness": (
        before_use.MISSED_FAULT,
        before_use.WIPES,
        before_use.NUMB_SKIN,
        charge.LASTS,
        charge.BEFORE_LIST,
        charge.HOURS_WITHOUT,
        stored_pictures.SHIFTS,
        stored_pictures.LOST,
        stored_pictures.END_OF_SHIFT,
        eye_light.EYE_SHARE,
        eye_light.NEAREST,
        eye_light.CHILD_EYES,
        use_or_not.EMERGENCY,
        use_or_not.USE_OR_NOT,
        stored_pictures.NOBODYS_PICTURE,
    ),
    "complications": (
        site_signs.SIGNS_TABLE,
        watching_sites.COOL,
        unchanged_picture.PICTURE_UNCHANGED,
        unchanged_picture.UNCHANGED,
        leaks.OUTSIDE,
        leaks.TIMES_AS_MUCH,
        leaks.LIMB_SHARE,
        stopping.VESICANT,
        bleeding.BLEEDING_ORDER,
        bleeding.DRIVEN_OUT,
        bleeding.ARTERY,
        stopping.NERVE,
        watching_sites.NEEDED,
        watching_sites.KAPPA,
        unchanged_picture.SERIES,
        site_signs.NOTE,
    ),
    # joins the lessons, and belongs to none of them
    "whole-course": (
        whole_size.VEIN_FOR_ORDER,
        whole_reach.LENGTH_FOR_SEEN,
        whole_reach.SHARE_FROM_MIDDLE,
        whole_size.TIMES_FILLED,
        whole_hand_on.UNTIL_IN,
        whole_hand_on.PER_CHARGE,
        whole_first.VESICANT_SHORT,
        whole_leak.UNTIL_FELT,
        whole_leak.CHILD_SHARE,
        whole_first.QUIET_ARM,
        whole_first.NEXT_VEIN,
        whole_size.DROPS_LEFT,
        whole_hand_on.NIGHT,
    ),
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
    known = {item.id: item for worksheet in WORKSHEETS.values() for item in worksheet}
    known |= _MORE.get() or {}
    if item_id not in known:
        raise ValueError(f"there is no item “{item_id}”; there are: {', '.join(known)}")
    return known[item_id]

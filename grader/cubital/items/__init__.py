"""Exercise items: they draw values, state the question, judge answers and know the slips."""

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar

from cubital.items.complications import (
    bleeding,
    leaks,
    site_signs,
    stopping,
    unchanged_picture,
    watching_sites,
)
from cubital.items.focus import focusing, lighting, movements, registering, target
from cubital.items.kinds import KINDS, form_of
from cubital.items.kinds.base import Item, Judgement, Mistake, Slip
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.kinds.code import CodeItem
from cubital.items.kinds.form import Form
from cubital.items.kinds.number import NumberItem
from cubital.items.kinds.ordering import Before, OrderItem, Step
from cubital.items.kinds.pictured import PictureForm, PictureItem
from cubital.items.kinds.placing import PlaceItem
from cubital.items.kinds.quantity import AskedBackError, UnreadableAnswerError
from cubital.items.kinds.series import SeriesItem
from cubital.items.kinds.tabling import Column, Row, TableItem
from cubital.items.kinds.text import TextItem
from cubital.items.light import contrast, seeing, unseen
from cubital.items.patient import attempts, before_insertion, dwelling, given_and_watched, procedure
from cubital.items.reaching import after_placement, length_and_angle, lying, track
from cubital.items.readiness import before_use, charge, eye_light, stored_pictures, use_or_not
from cubital.items.reading import processing, refilling, siting, spotting, touching
from cubital.items.sizing import choosing, infusion, ratio
from cubital.items.whole_course import first_things, hand_on, leak, reach, vein_size

__all__ = [
    "KINDS",
    "WORKSHEETS",
    "AskedBackError",
    "Before",
    "ChoiceItem",
    "CodeItem",
    "Column",
    "Form",
    "Item",
    "Judgement",
    "Mistake",
    "NumberItem",
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
    "UnreadableAnswerError",
    "find",
    "form_of",
    "knowing",
]

WORKSHEETS: dict[str, tuple[Item, ...]] = {
    "catheter-sizing": (
        ratio.UPPER_DIAMETER,
        ratio.FRENCH,
        ratio.RATIO_ITEM,
        ratio.SMALLEST_VEIN,
        ratio.AREA_SHARE,
        choosing.PICTURE_WIDTH,
        choosing.SMALLEST_ADEQUATE,
        infusion.BORE_FLOW,
        infusion.GRAVITY_FLOW,
        infusion.DRIP_RATE,
        infusion.INFUSION_TIME,
        ratio.RATIO_CODE,
        choosing.REASONS,
    ),
    "reaching-the-vein": (
        track.NEAR_WALL,
        track.TRACK,
        track.ROOM,
        lying.LENGTH_IN_VEIN,
        lying.SHARE_IN_VEIN,
        lying.DEEPEST,
        lying.ANGLE,
        length_and_angle.CHOICE,
        track.SHIFT,
        after_placement.BLOOD_PROVES,
        track.CATHETER_END,
        after_placement.ATTEMPTS,
        after_placement.FLUSH,
        after_placement.STANDSTILL,
        after_placement.AFTER_BLOOD,
    ),
    "light-and-depth": (
        contrast.CONTRAST,
        contrast.PENETRATION,
        contrast.SURFACE,
        seeing.OVER_NOISE,
        seeing.DEEPEST,
        seeing.FRAMES,
        contrast.MELANIN,
        contrast.BLOOD,
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
        procedure.ORDER,
        procedure.TABLE,
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
        vein_size.VEIN_FOR_ORDER,
        reach.LENGTH_FOR_SEEN,
        reach.SHARE_FROM_MIDDLE,
        vein_size.TIMES_FILLED,
        hand_on.UNTIL_IN,
        hand_on.PER_CHARGE,
        first_things.VESICANT_SHORT,
        leak.UNTIL_FELT,
        leak.CHILD_SHARE,
        first_things.QUIET_ARM,
        first_things.NEXT_VEIN,
        vein_size.DROPS_LEFT,
        hand_on.NIGHT,
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

"""Which items each worksheet asks, in their order."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from cubital.items.cases import by_topic
from cubital.items.complications import (
    bleeding,
    leaks,
    site_signs,
    unchanged_picture,
    watching_sites,
)
from cubital.items.complications import trials as site_trials
from cubital.items.focus import focusing, lighting, movements, registering, target
from cubital.items.kinds.base import Item
from cubital.items.light import contrast, seeing, unseen
from cubital.items.patient import (
    artery_trials,
    attempts,
    before_insertion,
    dwelling,
    given_and_watched,
    procedure,
)
from cubital.items.principles.asked import VignetteItem
from cubital.items.principles.course import (
    ATTEMPTS,
    BARRED_LIMB,
    CANNOT_SIZE,
    IDENTITY,
    INFECTION,
    LEAK,
    NERVE,
    PULSE,
    UNCHANGED_PICTURE,
    VESICANT,
)
from cubital.items.reaching import after_placement, length_and_angle, lying, track
from cubital.items.reaching import trials as reaching_trials
from cubital.items.readiness import before_use, charge, eye_light, stored_pictures, use_or_not
from cubital.items.reading import processing, refilling, siting, spotting, touching
from cubital.items.reading import trials as reading_trials
from cubital.items.sizing import choosing, infusion, ratio
from cubital.items.whole_course import first_things, hand_on, leak, reach, vein_size


def _titled(worksheets: Mapping[str, Sequence[Item]]) -> dict[str, tuple[Item, ...]]:
    """Return the worksheets with titles for the vignettes that count them and tell nothing else."""
    number = 0
    found: dict[str, tuple[Item, ...]] = {}
    for name, listed in worksheets.items():
        titled = list[Item]()
        for item in listed:
            is_vignette = isinstance(item, VignetteItem)
            number += is_vignette
            titled.append(replace(item, title=f"Situation {number}") if is_vignette else item)
        found[name] = tuple(titled)
    return found


# The three questions on a principle stand apart, and in another order for each: where one of them
# stands does not tell whether what the principle warns of is there.
_LISTED: dict[str, tuple[Item, ...]] = {
    "catheter-sizing": (
        ratio.UPPER_DIAMETER,
        ratio.FRENCH,
        CANNOT_SIZE.second,
        ratio.RATIO_ITEM,
        ratio.SMALLEST_VEIN,
        ratio.AREA_SHARE,
        choosing.PICTURE_WIDTH,
        choosing.SMALLEST_ADEQUATE,
        CANNOT_SIZE.first,
        infusion.BORE_FLOW,
        infusion.GRAVITY_FLOW,
        infusion.DRIP_RATE,
        infusion.INFUSION_TIME,
        CANNOT_SIZE.other,
        ratio.RATIO_CODE,
        choosing.REASONS,
    ),
    "reaching-the-vein": (
        track.NEAR_WALL,
        track.ROOM,
        ATTEMPTS.other,
        lying.LENGTH_IN_VEIN,
        lying.SHARE_IN_VEIN,
        lying.DEEPEST,
        length_and_angle.CHOICE,
        ATTEMPTS.second,
        track.SHIFT,
        after_placement.BLOOD_PROVES,
        track.CATHETER_END,
        after_placement.FLUSH,
        reaching_trials.FLUSH_TRIALS,
        *by_topic.REACHING,
        ATTEMPTS.first,
        after_placement.AFTER_BLOOD,
        track.TRACK,
        lying.ANGLE,
        after_placement.STANDSTILL,
    ),
    "light-and-depth": (
        contrast.CONTRAST,
        seeing.DEEPEST,
        seeing.APPARENT_WIDTH,
        seeing.DEEPER,
        unseen.DEPTH,
        unseen.ARTERY,
        unseen.OPEN,
        *by_topic.LIGHT,
        seeing.BEST_CASE_REASONS,
        contrast.PENETRATION,
        contrast.SURFACE,
        seeing.OVER_NOISE,
        seeing.FRAMES,
        contrast.MELANIN,
        contrast.BLOOD,
    ),
    "reading-the-vein": (
        touching.FINGER,
        refilling.PALE,
        refilling.REFILL_TIME,
        refilling.EVEN_BAND,
        siting.MOVE,
        siting.ORDER,
        siting.STRAIGHT_RUN,
        spotting.FORKS,
        spotting.SERIES,
        reading_trials.FORK_TRIALS,
        reading_trials.REFILL_TRIALS,
        reading_trials.ROLL_TRIALS,
        *by_topic.READING,
        processing.GAIN_REASONS,
        processing.AVERAGED,
        refilling.FRONT_SPEED,
        processing.GAIN,
        processing.FALSE_BANDS,
    ),
    "one-patient": (
        BARRED_LIMB.second,
        before_insertion.TOUCHED,
        IDENTITY.other,
        given_and_watched.ADDED_FLUID,
        PULSE.first,
        attempts.WITHIN_TWO,
        INFECTION.first,
        BARRED_LIMB.other,
        IDENTITY.first,
        procedure.ORDER,
        procedure.TABLE,
        PULSE.other,
        artery_trials.ARTERY_TRIALS,
        INFECTION.second,
        given_and_watched.LEAST_DOSE,
        IDENTITY.second,
        given_and_watched.LOOKING_TIME,
        BARRED_LIMB.first,
        dwelling.DWELL,
        PULSE.second,
        INFECTION.other,
        *by_topic.PATIENT,
        before_insertion.HANDED_OVER,
        attempts.NONE_FAILED,
        dwelling.HALF_LEFT,
        dwelling.MORE_CATHETERS,
        *by_topic.SHORT_LESSONS,
    ),
    "focal-geometry": (
        focusing.SHOWN_WIDTH,
        focusing.WIDER,
        focusing.LARGEST_TILT,
        movements.MOVEMENTS,
        registering.ALLOWED,
        lighting.ROOM_LIMIT,
        lighting.LAMP,
        lighting.POLARITY,
        target.CHECK_ORDER,
        target.FAILED,
        target.LINE_OR_FINGER,
        *by_topic.FOCUS,
        registering.STAND,
        focusing.SMEAR,
        registering.SHIFT,
        registering.REST,
        lighting.ILLUMINANCE,
    ),
    "readiness": (
        before_use.MISSED_FAULT,
        before_use.WIPES,
        before_use.NUMB_SKIN,
        charge.LASTS,
        charge.BEFORE_LIST,
        charge.HOURS_WITHOUT,
        stored_pictures.LOST,
        stored_pictures.END_OF_SHIFT,
        eye_light.EYE_SHARE,
        eye_light.NEAREST,
        eye_light.CHILD_EYES,
        use_or_not.EMERGENCY,
        use_or_not.USE_OR_NOT,
        *by_topic.READINESS,
        stored_pictures.NOBODYS_PICTURE,
        stored_pictures.SHIFTS,
    ),
    "complications": (
        site_signs.SIGNS_TABLE,
        LEAK.other,
        unchanged_picture.UNCHANGED,
        NERVE.first,
        leaks.OUTSIDE,
        UNCHANGED_PICTURE.second,
        VESICANT.first,
        leaks.TIMES_AS_MUCH,
        LEAK.first,
        leaks.LIMB_SHARE,
        UNCHANGED_PICTURE.other,
        NERVE.other,
        bleeding.BLEEDING_ORDER,
        VESICANT.second,
        bleeding.DRIVEN_OUT,
        LEAK.second,
        bleeding.ARTERY,
        UNCHANGED_PICTURE.first,
        watching_sites.NEEDED,
        NERVE.second,
        VESICANT.other,
        unchanged_picture.SERIES,
        site_trials.LEAK_TRIALS,
        site_trials.BLOOD_TRIALS,
        *by_topic.COMPLICATIONS,
        site_signs.NOTE,
        watching_sites.COOL,
        watching_sites.KAPPA,
    ),
    # joins the lessons, and belongs to none of them
    "whole-course": (
        vein_size.VEIN_FOR_ORDER,
        reach.LENGTH_FOR_SEEN,
        reach.SHARE_FROM_MIDDLE,
        vein_size.TIMES_FILLED,
        first_things.VESICANT_SHORT,
        leak.UNTIL_FELT,
        leak.CHILD_SHARE,
        first_things.QUIET_ARM,
        first_things.NEXT_VEIN,
        vein_size.DROPS_LEFT,
        hand_on.NIGHT,
        hand_on.UNTIL_IN,
        hand_on.PER_CHARGE,
    ),
}

WORKSHEETS: dict[str, tuple[Item, ...]] = _titled(_LISTED)

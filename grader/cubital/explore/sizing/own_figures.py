"""What the lesson on catheter sizing says under a department's own limit."""

from cubital import calc, tables
from cubital.calc.shared.formatting import NBSP, at_least
from cubital.explore.kit.department import Said, whose

_VEIN_MM, _NARROWER_MM, _GAUGE = 2.6, 2.5, 20  # as in the lesson
_FASTER, _THINNEST = 18, 24


def own_sentences(profile: tables.Profile) -> tuple[Said, ...]:
    """Return what the lesson says otherwise under a department's catheter-to-vein limit."""
    limit, of = profile.ratio_limit, whose(profile)
    stated = f"{100 * limit:g} %"
    outer = calc.gauge(_GAUGE).outer_upper_mm
    wide, narrow = (
        calc.catheter_to_vein_ratio(outer, vein_diameter_mm=vein)
        for vein in (_VEIN_MM, _NARROWER_MM)
    )
    smallest = calc.smallest_vein_diameter_mm(outer, ratio_limit=limit)
    smallest_words = at_least(smallest, "mm", 2).replace(NBSP, " ")
    if wide > limit:
        fit = f"over the limit, and at {_VEIN_MM} mm it was {100 * wide:.1f} %, over it too: "
        fit += "take the smaller catheter, or a wider vein."
    elif narrow > limit:
        fit = "over the limit. A tenth of a millimetre decided it: near the limit, measure again "
        fit += "and take the smaller catheter."
    else:
        fit = f"still within the limit; it is over it below {smallest_words}. Near the limit, "
        fit += "measure again and take the smaller catheter."
    return (
        Said(
            "catheter-to-vein-ratio",
            f"the local limit of {stated}, the policy of {of}",
            "the local limit of 45 %, the policy of the invented ward in this course",
        ),
        Said(
            "read-the-fit",
            f"at {_NARROWER_MM} mm it is {100 * narrow:.1f} %, {fit}",
            "at 2.5 mm it is 46.0 %, over the limit. A tenth of a millimetre decided it: near the "
            "limit, measure again and take the smaller catheter.",
        ),
        Said(
            "read-the-fit",
            f"The smallest vein for a 20 gauge catheter at {stated} is {smallest_words}.",
            "The smallest vein for a 20 gauge catheter at 45 % is 2.56 mm.",
        ),
        *_choice(limit, stated, of, wide),
    )


def _choice(limit: float, stated: str, of: str, wide: float) -> list[Said]:
    """Return what the choices of the lesson are under a limit at which they come out otherwise."""
    found = []
    thinnest, faster = (
        calc.catheter_to_vein_ratio(calc.gauge(one).outer_upper_mm, vein_diameter_mm=_VEIN_MM)
        for one in (_THINNEST, _FASTER)
    )
    if wide > limit:
        also = "" if thinnest <= limit else " Nor does the 24 gauge: this vein is too narrow."
        found.append(
            Said(
                "read-the-choice",
                f"The 20 gauge, at {100 * wide:.1f} %, does not fit under the limit of {of}, "
                f"{stated}.{also} It takes up half as much room again",
                "The 20 gauge also fits, at 44.2 %, but it takes up half as much room again",
            )
        )
    if faster <= limit:
        found.append(
            Said(
                "when-nothing-fits",
                f"Under the limit of {of}, {stated}, this vein still takes it, by a hair's breadth "
                "beside the three figures; under a lower one: find a wider one by ultrasound",
                "In this vein you cannot have both the flow and the limit: find a wider one by "
                "ultrasound",
            )
        )
    return found

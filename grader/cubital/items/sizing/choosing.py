"""Items on choosing: what cannot be sized, and the smallest catheter that does the job."""

from math import ceil, floor

from cubital import calc, tables
from cubital.items.kinds.base import Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.kinds.text import TextItem
from cubital.items.sizing.ratio import smallest_vein, upper_diameter, vein_ratio
from cubital.items.writing.draw import Draw
from cubital.items.writing.offering import listed
from cubital.items.writing.wording import per_cent, with_article

MEASURE = "Measure the vein, do not read it off the picture"
SMALLEST = "The smallest catheter that does the job"


# --------------------------------------------------------------- a picture is no measurement


def _draw_picture_width(draw: Draw) -> dict:
    gauge = draw.choose((22, 20, 18))
    limit = draw.policy["ratio_limit"]
    width = smallest_vein(upper_diameter(gauge), limit) + draw.step(0.2, 0.9, 0.1)
    wrong = draw.for_all.shuffled(("size-from-picture", "picture-is-wider", "take-the-thinner"))[:2]
    return {
        "gauge": gauge,
        "ratio_limit": limit,
        "picture_width_mm": round(width, 1),
        "order": draw.shuffled(("cannot-be-sized", "zoom-in", *wrong)),
    }


def _picture_options(v: Values) -> list[Option]:
    gauge, width, limit = v["gauge"], v["picture_width_mm"], v["ratio_limit"]
    thinner = {22: 24, 20: 22, 18: 20}[gauge]
    share = vein_ratio(upper_diameter(gauge), width)
    texts = (
        Option(
            "cannot-be-sized",
            "Not on this alone: what the band hides is how wide the vein is, and that is "
            "measured on ultrasound.",
        ),
        Option(
            "size-from-picture",
            f"It can: its {upper_diameter(gauge):.2f} mm are {per_cent(share)} of what the "
            f"band is, {width:.1f} mm, and that is within the {per_cent(limit)} of local "
            "policy.",
            "takes the width of the dark band for the vein: scattered light has widened it, by "
            "an amount that depends on a depth the picture does not show",
        ),
        Option(
            "picture-is-wider",
            "Not on this alone: what the band adds is a fifth for blur, so the vein is "
            f"{0.8 * width:.1f} mm wide, and sized by that.",
            "takes off a fixed share for blur: the share depends on depth, skin and distance",
        ),
        Option(
            "take-the-thinner",
            f"Take {thinner} G: that is one size thinner than what the picture tells, and it "
            "is safe on this alone.",
            "takes one size off for safety, but nobody knows the error: the band can be "
            "wider than the vein by more than one size",
        ),
        Option(
            "zoom-in",
            "Not on this alone: what makes the band larger is a nearer device, and then it is "
            "measured on the skin.",
            "expects a larger picture to measure better: it is out of its working distance, and "
            "the blur grows with it",
        ),
    )
    return listed(v, texts)


PICTURE_WIDTH = ChoiceItem(
    id="sizing-picture-width",
    version=2,
    title="A width from the picture",
    points=2,
    section=MEASURE,
    draw_values=_draw_picture_width,
    ask=lambda v: (
        "The projected near-infrared picture shows a straight dark band "
        f"{v['picture_width_mm']:.1f} mm wide on the forearm. Nobody has scanned the vein. The "
        f"department allows a catheter-to-vein ratio of {per_cent(v['ratio_limit'])}. Can "
        f"{with_article(v['gauge'])} catheter be chosen for it?"
    ),
    options=_picture_options,
)


# ------------------------------------------------------------- smallest catheter that does it


# What may be offered, thinnest first; the needed one is never at an end.
_OFFERED = (22, 20, 18, 16, 14)


def _draw_adequate(draw: Draw) -> dict:
    needed = draw.choose(_OFFERED[1:-1])
    thinner = calc.gauge(_OFFERED[_OFFERED.index(needed) - 1])
    rapid = next(row for row in tables.therapies() if row.key == "rapid")
    lowest = max(rapid.flow_low_ml_per_min, 1.1 * thinner.nominal_flow_ml_per_min)
    highest = min(rapid.flow_high_ml_per_min, 0.95 * calc.gauge(needed).nominal_flow_ml_per_min)
    limit = draw.policy["ratio_limit"]
    edge = smallest_vein(upper_diameter(needed), limit)
    fits = draw.choose((True, True, False))
    vein = edge + draw.step(0.2, 0.8, 0.1) if fits else edge - draw.step(0.2, 0.3, 0.1)
    return {
        "ratio_limit": limit,
        "flow_ml_per_min": draw.step(ceil(lowest), floor(highest), 1),
        "vein_diameter_mm": round(vein, 1),
        "order": draw.shuffled(("smallest", "thinner", "thicker", "none")),
    }


def _adequate(v: Values) -> calc.Sizing:
    return calc.size_catheter(
        flow_needed_ml_per_min=v["flow_ml_per_min"],
        vein_diameter_mm=v["vein_diameter_mm"],
        measured_by="ultrasound",
        ratio_limit=v["ratio_limit"],
        allowed_gauges=_OFFERED,
    )


def _adequate_options(v: Values) -> list[Option]:
    sizing = _adequate(v)
    takes = sizing.verdict == "fits"
    gauge = sizing.gauge
    thinner = _OFFERED[_OFFERED.index(gauge) - 1]
    thicker = _OFFERED[_OFFERED.index(gauge) + 1]
    no_vein = (
        "None of these in this vein: look for a larger one by ultrasound, or ask about a central "
        "line."
    )
    texts = (
        Option(
            "smallest",
            f"{gauge} G",
            "" if takes else "leaves out whether the vein takes it: it is over the limit here",
        ),
        Option("thinner", f"{thinner} G", "takes the thinner one although its flow is too low"),
        Option(
            "thicker",
            f"{thicker} G",
            "takes more than is needed: every size up fills more of the vein",
        ),
        Option(
            "none",
            no_vein,
            "turns down a vein that takes the catheter within the limit" if takes else "",
        ),
    )
    return listed(v, texts)


SMALLEST_ADEQUATE = ChoiceItem(
    id="sizing-smallest-adequate",
    title="The smallest catheter that does the job",
    points=2,
    section=SMALLEST,
    version=2,
    draw_values=_draw_adequate,
    ask=lambda v: (
        f"An adult is to have fluid fast, at least {v['flow_ml_per_min']:.0f} mL/min by gravity, a "
        "margin included. Compare this with the nominal flow in the lesson's table of gauges. "
        f"Ultrasound, without a tourniquet, gives a vein {v['vein_diameter_mm']:.1f} mm "
        f"across. The department allows a ratio of {per_cent(v['ratio_limit'])}. Which of these "
        "do you choose?"
    ),
    options=_adequate_options,
)


# ------------------------------------------------------------------------------ in own words


def _draw_reasons(draw: Draw) -> dict:
    gauge = draw.choose((20, 18))
    return {"gauge": gauge, "picture_width_mm": draw.step(2.8, 4.6, 0.1)}


REASONS = TextItem(
    id="sizing-reasons",
    title="Tell a colleague why",
    points=3,
    section=MEASURE,
    draw_values=_draw_reasons,
    ask=lambda v: (
        f"A colleague says: “The picture shows {v['picture_width_mm']:.1f} mm, so "
        f"{with_article(v['gauge'])} will do.” In three or four sentences, tell them what that "
        "width is and is not, how the vein should be measured, and one thing that they risk."
    ),
    mark_scheme=(
        "The dark band is a blurred shadow: its width depends on depth, skin, focus and distance "
        "as well as on the vein, and the picture does not show the depth (1 point).",
        "Measure with ultrasound, without a tourniquet, which distends the vein; size from the "
        "catheter's largest outer diameter by the local limit (1 point).",
        "Too large a catheter: less flow past it, and a higher risk of a failed attempt, an "
        "irritated wall or a clot; one of them is enough (1 point).",
    ),
)

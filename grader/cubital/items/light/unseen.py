"""Items on what the picture does not show: artery or vein, depth, whether it is open."""

from cubital import calc
from cubital.items.kinds.base import Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.writing.draw import Draw
from cubital.items.writing.offering import ordered, with_wrong

ARTERY_HEADING = "A vein or an artery?"
DEPTH_HEADING = "Depth cannot be read off the picture"
NOT_SHOWN = "What else the picture does not show"

_WAVELENGTH_NM = 850.0
_SKIN = {"picture_wavelength_nm": _WAVELENGTH_NM, "epidermal_melanin_fraction": 0.05}
_LESSON_VEIN_MM = 3.0  # the vein of the lesson's curve


# ------------------------------------------------------------------------- artery or vein


def _draw_artery(draw: Draw) -> dict:
    wrong = (
        "picture-so-vein",
        "shallow-is-vein",
        "paler-is-artery",
        "fills-is-vein",
        "go-in-and-see",
    )
    return {
        "place": draw.choose(("in the forearm", "in the crook of the elbow")),
        "contrast_percent": draw.step(12, 24, 1),
        "order": with_wrong(draw, "feel-first", wrong),
    }


def _artery_options(v: Values) -> list[Option]:
    return ordered(
        v,
        (
            "feel-first",
            "The picture is no help in this: feel for a beat, the tourniquet loose, and if "
            "there is one, leave the line alone.",
        ),
        {
            "picture-so-vein": (
                f"A vein: with {v['contrast_percent']:.0f} % contrast it is dark, and the bright "
                "blood of an artery shows pale.",
                "takes a dark line for a vein: at this wavelength both kinds of blood absorb "
                "nearly the same",
            ),
            "shallow-is-vein": (
                f"A vein: a line that shows {v['contrast_percent']:.0f} % lies shallow, and an "
                "artery is felt only deep in the arm.",
                "trusts that arteries lie deep: in some people one runs just under the skin",
            ),
            "paler-is-artery": (
                f"The picture at {_WAVELENGTH_NM:.0f} nm is no help in this, one at 760 nm is: "
                "stop and leave the line alone if it is paler there.",
                "takes a paler line for proof: a vein half a millimetre deeper is as pale",
            ),
            "fills-is-vein": (
                "The picture is no help in this: feel for a beat, the tourniquet tight, and "
                "if there is none, go in at the line.",
                "feels under a tourniquet: a tight one can hide the beat of an artery",
            ),
            "go-in-and-see": (
                "The picture is no help in this: put a needle in, the tourniquet loose, and "
                "if there is a beat or bright blood, take it out.",
                "finds an artery by puncturing it: the finger would have told before",
            ),
        },
    )


ARTERY = ChoiceItem(
    id="light-artery",
    title="A vein or an artery?",
    points=2,
    section=ARTERY_HEADING,
    version=4,
    draw_values=_draw_artery,
    ask=lambda v: (
        f"At {_WAVELENGTH_NM:.0f} nm the picture shows one clear line {v['place']}, with a "
        f"contrast of {v['contrast_percent']:.0f} %. Is it a vein or an artery, and what do you do?"
    ),
    options=_artery_options,
)


# ------------------------------------------------------------------ depth from the picture


def _draw_depth(draw: Draw) -> dict:
    wrong = (
        "read-off-curve",
        "dark-is-shallow",
        "half-of-width",
        "half-of-stated",
        "light-for-depth",
    )
    return {
        "depth_reach_mm": draw.policy["depth_reach_mm"],
        "depth_mm": draw.step(1.5, 4.0, 0.1),
        "order": with_wrong(draw, "cannot-be-told", wrong),
    }


def _depth_contrast(v: Values) -> float:
    return calc.skin_vein_contrast(v["depth_mm"], lumen_diameter_mm=_LESSON_VEIN_MM, **_SKIN)


def _depth_width(v: Values) -> float:
    return calc.skin_apparent_width_mm(v["depth_mm"], lumen_diameter_mm=_LESSON_VEIN_MM, **_SKIN)


def _depth_options(v: Values) -> list[Option]:
    contrast, width = f"{100 * _depth_contrast(v):.0f} %", _depth_width(v)
    stated = v["depth_reach_mm"]
    return ordered(
        v,
        (
            "cannot-be-told",
            "The picture is no measure of that: it is your touch, or a scan, that tells how "
            "deep it is.",
        ),
        {
            "read-off-curve": (
                f"About {v['depth_mm']:.1f} mm: there the lesson's curve has {contrast}, or "
                "near it, and it tells how deep it is.",
                "reads depth off the curve of one vein in one skin: a thinner vein nearer "
                "the surface is as dark, and so is a wider vein deeper down",
            ),
            "dark-is-shallow": (
                f"Less than 1 mm: a line as dark as {contrast} must lie close under the skin, "
                "so no ultrasound is needed.",
                "takes dark for shallow: a wide vein deeper down is as dark",
            ),
            "half-of-width": (
                "The contrast is no measure of that: it is the width of the band, or half of "
                f"it, that tells: about {width / 2:.1f} mm.",
                "takes depth from width: the band's width depends on vein, skin and focus as well",
            ),
            "half-of-stated": (
                f"The picture is a rough measure of that: the device sees {stated:.0f} mm "
                f"deep, and it is half-way to being lost, so about {stated / 2:.1f} mm.",
                "works from the depth that the maker states: that is a best case, for "
                "another vein in another skin",
            ),
            "light-for-depth": (
                "One picture is no measure of that: it is the light, turned up until the vein "
                "shows, that tells how deep it is.",
                "expects light to measure depth: more light lessens the noise, and leaves the "
                "contrast as it was",
            ),
        },
    )


DEPTH = ChoiceItem(
    id="light-depth",
    version=4,
    title="How deep is it?",
    points=2,
    section=DEPTH_HEADING,
    draw_values=_draw_depth,
    ask=lambda v: (
        f"The picture shows one band with a contrast of {100 * _depth_contrast(v):.0f} %, "
        f"{_depth_width(v):.1f} mm wide. The patient's skin and the vein's size are not known. "
        "How deep does the vein lie?"
    ),
    options=_depth_options,
)


# --------------------------------------------------------------------------- open or not


def _draw_open(draw: Draw) -> dict:
    wrong = ("dark-is-full", "clot-is-pale", "no-gap", "darker-is-open", "wide-is-open")
    return {
        "contrast_percent": draw.step(12, 24, 1),
        "line_cm": draw.step(4, 9, 1),
        "order": with_wrong(draw, "feel-and-refill", wrong),
    }


def _open_options(v: Values) -> list[Option]:
    return ordered(
        v,
        (
            "feel-and-refill",
            "The line is no proof of that: a vein is open when it gives under a finger and, "
            "stroked empty, refills.",
        ),
        {
            "dark-is-full": (
                f"Yes: a contrast of {v['contrast_percent']:.0f} % means that it is full, and the "
                "blood in a full vein flows.",
                (
                    "takes a dark line for flowing blood: blood that stands still or has clotted "
                    "absorbs light as well"
                ),
            ),
            "clot-is-pale": (
                "The number is no proof of that: a vein that is blocked is pale along the "
                "stretch, as a clot holds no blood.",
                "expects a clot to be pale: it is full of red cells, and dark too",
            ),
            "no-gap": (
                f"Yes: the line runs {v['line_cm']:.0f} cm without a gap, and a clot would "
                "interrupt it.",
                "expects a gap where a vein is blocked: a clot or a scar need not show in the line",
            ),
            "darker-is-open": (
                "The line is no proof of that yet: a vein that is open stays as dark, or gets "
                "darker, when the tourniquet is on.",
                "expects the tourniquet to show a blocked vein: a vein full of clot is as dark "
                "with it as without",
            ),
            "wide-is-open": (
                "The contrast is no proof of that, the width is: a line that is broad all "
                f"along its {v['line_cm']:.0f} cm is open.",
                "takes the band's width for an open vein: the width is mostly scattered light",
            ),
        },
    )


OPEN = ChoiceItem(
    id="light-open",
    version=2,
    title="Is the vein open?",
    points=2,
    section=NOT_SHOWN,
    draw_values=_draw_open,
    ask=lambda v: (
        f"A patient has had many drips. The picture shows a straight dark line "
        f"{v['line_cm']:.0f} cm long, with a contrast of {v['contrast_percent']:.0f} %. Is this "
        "vein open?"
    ),
    options=_open_options,
)

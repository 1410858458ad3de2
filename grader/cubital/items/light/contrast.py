"""Items on what light does in skin and blood: contrast, fading, gloss, melanin, haemoglobin."""

from cubital import calc
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.writing.draw import Draw

SHADOW = "The picture is a shadow"
TONE = "Skin tone and oxygen"

# ------------------------------------------------------------------ contrast by two brightnesses


def _draw_contrast(draw: Draw) -> dict:
    skin = draw.step(120, 220, 1)
    return {"skin_level": skin, "vein_level": round(skin * (1 - draw.step(0.12, 0.34, 0.01)))}


def _contrast(v: Values) -> float:
    """As in `calc.skin_vein_contrast`: (background - darkest) / background."""
    skin = calc.check("answered_level", v["skin_level"])
    return (skin - calc.check("answered_level", v["vein_level"])) / skin


def _michelson(v: Values) -> float:
    """The room's contrast formula, with the vein as the room and the difference as the picture."""
    difference = v["skin_level"] - v["vein_level"]
    return calc.picture_contrast(difference, room_lx=v["vein_level"]).michelson


def _over_vein(v: Values) -> float:
    difference = v["skin_level"] - v["vein_level"]
    return calc.picture_contrast(difference, room_lx=v["vein_level"]).weber


CONTRAST = NumberItem(
    id="light-contrast",
    version=2,
    title="Contrast from two brightnesses",
    points=2,
    section=SHADOW,
    draw_values=_draw_contrast,
    ask=lambda v: (
        "In a near-infrared picture the brightness goes from 0, black, to 255, white. The darkest "
        f"part of a vein's band has {v['vein_level']:.0f}, the skin beside it "
        f"{v['skin_level']:.0f}. What is the contrast of the vein? Give two decimals, or per cent."
    ),
    unit="",
    quantity="answered_share",
    most=1,
    example="0.42 or 42 %",
    answer=_contrast,
    absolute_tolerance=0.0055,
    slips=(
        Slip(
            "vein-for-background",
            "the difference is divided by the vein's brightness: divide it by the skin's",
            _over_vein,
        ),
        Slip(
            "left-for-lost",
            "the share of the light that is left is given: give what is missing over the vein",
            lambda v: 1 - _contrast(v),
        ),
        Slip(
            "sum-for-background",
            "the difference is divided by the sum of both: divide it by the skin's brightness",
            _michelson,
        ),
        Slip(
            "per-cent-sign-missing",
            "per cent are typed without their sign: type 20 % or 0.20",
            lambda v: 100 * _contrast(v),
        ),
    ),
    route=lambda v: (
        f"{v['skin_level']:.0f} − {v['vein_level']:.0f} = "
        f"{v['skin_level'] - v['vein_level']:.0f}; "
        f"{v['skin_level'] - v['vein_level']:.0f} / {v['skin_level']:.0f} = {_contrast(v):.2f}"
    ),
)


# ------------------------------------------------------------------------- how deep light gets in


def _draw_penetration(draw: Draw) -> dict:
    return {
        "absorption_per_mm": draw.step(0.015, 0.05, 0.001),
        "reduced_scattering_per_mm": draw.step(1.0, 2.4, 0.1),
    }


def _penetration(v: Values) -> float:
    return calc.penetration_depth_mm(
        v["absorption_per_mm"], reduced_scattering_per_mm=v["reduced_scattering_per_mm"]
    )


PENETRATION = NumberItem(
    id="light-penetration",
    version=3,
    title="Optional: how far into the skin the light gets",
    optional=True,
    points=2,
    section=SHADOW,
    draw_values=_draw_penetration,
    ask=lambda v: (
        "Deep in skin, light falls to 37 % over each penetration depth, 1 / √(3 × a × (a + "
        "s)), where a stands for absorption and s for reduced scattering. One skin has a = "
        f"{v['absorption_per_mm']:.3f} per mm and s = {v['reduced_scattering_per_mm']:.1f} "
        "per mm. What is its penetration depth? Give two decimals. (This is not how deep a "
        "vein can be seen: that depends on contrast as well.)"
    ),
    unit="mm",
    quantity="answered_path_mm",
    example="0.85 mm",
    answer=_penetration,
    relative_tolerance=0.02,
    slips=(
        Slip(
            "scattering-left-out",
            "only absorption is counted: add scattering, which makes the way longer",
            lambda v: 1 / v["absorption_per_mm"],
        ),
        Slip(
            "attenuation-for-depth",
            "the loss per millimetre is given as the depth: divide 1 by it",
            lambda v: calc.effective_attenuation_per_mm(
                v["absorption_per_mm"], reduced_scattering_per_mm=v["reduced_scattering_per_mm"]
            ),
        ),
    ),
    route=lambda v: (
        f"3 × {v['absorption_per_mm']:.3f} × ({v['absorption_per_mm']:.3f} + "
        f"{v['reduced_scattering_per_mm']:.1f}) = {1 / _penetration(v) ** 2:.4f}; its root is "
        f"{1 / _penetration(v):.3f} per mm; 1 / {1 / _penetration(v):.3f} = "
        f"{_penetration(v):.2f} mm"
    ),
)


# -------------------------------------------------------------------- blood, by its haemoglobin

_TABLE_HAEMATOCRIT = 0.45  # the whole blood that the table was measured on


def _draw_blood(draw: Draw) -> dict:
    return {
        "wavelength_nm": draw.choose((760, 800, 900, 940)),
        "saturation": draw.step(0.60, 0.80, 0.01),
        "haematocrit": draw.step(0.26, 0.38, 0.01),
    }


def _absorption(v: Values, saturation: float, haematocrit: float) -> float:
    return calc.blood_absorption_per_mm(
        v["wavelength_nm"], oxygen_saturation=saturation, haematocrit=haematocrit
    )


def _blood_route(v: Values) -> str:
    with_oxygen, without = (_absorption(v, share, _TABLE_HAEMATOCRIT) for share in (1, 0))
    mixed = _absorption(v, v["saturation"], _TABLE_HAEMATOCRIT)
    thinned = _absorption(v, v["saturation"], v["haematocrit"])
    return (
        f"{v['saturation']:.2f} × {with_oxygen:.2f} + {1 - v['saturation']:.2f} × {without:.2f} = "
        f"{mixed:.3f} per mm; × {100 * v['haematocrit']:.0f} / 45 = {thinned:.3f} per mm; "
        f"1 / {thinned:.3f} = {1 / thinned:.2f} mm"
    )


BLOOD = NumberItem(
    id="light-blood",
    version=2,
    title="Optional: blood with fewer red cells",
    optional=True,
    points=2,
    section=TONE,
    draw_values=_draw_blood,
    ask=lambda v: (
        f"At {v['wavelength_nm']} nm, blood with a haematocrit of 45 % absorbs "
        f"{_absorption(v, 1, _TABLE_HAEMATOCRIT):.2f} per mm when fully saturated with "
        f"oxygen, and {_absorption(v, 0, _TABLE_HAEMATOCRIT):.2f} per mm without any. In a "
        "mixture each of the two counts by its share. With a third fewer red cells, blood "
        "absorbs a third less. A patient with anaemia has a haematocrit of "
        f"{100 * v['haematocrit']:.0f} %; the blood in the vein has a saturation of "
        f"{100 * v['saturation']:.0f} %. What does this blood absorb per mm? Over what length "
        "does that alone bring light down to 37 %? (That length is 1 divided by the "
        "absorption.) Give this length, with two decimals."
    ),
    unit="mm",
    quantity="answered_path_mm",
    example="1.25 mm",
    answer=lambda v: 1 / _absorption(v, v["saturation"], v["haematocrit"]),
    relative_tolerance=0.015,
    slips=(
        Slip(
            "saturation-swapped",
            "the saturation is taken for the share without oxygen: give it to the blood with "
            "oxygen",
            lambda v: 1 / _absorption(v, 1 - v["saturation"], v["haematocrit"]),
        ),
        Slip(
            "haematocrit-ignored",
            "the haematocrit is left at 45 %: scale by this patient's, since fewer red cells "
            "absorb less",
            lambda v: 1 / _absorption(v, v["saturation"], _TABLE_HAEMATOCRIT),
        ),
        Slip(
            "haematocrit-as-factor",
            "the haematocrit is multiplied in whole: divide by 45 %, which the table's blood "
            "already has",
            lambda v: 1 / _absorption(v, v["saturation"], v["haematocrit"] * _TABLE_HAEMATOCRIT),
        ),
    ),
    route=_blood_route,
)


# --------------------------------------------------------------------- gloss: what never gets in


def _surface(v: Values) -> float:
    return calc.reflectance_share(
        0, refractive_index=1, refractive_index_beyond=v["refractive_index"]
    )


SURFACE = NumberItem(
    id="light-surface",
    version=3,
    title="Optional: what the surface mirrors",
    optional=True,
    points=2,
    section=SHADOW,
    draw_values=lambda draw: {"refractive_index": draw.step(1.39, 1.45, 0.001)},
    ask=lambda v: (
        "Some light never gets in: the skin's smooth surface mirrors it, as gloss. Of light "
        "that comes straight down, the mirrored share is ((n − m) / (n + m))², with n the "
        f"refractive index of the skin's outermost layer, here {v['refractive_index']:.3f}, "
        "and m that of air, 1. What share is mirrored? Give it in per cent with two "
        "decimals, or as a decimal number with four."
    ),
    unit="",
    quantity="answered_share",
    most=1,
    example="1.25 % or 0.0125",
    answer=_surface,
    relative_tolerance=0.012,
    slips=(
        Slip(
            "entered-for-mirrored",
            "the share that enters the skin is given: give the share that is mirrored",
            lambda v: 1 - _surface(v),
        ),
        Slip(
            "per-cent-sign-missing",
            "per cent are typed without their sign: type 3 % or 0.03",
            lambda v: 100 * _surface(v),
        ),
    ),
    route=lambda v: (
        f"{v['refractive_index'] - 1:.3f} / {v['refractive_index'] + 1:.3f} = "
        f"{_surface(v) ** 0.5:.4f}; squared {_surface(v):.4f}, which is {100 * _surface(v):.2f} %"
    ),
)


# ---------------------------------------------------------------- melanin, passed twice

_MELANIN_NM = 850.0
_STEP_MM = 0.04  # each lets through the same share; the layer is a whole number of them


def _draw_melanin(draw: Draw) -> dict:
    return {
        "melanin": draw.step(0.10, 0.30, 0.01),
        "epidermis_mm": draw.step(2 * _STEP_MM, 4 * _STEP_MM, _STEP_MM),
    }


def _let_through(v: Values, way_mm: float) -> float:
    """The share left after a way in epidermis: the double pass of half as thick a layer."""
    return calc.epidermis_double_pass(
        _MELANIN_NM, melanin_fraction=v["melanin"], epidermis_mm=way_mm / 2
    )


def _passed(v: Values) -> float:
    return _let_through(v, 2 * v["epidermis_mm"])


def _steps(v: Values) -> int:
    """The steps in and out again."""
    return round(2 * v["epidermis_mm"] / _STEP_MM)


def _in_a_straight_line(v: Values) -> float | None:
    """What is left if each step took as much as the first; None if nothing would be."""
    left = 1 - _steps(v) * (1 - _let_through(v, _STEP_MM))
    return left if left > 0 else None


def _melanin_route(v: Values) -> str:
    step = f"{100 * _let_through(v, _STEP_MM):.2f} %"
    return (
        f"{v['epidermis_mm']:.2f} mm / {_STEP_MM:.2f} mm = {_steps(v) // 2} steps in, and as many "
        f"out; {_steps(v)} steps of {step} each, one after the other, let through "
        f"{100 * _passed(v):.0f} %"
    )


MELANIN = NumberItem(
    id="light-melanin",
    version=3,
    title="Optional: light through melanin",
    optional=True,
    points=2,
    section=TONE,
    draw_values=_draw_melanin,
    ask=lambda v: (
        f"In a model of skin, melanin lies in an outermost layer {v['epidermis_mm']:.2f} mm "
        f"thick. At {_MELANIN_NM:.0f} nm each {_STEP_MM:.2f} mm of it lets through "
        f"{100 * _let_through(v, _STEP_MM):.2f} % of the light that comes to it. The light "
        "that shows a vein goes straight in through the whole layer, and straight out again. "
        "What share of this light does the layer let through? Give two decimals, or per cent."
    ),
    unit="",
    quantity="answered_share",
    most=1,
    example="0.85 or 85 %",
    answer=_passed,
    absolute_tolerance=0.0075,
    slips=(
        Slip(
            "one-pass",
            "the layer is passed only once: count the way out as well",
            lambda v: _let_through(v, v["epidermis_mm"]),
        ),
        Slip(
            "taken-for-let-through",
            "the share that the layer takes is given: give what it lets through",
            lambda v: 1 - _passed(v),
        ),
        Slip(
            "straight-line-for-curve",
            "each step is given the same loss: multiply what is left by the same share each time",
            _in_a_straight_line,
        ),
        Slip(
            "per-cent-sign-missing",
            "per cent are typed without their sign: type 85 % or 0.85",
            lambda v: 100 * _passed(v),
        ),
    ),
    route=_melanin_route,
)

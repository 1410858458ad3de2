"""A department's own function, which the tests of running code play.

A stand-in: for training, local policy and licensed practice decide.
"""

from cubital import calc
from cubital.items import CodeItem, Slip

WORKSHEET = "catheter-sizing"
OBJECTIVE = "size-ratio"
PASS_SHARE = 0.5


def ratio(values):
    """The catheter-to-vein ratio, by the course's own calculation."""
    outer, vein = values["outer_diameter_mm"], values["vein_diameter_mm"]
    return calc.catheter_to_vein_ratio(outer, vein_diameter_mm=vein)


ITEM = CodeItem(
    id="own-ratio",
    title="A function for the ratio",
    points=2,
    section="Catheter and vein: the ratio",
    draw_values=lambda draw: {
        "outer_diameter_mm": draw.step(0.65, 1.85, 0.01),
        "vein_diameter_mm": draw.step(2.1, 5.5, 0.1),
    },
    ask=lambda values: (
        f"Complete the function. It is tried on {values['outer_diameter_mm']:.2f} mm in "
        f"{values['vein_diameter_mm']:.1f} mm, and later on others."
    ),
    function="ratio",
    answer=ratio,
    relative_tolerance=0.001,
    slips=(
        Slip("ratio-upside-down", "the vein is divided by the catheter", lambda v: 1 / ratio(v)),
        Slip("area-for-diameter", "areas are compared", lambda v: calc.area_share(ratio(v))),
        Slip("radius-for-diameter", "the radius is compared", lambda v: ratio(v) / 2),
        Slip("percent-for-ratio", "per cent are given", lambda v: 100 * ratio(v)),
    ),
)

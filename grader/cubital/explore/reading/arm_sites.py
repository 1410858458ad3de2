"""The veins of forearm and hand, drawn: where to look first, and where to keep away."""

from __future__ import annotations

from cubital.explore.kit import drawing
from cubital.explore.kit.arm import View, courses
from cubital.explore.kit.arm_sheet import DRAWN, ArmSheet, Label
from cubital.explore.kit.drawing import Beside, Point, StaticFigure

SITES: dict[str, dict[View, tuple[Point, ...]]] = {
    "forearm": {
        "palm": (
            *((44, 36), (0, 30), (-42, 40), (-42, 90), (-36, 150), (-31, 186)),
            *((0, 188), (18, 186), (20, 150), (24, 114), (42, 106), (47, 70)),
        ),
        "back": (
            *((42, 56), (0, 46), (-42, 58), (-44, 100), (-36, 160), (-31, 206)),
            *((0, 208), (14, 206), (17, 160), (22, 118), (42, 106), (47, 80)),
        ),
    },
    "back of the hand": {
        "back": ((-33, 270), (0, 264), (15, 268), (29, 294), (33, 320), (0, 331), (-32, 320)),
    },
    "crease of the elbow": {
        "palm": (
            (38, -34),
            (0, -40),
            (-38, -38),
            (-42, -10),
            (-40, 12),
            (0, 18),
            (42, 14),
            (42, -6),
        ),
    },
}
"""Regions (r, y) in mm, in the order in which they are taken."""

ZONES: dict[str, dict[View, tuple[Point, ...]]] = {
    "inside of the wrist": {"palm": ((21, 196), (-33, 196), (-32, 250), (22, 250))},
    "thumb side above the wrist": {
        "palm": (
            (46, 115),
            (28, 115),
            (24, 150),
            (22.5, 250),
            (34, 250),
            (33, 218),
            (37, 188),
            (43, 145),
        ),
        "back": (
            (46, 115),
            (28, 115),
            (22, 165),
            (16, 212),
            (16, 256),
            (34, 262),
            (33, 218),
            (37, 188),
        ),
    },
    "back of the wrist": {"back": ((14, 214), (-33, 214), (-36, 258), (14, 254))},
}
"""Regions (r, y) in mm to keep away from."""

NUMBERS: dict[View, tuple[tuple[int, Point], ...]] = {
    "palm": ((1, (8, 112)), (3, (0, -22))),
    "back": ((1, (-14, 130)), (2, (8, 318))),
}
PALM = (
    Label(("cephalic vein",), (26, -50), -60, "thumb", drawing.VEIN),
    Label(("3: crease of the", "elbow, last", "for a catheter"), (9, -22), -34, "thumb"),
    Label(("accessory", "cephalic vein"), (46, 44), 36, "thumb", drawing.VEIN),
    Label(("1: forearm, first",), (16, 112), 92, "thumb"),
    Label(
        ("thumb side: stay", "12 cm above the", "tip of the radius"),
        (28, 186),
        160,
        "thumb",
        drawing.MARKER,
    ),
    Label(("basilic vein",), (-29, -60), -66, "little finger", drawing.VEIN),
    Label(("median", "cubital vein"), (-16, -12), -18, "little finger", drawing.VEIN),
    Label(("median vein", "of the forearm"), (-8, 138), 134, "little finger", drawing.VEIN),
    Label(("inside of the", "wrist: keep away"), (-22, 222), 214, "little finger", drawing.MARKER),
)
BACK = (
    Label(("1: forearm, first",), (-22, 130), 100, "little finger"),
    Label(("basilic vein",), (-30, 180), 172, "little finger", drawing.VEIN),
    Label(
        ("back of the wrist:", "keep away,", "it bends"),
        (-24, 238),
        218,
        "little finger",
        drawing.MARKER,
    ),
    Label(("2: back of the", "hand, next"), (0, 318), 310, "little finger"),
    Label(("accessory", "cephalic vein"), (35, 89), 84, "thumb", drawing.VEIN),
    Label(
        ("thumb side: stay", "12 cm above the", "tip of the radius"),
        (28, 170),
        150,
        "thumb",
        drawing.MARKER,
    ),
    Label(("cephalic vein",), (31, 246), 236, "thumb", drawing.VEIN),
    Label(("venous network", "of the back", "of the hand"), (10, 291), 262, "thumb", drawing.VEIN),
)
KEY = (
    ("vein", "vein under the skin"),
    ("site", "where to look for a vein, in the order 1, 2, 3"),
    ("zone", "keep away, however clear the vein"),
)
CAPTIONS: dict[View, str] = {
    "palm": f"Veins and sites on a right arm, from the palm's side. {DRAWN}. Veins run differently "
    "in every person, and in the two arms of one person: look and feel.",
    "back": "Veins and sites on a right arm, from the back. Not clinically validated; every "
    "person differs.",
}
PALM_WORDS = (
    "A drawing of a right forearm and hand from the palm's side: the hand is below, the thumb at "
    "the left. Veins under the skin: the cephalic vein comes round the thumb's side above the "
    "wrist and runs up that side, over the elbow, to the outer side of the upper arm. The "
    "accessory cephalic vein comes round from the back of the forearm and joins it at the elbow. "
    "The basilic vein comes round from the back on the little finger's side, below the elbow, and "
    "runs up the inner side of the upper arm. The median cubital vein slants across the elbow, "
    "from the cephalic vein below the crease up to the basilic vein above it. The median vein of "
    "the forearm runs up the middle, from small veins of the wrist to the median cubital vein. "
    "Where to look for a vein, shaded: 1, first, the forearm, from below the elbow to above the "
    "wrist. 3, last for a catheter, the crease of the elbow. Keep away, hatched: the inside of "
    "the wrist; and the thumb's side, from the wrist to 12 cm above the tip of the radius."
)
BACK_WORDS = (
    "A drawing of the same right forearm and hand from the back: the hand is below, the thumb at "
    "the right. Veins under the skin: from both sides of each finger small veins meet at the webs "
    "and run up the back of the hand, into an arch across its middle, the venous network. From "
    "its end at the thumb's side the cephalic vein runs over the wrist, takes in a vein from the "
    "thumb, and goes round the thumb's side to the front. From its end at the little finger's "
    "side the basilic vein runs up that side and goes round to the front below the elbow. The "
    "accessory cephalic vein runs from the network and the back of the forearm slantwise to the "
    "thumb's side below the elbow. Where to look for a vein, shaded: 1, first, the forearm; 2, "
    "next, the back of the hand. Keep away, hatched: the back of the wrist, which bends, and the "
    "thumb's side, from the wrist to 12 cm above the tip of the radius."
)


def arm_sites_picture() -> Beside:
    """Forearm and hand from both sides: veins, sites in their order, regions to keep away from."""
    return Beside((_side("palm", PALM, PALM_WORDS), _side("back", BACK, BACK_WORDS)))


def _side(view: View, labels: tuple[Label, ...], words: str) -> StaticFigure:
    arm = ArmSheet(view)
    for regions in SITES.values():
        if view in regions:
            arm.site(regions[view])
    for regions in ZONES.values():
        if view in regions:
            arm.zone(regions[view])
    for course in courses(view, "vein"):
        arm.draw(course)
    for number, place in NUMBERS[view]:
        arm.number(place, number)
    for label in labels:
        arm.label(label)
    arm.key(*KEY)
    return StaticFigure(
        alt=words,
        svg=arm.sheet.svg(),
        caption=CAPTIONS[view],
    )

"""Where veins, arteries and nerves run in a right forearm and hand, as the pictures draw them.

Places are (r, y) in mm on an arm of middling size: r from the middle line, above 0 towards the
thumb; y from the crease of the elbow, above 0 towards the hand. The relations come from the named
sources (`tests/explore/kit/relations.toml`); the millimetres between are the course's drawing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from cubital.explore.kit.drawing import Point

View = Literal["palm", "back"]
Kind = Literal["vein", "artery", "nerve"]

WRIST_MM = 240.0
STYLOID_MM = 235.0
"""The bony tip of the radius."""
EPICONDYLES_MM = -10.0
"""The line between the two bony points of the elbow, a little above its crease."""


@dataclass(frozen=True)
class Course:
    """One vessel or nerve on one side of the arm, from the elbow to the hand or back."""

    key: str
    kind: Kind
    view: View
    points: tuple[Point, ...]
    level: int = 2
    """What lies over what: 0 deep artery, 1 deep nerve, 2 nerve, 3 vein, 4 nerve over a vein."""
    width: float = 3.5


def _vein(key: str, view: View, *points: Point, width: float = 3.5) -> Course:
    return Course(key, "vein", view, points, level=3, width=width)


def _nerve(key: str, view: View, *points: Point, level: int = 2) -> Course:
    return Course(key, "nerve", view, points, level=level, width=2.5)


def _artery(key: str, view: View, *points: Point) -> Course:
    return Course(key, "artery", view, points, level=0, width=3)


VEINS = (
    _vein(
        "cephalic",
        "palm",
        *((35, 205), (33.5, 175), (34, 140), (35.5, 105), (34, 68), (28.5, 33), (24, 5)),
        *((23, -20), (26, -50), (30, -96)),
        width=4.5,
    ),
    _vein("accessory cephalic", "palm", (51.5, 62), (46, 44), (37, 27), (24.5, 8)),
    _vein(
        "median cubital", "palm", (28.5, 33), (14, 17), (0, 4), (-16, -12), (-30, -30), width=4.5
    ),
    _vein(
        "basilic",
        "palm",
        *((-48.5, 92), (-45.5, 66), (-39, 35), (-34, 5), (-30, -30), (-29, -60), (-30, -96)),
        width=4.5,
    ),
    _vein(
        "median antebrachial", "palm", (-2, 229), (-5, 190), (-8, 140), (-8, 90), (-4, 45), (0, 4)
    ),
    _vein("palmar wrist", "palm", (19, 252), (8, 240), (-2, 229), width=2),
    _vein("palmar wrist", "palm", (-20, 254), (-10, 242), (-2, 229), width=2),
    _vein("dorsal network", "back", (27, 274), (16, 288), (2, 294), (-14, 290), (-28, 278)),
    _vein("dorsal metacarpal", "back", (18, 336), (16, 314), (16, 288), width=3),
    _vein("dorsal metacarpal", "back", (-2, 338), (1, 318), (2, 294), width=3),
    _vein("dorsal metacarpal", "back", (-23, 334), (-18, 314), (-14, 290), width=3),
    _vein("dorsal digital", "back", (22, 350), (19, 342), (18, 336), width=2),
    _vein("dorsal digital", "back", (13.5, 352), (16.5, 343), (18, 336), width=2),
    _vein("dorsal digital", "back", (1.5, 354), (-1, 345), (-2, 338), width=2),
    _vein("dorsal digital", "back", (-7.5, 353), (-4, 345), (-2, 338), width=2),
    _vein("dorsal digital", "back", (-19, 350), (-21.5, 341), (-23, 334), width=2),
    _vein("dorsal digital", "back", (-29.5, 344), (-26, 339), (-23, 334), width=2),
    _vein("dorsal digital", "back", (35, 347), (34, 310), (27, 274), width=2.5),
    _vein("dorsal digital", "back", (-40, 338), (-37, 308), (-28, 278), width=2.5),
    _vein("dorsal digital", "back", (59, 302), (47, 280), (32, 258), width=2.5),
    _vein(
        "cephalic",
        "back",
        *((27, 274), (31, 258), (31, 244), (30, 230), (32.5, 214), (36, 196)),
        width=4.5,
    ),
    _vein(
        "basilic",
        "back",
        *((-28, 278), (-30, 262), (-28, 243), (-28, 220), (-29, 190), (-33, 150), (-41, 115)),
        (-49, 90),
        width=4.5,
    ),
    _vein("accessory cephalic", "back", (2, 200), (8, 172), (20, 128), (35, 89), (51.5, 62)),
    _vein("accessory cephalic", "back", (-14, 290), (-8, 262), (-5, 232), (2, 200), width=2),
    _vein("accessory cephalic", "back", (15, 228), (9, 213), (2, 200), width=2),
)

ARTERIES = (
    _artery("brachial", "palm", (-17, -96), (-15, -60), (-11, -25), (-6, 0), (-2, 15)),
    _artery(
        "radial",
        "palm",
        *((-2, 15), (8, 40), (16, 80), (21, 125), (23.5, 180), (24, 222), (28, 240), (34, 250)),
    ),
    _artery(
        "ulnar",
        "palm",
        *((-2, 15), (-12, 38), (-25, 72), (-30, 105), (-28, 160), (-25, 220), (-22, 244)),
        (-17, 268),
    ),
    _artery("radial", "back", (29, 241), (25, 256), (21, 270)),
)

NERVES = (
    _nerve(
        "median",
        "palm",
        *((-22, -96), (-21, -60), (-18, -25), (-14, 0), (-9, 30), (-4, 80), (0, 140), (3, 200)),
        *((5, 232), (5, 258)),
        level=1,
    ),
    _nerve(
        "ulnar",
        "palm",
        *((-47, 12), (-44, 40), (-40, 78), (-35, 120), (-32.5, 160), (-29, 218), (-26, 244)),
        level=1,
    ),
    _nerve(
        "lateral antebrachial cutaneous",
        "palm",
        *((10, -28), (15, -8), (18, 12), (23, 40), (28, 75), (30, 110), (30, 150), (29, 195)),
        *((28, 225), (31, 252)),
    ),
    _nerve(
        "medial antebrachial cutaneous",
        "palm",
        *((-35, -96), (-34.5, -62), (-32, -44), (-25, -26), (-21, -4), (-20, 30), (-19, 80)),
        *((-17, 140), (-15, 195), (-14, 226)),
        level=4,
    ),
    _nerve(
        "medial antebrachial cutaneous",
        "palm",
        *((-32, -44), (-38, -22), (-41.5, 0), (-44, 25), (-49, 50)),
    ),
    _nerve(
        "superficial radial",
        "palm",
        *((39, 137), (37.8, 148), (37.3, 160), (37.2, 174), (37, 188)),
    ),
    _nerve(
        "superficial radial",
        "back",
        *((37, 178), (33, 200), (26, 222), (22, 240), (21, 262), (26, 300), (27, 332)),
    ),
    _nerve(
        "posterior antebrachial cutaneous",
        "back",
        *((37, -96), (36, -50), (27, -8), (11, 48), (1, 108), (-5, 158), (-7, 208)),
    ),
    _nerve(
        "medial antebrachial cutaneous", "back", (-49.5, 54), (-46, 100), (-39, 148), (-35, 188)
    ),
    _nerve("superficial radial", "back", (28, 216), (31, 236), (40, 262), (54, 288), (60, 308)),
    _nerve("superficial radial", "back", (22, 240), (14, 268), (9, 300), (8, 334)),
    _nerve(
        "dorsal branch of the ulnar",
        "back",
        *((-35, 202), (-33, 224), (-31, 246), (-26, 272), (-18, 306), (-14, 334)),
    ),
    _nerve("dorsal branch of the ulnar", "back", (-31, 246), (-35, 275), (-37, 304), (-36, 330)),
)


def courses(view: View, *kinds: Kind) -> tuple[Course, ...]:
    """Return what one side of the arm shows, deepest first."""
    found = [c for c in (*ARTERIES, *NERVES, *VEINS) if c.view == view and c.kind in kinds]
    return tuple(sorted(found, key=lambda course: course.level))


BICEPS_TENDON: tuple[Point, ...] = ((4, -62), (4, -20), (6, 14))

# The outline, as closed shapes that lie over each other.
ARM: tuple[Point, ...] = (
    *((46, -130), (46, -95), (45, -62), (46, -30), (49, 0), (52.5, 32), (52, 64), (48.5, 100)),
    *((43, 145), (37, 190), (33.5, 218), (32.5, 238), (36, 256), (39, 285), (40, 312), (39, 333)),
    *((30, 343), (18, 347), (-3, 348), (-24, 344), (-38, 336), (-44, 318), (-44, 296), (-40, 270)),
    *((-34.5, 250), (-32.5, 236), (-33.5, 218), (-37, 190), (-43, 145), (-49, 100), (-51, 62)),
    *((-49, 28), (-47, 0), (-45, -30), (-44, -62), (-45, -95), (-45, -130)),
)


@dataclass(frozen=True)
class Digit:
    """A finger: places along its middle, from within the palm to its tip, and half its width."""

    name: str
    middle: tuple[Point, ...]
    half: tuple[float, ...]
    joints: tuple[Point, ...]
    """Where its creases lie on the palm's side."""


DIGITS = (
    Digit(
        "thumb", ((16, 256), (38, 281), (56, 310), (67, 338)), (18, 16.5, 11.5, 8.8), ((56, 310),)
    ),
    Digit(
        "index",
        ((28, 318), (31, 347), (34, 375), (37, 410)),
        (10.5, 9.8, 9, 7.8),
        ((32, 372), (35, 394)),
    ),
    Digit(
        "middle",
        ((8, 318), (8.5, 349), (9.5, 380), (10.5, 421)),
        (10.5, 10, 9.2, 8),
        ((9, 377), (10, 402)),
    ),
    Digit(
        "ring",
        ((-12, 318), (-14, 346), (-16, 375), (-18.5, 411)),
        (10.2, 9.6, 8.8, 7.6),
        ((-15.5, 373), (-17, 395)),
    ),
    Digit(
        "little",
        ((-32, 312), (-35, 337), (-38.5, 358), (-43, 384)),
        (9.6, 8.6, 7.9, 6.8),
        ((-37, 355), (-40.5, 372)),
    ),
)

"""One simulated arm in the near-infrared picture, and what makes its veins fade, cause by cause."""

from __future__ import annotations

import functools
import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

import numpy as np
import traitlets

from cubital.calc.shared.formatting import NBSP, measure, percent
from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Axis, Sheet
from cubital.explore.kit.explorer import SIMULATED, Explorer, Picture, Quantity, Reading
from cubital.scene.anatomy.person import anatomy
from cubital.scene.anatomy.vessels import Anatomy, Camera, Scene, Skin, View
from cubital.scene.light import picture
from cubital.scene.truth import visibility
from cubital.scene.truth.segments import stretch_of
from cubital.scene.truth.skin_noise import SkinNoise

SEED = 5
VIEW = View(320, 240, 0.28)
ALONG_DEG = 90  # the device leans along the arm
FULL = 100  # per cent in one
KEPT = 64  # states whose pictures are kept
WIDTH, HEIGHT = 440, 176
BARS = Axis(0, 15, 150, 390)
ROW, FIRST = 34, 56


class Band(NamedTuple):
    """A band of the arm: its name, its course, and the piece of its vessel that is measured."""

    name: str
    course: str
    vessel: str
    from_mm: float
    to_mm: float


BANDS = (
    Band(
        "left band", "from the top edge to the bottom edge, left of the middle", "basilic", 70, 100
    ),
    Band("slanting band", "from the left band, near the top, to the right band", "link-1", 14, 40),
    Band(
        "right band",
        "from the top edge to the bottom edge, right of the middle",
        "cephalic",
        84,
        112,
    ),
)


class ArmByCause(Explorer):
    """One arm, seen through more melanin, hair, room light, tilt and blur."""

    inputs = ("focus_mm", "tilt_deg", "room_light_percent", "hair_number", "melanin_percent")
    title = traitlets.Unicode("One arm, and what makes its veins fade").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} The arm lies at the invented ward's working distance. A band counts as seen "
        "from three times the noise: a teaching assumption, as is what the skin and the eye add."
    ).tag(sync=True)
    focus_mm = Quantity(
        220,
        of="camera_focus_mm",
        step=5,
        label="Distance at which the camera is sharp",
        unit_words="millimetres",
        part=(80, 220),
    )
    tilt_deg = Quantity(
        0,
        of="tilt_deg",
        step=1,
        label="Tilt of the device, along the arm",
        unit_words="degrees",
        part=(0, 45),
    )
    room_light_percent = Quantity(
        0,
        of="room_light_percent",
        step=1,
        label="Near-infrared light from the room",
        unit_words="per cent",
    )
    hair_number = Quantity(
        0,
        of="hair_number",
        step=1,
        label="Hair",
        unit_words="hairs on a square centimetre",
    )
    melanin_percent = Quantity(
        5,
        of="skin_melanin_percent",
        step=1,
        label="Melanin in the epidermis",
        unit_words="per cent",
    )

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The picture of the arm, and how far each band stands out of the noise."""
        return _picture(ArmState(**state))


@functools.lru_cache(maxsize=KEPT)
def _picture(state: ArmState) -> Picture:
    n, frame = arm_numbers(state)
    return Picture(
        svg=_draw(n),
        alt=_describe(n),
        spoken=f"{len(n.seen)} of {len(BANDS)} bands are seen: {_listed(n.seen)}.",
        readings=_readings(n),
        numbers=n,
        frame=frame,
    )


@functools.cache
def arm() -> Anatomy:
    """The simulated arm, without an artery: its three bands and nothing finer, not even valves."""
    person = anatomy("forearm", seed=SEED, artery=False)
    keys = {band.vessel for band in BANDS}
    return replace(
        person,
        vessels=tuple(vessel for vessel in person.vessels if vessel.key in keys),
        valves=(),
        confluences=tuple(point for point in person.confluences if point.joining in keys),
    )


@dataclass(frozen=True, kw_only=True)
class ArmState:
    """What makes the veins fade: blur, tilt, room light, hair and melanin."""

    focus_mm: float  # distance at which the camera is sharp
    tilt_deg: float  # of the device, along the arm
    room_light_percent: float
    hair_number: float  # hairs on a square centimetre
    melanin_percent: float


@dataclass(frozen=True, kw_only=True)
class ArmNumbers(ArmState):
    """How each band shows, by its name."""

    ratios: Mapping[str, float]  # contrast over noise
    contrasts: Mapping[str, float]  # share by which it is darker than the skin beside it
    needed: float  # contrast over noise from which a band counts as seen
    seen: tuple[str, ...]  # names of the bands that do


def scene_of(state: ArmState) -> Scene:
    """The scene that the controls stand for."""
    view = View(
        VIEW.width_px,
        VIEW.height_px,
        VIEW.mm_per_px,
        tilt_deg=state.tilt_deg,
        tilt_towards_deg=ALONG_DEG,
        room_light_share=state.room_light_percent / FULL,
    )
    skin = Skin(melanin_fraction=state.melanin_percent / FULL, hairs_per_cm2=state.hair_number)
    return Scene(arm(), skin, view, Camera(focus_mm=state.focus_mm), SEED)


def arm_numbers(state: ArmState) -> tuple[ArmNumbers, np.ndarray]:
    """Compute how far each band stands out of the noise, and the frame."""
    scene = scene_of(state)
    light, bare = picture.light(scene), picture.background(scene)
    darkening = np.clip(1 - light / np.maximum(bare, visibility.TINY), 0, 1)
    noise = SkinNoise(scene, bare)
    ratios, contrasts = {}, {}
    for band in BANDS:
        stretch = stretch_of(scene, arm().vessel(band.vessel), band.from_mm, band.to_mm)
        measured = visibility.measure(scene, stretch, darkening, noise)
        ratios[band.name] = max(float(np.median(measured.ratio)), 0.0)
        contrasts[band.name] = max(float(np.median(measured.contrast)), 0.0)
    needed = visibility.needed()
    numbers = ArmNumbers(
        **vars(state),
        ratios=ratios,
        contrasts=contrasts,
        needed=needed,
        seen=tuple(name for name, ratio in ratios.items() if ratio >= needed),
    )
    return numbers, picture.exposed(scene, light)


def short(ratio: float) -> str:
    """A ratio with one decimal, never rounded up to what is needed to be seen."""
    words, needed = f"{ratio:.1f}", visibility.needed()
    if ratio < needed <= float(words):
        return f"{math.floor(10 * ratio) / 10:.1f}"  # 10: one decimal
    return words


def _listed(names: tuple[str, ...]) -> str:
    if not names:
        return "none"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _seen_words(ratio: float, needed: float) -> str:
    return "seen" if ratio >= needed else "not seen"


def _readings(n: ArmNumbers) -> tuple[Reading, ...]:
    needed = n.needed
    rows = [
        Reading(
            f"{band.name.capitalize()}: contrast over noise",
            short(n.ratios[band.name]),
            f"{_seen_words(n.ratios[band.name], needed).capitalize()}; "
            f"{percent(n.contrasts[band.name])} darker than the skin beside it.",
        )
        for band in BANDS
    ]
    return (Reading("Bands seen", f"{len(n.seen)} of {len(BANDS)}"), *rows)


def _describe(n: ArmNumbers) -> str:
    sentences = [
        f"The {band.name} runs {band.course}: "
        + (
            f"{percent(n.contrasts[band.name])} darker than the skin beside it, contrast over "
            f"noise {short(n.ratios[band.name])}."
            if band.name in n.seen
            else f"lost in the noise, contrast over noise {short(n.ratios[band.name])}."
        )
        for band in BANDS
    ]
    text = (
        f"A grey near-infrared picture of a simulated forearm, hand below. {len(n.seen)} of "
        f"{len(BANDS)} dark bands are seen. {' '.join(sentences)} Below it a bar for each band, "
        f"with a line at {n.needed:g}, from which it counts as seen."
    )
    return text.replace(NBSP, " ")


def _draw(n: ArmNumbers) -> str:
    sheet = Sheet(WIDTH, HEIGHT)
    needed = n.needed
    sheet.words((8, 20), "Contrast over noise", bold=True)
    bottom = FIRST + ROW * (len(BANDS) - 1) + 14
    for tick in BARS.ticks(5):
        x = BARS(tick)
        sheet.line((x, FIRST - 16), (x, bottom), colour=drawing.GRID)
        sheet.words((x, bottom + 16), f"{tick:g}", anchor="middle", size=13)
    for place, band in enumerate(BANDS):
        ratio, y = n.ratios[band.name], FIRST + ROW * place
        is_seen = ratio >= needed
        end = BARS(min(ratio, BARS.high))
        sheet.words((8, y + 5), band.name, size=13)
        sheet.line(
            (BARS.start, y),
            (max(end, BARS.start + 1), y),
            colour=drawing.VEIN if is_seen else drawing.QUIET,
            width=16 if is_seen else 6,
        )
        words = short(ratio) if is_seen else f"{short(ratio)}, not seen"
        sheet.words((max(end, BARS(needed)) + 8, y + 5), words, size=13, halo=True)
    x = BARS(needed)
    sheet.line((x, FIRST - 20), (x, bottom), colour=drawing.MARKER, width=2, dash="6 4")
    sheet.words(
        (8, HEIGHT - 8),
        f"Dashed line: seen from {measure(needed, 'times the noise', 0)}",
        colour=drawing.MARKER,
        size=13,
    )
    return sheet.svg()

"""The check before use: where the projected marks fall, the other questions, use or not."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import cos, radians, sin
from typing import Any

import traitlets

from cubital import calc, tables
from cubital.calc.readiness.daily_check import READY, DailyCheck, PreUse
from cubital.calc.shared.formatting import measure
from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Sheet
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Quantity, Reading
from cubital.explore.kit.section import plain_words
from cubital.explore.kit.table import LessonTable
from cubital.tables.readiness import pre_use_check

REGISTRATION = "daily-check-passed"
SHORT = {
    "clean": "not clean and dry",
    "whole": "a crack in the housing",
    "in-date": "the service label is out of date",
    "charged": "little charge",
    "storage-room": "pictures to keep are not copied yet",
    "picture-appears": "no steady, sharp picture appears",
    "eyes": "the beam points at the patient's eyes",
}
"""A no to each of the other questions, in few words."""
AGAIN = "Check the marks again at the right distance; if they fail again, label it and report it."
TOLERANCES_MM = (0.5, 1.5)
WIDTH, HEIGHT = 440, 352
MIDDLE, PX_PER_MM, ENLARGED = (220, 166), 2.6, 6
CROSS, RING = 8, 4.5

Place = tuple[float, float]


class OtherAnswers(Choice):
    """The answers to the other questions of the check."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="The other questions of the check")

    def options(self) -> dict[str, str]:
        return {"yes": "all in order", **SHORT}


class PreUseCheck(Explorer):
    """The marks of a target, read, and what the whole check says."""

    inputs = (
        "projected_shift_mm",
        "projected_size_percent",
        "projected_turn_deg",
        "registration_tolerance_mm",
        "other",
    )
    title = traitlets.Unicode("The check before use").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} An invented target at the working distance; the marks are read with a small "
        "error. The questions are a teaching list: the device's instructions for use and local "
        "policy decide."
    ).tag(sync=True)
    projected_shift_mm = Quantity(
        0.2,
        of="projected_shift_mm",
        step=0.1,
        label="Picture shifted to the right (below 0: left)",
        unit_words="millimetres",
    )
    projected_size_percent = Quantity(
        0,
        of="projected_size_percent",
        step=0.5,
        label="Picture too large (below 0: too small)",
        unit_words="per cent",
    )
    projected_turn_deg = Quantity(
        0, of="projected_turn_deg", step=0.5, label="Picture turned", unit_words="degrees"
    )
    registration_tolerance_mm = Quantity(
        1,
        of="registration_tolerance_mm",
        step=0.1,
        label="Tolerated: how far a mark may be off",
        unit_words="millimetres",
        part=TOLERANCES_MM,
    )
    other = OtherAnswers("yes")

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The check of one set of marks with one set of answers."""
        numbers = check_numbers(CheckState(**state))
        return Picture(
            svg=_draw(numbers),
            alt=_describe(numbers),
            spoken=plain_words(f"{verdict_words(numbers)}. {numbers.checked.reason}"),
            readings=_readings(numbers),
            numbers=numbers,
        )


@dataclass(frozen=True, kw_only=True)
class CheckState:
    """The projected picture's errors, the tolerance, and the answer to the other questions."""

    projected_shift_mm: float
    projected_size_percent: float
    projected_turn_deg: float
    registration_tolerance_mm: float
    other: str


@dataclass(frozen=True, kw_only=True)
class CheckNumbers(CheckState):
    """The marks, each as x and y from the middle of the picture, y upwards, and the verdicts."""

    true_mm: list[Place]
    read_mm: list[Place]
    checked: DailyCheck
    """The check of the marks."""
    passes: bool
    largest_error_mm: float
    judged: PreUse
    """The whole check."""
    ready: bool


def check_numbers(state: CheckState) -> CheckNumbers:
    """Read the projected marks and judge them with the answers to the other questions."""
    profile, share = tables.profile(), tables.constant("target-mark-share").value
    right = share * profile.picture_width_mm / 2
    up = share * profile.picture_height_mm / 2
    true = [(-right, -up), (right, -up), (right, up), (-right, up)]
    read = projected(
        true,
        projected_shift_mm=state.projected_shift_mm,
        projected_size_percent=state.projected_size_percent,
        projected_turn_deg=state.projected_turn_deg,
    )
    checked = calc.check_registration(
        read, true_mm=true, registration_tolerance_mm=state.registration_tolerance_mm
    )
    answers = {step.key: step.key != state.other for step in pre_use_check()}
    answers[REGISTRATION] = checked.verdict == "pass"
    judged = calc.judge_pre_use(answers)
    return CheckNumbers(
        **vars(state),
        true_mm=true,
        read_mm=read,
        checked=checked,
        passes=answers[REGISTRATION],
        largest_error_mm=checked.fit.largest_error_mm,
        judged=judged,
        ready=judged.verdict == READY,
    )


def projected(
    true: list[Place],
    *,
    projected_shift_mm: float,
    projected_size_percent: float,
    projected_turn_deg: float,
) -> list[Place]:
    """Return where the marks are read: shifted, resized, turned, and in turn a little off."""
    error = tables.constant("mark-reading-error").value
    size, turn = 1 + projected_size_percent / 100, radians(projected_turn_deg)
    return [
        (
            projected_shift_mm + size * (x * cos(turn) - y * sin(turn)) + error * (-1) ** place,
            size * (x * sin(turn) + y * cos(turn)),
        )
        for place, (x, y) in enumerate(true)
    ]


def verdict_words(n: CheckNumbers) -> str:
    """Use or do not use, and whether something comes first."""
    if not n.ready:
        return "Do not use it"
    return "Ready, with something to do first" if n.judged.to_do else "Ready for use"


def _readings(n: CheckNumbers) -> tuple[Reading, ...]:
    checked = n.checked
    remarks = "; ".join(checked.remarks)
    return (
        Reading("The whole check", verdict_words(n), _to_do(n)),
        Reading("Check of the marks", checked.verdict, checked.reason),
        Reading(
            "Farthest mark",
            measure(n.largest_error_mm, "mm", 2),
            f"{remarks[:1].upper()}{remarks[1:]}." if remarks else "",
        ),
        Reading(
            "What else was found",
            "nothing" if n.other == "yes" else OtherAnswers("yes").options()[n.other],
        ),
    )


def _to_do(n: CheckNumbers) -> str:
    """What comes first; a failed check of the marks was done, so it is done again."""
    by_key = {step.key: step.if_not for step in pre_use_check()}
    others = [words for words in n.judged.to_do if words != by_key[REGISTRATION]]
    return " ".join(others if n.passes else [AGAIN, *others])


def _describe(n: CheckNumbers) -> str:
    inside = sum(gap <= n.registration_tolerance_mm for gap in _gaps_mm(n))
    return plain_words(
        "A target with four marks, a cross at each true place. Around each cross a dashed circle "
        f"of the {measure(n.registration_tolerance_mm, 'mm', 1)} tolerated and a ring where the "
        f"mark is projected, errors drawn {ENLARGED} times larger than the target. {inside} of 4 "
        f"rings have their middle within the circle; the farthest is "
        f"{measure(n.largest_error_mm, 'mm', 2)} off. The other questions: "
        f"{OtherAnswers('yes').options()[n.other]}. {verdict_words(n)}."
    )


def _gaps_mm(n: CheckNumbers) -> list[float]:
    pairs = zip(n.true_mm, n.read_mm, strict=True)
    return [((a - x) ** 2 + (b - y) ** 2) ** 0.5 for (x, y), (a, b) in pairs]


def _draw(n: CheckNumbers) -> str:
    sheet = Sheet(WIDTH, HEIGHT)
    good = n.ready
    words = verdict_words(n)
    sheet.words((8, 20), words, colour=drawing.INK if good else drawing.MARKER, bold=True)
    profile = tables.profile()
    half = (PX_PER_MM * profile.picture_width_mm / 2, PX_PER_MM * profile.picture_height_mm / 2)
    x, y = MIDDLE
    (left, right), (top, low) = (x - half[0], x + half[0]), (y - half[1], y + half[1])
    corners = ((left, top), (right, top), (right, low), (left, low), (left, top))
    sheet.curve(corners, colour=drawing.QUIET, width=1)
    for true, read in zip(n.true_mm, n.read_mm, strict=True):
        _draw_mark(sheet, true, read, n.registration_tolerance_mm)
    sheet.words(MIDDLE, f"farthest: {measure(n.largest_error_mm, 'mm', 2)}", anchor="middle")
    says = "marks pass" if n.passes else "marks fail"
    sheet.words((x, y + 20), says, anchor="middle", bold=True)
    sheet.line((8, 310), (20, 310), width=2)
    sheet.line((14, 304), (14, 316), width=2)
    sheet.words((28, 315), "true place", size=13)
    sheet.circle((118, 310), RING, fill=drawing.PAPER, colour=drawing.MARKER, width=3)
    sheet.words((132, 315), "where it is projected", size=13)
    sheet.circle((284, 310), 8, colour=drawing.VEIN, width=1.5, dash="4 3")
    sheet.words((298, 315), "tolerated", size=13)
    sheet.words((8, 342), f"errors and circles are drawn {ENLARGED} times too large", size=13)
    return sheet.svg()


def _draw_mark(sheet: Sheet, true: Place, read: Place, tolerance_mm: float) -> None:
    x, y = MIDDLE[0] + PX_PER_MM * true[0], MIDDLE[1] - PX_PER_MM * true[1]
    enlarged = PX_PER_MM * ENLARGED
    sheet.circle((x, y), enlarged * tolerance_mm, colour=drawing.VEIN, width=1.5, dash="4 3")
    sheet.line((x - CROSS, y), (x + CROSS, y), width=2)
    sheet.line((x, y - CROSS), (x, y + CROSS), width=2)
    place = x + enlarged * (read[0] - true[0]), y - enlarged * (read[1] - true[1])
    sheet.line((x, y), place, colour=drawing.MARKER, width=1.5)
    sheet.circle(place, RING, fill=drawing.PAPER, colour=drawing.MARKER, width=3)


def pre_use_table() -> LessonTable:
    """The questions of the check before use, in order, and what a no means."""
    return LessonTable(
        caption="Before it goes to a patient: questions in order, each answered yes or no",
        columns=("Question", "Why it is asked", "If not", "Stops its use"),
        rows=tuple(
            (step.ask, step.why, step.if_not, "yes" if step.stops else "no")
            for step in pre_use_check()
        ),
        note=(
            "A teaching list of an invented department. The device's instructions for use and "
            "local policy decide."
        ),
    )

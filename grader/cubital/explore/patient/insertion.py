"""One patient, second phase: catheter, length, angle, blood in the chamber, attempts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import traitlets

from cubital import tables
from cubital.calc.shared.formatting import measure, percent
from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Axis, Sheet
from cubital.explore.kit.explorer import SIMULATED, Explorer, Picture
from cubital.explore.kit.section import plain_words
from cubital.explore.patient import choices
from cubital.explore.patient.sketch import draw_steps, in_words, readings
from cubital.items.patient.case import PhaseVerdict, phase_verdict
from cubital.items.patient.case_insertion import (
    InsertionChoices,
    InsertionNumbers,
    insertion_numbers,
    insertion_steps,
    share_wanted,
)

WIDTH, HEIGHT = 440, 366
LEFT, RIGHT, TOP, GAP, THICK = 16, 424, 192, 48, 14


class PatientInsertion(Explorer):
    """The choices of the insertion, with shares and chances as bars."""

    inputs = ("vein", "catheter", "insertion_angle_deg", "after_blood", "attempt")
    title = traitlets.Unicode("One patient: insertion").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} Veins are invented. The chances are invented too: the ward's own count for "
        "the first attempt, a teaching assumption beyond it; the shares in the vein are one small "
        "study."
    ).tag(sync=True)
    vein = choices.VeinChoice("C")
    catheter = choices.CatheterChoice("20-32")
    insertion_angle_deg = choices.angle()
    after_blood, attempt = choices.after_blood(), choices.attempt()

    def __init__(self, *, shared: choices.OnePatient | None = None, **start: object) -> None:
        super().__init__(**start)
        if shared is not None:
            shared.share(self, self.inputs)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """What the choices lead to, and whether it is acceptable."""
        n = insertion_numbers(InsertionChoices.of(state))
        steps = insertion_steps(n)
        judged = phase_verdict(steps)
        sheet = Sheet(WIDTH, HEIGHT)
        draw_steps(sheet, steps, 22)
        for place, bar in enumerate(_bars(n)):
            _draw_bar(sheet, TOP + place * GAP, bar)
        return Picture(
            svg=sheet.svg(),
            alt=plain_words(
                f"A list: {in_words(steps)}. {judged.verdict}. Below, bars on a scale from none to "
                "all, with dashed marks: "
                f"{'; '.join(f'{words}, {mark}' for words, _, mark, _ in _bars(n))}."
            ),
            spoken=plain_words(f"{judged.verdict}. {percent(n.share, 1)} in the vein."),
            readings=readings(steps),
            numbers=JudgedInsertion(**vars(n), **vars(judged)),
        )


@dataclass(frozen=True, kw_only=True)
class JudgedInsertion(InsertionNumbers, PhaseVerdict):
    """The numbers of the insertion, and the verdict on the choices."""


def _bars(n: InsertionNumbers) -> tuple[tuple[str, float, str, float | None], ...]:
    """Words, share, the words at the mark and the mark's place, of each bar."""
    limit, wanted = tables.profile().ratio_limit, share_wanted()
    inside, straight = n.in_vein_mm, n.straight_mm
    whole = max(inside, straight)
    roomy = n.chance_allowed
    return (
        (
            f"catheter over vein: {percent(n.ratio, 1)}",
            min(n.ratio, 1),
            f"at most {percent(limit)}",
            limit,
        ),
        (
            f"catheter in the vein: {percent(n.share, 1)}",
            n.share,
            f"at least {percent(wanted)}",
            wanted,
        ),
        (
            f"length in the vein: {measure(inside, 'mm', 1)}",
            inside / whole,
            f"straight for {measure(straight, 'mm', 0)}",
            straight / whole,
        ),
        (
            f"chance at this attempt: {percent(n.chance_here)}",
            n.chance_here,
            f"within the {n.limit} allowed {percent(roomy)}",
            roomy,
        )
        if n.is_reckoned
        else ("chance at this attempt: not reckoned", 0.0, "over the local limit", None),
    )


def _draw_bar(sheet: Sheet, y: float, bar: tuple[str, float, str, float | None]) -> None:
    words, share, mark_words, mark = bar
    along = Axis(0, 1, LEFT, RIGHT)
    sheet.words((LEFT, y - 7), words, size=13, bold=True)
    sheet.words((RIGHT, y - 7), mark_words, anchor="end", colour=drawing.MARKER, size=13)
    middle = y + THICK / 2
    sheet.line((LEFT, middle), (RIGHT, middle), colour=drawing.GRID, width=THICK)
    if share > 0:
        sheet.line((LEFT, middle), (along(share), middle), colour=drawing.VEIN, width=THICK)
    if mark is None:
        return
    x = along(mark)
    sheet.line((x, y - 4), (x, y + THICK + 6), colour=drawing.PAPER, width=5)
    sheet.line((x, y - 4), (x, y + THICK + 6), colour=drawing.MARKER, width=3, dash="5 2")

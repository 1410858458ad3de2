"""A phase's choices and their verdicts, drawn as a list and said in words."""

from __future__ import annotations

from cubital.explore.kit.drawing import MARKER, PAPER, QUIET, VEIN, Sheet
from cubital.explore.kit.explorer import Reading
from cubital.items.patient.case import GOOD, MEND, STOP, Step, overall

ROW = 25


def draw_steps(sheet: Sheet, steps: tuple[Step, ...], top: float) -> None:
    """Draw a phase's verdict and, below it, each step with its own."""
    verdict = overall(steps)
    stopped = verdict.startswith("Stop")
    sheet.words((8, top), verdict, colour=MARKER if stopped else VEIN, bold=True)
    for place, step in enumerate(steps, 1):
        y = top + place * ROW
        mark(sheet, (18, y - 5), step.verdict)
        sheet.words((36, y), step.name)
        colour = {GOOD: VEIN, MEND: QUIET, STOP: MARKER}[step.verdict]
        sheet.words((230, y), step.verdict, colour=colour, bold=step.verdict == STOP)


def mark(sheet: Sheet, centre: tuple[float, float], verdict: str) -> None:
    """Draw a full disc for good, a dashed ring for what to mend, a cross for not acceptable."""
    x, y = centre
    if verdict == GOOD:
        sheet.circle(centre, 7, fill=VEIN, colour=VEIN)
    elif verdict == MEND:
        sheet.circle(centre, 7, fill=PAPER, colour=QUIET, width=2, dash="3 3")
    else:
        sheet.line((x - 6, y - 6), (x + 6, y + 6), colour=MARKER, width=3)
        sheet.line((x - 6, y + 6), (x + 6, y - 6), colour=MARKER, width=3)


def readings(steps: tuple[Step, ...]) -> tuple[Reading, ...]:
    """The steps as lines beside the figure."""
    return tuple(
        Reading(step.name, step.verdict, f"{step.leads_to} {step.safer}".strip()) for step in steps
    )


def in_words(steps: tuple[Step, ...]) -> str:
    """The steps in words, for the text alternative."""
    return "; ".join(f"{step.name}: {step.verdict}" for step in steps)

"""One site graded by four scales side by side."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import traitlets

from cubital import calc
from cubital.calc.complications.grading import Grade
from cubital.explore.complications.site_signs import Drug
from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Sheet
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Quantity, Reading
from cubital.explore.kit.section import plain_words
from cubital.items.complications.site_judgement import (
    NOT_KNOWN,
    Findings,
    drug_words,
    first_by_grades,
    grades_of,
    sign_words,
    speaks_for_any,
)
from cubital.tables import complications as rows

SHOWS, HIDES = "shows", "hides"
SITES: dict[str, tuple[str, Findings]] = {
    "plain": ("nothing more", {}),
    "cool": ("cool", {"cool": True}),
    "pale": ("cool and blanched", {"cool": True, "blanched": True}),
    "tight": ("cool, blanched and tight", {"cool": True, "blanched": True, "tight": True}),
    "blister": ("blanched, with a blister", {"blanched": True, "blister": True}),
    "red": ("red and warm", {"redness": "clear", "warm": True}),
    "cord": (
        "red, warm, streak, cord of 30 mm",
        {
            "redness": "clear",
            "warm": True,
            "streak": True,
            "cord_mm": 30.0,
            "induration": True,
            "pain_along_vein": True,
        },
    ),
}
SCALES: dict[str, tuple[str, str]] = {
    "infiltration": ("infiltration", "0 to 4"),
    "extravasation": ("extravasation", "none, 1 to 4"),
    "phlebitis": ("phlebitis", "0 to 4"),
    "vip": ("visual score", "0 to 5"),
}
WIDTH, HEIGHT = 440, 290
COLUMN, FIRST_X, ZERO_Y, STEP = 106, 62, 262, 34


class Level(Choice):
    """A sign by the words of its row of levels."""

    def __init__(self, finding: str, default: str, *, label: str) -> None:
        super().__init__(default, label=label)
        self.finding = finding

    def options(self) -> dict[object, str]:
        return {level: level for level in rows.findings()[self.finding].levels}


class SiteLook(Choice):
    """What else the site shows."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="The site is")

    def options(self) -> dict[object, str]:
        return {key: words for key, (words, _) in SITES.items()}


class SkinTone(Choice):
    """Whether colour shows on this skin."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="On this skin")

    def options(self) -> dict[object, str]:
        return {SHOWS: "redness and blanching show", HIDES: "redness and blanching do not show"}


class OneSiteFourScales(Explorer):
    """The grades that four scales give to one site."""

    inputs = ("oedema_mm", "swelling", "pain", "site", "skin_tone", "drug")
    title = traitlets.Unicode("One site, four scales").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} Where a scale does not say what a sign counts for, a rule of this course "
        f"fills the gap. The scale that local policy names is the one to use. {rows.caution()}"
    ).tag(sync=True)
    oedema_mm = Quantity(
        0,
        of="oedema_mm",
        step=5,
        label="Length of the swelling",
        unit_words="millimetres",
        part=(0, 200),
    )
    swelling = Level("swelling", "none", label="Swelling, in words")
    pain = Level("pain", "none", label="Pain")
    site = SiteLook("plain")
    skin_tone = SkinTone(SHOWS)
    drug = Drug(NOT_KNOWN)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The four grades, what they rest on, and what is done first."""
        n = grade_numbers(GradeState(**state))
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=plain_words(f"{_listed(n.grades)}."),
            readings=_readings(n),
            numbers=n,
        )


@dataclass(frozen=True, kw_only=True)
class GradeState:
    """The swelling's length [mm], and the other signs at the site, by the words of their levels."""

    oedema_mm: float
    swelling: str
    pain: str
    site: str
    skin_tone: str
    drug: str


@dataclass(frozen=True, kw_only=True)
class GradeNumbers(GradeState):
    """The grade of the site by each scale, with skin tone as it is and if colour showed."""

    findings: Findings
    grades: dict[str, Grade]
    """By the key of the scale, as `if_shown`."""
    if_shown: dict[str, Grade]
    first: str | None
    """The complication that most speaks for; None while no sign does."""


def site_findings(state: GradeState, *, colour_shows: bool = True) -> Findings:
    """Return the findings at the site; without those of colour where it does not show."""
    findings: Findings = {
        "oedema_mm": state.oedema_mm,
        "swelling": state.swelling,
        "pain": state.pain,
        **SITES[state.site][1],
    }
    if colour_shows:
        return findings
    return {key: value for key, value in findings.items() if key not in rows.skin().hidden}


def grade_numbers(state: GradeState) -> GradeNumbers:
    """Grade the site by each scale and say which complication comes first."""
    hides = state.skin_tone == HIDES
    drug = None if state.drug == NOT_KNOWN else state.drug
    findings = site_findings(state, colour_shows=not hides)
    grades = grades_of(findings, drug=drug, hides=hides)
    first = calc.tell_apart(findings, drug=drug, skin_hides_colour=hides).candidates[0]
    return GradeNumbers(
        **vars(state),
        findings=findings,
        grades=grades,
        if_shown=grades_of(site_findings(state), drug=drug, hides=False),
        first=first.key if speaks_for_any(findings) and first.score > 0 else None,
    )


def _readings(n: GradeNumbers) -> tuple[Reading, ...]:
    shown = tuple(
        Reading(
            SCALES[key][0].capitalize(),
            f"{grade_words(row)} of {row.highest}",
            _because(row),
        )
        for key, row in n.grades.items()
    )
    return (
        Reading("The site", _site_words(n)),
        *shown,
        Reading("If colour showed", _listed(n.if_shown), _tone_words(n)),
        Reading("What runs in", n.drug, drug_words(n.drug)),
        Reading(
            "First, by local policy",
            *first_by_grades(n.first, n.grades, drug=n.drug, hides=n.skin_tone == HIDES),
        ),
    )


def _site_words(n: GradeNumbers) -> str:
    long = f"{n.oedema_mm:.0f}\N{NO-BREAK SPACE}mm"
    look = SITES[n.site][0]
    return f"swelling {long} long, {n.swelling} in words; pain {n.pain}; {look}"


def _because(row: Grade) -> str:
    if not row.because:
        return "No sign that counts."
    words = "; ".join(sign_words(each) for each in row.because)
    remark = f"{words[0].upper()}{words[1:]}."
    if row.by_own_rule:
        remark += " By a rule of this course."
    if row.by_rule_only:
        remark += (
            f" The scale lists {_all(row.by_rule_only)} at a higher grade only: have somebody look "
            "at it."
        )
    if row.up_to > row.grade:
        remark += (
            f" It may be {row.up_to}: blanching cannot be seen here, and an unseen sign makes no "
            "grade lower."
        )
    if row.not_placed:
        remark += (
            f" Not counted, since only a higher row lists it: {_all(row.not_placed)}. Have "
            "somebody look at it."
        )
    return remark


def _all(signs: tuple[str, ...]) -> str:
    return ", ".join(sign_words(each) for each in signs)


def grade_words(row: Grade) -> str:
    """A grade, and up to which it is not ruled out."""
    return f"{row.grade} to {row.up_to}" if row.up_to > row.grade else f"{row.grade}"


def _tone_words(n: GradeNumbers) -> str:
    if n.skin_tone == SHOWS:
        return ""
    if _listed(n.grades) == _listed(n.if_shown):
        return "Nothing that was graded here needed colour."
    return "The same site. A scale that needs colour grades too low: feel, and compare arms."


def _listed(grades: Mapping[str, Grade]) -> str:
    return ", ".join(f"{SCALES[key][0]} {grade_words(row)}" for key, row in grades.items())


def _describe(n: GradeNumbers) -> str:
    hidden = "" if n.skin_tone == SHOWS else " Colour does not show on this skin."
    return plain_words(
        f"Four ladders side by side, a ring round the grade of each: {_listed(n.grades)}. "
        f"The site: {_site_words(n)}; what runs in: {n.drug}.{hidden}"
    )


def _draw(n: GradeNumbers) -> str:
    sheet = Sheet(WIDTH, HEIGHT)
    sheet.words((8, 18), "The same arm, by four scales", colour=drawing.MARKER, bold=True)
    for place, (key, row) in enumerate(n.grades.items()):
        x = FIRST_X + COLUMN * place
        sheet.words((x, 46), SCALES[key][0], anchor="middle", size=13, bold=True)
        sheet.words((x, 63), SCALES[key][1], anchor="middle", colour=drawing.QUIET, size=13)
        top = ZERO_Y - STEP * row.highest
        for rail in (x - 22, x + 22):
            sheet.line((rail, ZERO_Y + 12), (rail, top - 12), colour=drawing.QUIET, width=1.5)
        for grade in range(row.highest + 1):
            y = ZERO_Y - STEP * grade
            if row.grade < grade <= row.up_to:
                sheet.circle((x, y), 14, fill=drawing.PAPER, colour=drawing.MARKER, dash="3 3")
            elif grade == row.grade:
                sheet.circle((x, y), 14, fill=drawing.PAPER, colour=drawing.MARKER, width=4)
            else:
                sheet.line((x - 22, y), (x - 10, y), colour=drawing.GRID, width=2)
                sheet.line((x + 10, y), (x + 22, y), colour=drawing.GRID, width=2)
            is_here = grade == row.grade
            colour = drawing.MARKER if is_here else drawing.QUIET
            sheet.words((x, y + 5), str(grade), anchor="middle", colour=colour, bold=is_here)
    return sheet.svg()

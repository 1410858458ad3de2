"""From signs at the site to the complications they speak for, and what tells them apart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import traitlets

from cubital import calc
from cubital.calc.complications.telling_apart import Candidate
from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Sheet
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Reading
from cubital.explore.kit.section import plain_words
from cubital.items.complications.site_judgement import (
    AT_ONCE,
    MUST_NOT_BE_MISSED,
    NOT_KNOWN,
    NOTHING_YET,
    Findings,
    drug_words,
    first_by_signs,
    name_of,
    sign_words,
    signs_to_look_for,
    speaks_for_any,
    verdict,
)
from cubital.tables import complications as rows

DRUGS = (
    "sodium chloride 0.9 %",
    "many antibiotics",
    "potassium chloride, concentrated",
    "noradrenaline",
    "adrenaline",
    "anthracyclines",
    "red cells",
)
"""What may have run in, by names of the table of drug classes."""

NOT_LOOKED: tuple[str, Findings] = ("not looked for yet", {})
ANSWERS: dict[str, dict[str, tuple[str, Findings]]] = {
    "swelling": {
        "-": NOT_LOOKED,
        "none": ("none", {"swelling": "none", "swelling_on_advance": False}),
        "runs": (
            "grew while it runs; thicker than the other arm",
            {"swelling": "mild", "girth_differs": True, "swelling_on_advance": False},
        ),
        "puncture": (
            "rose during the puncture",
            {"swelling": "mild", "swelling_on_advance": True},
        ),
    },
    "touch": {
        "-": ("not felt yet", {}),
        "same": ("as the other arm, soft", {"cool": False, "warm": False, "induration": False}),
        "cool": ("cool", {"cool": True, "warm": False}),
        "tight": ("cool and tight", {"cool": True, "warm": False, "tight": True}),
        "warm": ("warm, firm along the vein", {"warm": True, "cool": False, "induration": True}),
    },
    "pain": {
        "-": ("not asked yet", {}),
        "none": ("none", {"pain": "none", "electric_pain": False, "tingling": False}),
        "ache": ("a slight ache", {"pain": "slight", "electric_pain": False}),
        "burning": ("burning while it runs", {"pain": "moderate", "burning": True}),
        "along": ("along the vein", {"pain": "moderate", "pain_along_vein": True}),
        "electric": (
            "electric, shooting, with tingling",
            {"pain": "severe", "electric_pain": True, "tingling": True},
        ),
    },
    "skin_colour": {
        "-": NOT_LOOKED,
        "none": (
            "nothing, and it would show",
            {"redness": "none", "blanched": False, "bruised": False},
        ),
        "hidden": (
            "nothing, but skin tone can hide it",
            {"redness": "none", "blanched": False, "bruised": False},
        ),
        "red": ("redness", {"redness": "clear", "blanched": False}),
        "pale": ("blanched", {"redness": "none", "blanched": True}),
        "bruise": ("a bruise", {"bruised": True}),
    },
    "blood": {
        "-": ("none seen, or not looked at", {}),
        "dark": (
            "dark and slow",
            {"dark_slow_blood": True, "bright_blood": False, "pulsating_blood": False},
        ),
        "bright": (
            "bright and fast, not pulsating",
            {"bright_blood": True, "fast_flow": True, "pulsating_blood": False},
        ),
        "pulses": (
            "bright and pulsating",
            {"bright_blood": True, "fast_flow": True, "pulsating_blood": True},
        ),
    },
    "flow": {
        "-": NOT_LOOKED,
        "returns": ("runs well, blood can be drawn back", {"blood_return": True}),
        "slow": ("slow, no blood drawn back", {"slow_flow": True, "no_blood_return": True}),
        "hard": ("hard to flush", {"slow_flow": True, "hard_to_flush": True}),
    },
}

WIDTH, ROW, TOP = 440, 34, 48
NAME_X, ZERO_X, POINT, COUNT_X = 8, 190, 6, 432


class Answer(Choice):
    """The answer to one question on the site."""

    def __init__(self, question: str, default: str, *, label: str) -> None:
        super().__init__(default, label=label)
        self.question = question

    def options(self) -> dict[object, str]:
        return {key: words for key, (words, _) in ANSWERS[self.question].items()}


class Drug(Choice):
    """What ran in, or that it is not known."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="What runs in")

    def options(self) -> dict[object, str]:
        return {NOT_KNOWN: "not known yet", **{drug: drug for drug in DRUGS}}


class SignsAndCandidates(Explorer):
    """Signs chosen one by one, and the complications that they speak for, in order."""

    inputs = ("swelling", "touch", "pain", "skin_colour", "blood", "flow", "drug")
    title = traitlets.Unicode("From signs to complications").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} How much each sign weighs is a teaching assumption. The order says what to "
        "think of first; it is no probability and rules nothing out. Two complications can be "
        f"there at once. {rows.caution()}"
    ).tag(sync=True)
    swelling = Answer("swelling", "-", label="Swelling")
    touch = Answer("touch", "-", label="To the hand")
    pain = Answer("pain", "-", label="Pain, by asking")
    skin_colour = Answer("skin_colour", "-", label="Colour of the skin")
    blood = Answer("blood", "-", label="Blood at the needle")
    flow = Answer("flow", "-", label="Drip and flush")
    drug = Drug(NOT_KNOWN)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The order for the signs chosen, and what would tell the first two apart."""
        n = candidate_numbers(SignState(**state))
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=plain_words(n.verdict),
            readings=_readings(n),
            numbers=n,
        )


def findings_of(answers: Mapping[str, str]) -> Findings:
    """Return the findings that the answers to the questions stand for."""
    findings: dict[str, object] = {}
    for question in ANSWERS:
        findings |= ANSWERS[question][answers[question]][1]
    return findings


@dataclass(frozen=True, kw_only=True)
class SignState:
    """The answers on the signs at the site, by the keys of `ANSWERS`, and what runs in."""

    swelling: str
    touch: str
    pain: str
    skin_colour: str
    blood: str
    flow: str
    drug: str


@dataclass(frozen=True, kw_only=True)
class SignNumbers(SignState):
    """The complications in order, with what speaks for and against each."""

    findings: Findings
    candidates: tuple[Candidate, ...]
    """The one to think of first stands first."""
    remarks: tuple[str, ...]
    first: Candidate
    second: Candidate
    something: bool
    """Whether any sign speaks for a complication."""
    next: tuple[tuple[str, str], ...]
    """Signs to look for next, to tell the first two apart, each with the one it speaks for."""
    missed: list[str]
    """Those that must not be missed and that a sign speaks for."""
    urgent: tuple[str, ...]
    """Those that are acted on whatever else is there."""
    verdict: str


def candidate_numbers(state: SignState) -> SignNumbers:
    """Put the complications into order by the signs, and say what to look for next."""
    findings = findings_of(vars(state))
    hides = state.skin_colour == "hidden"
    assessment = calc.tell_apart(
        findings,
        drug=None if state.drug == NOT_KNOWN else state.drug,
        skin_hides_colour=hides,
    )
    first, second = assessment.candidates[:2]
    something = speaks_for_any(findings) and first.score > 0
    urgent = tuple(name for sign, name in AT_ONCE.items() if findings.get(sign))
    missed = [
        row.key
        for row in assessment.candidates
        if something and row.key in MUST_NOT_BE_MISSED and row.score > 0
    ]
    return SignNumbers(
        **vars(state),
        findings=findings,
        candidates=assessment.candidates,
        remarks=assessment.remarks,
        first=first,
        second=second,
        something=something,
        next=signs_to_look_for(first.key, second.key, findings, hides=hides),
        missed=missed,
        urgent=urgent,
        verdict=verdict(first, second, urgent) if something else NOTHING_YET,
    )


def _signs(row: Candidate) -> str:
    parts = []
    if row.speaks_for:
        parts.append(f"For: {', '.join(map(sign_words, row.speaks_for))}.")
    if row.speaks_against:
        parts.append(f"Against: {', '.join(map(sign_words, row.speaks_against))}.")
    if row.says_nothing:
        parts.append(f"Says nothing: {', '.join(map(sign_words, row.says_nothing))}.")
    return " ".join(parts)


def _readings(n: SignNumbers) -> tuple[Reading, ...]:
    first, second = n.first, n.second
    if not n.something:
        return (
            Reading("Think first of", "nothing yet", f"{n.verdict}."),
            Reading("What runs in", n.drug, drug_words(n.drug)),
        )
    looked = n.next
    return (
        Reading("Think first of", name_of(first.key), _signs(first)),
        Reading("Then of", name_of(second.key), _signs(second)),
        Reading(
            "Look next, to tell these two apart",
            "; ".join(words for words, _ in looked) or "what runs in",
            " ".join(f"{words.capitalize()}: for {name_of(key)}." for words, key in looked)
            or "The same leak has two names: the drug decides.",
        ),
        Reading("First, by local policy", *first_by_signs(first, urgent=n.urgent, drug=n.drug)),
        Reading("What runs in", n.drug, drug_words(n.drug)),
        Reading(
            "Speaks for one that must not be missed",
            ", ".join(name_of(key) for key in n.missed) or "no sign so far",
            " ".join(
                f"{name_of(key).capitalize()}: {calc.first_actions(key).steps[0]}"
                for key in n.missed
                if key != first.key
            ),
        ),
    )


def _describe(n: SignNumbers) -> str:
    listed = "; ".join(f"{name_of(row.key)}, {_counts(row)}" for row in n.candidates)
    return plain_words(
        f"{n.verdict}. {len(n.candidates)} complications in order, a bar to the right where "
        f"more speaks for it, a hatched bar to the left where more speaks against it: {listed}."
    )


def _counts(row: Candidate) -> str:
    return f"{len(row.speaks_for)} for, {len(row.speaks_against)} against"


def _draw(n: SignNumbers) -> str:
    candidates = n.candidates
    sheet = Sheet(WIDTH, TOP + ROW * len(candidates) + 8)
    sheet.words((8, 18), n.verdict, colour=drawing.MARKER, bold=True)
    sheet.words((ZERO_X - 6, 40), "against", anchor="end", colour=drawing.QUIET, size=13)
    sheet.words((ZERO_X + 6, 40), "for", colour=drawing.VEIN, size=13)
    sheet.words((COUNT_X, 40), "signs", anchor="end", colour=drawing.QUIET, size=13)
    bottom = TOP + ROW * len(candidates)
    for place, row in enumerate(candidates):
        middle = TOP + ROW * (place + 0.5)
        is_first = place == 0 and n.something
        sheet.words((NAME_X, middle + 5), name_of(row.key), bold=is_first)
        _bar(sheet, middle, row.score)
        sheet.words(
            (COUNT_X, middle + 5), _counts(row), anchor="end", colour=drawing.QUIET, size=13
        )
    sheet.line((ZERO_X, TOP), (ZERO_X, bottom), width=1.5)
    return sheet.svg()


def _bar(sheet: Sheet, middle: float, score: float) -> None:
    """Draw a full bar to the right of nought, or a hatched outline to the left of it."""
    end, half = ZERO_X + POINT * score, 8
    if score > 0:
        sheet.line((ZERO_X, middle), (end, middle), colour=drawing.VEIN, width=2 * half)
    elif score < 0:
        corners = [
            (ZERO_X, middle - half),
            (end, middle - half),
            (end, middle + half),
            (ZERO_X, middle + half),
        ]
        sheet.curve([*corners, corners[0]], colour=drawing.QUIET, width=1.5)
        for step in range(int(end) + 5, ZERO_X, 5):  # drawing: a line of hatching every 5 px
            sheet.line((step, middle - half), (step - 4, middle + half), colour=drawing.QUIET)

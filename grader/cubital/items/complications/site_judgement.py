"""What the signs at a site mean: what to look for next, and what is done first.

The words are those of `assets/complications`; local policy decides.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from cubital import calc
from cubital.calc.complications.grading import Grade
from cubital.calc.complications.telling_apart import Candidate
from cubital.calc.complications.vesicants import VESICANT
from cubital.tables import complications as rows

Findings = Mapping[str, object]
"""Findings at a site by their keys in `assets/complications`, as the calculations take them."""

NOT_KNOWN = "not known"
"""What runs in, while nobody has found out."""
MUST_NOT_BE_MISSED = ("arterial_puncture", "nerve_contact", "extravasation")
AT_ONCE = {"bright_blood": "arterial_puncture", "electric_pain": "nerve_contact"}
"""Signs that are acted on whatever else is there."""
SIDES = {"for": 1, "against": -1, "neither": 0}
SHOWN = 3  # signs to look for next
ASKED_ALREADY = "oedema_mm"  # by the question about swelling
NOTHING_YET = "Nothing yet speaks for any of them: look, feel and ask"
ONE_LEAK = {"infiltration", "extravasation"}
RESITED_FROM = 2  # of the visual score, by its cards


def name_of(key: str) -> str:
    """Return a complication's name in plain words."""
    return key.replace("_", " ")


def sign_words(words: str) -> str:
    """Return a sign that is there, in plain words."""
    plain = words.removeprefix("length of the ").replace("capillary", "slow capillary")
    return plain.removesuffix(" or worse") if "severe" in plain else plain


def speaks_for_any(findings: Findings) -> bool:
    """Return whether any sign speaks for a complication; what runs in alone is no sign."""
    return any(row.speaks_for for row in calc.tell_apart(findings).candidates)


def signs_to_look_for(
    first: str, second: str, findings: Findings, *, hides: bool
) -> tuple[tuple[str, str], ...]:
    """Return the signs to look for next that tell two complications apart, strongest first.

    Each comes with the complication that it speaks for.
    """
    if {first, second} == ONE_LEAK:
        return ()
    ranked: list[tuple[int, tuple[str, str]]] = []
    for key, row in rows.findings().items():
        if (
            key in findings
            or row.from_picture
            or key == ASKED_ALREADY
            or (hides and key in rows.skin().hidden)
        ):
            continue
        speaks = calc.signs_of(key)
        side = [SIDES[speaks.get(name, "neither")] for name in (first, second)]
        if side[0] != side[1]:
            towards = first if side[0] > side[1] else second
            ranked.append((-abs(side[0] - side[1]), (sign_words(row.words), towards)))
    ranked.sort(key=lambda each: each[0])  # stable: equals keep the table's order
    return tuple(pair for _, pair in ranked[:SHOWN])


def verdict(first: Candidate, second: Candidate, urgent: tuple[str, ...]) -> str:
    """Return which complications to think of first, or what to act on at once."""
    if urgent:
        return f"Stop: act as for {' and '.join(map(name_of, urgent))}"
    if first.score == second.score:
        return f"Think of {name_of(first.key)} and of {name_of(second.key)}"
    return f"Think first of {name_of(first.key)}"


def first_by_signs(first: Candidate, *, urgent: tuple[str, ...], drug: str) -> tuple[str, str]:
    """Return the first two steps by local policy, and a remark.

    For a leak, what runs in decides on the second step.
    """
    if urgent:
        steps = [_at_once(key, runs=drug != NOT_KNOWN) for key in urgent]
        return " ".join(step for pair in steps for step in pair), ""
    one, two, *_ = first.first_actions
    if first.key == "phlebitis" and _is_vesicant(drug):
        steps = calc.first_actions("extravasation").steps
        return " ".join(steps[:2]), "As for extravasation: no sign here rules a leak out."
    if first.key not in ONE_LEAK:
        return f"{one} {two}", ""
    if drug == NOT_KNOWN:
        return one, "Leave the catheter where it is until it is known what runs in."
    value = f"{one} {two}" if first.key == "extravasation" else one
    return value, calc.drug_class_row(calc.local_drug(drug).drug_class).differs


def _is_vesicant(drug: str) -> bool:
    return drug != NOT_KNOWN and calc.local_drug(drug).tissue == VESICANT


def _at_once(key: str, *, runs: bool) -> tuple[str, ...]:
    """Return two steps; where a drug has run into an artery, what is done then is the second."""
    one, two, three, *_ = calc.first_actions(key).steps
    return (one, three) if runs and key == "arterial_puncture" else (one, two)


def drug_words(drug: str) -> str:
    """Return what the local list and the class say of what runs in."""
    if drug == NOT_KNOWN:
        return "Find out first: it decides between infiltration and extravasation."
    return str(calc.local_drug(drug).words)


def grades_of(findings: Findings, *, drug: str | None, hides: bool) -> dict[str, Grade]:
    """Return the grade of a site by each scale."""
    by: dict[str, Callable[..., Grade]] = {
        "extravasation": calc.extravasation_grade,
        "phlebitis": calc.phlebitis_grade,
        "vip": calc.visual_phlebitis_score,
    }
    first = calc.infiltration_grade(findings, drug=drug, skin_hides_colour=hides)
    return {"infiltration": first} | {
        key: grade(findings, skin_hides_colour=hides) for key, grade in by.items()
    }


def first_by_grades(
    key: str | None, grades: Mapping[str, Grade], *, drug: str, hides: bool
) -> tuple[str, str]:
    """Return what is done first, and a remark.

    While something that harms tissue runs, a leak is not ruled out.
    """
    if key is None:
        return "Look again soon.", ""
    tissue = None if drug == NOT_KNOWN else calc.local_drug(drug).tissue
    steps = calc.first_actions(key).steps
    if tissue == VESICANT and key != "extravasation":
        steps = calc.first_actions("extravasation").steps
        return " ".join(steps[:2]), (
            "As for extravasation: no sign here rules a leak out, and it harms. What is done for "
            f"{name_of(key)} waits until somebody has looked."
        )
    if key == "infiltration" and tissue is None:
        steps = (steps[0], "Leave the catheter until it is known what runs in.")
    elif key == "infiltration" and tissue == "irritant":
        steps = (steps[0], "Leave the catheter until the pharmacist says what to do.")
    if key == "phlebitis":
        return _phlebitis_first(grades["vip"].grade, steps, drug=drug, hides=hides)
    return " ".join(steps[:2]), f"As for {name_of(key)}."


def _phlebitis_first(
    score: int, steps: tuple[str, ...], *, drug: str, hides: bool
) -> tuple[str, str]:
    """By the visual score: one slight sign is watched, from two on the catheter comes out."""
    step = steps[0] if score >= RESITED_FROM else steps[1]
    note = f"As for phlebitis, visual score {score}."
    if hides and score < RESITED_FROM:
        note += " Colour does not show, so the score may be too low: have it looked at now."
    if drug == NOT_KNOWN:
        note += " If what runs in can harm tissue: stop, leave the catheter, call."
    return step, note

"""What a learner's worksheet shows by the release's rule, in the words of their page."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from cubital.handin import passing
from cubital.handin.objectives import (
    NO_EVIDENCE,
    SHOWN,
    TO_WORK_ON,
    WAITING,
    Knowledge,
    together,
)
from cubital.handin.results import NOT_RUN
from cubital.handin.standard import Standard
from cubital.marking.feedback.next_steps import Answered

_SIGNS = {SHOWN: "✓", TO_WORK_ON: "○", WAITING: "…", NO_EVIDENCE: "–"}
_TITLES = {
    SHOWN: "All shown",
    TO_WORK_ON: "Something to work on",
    WAITING: "Waits for your educator",
    NO_EVIDENCE: "Not judged",
}
_MEANS = {
    SHOWN: "The answers show the knowledge that this worksheet asks for.",
    TO_WORK_ON: "Nothing here is final: what comes next stands below.",
    WAITING: "Nothing has to be done for that; this page is made again afterwards.",
    NO_EVIDENCE: "Ask your educator, who finds the reason in the report.",
}
_RETAKE = (
    "A retake decides on its principle: it is passed when both questions that must be right are "
    "right. The marks of the worksheet itself stay as they were."
)
_NO_RULE = "The release has no rule that the course could apply to these answers."


@dataclass(frozen=True)
class State:
    """What is shown of one objective, or of all: a sign, the state in words, and why."""

    state: str
    sign: str
    title: str
    words: str


@dataclass(frozen=True)
class Standing:
    """What is shown by the rule, what it means, what decides, and the state of each objective."""

    overall: State
    means: str
    decides: str
    objectives: tuple[State, ...]


def standing(
    rows: Sequence[Knowledge],
    answered: Mapping[str, Answered],
    standard: Standard | None = None,
) -> Standing:
    """Say what the release's rule makes of a submission.

    ``answered`` are its questions by id, ``standard`` the worksheet's pass mark if it has one.
    """
    state = together(rows)
    alike = [passing.consistency_in_words(standard)] if standard else []
    told = _told(rows, answered) if any(row.objective.left for row in rows) else _NO_RULE
    return Standing(
        State(state, _SIGNS[state], _TITLES[state], told),
        _MEANS[state],
        " ".join([passing.rule(), *alike]),
        tuple(State(row.state, _SIGNS[row.state], row.objective.title, row.reason) for row in rows),
    )


def of_retake(found: Standing) -> Standing:
    """Return the same of a retake: it decides on its one principle, and on nothing else."""
    return replace(found, decides=_RETAKE, objectives=())


def _told(rows: Sequence[Knowledge], answered: Mapping[str, Answered]) -> str:
    """Say how many objectives are shown, and what the others lack, each in a sentence."""
    judged = [row for row in rows if row.objective.left]
    met = [row for row in judged if row.state == SHOWN]
    missed = [row for row in judged if row.state == TO_WORK_ON]
    critical = list(dict.fromkeys(key for row in missed for key in row.critical_wrong))
    few = [row for row in missed if not row.critical_wrong]
    waiting = [row for row in judged if row.state == WAITING]
    lacking = [row for row in judged if row.state == NO_EVIDENCE]
    told = [f"{_of(len(met), len(judged))} of this worksheet {_are(len(met))} shown."]
    if critical:
        titles = "; ".join(answered[key].link.title for key in critical)
        told.append(
            f"{_number(len(critical), 'question')} that must be right to pass "
            f"{_are(len(critical))} not right yet: {titles}."
        )
    if few:
        told.append(f"{_number(len(few), 'objective')} {_have(len(few))} too few points yet.")
    if waiting:
        told.append(f"{_number(len(waiting), 'objective')} {_wait(waiting, answered)}.")
    if lacking:
        told.append(f"{_number(len(lacking), 'objective')} cannot be judged from these answers.")
    return " ".join(told)


def _wait(waiting: Sequence[Knowledge], answered: Mapping[str, Answered]) -> str:
    """Say whose turn it is: a person reads, or code is still to be run."""
    open_ = [answered[key].row for row in waiting for key in row.objective.left if key in answered]
    ran = all(row.outcome != NOT_RUN for row in open_ if row.points is None)
    verb = "waits" if len(waiting) == 1 else "wait"
    return f"{verb} for your educator" + (" to mark by hand" if ran else "")


def _of(part: int, whole: int) -> str:
    if part == whole:
        return f"All {whole} objectives" if whole > 1 else "The one objective"
    return f"{part} of {_number(whole, 'objective')}"


def _number(number: int, thing: str) -> str:
    return f"{number} {thing}{'' if number == 1 else 's'}"


def _are(number: int) -> str:
    return "is" if number == 1 else "are"


def _have(number: int) -> str:
    return "has" if number == 1 else "have"

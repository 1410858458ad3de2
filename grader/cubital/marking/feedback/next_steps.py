"""What a learner does next, in order: built from the results, for their page to number."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from cubital.handin.mending import lesson_title
from cubital.handin.objectives import NO_EVIDENCE, SHOWN, TO_WORK_ON, is_right
from cubital.handin.released.questions import Question
from cubital.handin.results import NOT_RUN, REFUSED, ItemResult, is_to_read

TALK = "Talk with your educator about"
SAFETY = "Patients can be harmed where this is not known, so it must be right to pass."
AGAIN = "Answer again"
READ = "Read again in the lesson"
READ_ELSEWHERE = "Read again"
OPEN = "They stand on the first page of the course."
WAIT = "Wait for your educator, who has still to mark"
ANOTHER = "Ask your educator for another paper, with other values, when you have done this."
WATCHED = (
    "Show it in practice. A named assessor watches you there, and sets competence from that alone."
)
KEEP = "Keep it fresh: the first page of the course says what is due to refresh, and asks it again."


@dataclass(frozen=True)
class Link:
    """A question on the page: its id there, and what it is called."""

    id: str
    title: str


@dataclass(frozen=True)
class Place:
    """A section to read, and the questions that it teaches."""

    section: str
    questions: tuple[Link, ...]


@dataclass(frozen=True)
class Step:
    """One thing to do: words, the questions that they name, words after, sections to read."""

    words: str
    questions: tuple[Link, ...] = ()
    after: str = ""
    places: tuple[Place, ...] = ()


@dataclass
class Answered:
    """A question, how it was answered, whether it must be right, and its link on the page."""

    question: Question
    row: ItemResult
    critical: bool
    link: Link
    lost: bool = field(init=False)

    def __post_init__(self) -> None:
        """Note whether a question that must be right is decided, and is not."""
        decided = self.row.points is not None
        self.lost = self.critical and decided and not is_right(self.row)


def next_steps(asked: Sequence[Answered], state: str) -> list[Step]:
    """Return what comes next, what harm can come of first; ``state`` is that of the whole."""
    steps: list[Step] = []
    lost = tuple(one.link for one in asked if one.lost and one.row.outcome != REFUSED)
    if lost:
        steps.append(Step(TALK, lost, SAFETY))
    again = _answers_again(asked)
    steps += [*again, *_reading(asked)]
    waiting = tuple(
        one.link for one in asked if one.row.points is None and one.row.outcome != REFUSED
    )
    if waiting:
        steps.append(Step(WAIT, waiting))
    if state in {TO_WORK_ON, NO_EVIDENCE} and not again:
        steps.append(Step(ANOTHER))
    if state == SHOWN:
        steps += [Step(WATCHED), Step(KEEP)]
    return steps


def _answers_again(asked: Sequence[Answered]) -> list[Step]:
    """Return a step for each thing to do about answers that could not be taken."""
    todo: dict[str, list[Link]] = {}
    for one in asked:
        if one.row.outcome == REFUSED and one.row.action:
            todo.setdefault(one.row.action, []).append(one.link)
    return [Step(AGAIN, tuple(links), action) for action, links in todo.items()]


def _reading(asked: Sequence[Answered]) -> list[Step]:
    """Return a step for each lesson to read in, sections of questions that must be right first.

    What nobody had to answer asks for no reading either.
    """
    lessons: dict[str, dict[str, list[Link]]] = {}
    for one in sorted(asked, key=lambda one: not one.lost):
        if one.row.optional or one.row.outcome == NOT_RUN:
            continue
        if is_to_read(one.question.form, one.row):
            sections = lessons.setdefault(lesson_title(one.row.item), {})
            sections.setdefault(one.question.key.section, []).append(one.link)
    steps: list[Step] = []
    for lesson, sections in lessons.items():
        places = tuple(Place(name, tuple(links)) for name, links in sections.items())
        words = f"{READ} {lesson}" if lesson else READ_ELSEWHERE
        steps.append(Step(words, after="" if steps else OPEN, places=places))
    return steps

"""The course's lessons, the paths through it by role, and the questions before it."""

import functools
import json
from typing import NamedTuple

from cubital.tables.files import asset, course_folder, csv_rows


class Lesson(NamedTuple):
    """One lesson: the notebook's name, its title, what it is about, its minutes, its worksheet.

    A short lesson for one path has no worksheet, and nobody is asked about it. All minutes are
    estimates; ``core_minutes`` are the worksheet's where the core alone is asked.
    """

    name: str
    title: str
    about: str
    minutes: int
    worksheet: str = ""
    worksheet_minutes: int = 0
    core_minutes: int = 0


class Closing(NamedTuple):
    """The worksheet after all lessons: its name, its title, what it joins, and its minutes."""

    name: str
    title: str
    about: str
    minutes: int
    core_minutes: int


class Minutes(NamedTuple):
    """How long a path takes [min]: its lessons, its worksheets, and of these the core alone."""

    lessons: int
    worksheets: int
    core: int


class Path(NamedTuple):
    """One way through the course, for one kind of work."""

    key: str
    words: str
    lessons: tuple[str, ...]
    note: str


class Question(NamedTuple):
    """One question before a lesson; the first option is the right one."""

    lesson: str
    asks: str
    options: tuple[str, ...]
    why: str


class Session(NamedTuple):
    """What an educator does with a group on one lesson: minutes, bench, practice, what to watch."""

    lesson: str
    predictions_min: int
    together_min: int
    bench_min: int
    closing_min: int
    bench: str
    practice: str
    watch: str

    def minutes(self) -> int:
        """How long the session takes."""
        return self.predictions_min + self.together_min + self.bench_min + self.closing_min


@functools.cache
def sessions() -> tuple[Session, ...]:
    """Return the sessions, in the order of their lessons."""
    return tuple(Session(**row) for row in asset("sessions.toml")["session"])


@functools.cache
def lessons() -> tuple[Lesson, ...]:
    """Return the lessons in teaching order."""
    return tuple(Lesson(**row) for row in asset("course.toml")["lesson"])


@functools.cache
def with_worksheets() -> tuple[Lesson, ...]:
    """Return the lessons that end in a worksheet."""
    return tuple(row for row in lessons() if row.worksheet)


@functools.cache
def closing() -> Closing:
    """Return the worksheet that joins the lessons."""
    return Closing(**asset("course.toml")["closing"])


@functools.cache
def section_titles(lesson: str) -> tuple[str, ...]:
    """Return the headings of a lesson's sections, in their order."""
    path = course_folder("modules") / f"{lesson}.ipynb"
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    texts = ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown"]
    lines = [line for text in texts for line in text.splitlines()]
    return tuple(line.removeprefix("## ").strip() for line in lines if line.startswith("## "))


@functools.cache
def paths() -> tuple[Path, ...]:
    """Return the paths, the usual one first."""
    rows = asset("course.toml")["path"]
    return tuple(Path(**row | {"lessons": tuple(row["lessons"])}) for row in rows)


def minutes_of(path: Path) -> Minutes:
    """Return how long a path takes; the closing worksheet is among the others."""
    own = [row for row in lessons() if row.name in path.lessons]
    return Minutes(
        sum(row.minutes for row in own),
        sum(row.worksheet_minutes for row in own) + closing().minutes,
        sum(row.core_minutes for row in own) + closing().core_minutes,
    )


@functools.cache
def questions() -> tuple[Question, ...]:
    """Return the questions in the order of the lessons."""
    rows = asset("course.toml")["question"]
    return tuple(Question(**row | {"options": tuple(row["options"])}) for row in rows)


class Finding(NamedTuple):
    """One finding on first attempts, for one of `EVIDENCE_GROUPS` of patients.

    ``measure`` is one of `MEASURES`: a ratio of failures or of successes, a difference of shares
    (``points``), a mean difference of attempts, a share (``success``) or the lowest and highest of
    several (``range``). ``low`` and ``high`` are the ends of its 95 % interval. Where ``events``
    and ``total`` stand, they were worked out of these counts, else a source states them.
    ``searched`` is the day on which a review's search ended, where its abstract says so;
    ``looked_on`` the day on which the course saw the source, as far as ``seen`` says.
    """

    key: str
    group: str
    words: str
    measure: str
    value: float | None
    low: float | None
    high: float | None
    events: float | None
    total: float | None
    control_events: float | None
    control_total: float | None
    unit: str
    searched: str | None
    looked_on: str
    kind: str
    source: str
    seen: str
    could_not_say: str


EVIDENCE_GROUPS = ("children", "difficult", "adults", "ultrasound")
MEASURES = ("failing", "succeeding", "points", "attempts", "success", "range")


@functools.cache
def evidence() -> dict[str, Finding]:
    """Return the findings by key."""
    return {row.key: row for row in csv_rows("evidence.csv", Finding)}

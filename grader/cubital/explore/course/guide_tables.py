"""The educator's tables: the department's figures, and what an assessor watches for."""

from cubital import tables
from cubital.explore.kit.table import LessonTable
from cubital.tables import course


def profile_table() -> LessonTable:
    """The figures that a course folder can set, by the names that its file gives them."""
    shown = tables.followed(tables.profile())
    return LessonTable(
        caption="The figures of ward, device and policy, by their names in local-profile.toml",
        columns=("Name", "Value in the course"),
        rows=tuple((name, _plain(value)) for name, value in shown.items()),
        note=f"{tables.profile().notice} The file's sections are [place], [device] and [policy].",
    )


def _plain(value: object) -> str:
    return ", ".join(value) if isinstance(value, tuple) else str(value)


def observed_practice_table() -> LessonTable:
    """For each objective, what a named assessor watches."""
    return LessonTable(
        caption="What a named assessor watches for",
        columns=("Objective", "Lesson", "Observed practice"),
        rows=tuple(
            (row.title, row.lesson, row.observed_practice) for row in tables.curriculum().objectives
        ),
        note="A mark in the course is knowledge. Watching this, with patients, is competence.",
    )


def session_plan_table() -> LessonTable:
    """A session for each lesson: how long, with what, what is practised, what is watched."""
    titles = {row.name: row.title for row in course.lessons()}
    return LessonTable(
        caption="A session for each lesson",
        columns=("Lesson", "Minutes", "On the bench", "Practice without needles", "What to watch"),
        rows=tuple(
            (titles[row.lesson], _minutes(row), row.bench, row.practice, row.watch)
            for row in course.sessions()
        ),
        note="For up to eight learners and one educator, each of whom has read the lesson. The "
        "course's own suggestion; nobody has timed it.",
    )


def _minutes(row: course.Session) -> str:
    return (
        f"{row.minutes()}: predictions aloud {row.predictions_min}, figures together "
        f"{row.together_min}, bench {row.bench_min}, closing {row.closing_min}"
    )

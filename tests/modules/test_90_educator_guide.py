"""The educator's guide: its commands are there, its tables are the course's."""

import re

from cubital import tables
from cubital.cli import parser
from cubital.explore.course.guide_tables import session_plan_table
from cubital.tables import course

NAME = "90-educator-guide"


def test_every_command_in_it_can_be_given(lessons):
    text = "\n".join(c.source for c in lessons[NAME].cells if c.cell_type == "markdown")
    commands = re.findall(r"`cubital ([^`]+)`", text)
    assert len(commands) >= 6
    for command in commands:
        parser().parse_args(command.split())


def test_tables_show_every_figure_and_every_objective(ran):
    shown = {c.id: c.outputs[0].data for c in ran(NAME).cells if c.get("outputs")}
    table = shown["figures-that-ship"]["text/plain"]
    words = set(re.findall(r"\w+", table))
    assert words & set(tables.profile()._fields) == set(tables.FOLLOWED)
    for objective in tables.curriculum().objectives:
        assert objective.title in shown["observed-practice-table"]["text/plain"]


def test_every_lesson_has_a_session_of_45_to_60_minutes():
    assert [row.lesson for row in course.sessions()] == [row.name for row in course.lessons()]
    shown = repr(session_plan_table())
    for row in course.sessions():
        assert 45 <= row.minutes() <= 60, row.lesson
        for words in (row.bench, row.practice, row.watch):
            assert words in shown
            assert len(words) > 80


def test_practice_in_a_session_is_without_needles(lessons):
    """A needle is named only to be taken out, or in words."""
    allowed = (
        "its needle taken out",
        "the needle taken out",
        "needle out and safe in words",
        "a needle could have met a nerve",
    )
    for row in course.sessions():
        text = f"{row.bench} {row.practice}"
        for words in allowed:
            text = text.replace(words, "")
        assert "needle" not in text, row.lesson
        assert not re.search(r"\b(insert|puncture|stab|inject)", text), row.lesson
    (cell,) = (c for c in lessons[NAME].cells if c.id == "session-plans")
    assert "**Nothing here goes through skin.**" in cell.source


def test_the_minutes_that_the_guide_states_are_those_of_the_plans(lessons):
    (cell,) = (c for c in lessons[NAME].cells if c.id == "session-plans")
    low, high = map(int, re.search(r"takes (\d+) to (\d+) minutes a lesson", cell.source).groups())
    taken = [row.minutes() for row in course.sessions()]
    assert (low, high) == (min(taken), max(taken))

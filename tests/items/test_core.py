"""The core asks enough to decide by, of every objective, in the balance of the course."""

from pathlib import Path

import pytest

from cubital import tables
from cubital.handin import passing
from cubital.items import WORKSHEETS
from cubital.items.core import core, is_asked
from cubital.items.levels import level_of, standing_apart

ALL = [item for worksheet in WORKSHEETS.values() for item in worksheet]
ASKED = [item for item in ALL if item.id in core()]


def share(level):
    return sum(i.points for i in ASKED if level_of(i) == level) / sum(i.points for i in ASKED)


def test_its_questions_are_the_courses_and_none_is_optional():
    assert len(ASKED) == len(core())
    assert not any(item.optional for item in ASKED)
    assert {item.id for item in ALL if is_asked(item)} - core() == {
        item.id for item in ALL if item.optional
    }


def test_every_question_that_must_be_right_is_among_them():
    assert {item.id for item in ALL if item.critical} <= core()


@pytest.mark.parametrize("objective", tables.curriculum().objectives, ids=lambda row: row.key)
def test_every_objective_keeps_a_question(objective):
    assert core() & set(objective.items)


def test_it_is_balanced_as_the_course_is():
    assert share("formula") <= 0.33
    assert share("decision") >= 0.35
    assert share("recognition") >= 0.15


def test_it_asks_the_questions_that_a_decision_takes_and_the_readme_says_how_many():
    assert sum(item.id not in standing_apart() for item in ASKED) >= 60
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    assert f"in three hours at most: {len(ASKED)} questions" in readme


def test_its_parallel_form_asks_again_all_but_the_cases():
    asked = {name: [i for i in rows if is_asked(i)] for name, rows in WORKSHEETS.items()}
    named = passing.parallel_worksheets(asked)
    assert sorted(named) == sorted(WORKSHEETS)
    lonely = asked | {"readiness": [], "whole-course": [i for i in ALL if i.optional]}
    assert set(named) - set(passing.parallel_worksheets(lonely)) == {"readiness", "whole-course"}

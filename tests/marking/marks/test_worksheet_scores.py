"""Worksheets without code: the solution gets everything, untouched nothing, a slip its points.

Marked by the course and by nbgrader's own command alike.
"""

import shutil
from collections.abc import Callable
from html import unescape
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from cubital.handin.results import MARKED
from cubital.items import WORKSHEETS
from cubital.marking.cohort import collecting, releasing
from cubital.marking.cohort.course import Course
from cubital.marking.feedback import returning
from cubital.marking.marks import gradebook, marker

from .. import rows
from ..costs import lost


class Counted(NamedTuple):
    """Points counted by hand in a worksheet, its text, and the fewest slips it names."""

    automatic: int
    whole: int
    text: str
    slips: int


POINTS = {
    # Seventeen, nineteen or twenty items of two points, four of them cases, and three for the text.
    "light-and-depth": Counted(34, 37, "light-best-case", 28),
    "focal-geometry": Counted(38, 41, "focal-stand", 28),
    # In reaching the trials eight.
    "reaching-the-vein": Counted(48, 51, "reach-after-blood", 29),
    # Sixteen items of two points, the series four, three of trials six each, the text three.
    "reading-the-vein": Counted(54, 57, "read-more-gain", 21),
    # Thirty-three items of two points, the trials four, and three for the text.
    "one-patient": Counted(70, 73, "patient-handed-over", 25),
    "readiness": Counted(36, 39, "ready-nobodys-picture", 32),
    # Twenty-seven of two points, the series four, two of trials eight each, the text three.
    "complications": Counted(74, 77, "comp-note", 24),
    # Twelve items of two points, and three for the text.
    "whole-course": Counted(24, 27, "whole-night", 32),
}
SLIPPING = tuple(f"slip-{n}" for n in range(1, 7))  # an item has at most six slips
EVERY_CHANGE = {"reading-the-vein", "one-patient"}  # the others in the long tier
SHEETS = [
    pytest.param(name, marks=() if name in EVERY_CHANGE else pytest.mark.long) for name in POINTS
]


class Play(NamedTuple):
    """A marked course, and which slip each learner made on each item.

    ``theirs`` holds the same hand-ins, marked by nbgrader's own command; ``written`` are the rows
    of both gradebooks after that.
    """

    worksheet: str
    course: Course
    theirs: Course
    made: dict[str, dict[str, str]]
    values: dict[tuple[str, str], dict[str, Any]]
    truths: dict[tuple[str, str], dict[str, Any]]
    results: dict[str, Any]
    written: list[rows.Rows]


@pytest.fixture(scope="module", params=SHEETS)
def play(
    request: pytest.FixtureRequest,
    copy_course: Any,
    desk: Any,
    nbgrader: Any,
    tmp_path_factory: pytest.TempPathFactory,
) -> Play:
    worksheet = request.param

    class Here(desk):
        WORKSHEET = worksheet

    where = tmp_path_factory.mktemp(worksheet)
    course = copy_course(where / "workspace", ["solved", "untouched", *SLIPPING])
    releasing.release(course, worksheet, "autumn-1")
    made: dict[str, dict[str, str]] = {}
    drawn: dict[tuple[str, str], dict[str, Any]] = {}
    truths: dict[tuple[str, str], dict[str, Any]] = {}
    seen = set()
    for learner in SLIPPING:
        at = Here(course, learner, where / "homes")
        entered, made[learner] = {}, {}
        for item in at.release.listed():
            drawn[learner, item.id] = at.values(item.id)
            if item.needs == "truth":
                truths[learner, item.id] = at.truth(item.id)
            found = item.slip_answers(drawn[learner, item.id], truths.get((learner, item.id)))
            key = next((key for key in found if (item.id, key) not in seen), None)
            if key is not None:
                seen.add((item.id, key))
                entered[item.id], made[learner][item.id] = found[key], key
        at.answer(entered).hand_in()
    Here(course, "solved", where / "homes").answer().hand_in()
    Here(course, "untouched", where / "homes").hand_in()
    assert collecting.collect(course, worksheet) == []
    theirs = Course(shutil.copytree(course.workspace, where / "theirs"))
    nbgrader(theirs.workspace, "autograde", worksheet)
    results = {row.learner: row for row in marker.mark(course, worksheet)}
    assert {row.state for row in results.values()} == {MARKED}
    written = [
        rows.without_names(rows.of(one.workspace / "gradebook.db")) for one in (course, theirs)
    ]
    return Play(worksheet, course, theirs, made, drawn, truths, results, written)


def test_the_solution_scores_all_automatic_points_and_all_after_hand_marking(
    play: Play, in_gradebook: Callable
) -> None:
    points = in_gradebook(play.course, "solved", play.worksheet)
    counted = POINTS[play.worksheet]
    assert points.pop(counted.text) is None
    assert sum(points.values()) == play.results["solved"].points == counted.automatic
    assert play.results["solved"].waiting == (counted.text,)
    gradebook.set_manual(
        play.course, play.worksheet, "solved", counted.text, 3, "All three are there."
    )
    whole = {row.learner: row for row in gradebook.results(play.course, play.worksheet)}["solved"]
    assert (whole.points, whole.max_points, whole.waiting) == (counted.whole, counted.whole, ())


def test_the_untouched_release_scores_nothing(play: Play, in_gradebook: Callable) -> None:
    points = in_gradebook(play.course, "untouched", play.worksheet)
    assert points == {item.id: 0 for item in WORKSHEETS[play.worksheet]}
    assert {row.outcome for row in play.results["untouched"].items} == {"blank"}


def test_the_worksheet_names_as_many_slips_as_were_counted(play: Play) -> None:
    listed = [slip.key for i in WORKSHEETS[play.worksheet] for slip in getattr(i, "slips", ())]
    assert len(listed) >= POINTS[play.worksheet].slips


@pytest.mark.parametrize("learner", SLIPPING)
def test_each_slip_loses_exactly_its_points_and_is_named(
    play: Play, in_gradebook: Callable, learner: str
) -> None:
    points = in_gradebook(play.course, learner, play.worksheet)
    found = {row.item: row for row in play.results[learner].items}
    told = play.made[learner]
    costs = 0.0
    for item in WORKSHEETS[play.worksheet]:
        if item.id != POINTS[play.worksheet].text:
            key = learner, item.id
            cost = 0.0
            if item.id in told:
                cost = lost(item, play.values[key], told[item.id], play.truths.get(key))
            assert points[item.id] == pytest.approx(item.points - cost, abs=0.01), item.id
            assert found[item.id].slip == told.get(item.id)
            costs += cost
    given = sum(value or 0 for value in points.values())
    assert given == pytest.approx(POINTS[play.worksheet].automatic - costs, abs=0.02)


@pytest.mark.parametrize("learner", ["solved", "untouched", *SLIPPING])
def test_nbgraders_own_marking_agrees(play: Play, in_gradebook: Callable, learner: str) -> None:
    ours = in_gradebook(play.course, learner, play.worksheet)
    assert len(ours) == len(WORKSHEETS[play.worksheet])
    assert in_gradebook(play.theirs, learner, play.worksheet) == ours


def test_each_row_of_the_gradebook_is_the_one_that_nbgrader_writes(play: Play) -> None:
    ours, theirs = play.written
    assert len(ours["grade"]) == (2 + len(SLIPPING)) * len(WORKSHEETS[play.worksheet])
    assert ours == theirs


def test_the_page_names_the_section_that_mends_each_slip(play: Play) -> None:
    pages = {
        page.parts[-3]: page for page in map(Path, returning.feedback(play.course, play.worksheet))
    }
    sections = {item.id: item.section for item in WORKSHEETS[play.worksheet]}
    page = pages["slip-1"].read_text(encoding="utf-8")
    for item in play.made["slip-1"]:
        start = page.index(f'aria-labelledby="{item}-title"')
        part = unescape(page[start : page.index("</section>", start)])
        assert f"<dt>Read again</dt><dd>“{sections[item]}” in the lesson " in part


def test_the_page_shows_each_picture_with_what_is_there_and_what_was_marked(play: Play) -> None:
    pictured = {i.id: i.kind for i in WORKSHEETS[play.worksheet] if i.needs == "truth"}
    pages = {
        page.parts[-3]: page for page in map(Path, returning.feedback(play.course, play.worksheet))
    }
    page = pages["slip-1"].read_text(encoding="utf-8")
    assert page.count('src="data:image/jpeg;base64,') == len(pictured)
    for item, kind in pictured.items():
        start = page.index(f'aria-labelledby="{item}-title"')
        part = page[start : page.index("</section>", start)]
        assert ("Trial 12: " if kind == "trials" else "There, in squares:") in part or (
            item == "patient-artery-trials" and "Trial 4: " in part
        )
        assert "simulated, not clinically validated" in part

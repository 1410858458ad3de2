"""Worksheets without code: the solution gets everything, untouched nothing, a slip its points.

Marked by the course and by nbgrader's own command alike.
"""

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from cubital.handin.results import MARKED
from cubital.items import WORKSHEETS, Item
from cubital.marking import collecting, gradebook, marker, releasing, returning
from cubital.marking.course import Course

# Points counted by hand in the worksheets: fourteen items of two points, and three for the text.
AUTOMATIC, ALL = 28, 31
TEXTS = {"light-and-depth": "light-best-case", "reaching-the-vein": "reach-after-blood"}
# A sine above 0 in radians is not to be had at every angle.
NOT_ALWAYS = {("reach-track", "calculator-in-radians")}
SLIPPING = ("slip-1", "slip-2", "slip-3", "slip-4", "slip-5")


def slips(item: Item, values: dict[str, Any]) -> dict[str, str]:
    """What to enter for each slip that can be made at these values."""
    if item.kind == "number":
        return {key: f"{made!r} {item.unit}" for key, made in item.slip_values(values).items()}
    if item.kind == "choice":
        return {option.key: option.key for option in item.options(values) if not option.right}
    return {}


class Play(NamedTuple):
    """A marked course, and which slip each learner made on each item.

    ``theirs`` holds the same hand-ins, marked by nbgrader's own command.
    """

    worksheet: str
    course: Course
    theirs: Course
    made: dict[str, dict[str, str]]
    results: dict[str, Any]


@pytest.fixture(scope="module", params=TEXTS)
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
    seen = set()
    for learner in SLIPPING:
        at = Here(course, learner, where / "homes")
        entered, made[learner] = {}, {}
        for item in at.release.listed():
            found = slips(item, at.values(item.id))
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
    return Play(worksheet, course, theirs, made, results)


def test_the_solution_scores_all_automatic_points_and_all_after_hand_marking(
    play: Play, in_gradebook: Callable
) -> None:
    points = in_gradebook(play.course, "solved", play.worksheet)
    assert points.pop(TEXTS[play.worksheet]) is None
    assert sum(points.values()) == play.results["solved"].points == AUTOMATIC
    assert play.results["solved"].waiting == (TEXTS[play.worksheet],)
    gradebook.set_manual(
        play.course, play.worksheet, "solved", TEXTS[play.worksheet], 3, "All three are there."
    )
    whole = {row.learner: row for row in gradebook.results(play.course, play.worksheet)}["solved"]
    assert (whole.points, whole.max_points, whole.waiting) == (ALL, ALL, ())


def test_the_untouched_release_scores_nothing(play: Play, in_gradebook: Callable) -> None:
    points = in_gradebook(play.course, "untouched", play.worksheet)
    assert points == {item.id: 0 for item in WORKSHEETS[play.worksheet]}
    assert {row.outcome for row in play.results["untouched"].items} == {"blank"}


def test_every_slip_of_a_number_is_played(play: Play) -> None:
    listed = {
        (item.id, slip.key)
        for item in WORKSHEETS[play.worksheet]
        for slip in getattr(item, "slips", ())
    }
    played = {(item, key) for told in play.made.values() for item, key in told.items()}
    assert listed - played <= NOT_ALWAYS
    assert len(listed) >= 35


@pytest.mark.parametrize("learner", SLIPPING)
def test_each_slip_loses_exactly_its_points_and_is_named(
    play: Play, in_gradebook: Callable, learner: str
) -> None:
    points = in_gradebook(play.course, learner, play.worksheet)
    rows = {row.item: row for row in play.results[learner].items}
    told = play.made[learner]
    for item in WORKSHEETS[play.worksheet]:
        if item.id != TEXTS[play.worksheet]:
            assert points[item.id] == (0 if item.id in told else 2), item.id
            assert rows[item.id].slip == told.get(item.id)
    assert sum(value or 0 for value in points.values()) == AUTOMATIC - 2 * len(told)


@pytest.mark.parametrize("learner", ["solved", "untouched", *SLIPPING])
def test_nbgraders_own_marking_agrees(play: Play, in_gradebook: Callable, learner: str) -> None:
    ours = in_gradebook(play.course, learner, play.worksheet)
    assert len(ours) == len(WORKSHEETS[play.worksheet])
    assert in_gradebook(play.theirs, learner, play.worksheet) == ours


def test_the_page_names_the_section_that_mends_each_slip(play: Play) -> None:
    pages = {
        page.parts[-3]: page for page in map(Path, returning.feedback(play.course, play.worksheet))
    }
    sections = {item.id: item.section for item in WORKSHEETS[play.worksheet]}
    page = pages["slip-1"].read_text(encoding="utf-8")
    for item in play.made["slip-1"]:
        start = page.index(f'<section aria-labelledby="{item}-title"')
        part = page[start : page.index("</section>", start)]
        assert f"<dt>Read again</dt><dd>lesson section “{sections[item]}”</dd>" in part

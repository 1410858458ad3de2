"""The solution gets everything, the untouched release nothing, each slip loses its points."""

from collections.abc import Callable
from html import escape
from pathlib import Path
from typing import Any

import pytest

from cubital.handin.results import MARKED
from cubital.items import WORKSHEETS, Item
from cubital.marking.cohort import collecting
from cubital.marking.cohort.course import Course, CourseError
from cubital.marking.feedback import returning
from cubital.marking.marks import gradebook, marker

from ...counted import all_points, computed_points
from ...recording import Recorder, Told

WORKSHEET = "catheter-sizing"
TEXT = "sizing-reasons"
AUTOMATIC = computed_points(WORKSHEET)
ALL = all_points(WORKSHEET)

# Lines that make the slips in Python, written here and not taken from the item.
SLIP_LINES = {
    "ratio-upside-down": "return vein_diameter_mm / outer_diameter_mm",
    "area-for-diameter": "return (outer_diameter_mm / vein_diameter_mm) ** 2",
    "radius-for-diameter": "return outer_diameter_mm / 2 / vein_diameter_mm",
    "percent-for-ratio": "return 100 * outer_diameter_mm / vein_diameter_mm",
}


def slips(item: Item, values: dict[str, Any]) -> dict[str, tuple[str, str]]:
    """For each slip that can be made at these values: what to enter, and how it is explained."""
    entered = SLIP_LINES if item.kind == "expression" else item.slip_answers(values)
    return {
        known.key: (entered[known.key], known.misconception)
        for known in item.mistakes(values)
        if known.key in entered
    }


class Play:
    """A cohort in which every slip of every item is made once, each beside right answers."""

    def __init__(self, course: Course, desk: Any, home: Path) -> None:
        self.course = course
        self.made: dict[str, dict[str, tuple[str, str]]] = {}
        seen: set[tuple[str, str]] = set()
        for learner in course.roster():
            if learner in {"solved", "untouched"}:
                continue
            at = desk(course, learner, home)
            entered, line, told = {}, at.RIGHT_LINE, {}
            for item in at.release.listed():
                new = {
                    key: value
                    for key, value in slips(item, at.values(item.id)).items()
                    if (item.id, key) not in seen
                }
                if not new:
                    continue
                key, (typed, why) = next(iter(new.items()))
                seen.add((item.id, key))
                told[item.id] = (key, why)
                if item.kind == "expression":
                    line = typed
                else:
                    entered[item.id] = typed
            at.answer(entered, line=line).hand_in()
            self.made[learner] = told
        self.seen = seen
        desk(course, "solved", home).answer().hand_in()
        desk(course, "untouched", home).hand_in()
        assert collecting.collect(course, WORKSHEET) == []
        self.results = {row.learner: row for row in marker.mark(course, WORKSHEET)}


@pytest.fixture(scope="module")
def play(copy_course: Any, desk: Any, tmp_path_factory: pytest.TempPathFactory) -> Play:
    where = tmp_path_factory.mktemp("slips")
    learners = ["solved", "untouched", *(f"slip-{number}" for number in range(1, 9))]
    return Play(copy_course(where / "workspace", learners), desk, where / "homes")


def test_the_solution_scores_all_automatic_points_and_all_after_hand_marking(
    play: Play, in_gradebook: Callable, recorder: Recorder
) -> None:
    row = play.results["solved"]
    seen = Told(row.state, row.points, f"waits: {', '.join(row.waiting)}")
    does = "an honest hand-in, every answer right"
    recorder.saw(does, Told("marked", AUTOMATIC), seen, most=AUTOMATIC, honest=True)
    points = in_gradebook(play.course, "solved")
    assert points.pop(TEXT) is None
    assert sum(points.values()) == AUTOMATIC
    assert play.results["solved"].points == AUTOMATIC
    assert play.results["solved"].waiting == (TEXT,)
    gradebook.set_manual(play.course, WORKSHEET, "solved", TEXT, 3, "All three are there.")
    whole = {row.learner: row for row in gradebook.results(play.course, WORKSHEET)}["solved"]
    assert (whole.points, whole.max_points, whole.waiting) == (ALL, ALL, ())
    assert whole.items[-1].manual
    assert whole.items[-1].message == "All three are there."
    with play.course.gradebook() as book:
        assert book.find_submission(WORKSHEET, "solved").score == ALL


def test_the_untouched_release_scores_nothing_and_nobody_is_asked_to_read_it(
    play: Play, in_gradebook: Callable, recorder: Recorder
) -> None:
    row = play.results["untouched"]
    seen = Told(row.state, row.points, ", ".join({one.outcome for one in row.items}))
    recorder.saw("hands in the worksheet as it was", Told("marked", 0), seen, most=AUTOMATIC)
    points = in_gradebook(play.course, "untouched")
    assert set(points) == {item.id for item in WORKSHEETS[WORKSHEET]}
    assert set(points.values()) == {0}
    assert {row.outcome for row in play.results["untouched"].items} == {"blank"}
    assert play.results["untouched"].waiting == ()


def test_every_slip_of_every_item_is_played(play: Play) -> None:
    listed = {
        (item.id, slip.key) for item in WORKSHEETS[WORKSHEET] for slip in getattr(item, "slips", ())
    }
    assert len(listed) > 30
    assert listed <= play.seen
    assert len([key for item, key in play.seen if item == "sizing-picture-width"]) == 3
    assert len([key for item, key in play.seen if item == "sizing-smallest-adequate"]) >= 3


def test_each_slip_loses_exactly_its_points_and_is_named(
    play: Play, in_gradebook: Callable
) -> None:
    for learner, told in play.made.items():
        points = in_gradebook(play.course, learner)
        rows = {row.item: row for row in play.results[learner].items}
        for item in WORKSHEETS[WORKSHEET]:
            if item.id == TEXT:
                continue
            lost = item.id in told
            assert points[item.id] == (0 if lost else 2), (learner, item.id)
            assert rows[item.id].slip == (told[item.id][0] if lost else None)
        assert sum(v or 0 for v in points.values()) == AUTOMATIC - 2 * len(told)


def test_the_page_names_each_slip_and_the_section_that_mends_it(play: Play) -> None:
    gradebook.set_manual(play.course, WORKSHEET, "solved", TEXT, 3)
    pages = {page.parts[-3]: page for page in map(Path, returning.feedback(play.course, WORKSHEET))}
    sections = {item.id: item.section for item in WORKSHEETS[WORKSHEET]}
    for learner, told in play.made.items():
        page = pages[learner].read_text(encoding="utf-8")
        for item, (_, why) in told.items():
            start = page.index(f'aria-labelledby="{item}-title"')
            part = page[start : page.index("</section>", start)]
            assert escape(why, quote=False) in part.replace("&#39;", "'").replace("&#34;", '"')
            assert f"<dt>Read again</dt><dd>“{sections[item]}” in the lesson Catheter" in part
            optional = ", optional" if item == "sizing-ratio-code" else ""
            assert f"<dt>Mark</dt><dd>0 of 2{optional}</dd>" in part
    assert "33 of 33 points" in pages["solved"].read_text(encoding="utf-8")
    assert "0 of 33 points" in pages["untouched"].read_text(encoding="utf-8")


def test_points_by_hand_stay_within_the_item(play: Play) -> None:
    for points in (-1, 3.5, float("nan"), True):
        with pytest.raises(CourseError, match="must be from 0 to 3"):
            gradebook.set_manual(play.course, WORKSHEET, "solved", TEXT, points)
    with pytest.raises(CourseError, match="no marked hand-in"):
        gradebook.set_manual(play.course, WORKSHEET, "nobody", TEXT, 1)


def test_all_learners_of_the_play_are_marked(play: Play) -> None:
    assert {row.state for row in play.results.values()} == {MARKED}

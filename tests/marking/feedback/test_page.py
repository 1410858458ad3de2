"""The page as a file: what stands where on it, and that it needs nothing else."""

import html
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from cubital.marking.cohort import collecting
from cubital.marking.cohort.course import Course
from cubital.marking.errors import CourseError
from cubital.marking.feedback import returning
from cubital.marking.marks import gradebook, marker

WORKSHEET = "catheter-sizing"
WIDTH, TEXT = "cannot-size-first", "sizing-reasons"
LEARNERS = ("solved", "waits", "harms", "copied", "untouched", "later")


@pytest.fixture(scope="module")
def course(
    copy_course: Any,
    desk: Any,
    tampered: Any,
    moment: Callable,
    tmp_path_factory: pytest.TempPathFactory,
) -> Course:
    """Learners of several kinds, marked; `later` handed in another text after a hand mark."""
    where = tmp_path_factory.mktemp("page")
    made: Course = copy_course(where / "w", LEARNERS)
    at = {name: desk(made, name, where / "homes") for name in LEARNERS}
    for name in ("solved", "waits", "later"):
        at[name].answer().hand_in(moment(8))
    wrong = next(key for key in slips(at["harms"]) if key)
    at["harms"].answer({WIDTH: wrong}).hand_in(moment(8))
    others = at["copied"].answer().hand_in(moment(8))
    saved = json.loads((at["copied"].folder / "answers.json").read_text("utf-8"))
    paper = at["solved"].store.paper
    tampered(others, {"answers.json": json.dumps(saved | {"paper": paper}).encode()})
    at["untouched"].hand_in(moment(8))
    assert collecting.collect(made, WORKSHEET) == []
    marker.mark(made, WORKSHEET)
    for name in ("solved", "harms", "later"):
        gradebook.set_manual(made, WORKSHEET, name, TEXT, 3)
    at["later"].save(TEXT, "Another text.")
    at["later"].hand_in(moment(9))
    assert collecting.collect(made, WORKSHEET) == []
    marker.mark(made, WORKSHEET)
    returning.feedback(made, WORKSHEET)
    return made


def slips(at: Any) -> list[str]:
    item = next(item for item in at.release.listed() if item.id == WIDTH)
    return list(item.slip_answers(at.values(WIDTH)))


def text(course: Course, learner: str) -> str:
    return course.feedback(learner, WORKSHEET).read_text(encoding="utf-8")


def words(course: Course, learner: str) -> str:
    page = re.sub(r"<style>.*?</style>", "", text(course, learner), flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())


@pytest.mark.parametrize(
    ("learner", "state"),
    [
        ("solved", "✓ All shown All 6 objectives of this worksheet are shown."),
        ("waits", "… Waits for your educator 5 of 6 objectives of this worksheet are shown."),
        ("later", "… Waits for your educator 5 of 6 objectives of this worksheet are shown."),
        ("harms", "○ Something to work on 5 of 6 objectives of this worksheet are shown."),
        ("untouched", "○ Something to work on 0 of 6 objectives of this worksheet are shown."),
    ],
)
def test_the_state_by_the_rule_comes_before_the_points(
    course: Course, learner: str, state: str
) -> None:
    page = words(course, learner)
    assert page.index(state) < page.index(" of 33 points")
    assert page.count("only a named assessor sets it, from practice that they observed") == 1


def test_the_page_says_of_which_release_and_attempt_and_as_of_when(course: Course) -> None:
    assert re.search(
        r"Attempt 1 at this worksheet, release “autumn-1”: "
        r"handed in on 4 March 2021, marked on \d+ \w+ \d{4}\.",
        words(course, "waits"),
    )
    assert "marks given by hand since then count" in words(course, "solved")


def test_what_must_be_right_comes_first_then_what_is_next_then_each_question(
    course: Course,
) -> None:
    page = words(course, "harms")
    order = [
        "What must be right to pass",
        "Why it can harm This choice ",
        "What to do instead ",
        "What to do next, in this order",
        "Talk with your educator about 9. Situation 2",
        "Ask your educator for another paper",
        "Objective by objective",
        "Question by question",
    ]
    places = [page.index(one) for one in order]
    assert places == sorted(places)
    assert "What must be right" not in words(course, "solved")


def test_a_text_that_was_changed_after_its_mark_waits_again(course: Course) -> None:
    page = words(course, "later")
    assert "30 of 33 points so far" in page
    assert "was 3 of 3 for an earlier text" in page
    assert "Wait for your educator, who has still to mark 16. Tell a colleague why" in page


def test_what_belongs_to_another_paper_is_answered_again_and_tells_no_answer(
    course: Course,
) -> None:
    page = words(course, "copied")
    card = page[page.index("What must be right") : page.index("What to do next")]
    assert "Why it has no mark This answer was given to other values" in card
    assert "What to do instead" not in card
    assert "Answer again 1. Outer diameter of a gauge , 2. French size" in page
    assert "Talk with your educator" not in page


@pytest.mark.parametrize("learner", LEARNERS)
def test_every_link_leads_to_a_place_on_the_page_and_nothing_is_asked_for_elsewhere(
    course: Course, learner: str
) -> None:
    page = text(course, learner)
    ids = re.findall(r'\bid="([^"]+)"', page)
    assert len(ids) == len(set(ids))
    links = re.findall(r'href="([^"]+)"', page)
    assert links
    assert {link for link in links if link.removeprefix("#") not in ids} == set()
    assert not re.search(r"<(script|link|iframe)\b|url\(|@import|src=\"(?!data:)", page)


@pytest.mark.parametrize("learner", LEARNERS)
def test_no_sentence_blames_the_reader(course: Course, learner: str) -> None:
    page = words(course, learner).lower()
    for never in ("you failed", "you did not", "your mistake", "someone who", "a copy"):
        assert never not in page


def test_a_rule_that_cannot_be_used_is_said_with_its_file(
    course: Course, copy_course: Any, desk: Any, tmp_path: Path
) -> None:
    other: Course = copy_course(tmp_path / "w", ["ann"])
    desk(other, "ann", tmp_path).answer().hand_in()
    collecting.collect(other, WORKSHEET)
    marker.mark(other, WORKSHEET)
    (other.workspace / "bank.toml").write_text("[pass_share]\nsize-ratio = 60\n", "utf-8")
    with pytest.raises(CourseError, match=r"bank\.toml.*size-ratio is 60.*write 0\.6"):
        returning.feedback(other, WORKSHEET)

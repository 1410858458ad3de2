"""A mark given by hand belongs to the answer that a person read, and to no later one."""

import csv
import html
import io
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from cubital import cli
from cubital.marking.cohort import collecting
from cubital.marking.cohort.course import Course
from cubital.marking.feedback import returning
from cubital.marking.marks import booking, gradebook, marker
from cubital.marking.marks.marked_folders import MarkedFolders

from ...counted import computed_points
from ...recording import Recorder, Told

WORKSHEET = "catheter-sizing"
TEXT = "sizing-reasons"
FRENCH = "sizing-french"
FIRST, SECOND = "It is a shadow; measure by ultrasound.", "I copied this from the web."


class Round:
    """One learner who hands in, again and again, and an educator who marks."""

    def __init__(self, course: Course, desk: Any, home: Path, moment: Callable) -> None:
        self.course, self.desk, self.home, self.moment = course, desk, home, moment
        self.hour = 7

    def hand_in(self, **but: str) -> None:
        """Hand in right answers but for some, collect them and leave them unmarked."""
        self.hour += 1
        but = {key.replace("_", "-"): typed for key, typed in but.items()}
        self.desk(self.course, "ann", self.home).answer(but).hand_in(self.moment(self.hour))
        assert collecting.collect(self.course, WORKSHEET) == []

    def mark(self, **but: str) -> None:
        """Hand in and mark."""
        self.hand_in(**but)
        marker.mark(self.course, WORKSHEET)

    def give(self, points: float, item: str = TEXT, comment: str = "") -> None:
        """Give a mark by hand, as the form grader does."""
        gradebook.set_manual(self.course, WORKSHEET, "ann", item, points, comment)

    def row(self, item: str = TEXT) -> Any:
        """One item of the result that report and export read."""
        (result,) = gradebook.results(self.course, WORKSHEET)
        return next(row for row in result.items if row.item == item)

    def asked(self, item: str = TEXT) -> bool:
        """Whether the form grader asks for it to be marked."""
        with self.course.gradebook() as book:
            return book.find_grade(item, WORKSHEET, WORKSHEET, "ann").needs_manual_grade

    def seen(self, item: str = TEXT) -> tuple[float | None, bool]:
        """The points that count, and whether the form grader asks."""
        return self.row(item).points, self.asked(item)

    def words(self) -> str:
        """The feedback page as plain words."""
        (page,) = returning.feedback(self.course, WORKSHEET)
        return plain(page)

    def command(self, step: str) -> int:
        """Run a step as an educator types it."""
        return cli.main(["cohort", step, WORKSHEET, "--workspace", str(self.course.workspace)])


def plain(page: Path) -> str:
    """A page's words, without its tags and its style."""
    text = re.sub(r"<style>.*?</style>", "", page.read_text(encoding="utf-8"), flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


@pytest.fixture
def ann(copy_course: Any, desk: Any, moment: Callable, tmp_path: Path) -> Round:
    return Round(copy_course(tmp_path / "w", ["ann"]), desk, tmp_path, moment)


def test_a_new_text_waits_again_wherever_marks_are_told(
    ann: Round, capsys: pytest.CaptureFixture, recorder: Recorder
) -> None:
    ann.mark(sizing_reasons=FIRST)
    ann.give(3, comment="Well said.")
    assert ann.seen() == (3, False)
    ann.hand_in(sizing_reasons=SECOND)
    assert ann.command("mark") == 0
    told = ann.row()
    recorder.saw(
        "hands in another text after the first was marked by hand",
        Told("waiting", None),
        Told(told.outcome, told.points, told.message),
        most=3,
    )
    earlier = "was 3 of 3 for an earlier text"
    assert earlier in capsys.readouterr().out
    assert ann.seen() == (None, True)
    assert earlier in ann.row().message
    page = ann.words()
    assert "30 of 33 points so far" in page
    assert "3 of these points wait to be marked by hand" in page
    assert earlier in page
    assert "The marker wrote on an earlier text Well said." in page
    assert ann.command("report") == 0
    folder = ann.course.workspace / "report" / WORKSHEET
    assert earlier in plain(folder / "index.html")
    text = (folder / "marks.csv").read_text(encoding="utf-8-sig")
    (line,) = csv.DictReader(io.StringIO(text, newline=""))
    assert (line[TEXT], line["points_so_far"], line["total"]) == (
        "",
        f"{computed_points(WORKSHEET):g}",
        "",
    )
    assert line["waiting_for_hand_marking"] == TEXT
    assert line[f"{TEXT} state"] == "waiting again"
    assert earlier in line[f"{TEXT} reason"]


def test_an_unchanged_text_keeps_its_mark_through_any_later_hand_in(
    ann: Round, recorder: Recorder
) -> None:
    ann.mark(sizing_reasons=FIRST)
    ann.give(2, comment="Nearly.")
    marker.mark(ann.course, WORKSHEET)
    assert ann.seen() == (2, False)
    ann.mark(sizing_reasons=FIRST, sizing_french="3 Fr")
    told = ann.row()
    recorder.saw(
        "hands in the same text again after it was marked by hand with 2",
        Told("wrong", 2),
        Told(told.outcome, told.points, told.message),
        most=3,
        honest=True,
    )
    assert ann.seen() == (2, False)
    assert ann.row().message == "Nearly."
    assert "The marker writes Nearly." in ann.words()


@pytest.mark.long
def test_a_mark_given_after_the_new_text_counts_for_that_text_alone(ann: Round) -> None:
    ann.mark(sizing_reasons=FIRST)
    ann.give(3)
    ann.mark(sizing_reasons=SECOND)
    marker.mark(ann.course, WORKSHEET)
    assert ann.seen() == (None, True), "marking again makes no mark of it"
    ann.give(1)
    assert ann.seen() == (1, False)
    marker.mark(ann.course, WORKSHEET)
    assert ann.seen() == (1, False)
    ann.mark(sizing_reasons=FIRST)
    assert ann.seen() == (None, True), "the mark in the gradebook is of the second text"


@pytest.mark.long
def test_a_text_that_comes_back_has_the_mark_that_it_was_given(ann: Round) -> None:
    ann.mark(sizing_reasons=FIRST)
    ann.give(3)
    ann.mark(sizing_reasons=SECOND)
    assert ann.seen() == (None, True)
    ann.mark(sizing_reasons=FIRST)
    assert ann.seen() == (3, False)


CUTS = {
    "before the folder": (MarkedFolders, "write", False),
    "between folder and rows": (booking, "enter", False),
    "after the rows": (booking, "enter", True),
}


@pytest.mark.parametrize(
    ("text", "cut"),
    [
        pytest.param(FIRST, "before the folder", marks=pytest.mark.long),
        pytest.param(FIRST, "between folder and rows", marks=pytest.mark.long),
        pytest.param(FIRST, "after the rows", marks=pytest.mark.long),
        pytest.param(SECOND, "before the folder", marks=pytest.mark.long),
        (SECOND, "between folder and rows"),
        pytest.param(SECOND, "after the rows", marks=pytest.mark.long),
    ],
    ids=lambda value: {FIRST: "the same text", SECOND: "another text"}.get(value, value),
)
def test_marking_that_is_cut_off_gives_no_text_anothers_mark(
    ann: Round, monkeypatch: pytest.MonkeyPatch, text: str, cut: str
) -> None:
    ann.mark(sizing_reasons=FIRST)
    ann.give(3)
    ann.hand_in(sizing_reasons=text)
    place, step, done = CUTS[cut]
    whole = getattr(place, step)

    class CutOffError(BaseException):
        """What a killed process looks like to what it had begun."""

    def cut_off(*given: Any) -> None:
        if done:
            whole(*given)
        raise CutOffError

    with monkeypatch.context() as cutting:
        cutting.setattr(place, step, cut_off)
        with pytest.raises(CutOffError):
            marker.mark(ann.course, WORKSHEET)
    assert ann.asked() is not (done and text == FIRST)
    marker.mark(ann.course, WORKSHEET)
    assert ann.seen() == ((3, False) if text == FIRST else (None, True))


@pytest.mark.long
def test_a_mark_over_a_computed_one_belongs_to_its_answer_too(ann: Round) -> None:
    ann.mark(sizing_french="3 Fr", sizing_reasons=FIRST)
    assert ann.row(FRENCH).points == 0
    ann.give(1, FRENCH)
    ann.mark(sizing_french="3 Fr", sizing_reasons=SECOND)
    assert ann.seen(FRENCH) == (1, False)
    ann.mark(sizing_french="3.1 Fr", sizing_reasons=SECOND)
    assert ann.seen(FRENCH) == (None, True)
    assert "was 1 of 2 for an earlier answer" in ann.row(FRENCH).message
    assert "was 1 of 2 for an earlier answer" in ann.words()


@pytest.mark.long
def test_extra_credit_belongs_to_its_text_and_is_no_mark_alone(ann: Round) -> None:
    ann.mark(sizing_reasons=FIRST)

    def extra(points: float, item: str = TEXT) -> None:
        with ann.course.gradebook() as book:
            book.find_grade(item, WORKSHEET, WORKSHEET, "ann").extra_credit = points
            book.db.commit()

    extra(1)
    assert ann.seen() == (None, True), "extra points alone mark no text"
    ann.give(2)
    assert ann.seen() == (3, False)
    extra(0.5, FRENCH)
    assert ann.seen(FRENCH) == (2.5, False)
    ann.mark(sizing_reasons=SECOND, sizing_french="3 Fr")
    assert ann.seen() == (None, True)
    assert "was 3 of 3 for an earlier text" in ann.row().message
    assert ann.seen(FRENCH) == (None, True)


@pytest.mark.long
def test_nbgraders_own_marking_makes_a_new_text_wait_too(ann: Round, nbgrader: Any) -> None:
    ann.mark(sizing_reasons=FIRST)
    ann.give(3)
    ann.hand_in(sizing_reasons=SECOND)
    nbgrader(ann.course.workspace, "autograde", WORKSHEET, "--force")
    assert ann.seen() == (None, True)
    nbgrader(ann.course.workspace, "generate_feedback", WORKSHEET, "--force")
    page = plain(ann.course.feedback("ann", WORKSHEET))
    assert "was 3 of 3 for an earlier text" in page
    assert SECOND in page
    marker.mark(ann.course, WORKSHEET)
    assert ann.seen() == (None, True)


@pytest.mark.long
def test_a_text_taken_back_is_blank_and_asks_nobody(ann: Round) -> None:
    at = ann.desk(ann.course, "ann", ann.home)

    def empty(notebook: dict[str, Any]) -> None:
        for cell in notebook["cells"]:
            if cell["metadata"].get("nbgrader", {}).get("grade_id") in {TEXT, "ratio-line"}:
                cell["source"] = " \n"

    at.edit(empty).hand_in(ann.moment(8))
    assert collecting.collect(ann.course, WORKSHEET) == []
    marker.mark(ann.course, WORKSHEET)
    assert ann.seen() == (0, False)
    assert ann.row().outcome == ann.row("sizing-ratio-code").outcome == "blank"


def test_a_mark_on_code_waits_when_a_helper_in_a_cell_of_ones_own_changes(
    copy_code_course: Any, desk: Any, moment: Callable, tmp_path: Path
) -> None:
    """What the function does may stand elsewhere than in it."""
    ann = Round(copy_code_course(tmp_path / "w", ["ann"]), desk, tmp_path, moment)
    at = ann.desk(ann.course, "ann", ann.home)
    code = "own-ratio"

    def helper(body: str) -> None:
        def change(notebook: dict[str, Any]) -> None:
            if notebook["cells"][1]["metadata"].get("mine"):
                del notebook["cells"][1]
            own = {"cell_type": "code", "metadata": {"mine": True}, "id": "mine", "outputs": []}
            own |= {"execution_count": None, "source": f"def helper(o, v):\n    {body}"}
            notebook["cells"].insert(1, own)

        ann.hour += 1
        at.edit(change).answer(line="return helper(outer_diameter_mm, vein_diameter_mm)")
        at.hand_in(ann.moment(ann.hour))
        assert collecting.collect(ann.course, WORKSHEET) == []
        marker.mark(ann.course, WORKSHEET)

    helper("return o / v")
    ann.give(1, code)
    ann.give(2)
    helper("return o / v")
    assert ann.seen(code) == (1, False), "the same code again"
    helper("return 0.0")
    assert ann.seen(code) == (None, True)
    assert ann.seen() == (2, False), "the text is the same"

"""An answer that was saved and is refused tells one story, wherever marks are told.

The four places: the table of marks, nbgrader's gradebook, the feedback page, the report.
"""

import csv
import io
import json
import zipfile
from pathlib import Path
from typing import Any

import pytest

from cubital import cli, items
from cubital.marking.cohort import collecting
from cubital.marking.cohort.course import Course
from cubital.marking.feedback import returning
from cubital.marking.marks import marker

from ... import recording
from ...recording import Recorder
from ..pages import Parts

WORKSHEET = "catheter-sizing"
OTHERS = "given to other values than those of this learner's paper"
FORM = "is not of this item's form"
WIDTH = "sizing-picture-width"


class Case:
    """One refused answer: what is saved, and what each place says of it."""

    def __init__(self, learner: str, item: str, answer: Any, saved: str, why: str):
        self.learner, self.item, self.answer = learner, item, answer
        self.saved, self.why, self.waits = saved, why, item == "sizing-reasons"


# Every kind of answer that a field of this worksheet takes, in every way of being refused.
CASES = {
    "number of another form": Case("one", "sizing-french", {"number": "3"}, "3", FORM),
    "choice of another form": Case("one", WIDTH, {"choice": "no-such"}, "no-such", FORM),
    "text of another form": Case("one", "sizing-reasons", {"said": "Dark."}, "Dark.", FORM),
    "number that is not there": Case("two", "sizing-french", {}, "{}", FORM),
    "choice that is no word": Case("two", WIDTH, {"choice": [1]}, "[1]", FORM),
    "text that is empty": Case("two", "sizing-reasons", {"text": ""}, "an empty answer", FORM),
    "number of another": Case("three", "sizing-french", None, "Fr", OTHERS),
    "choice of another": Case("three", WIDTH, None, "", OTHERS),
    "text of another": Case("three", "sizing-reasons", None, "It is a shadow", OTHERS),
}
LEARNERS = tuple(dict.fromkeys(case.learner for case in CASES.values()))
CODE = "sizing-ratio-code"
LINES = {
    "code-true": ("return True", "refused", f"{CODE}", "“True” is not taken here."),
    "code-word": ("return 'half'", "refused", f"{CODE}", "“'half'” is not taken here."),
    "code-broken": ("return outer_diameter_mm /", "refused", f"{CODE}", "is not Python."),
    "code-raises": ("return 1 / 0", "wrong", f"{CODE}", "divides by zero."),
}


class Told:
    """What the four places say of the whole cohort."""

    def __init__(self, course: Course) -> None:
        folder = course.workspace / "report" / WORKSHEET
        text = (folder / "marks.csv").read_text(encoding="utf-8-sig")
        self.marks = {row["learner"]: row for row in csv.DictReader(io.StringIO(text, newline=""))}
        self.report = (folder / "index.html").read_text(encoding="utf-8")
        self.pages = {p.parts[-3]: Parts(p) for p in returning.feedback(course, WORKSHEET)}
        self.booked = {}
        with course.gradebook() as book:
            for learner in course.roster():
                notebook = book.find_submission_notebook(WORKSHEET, WORKSHEET, learner)
                self.booked[learner] = {
                    grade.name: (grade.auto_score, grade.needs_manual_grade)
                    for grade in notebook.grades
                }


def put(path: Path, item: str, entry: dict[str, Any]) -> None:
    told = json.loads(path.read_text(encoding="utf-8"))
    told["items"][item][-1] |= entry
    path.write_text(json.dumps(told), encoding="utf-8")


@pytest.fixture(scope="module")
def cohort(
    copy_course: Any, desk: Any, tampered: Any, tmp_path_factory: pytest.TempPathFactory
) -> Course:
    where = tmp_path_factory.mktemp("refused")
    course = copy_course(where / "w", [*LEARNERS, *LINES])
    at = {name: desk(course, name, where / "homes") for name in LEARNERS}
    for one in at.values():
        one.answer({"sizing-reasons": "It is a shadow."})
    for case in CASES.values():
        one = at[case.learner]
        if case.answer is not None:
            put(one.folder / "answers.json", case.item, {"answer": case.answer})
    for learner, one in at.items():
        path = one.hand_in()
        if learner == "three":  # what somebody saved on another's paper
            with zipfile.ZipFile(path) as archive:
                told = json.loads(archive.read("answers.json")) | {"paper": at["one"].store.paper}
            tampered(path, {"answers.json": json.dumps(told).encode()})
    for learner, (line, *_) in LINES.items():
        desk(course, learner, where / "homes").answer(line=line).hand_in()
    assert collecting.collect(course, WORKSHEET) == []
    assert {row.state for row in marker.mark(course, WORKSHEET)} == {"marked"}
    return course


@pytest.fixture(scope="module")
def told(cohort: Course) -> Told:
    assert cli.main(["cohort", "report", WORKSHEET, "--workspace", str(cohort.workspace)]) == 0
    return Told(cohort)


@pytest.mark.parametrize("name", CASES)
def test_four_places_tell_one_story_of_a_refused_answer(
    told: Told, name: str, recorder: Recorder
) -> None:
    case = CASES[name]
    learner = case.learner
    marks, page = told.marks[learner], told.pages[learner].of(case.item)
    due = recording.Told("refused, waiting" if case.waits else "refused", None if case.waits else 0)
    given = float(marks[case.item]) if marks[case.item] else None
    seen = recording.Told(marks[f"{case.item} state"], given, marks[f"{case.item} reason"])
    recorder.saw(f"saves a {name}", due, seen, most=3 if case.waits else 2)
    points, state = ("", "refused, waiting") if case.waits else ("0", "refused")
    assert (marks[case.item], marks[f"{case.item} state"]) == (points, state)
    assert case.why in marks[f"{case.item} reason"]
    assert "answer again and hand in again" in marks[f"{case.item} reason"]
    assert (case.item in marks["waiting_for_hand_marking"].split()) == case.waits
    assert told.booked[learner][case.item] == ((None, True) if case.waits else (0, False))
    assert case.saved in page["Your answer"]
    assert "none saved" not in page["Your answer"]
    assert page["Mark"] == (
        "refused, waits to be marked by hand" if case.waits else "0 of 2, refused"
    )
    assert case.why in page["Why"]
    assert "answer again and hand in again" in page["What to do"]
    assert case.why in told.report.replace("&#39;", "'")


@pytest.mark.parametrize("learner", [*LEARNERS, *LINES])
def test_whatever_waits_in_the_gradebook_waits_in_every_other_place(
    told: Told, learner: str
) -> None:
    for item, (auto, asked) in told.booked[learner].items():
        waits = told.marks[learner]["waiting_for_hand_marking"].split()
        assert asked == (item in waits) == (told.marks[learner][item] == ""), item
        assert asked == ("waits" in told.pages[learner].of(item)["Mark"]), item
        if not asked:
            assert float(told.marks[learner][item]) == auto, item


def test_the_report_names_who_and_shows_refused_in_the_picture(told: Told) -> None:
    lines = [name for name, row in LINES.items() if row[1] == "refused"]
    attention = told.report[told.report.index('id="attention"') : told.report.index('id="obj')]
    for learner in [*LEARNERS, *lines]:
        name = learner.title()
        assert name in attention, learner
    of_form = sum(case.answer is not None for case in CASES.values())
    on_another_paper = (
        len(items.WORKSHEETS[WORKSHEET]) - 1
    )  # all questions of learner three but the line of Python
    refused = of_form + on_another_paper + len(lines)
    assert told.report.count('<td class="refused') == refused


@pytest.mark.parametrize("learner", LINES)
def test_a_line_that_gives_no_number_is_neither_unwritten_nor_unsaved(
    told: Told, learner: str
) -> None:
    line, state, item, why = LINES[learner]
    marks, page = told.marks[learner], told.pages[learner].of(item)
    assert (marks[item], marks[f"{item} state"]) == ("0", state)
    assert why in marks[f"{item} reason"]
    assert why in page["Why"]
    assert page["Mark"] == f"0 of 2{', refused' if state == 'refused' else ''}, optional"
    assert line in page["Your line"]
    for words in ("not written", "none saved", "no line written", "ipython-input", "<"):
        assert words not in " ".join(page.values()), words

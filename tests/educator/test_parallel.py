"""A parallel form is laid out in a folder of its own, and both sums together decide."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from cubital.cli import main
from cubital.educator import report
from cubital.educator.create import create
from cubital.educator.parallel import parallel
from cubital.handin import passing
from cubital.handin.results import MARKED, ItemResult, SubmissionResult
from cubital.handin.standard import Standard
from cubital.items import WORKSHEETS
from cubital.marking.cohort.course import Course, CourseError
from cubital.marking.cohort.parallel import first_of, form_of, worksheets_of_form
from cubital.marking.cohort.switching import without
from cubital.records.overview import Sheet

# Each worksheet of the course has 20 questions of one point and each of the form 25; half passes.
# Nine and four worksheets: 180 points with a cut of 90, and 100 with one of 50. By hand, the error
# at the first cut is the square root of 180 x 0.5 x 0.5: 6.7.
FIRST, AGAIN = (Standard(n / 2, n, 4, worth=(1.0,) * n) for n in (20, 25))
FORM = passing.parallel_worksheets()


def sheets(names: tuple[str, ...], standard: Standard, points: dict[str, float]) -> list[Sheet]:
    """Worksheets with a sum of points over all of them, by learner."""

    def result(name: str, learner: str) -> SubmissionResult:
        row = ItemResult("a", "right", points[learner] / len(names), standard.points, "")
        return SubmissionResult(learner, name, "r", MARKED, items=(row,))

    return [
        Sheet(name, "r", [result(name, who) for who in points], standard=standard) for name in names
    ]


@pytest.fixture
def first(tmp_path: Path) -> Course:
    """A folder with four learners and figures, rules and questions of its own."""
    roster = tmp_path / "roster.csv"
    roster.write_text("id,first_name,last_name\nann,,\nben,,\ncy,,\ndi,,\n", encoding="utf-8")
    folder = create(tmp_path / "spring", roster).workspace
    (folder / "bank.toml").write_text(
        "[items.comp-no-pause]\npoints = 3\n\n[pass_share]\nsize-ratio = 0.6\n", encoding="utf-8"
    )
    (folder / "standard-setting.toml").write_text("invented = false\n", encoding="utf-8")
    return Course(folder)


@pytest.fixture
def marks(first: Course, monkeypatch: pytest.MonkeyPatch) -> dict[str, list[Sheet]]:
    """What is marked in the folders, by their names: Ann and Ben too near, Cy and Di not."""
    points = {"ann": 88.0, "ben": 92.0, "cy": 97.0, "di": 83.0}
    held = {"spring": sheets(passing.required(), FIRST, points)}
    monkeypatch.setattr(report, "_sheets", lambda course, *_: held.get(course.workspace.name, []))
    return held


def test_it_is_for_who_lies_too_near_and_asks_no_case_again(first: Course, marks: Any) -> None:
    laid = parallel(first.workspace, first.workspace.parent / "again")
    assert (laid.learners, laid.worksheets) == (("ann", "ben"), FORM)
    form = Course(laid.workspace)
    assert form_of(first).workspace == form.workspace
    assert first_of(form).workspace == first.workspace
    assert first_of(first) is first
    told = tomllib.loads((form.workspace / "bank.toml").read_text(encoding="utf-8"))
    assert told["items"]["comp-no-pause"] == {"off": True, "points": 3}
    assert told["pass_share"] == {"size-ratio": 0.6}
    for name in FORM:
        asked = [item for item in form.bank(name).asked(name) if not item.optional]
        assert all(map(passing.asked_anew, asked))
    assert (form.workspace / "standard-setting.toml").is_file()


def test_both_sums_decide_in_either_folder(first: Course, marks: dict[str, list[Sheet]]) -> None:
    near = report.course_decisions(first)
    assert [one.state for one in near.values()] == [passing.TOO_NEAR] * 2 + [
        passing.PASSED,
        passing.NOT_PASSED,
    ]
    form = Course(parallel(first.workspace, first.workspace.parent / "again").workspace)
    assert report.course_decisions(first) == near  # nothing is released there yet
    # 88 + 52 is 140, the cut of both; 92 + 47 is 139, though 92 alone was above its own.
    points = {"ann": 52.0, "ben": 47.0, "cy": 0.0, "di": 100.0}
    marks["again"] = sheets(FORM, AGAIN, points)
    found = report.course_decisions(first)
    states = {who: one.state for who, one in found.items()}
    assert states == {
        "ann": "passed",
        "ben": "not passed yet",
        "cy": "passed",
        "di": "not passed yet",
    }
    assert (found["ann"].points, found["ann"].of, found["ann"].cut) == (140, 280, 140)
    assert report.course_decisions(form) == {who: found[who] for who in ("ann", "ben")}


def test_who_comes_too_near_later_is_added(first: Course, marks: dict[str, list[Sheet]]) -> None:
    where = first.workspace.parent / "again"
    parallel(first.workspace, where)
    points = {"ann": 120.0, "ben": 92.0, "cy": 91.0, "di": 83.0}
    marks["spring"] = sheets(passing.required(), FIRST, points)
    assert parallel(first.workspace, where).learners == ("ann", "ben", "cy")


def test_what_cannot_be_is_refused_and_says_why(first: Course, marks: dict[str, Any]) -> None:
    where = first.workspace.parent / "again"
    form = parallel(first.workspace, where).workspace
    with pytest.raises(CourseError, match=r"the parallel form is in .*again already"):
        parallel(first.workspace, first.workspace.parent / "third")
    with pytest.raises(CourseError, match="is a parallel form itself"):
        parallel(form, first.workspace.parent / "third")
    far = dict.fromkeys(("ann", "ben", "cy", "di"), 150.0)
    marks["spring"] = sheets(passing.required(), FIRST, far)
    with pytest.raises(CourseError, match="no parallel form is due"):
        parallel(first.workspace, where)
    where.rename(where.with_name("moved"))
    with pytest.raises(CourseError, match=r"parallel\.json cannot be used"):
        form_of(first)


def test_the_command_says_what_to_release_where(
    first: Course, marks: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    where = first.workspace.parent / "again"
    words = ["cohort", "parallel", "--workspace", str(first.workspace), "--to", str(where)]
    assert main(words) == 0
    said = capsys.readouterr().out
    assert "A parallel form for 2 learners: ann, ben." in said
    for name in FORM:
        assert f"cubital cohort release {name} --workspace {where} --name NAME" in said


@pytest.mark.parametrize(
    ("bank", "told"),
    [
        ('[items."a"] # ours\n', {"a": {"off": True}}),
        ("[items.a]\noff = true\n", {"a": {"off": True}}),
        ("[items.a]\noff = false\npoints = 3\n", {"a": {"off": True, "points": 3}}),
        ("[items]\na = {points = 2.5}\n", {"a": {"off": True, "points": 2.5}}),
        ("items.a.points = 4\n", {"a": {"off": True, "points": 4}}),
        (
            '[items.b]\noff = true\ncritical_off = "“taught” \\\\ on\\tward"\n',
            {"a": {"off": True}, "b": {"off": True, "critical_off": "“taught” \\ on\tward"}},
        ),
    ],
)
def test_an_item_is_off_however_the_department_wrote_of_it(bank: str, told: Any) -> None:
    assert tomllib.loads(without(bank, ["a"]))["items"] == told


def test_the_form_keeps_its_worksheets_whatever_the_first_folder_asks_later(
    first: Course, marks: dict[str, list[Sheet]]
) -> None:
    parallel(first.workspace, first.workspace.parent / "again")
    points = {"ann": 52.0, "ben": 47.0, "cy": 0.0, "di": 100.0}
    marks["again"] = sheets(FORM, AGAIN, points)
    found = report.course_decisions(first)
    off = [item.id for name in FORM[:2] for item in WORKSHEETS[name] if not item.critical]
    bank = "".join(f"[items.{one}]\noff = true\n" for one in off)
    (first.workspace / "bank.toml").write_text(bank, encoding="utf-8")
    assert worksheets_of_form(first) == FORM
    assert report.course_decisions(first) == found

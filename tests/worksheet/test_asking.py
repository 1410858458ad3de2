"""One call, four callers: by hand, validation, nbgrader's marking and the course's own."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from cubital import items, tables
from cubital.handin import trial
from cubital.handin.answers import AnswerStore
from cubital.handin.released import own
from cubital.handin.released.papers import read_papers
from cubital.handin.released.release import new_release
from cubital.handin.released.sealed import folder_of, read_sealed, write_sealed
from cubital.handin.released.stubs import CODE_STUB
from cubital.worksheet import ask, asking
from cubital.worksheet.fields import AnswerField

RELEASE = new_release("autumn", "catheter-sizing")
OWN_CODE = Path(__file__).parents[1] / "handin" / "released" / "ratio.py"


@pytest.fixture
def folder(tmp_path, monkeypatch, given_out):
    """A learner's folder, where nbgrader marks it too: in a workspace with what decides."""
    here = tmp_path / "autograded" / "ada.alder" / "catheter-sizing"
    papers = given_out(here, RELEASE)
    write_sealed(folder_of(tmp_path, "catheter-sizing", "autumn"), papers)
    monkeypatch.chdir(here)
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)  # nbgrader leaves it behind
    return here


@pytest.fixture
def shown(monkeypatch):
    outputs = []
    monkeypatch.setattr(asking, "display", lambda data, **_: outputs.append(data))
    return outputs


def save(folder, item_id, typed):
    AnswerStore(folder, RELEASE, "ada.alder", read_papers(folder)).save(item_id, typed)


def values(folder, item_id):
    papers = read_sealed(folder.parents[2], "catheter-sizing", "autumn")
    return papers.asked(item_id, "ada.alder", None)[0].values


def right_line(outer_diameter_mm, vein_diameter_mm):
    return outer_diameter_mm / vein_diameter_mm


@pytest.mark.parametrize("item_id", ["sizing-french", "sizing-ratio-code"])
def test_by_hand_a_field_is_shown(folder, item_id):
    assert isinstance(ask(item_id), AnswerField)


def test_validation_wants_an_answer_and_does_not_tell_if_it_is_right(folder, monkeypatch):
    monkeypatch.setenv("NBGRADER_EXECUTION", "validate")
    with pytest.raises(AssertionError, match="no answer is saved yet"):
        ask("sizing-french")
    save(folder, "sizing-french", "99 Fr")
    assert ask("sizing-french") is None


def test_nbgrader_gets_a_plain_float_and_the_reason(folder, monkeypatch, shown):
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    item = items.find("sizing-french")
    right = item.answer(values(folder, item.id))
    save(folder, "sizing-french", f"{right} Fr")
    assert type(ask("sizing-french")) is float
    assert ask("sizing-french") == 2.0
    save(folder, "sizing-french", f"{right / 2} Fr")
    assert ask("sizing-french") == 0.0
    assert "the radius is multiplied: start from the whole way across" in shown[-1]["text/html"]
    assert "the radius is multiplied: start from the whole way across" in shown[-1]["text/plain"]


def test_nbgrader_gives_nothing_for_nothing(folder, monkeypatch, shown):
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    scores = [ask(item_id, None) for item_id in RELEASE.items if item_id != "sizing-reasons"]
    assert scores == [0.0] * 15  # one for each, three of them vignettes


def test_marking_shows_what_was_typed_without_letting_it_act(folder, monkeypatch, shown):
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    save(folder, "sizing-reasons", "<img src=x onerror=alert(1)>")
    assert ask("sizing-reasons") is None
    assert "<img" not in shown[-1]["text/html"]


def test_the_learner_under_nbgrader_is_the_folder_whoever_is_logged_in(folder, monkeypatch, shown):
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    monkeypatch.setenv("JUPYTERHUB_USER", "the.educator")
    save(folder, "sizing-french", "4.2 Fr")
    assert ask("sizing-french") == 0.0


LINE = "sizing-ratio-code"
STUB = f"def ratio(outer_diameter_mm, vein_diameter_mm):\n    {CODE_STUB}"
UPSIDE_DOWN = STUB.replace(CODE_STUB, "return vein_diameter_mm / outer_diameter_mm")
GOOD = STUB.replace(CODE_STUB, "return outer_diameter_mm / vein_diameter_mm")
BROKEN = STUB.replace(CODE_STUB, "return outer_diameter_mm /")


def write(folder, source):
    """Save the worksheet's page with that in the cell of the line."""
    path = (
        tables.course_folder("exercises") / "source" / "catheter-sizing" / "catheter-sizing.ipynb"
    )
    notebook = json.loads(path.read_text(encoding="utf-8"))
    for cell in notebook["cells"]:
        if cell["metadata"].get("nbgrader", {}).get("grade_id") == "ratio-line":
            cell["source"] = source
    (folder / "catheter-sizing.ipynb").write_text(json.dumps(notebook), encoding="utf-8")


def test_nbgrader_gets_the_points_of_the_line_in_the_saved_page(folder, monkeypatch, shown):
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    drawn = values(folder, LINE)
    seen = drawn["outer_diameter_mm"] / drawn["vein_diameter_mm"]
    for source, points, words in (
        (GOOD, 2.0, "Right, on your values and on others."),
        (UPSIDE_DOWN, 0.0, "the vein is divided by the catheter"),
        (STUB.replace(CODE_STUB, f"return {seen!r}"), 0.0, "Right on your own values only"),
        (STUB, 0.0, "The line is not written yet."),
        (BROKEN, 0.0, "is not Python. The line ends with “/”."),
        (STUB.replace(CODE_STUB, "return open('x', 'w')"), 0.0, "is not taken here."),
    ):
        write(folder, source)
        assert ask(LINE) == points
        assert words in shown[-1]["text/plain"]
    assert not (folder / "x").exists()


def test_validation_wants_a_line_that_can_be_read_or_none(folder, monkeypatch):
    monkeypatch.setenv("NBGRADER_EXECUTION", "validate")
    for source in (GOOD, UPSIDE_DOWN, STUB):
        write(folder, source)
        assert ask(LINE) is None
    write(folder, BROKEN)
    with pytest.raises(AssertionError, match="is not Python"):
        ask(LINE)


def test_a_line_that_was_saved_in_a_field_counts_before_the_one_in_the_cell(
    folder, monkeypatch, shown
):
    write(folder, UPSIDE_DOWN)
    save(folder, LINE, "outer_diameter_mm / vein_diameter_mm")
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    assert ask(LINE) == 2.0


@pytest.fixture
def with_code(folder, own_code, given_out):
    """A release that asks for a function of the department's own."""
    source = OWN_CODE.read_text(encoding="utf-8")
    row = own.OwnFile("own-ratio.py", own.check_sum(source), "size-ratio")
    release = new_release("autumn", "catheter-sizing", listed=[own_code])
    release = replace(release, own={own_code.id: row}, sources={row.file: source})
    papers = given_out(folder, release)
    write_sealed(folder_of(folder.parents[2], "catheter-sizing", "autumn"), papers)
    return folder


def test_a_function_is_tried_on_cases_that_nobody_saw(with_code, monkeypatch, shown):
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    seen = right_line(**values(with_code, "own-ratio"))
    assert ask("own-ratio", right_line) == 2.0
    assert ask("own-ratio", lambda outer_diameter_mm, vein_diameter_mm: seen) == 0.0
    assert "Right on your own values only" in shown[-1]["text/plain"]


def test_validation_wants_a_function_in_the_box_or_in_the_cell(with_code, monkeypatch):
    monkeypatch.setenv("NBGRADER_EXECUTION", "validate")
    assert ask("own-ratio", right_line) is None
    with pytest.raises(AssertionError, match="does not hold a function"):
        ask("own-ratio", None)
    save(with_code, "own-ratio", "return outer_diameter_mm / vein_diameter_mm")
    assert ask("own-ratio", None) is None


def test_the_courses_own_marking_only_takes_the_function(folder, monkeypatch):
    taken = []
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    monkeypatch.setattr(trial, "taker", lambda *given: taken.append(given))
    assert ask("own-ratio", right_line) is None
    assert ask("sizing-french") is None
    assert taken == [("own-ratio", right_line), ("sizing-french", None)]


@pytest.mark.parametrize(
    ("function", "words"),
    [
        (None, "does not hold a function"),
        (lambda: 1, "stopped with TypeError"),
        (lambda **_: 1 / 0, "stopped with ZeroDivisionError"),
    ],
)
def test_a_function_that_fails_says_how(function, words):
    case = {"outer_diameter_mm": 1.0, "vein_diameter_mm": 4.0}
    assert words in trial.try_function(function, [case]).error


def test_a_line_not_written_yet_is_said_so():
    def stub(**_):
        raise NotImplementedError("replace this line")

    assert trial.try_function(stub, [{}]).error == "The line is not written yet."


class AlwaysEqual(float):
    def __eq__(self, other):
        return True

    __hash__ = float.__hash__


@pytest.mark.parametrize("value", [AlwaysEqual(7.0), 7])
def test_what_leaves_is_a_plain_number(value):
    results = trial.try_function(lambda **_: value, [{}]).results
    assert json.loads(json.dumps(results)) == [7.0]


@pytest.mark.parametrize("value", ["0.25", None, [0.25], True])
def test_what_is_no_number_leaves_as_it_is_and_is_refused(value, own_code):
    results = trial.try_function(lambda **_: value, [{}]).results
    case = {"outer_diameter_mm": 1.0, "vein_diameter_mm": 4.0}
    judgement = own_code.judge_results([case], list(results))
    assert judgement.outcome == "refused"

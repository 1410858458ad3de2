"""One call, four callers: by hand, validation, nbgrader's marking and the course's own."""

import json
from html import unescape

import pytest

from cubital import items
from cubital.handin import trial
from cubital.handin.answers import AnswerStore
from cubital.handin.release import new_release, write_release
from cubital.worksheet import ask, asking
from cubital.worksheet.fields import AnswerField

RELEASE = new_release("autumn", "catheter-sizing")


@pytest.fixture
def folder(tmp_path, monkeypatch):
    here = tmp_path / "ada.alder" / "catheter-sizing"
    write_release(here, RELEASE)
    monkeypatch.chdir(here)
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)  # nbgrader leaves it behind
    return here


@pytest.fixture
def shown(monkeypatch):
    outputs = []
    monkeypatch.setattr(asking, "display", lambda data, **_: outputs.append(data))
    return outputs


def save(folder, item_id, typed):
    AnswerStore(folder, RELEASE, "ada.alder").save(items.find(item_id), typed)


def right_line(outer_diameter_mm, vein_diameter_mm):
    return outer_diameter_mm / vein_diameter_mm


def test_by_hand_a_field_is_shown(folder):
    assert isinstance(ask("sizing-french"), AnswerField)


def test_validation_wants_an_answer_and_does_not_tell_if_it_is_right(folder, monkeypatch):
    monkeypatch.setenv("NBGRADER_EXECUTION", "validate")
    with pytest.raises(AssertionError, match="no answer is saved yet"):
        ask("sizing-french")
    save(folder, "sizing-french", "99 Fr")
    assert ask("sizing-french") is None


def test_nbgrader_gets_a_plain_float_and_the_reason(folder, monkeypatch, shown):
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    item = items.find("sizing-french")
    right = item.answer(RELEASE.values(item, "ada.alder"))
    save(folder, "sizing-french", f"{right} Fr")
    assert type(ask("sizing-french")) is float
    assert ask("sizing-french") == 2.0
    save(folder, "sizing-french", f"{right / 2} Fr")
    assert ask("sizing-french") == 0.0
    assert "the radius is taken for the diameter" in shown[-1]["text/html"]
    assert "the radius is taken for the diameter" in shown[-1]["text/plain"]


def test_nbgrader_gives_nothing_for_nothing(folder, monkeypatch, shown):
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    scores = [ask(item_id, None) for item_id in RELEASE.items if item_id != "sizing-reasons"]
    assert scores == [0.0] * 12


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


def test_a_function_is_tried_on_cases_that_nobody_saw(folder, monkeypatch, shown):
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    values = RELEASE.values(items.find("sizing-ratio-code"), "ada.alder")
    seen = right_line(**values)
    assert ask("sizing-ratio-code", right_line) == 2.0
    assert ask("sizing-ratio-code", lambda outer_diameter_mm, vein_diameter_mm: seen) == 0.0
    assert "Right on your own values only" in shown[-1]["text/plain"]


class Typed:
    """A kernel's shell as far as `ask` looks at it: what was run, the asking cell last."""

    def __init__(self, *cells):
        self.history_manager = self
        self.input_hist_raw = ["", *cells, 'ask("sizing-ratio-code", ratio)']

    @staticmethod
    def transform_cell(source):
        return source


STUB = "def ratio(a, b):\n    raise NotImplementedError()"
GOOD = "def ratio(a, b):\n    return a / b"


@pytest.mark.parametrize(
    ("cells", "words"),
    [
        ([STUB, "def ratio(a, b):\n    return a /"], "not valid Python: invalid syntax in line 2."),
        ([STUB, "def ratio(a, b):\n  return a\n   +b"], "unexpected indent in line 3."),
        ([STUB, "def ratio(a, b)\n    return a"], "expected ':' in line 1."),
        ([STUB, "def ratio(a, b):\n    return a /", "ratio(1, 2)"], "not valid Python"),
        ([GOOD, "dfe ratio(a, b):\n    return a"], "not valid Python"),
        ([STUB], "The line is not written yet."),
        ([STUB, "def ratio(a, b):\n    return a /", STUB, "1 +"], "The line is not written yet."),
        ([], "The line is not written yet."),
    ],
)
def test_a_line_that_is_no_python_is_not_told_as_unwritten(
    folder, monkeypatch, shown, cells, words
):
    def stub(**_):
        raise NotImplementedError("replace this line")

    monkeypatch.setattr(asking, "get_ipython", lambda: Typed(*cells))
    ask("sizing-ratio-code", stub)
    text = unescape(shown[-1]["text/html"])
    assert words in text
    assert ("not written" in text) == ("not written" in words)


def test_the_courses_own_marking_only_takes_results_away(folder, monkeypatch, tmp_path):
    cases, results = tmp_path / "cases.json", tmp_path / "results.jsonl"
    inputs = [{"outer_diameter_mm": 1.0, "vein_diameter_mm": 4.0}]
    cases.write_text(json.dumps({"sizing-ratio-code": inputs}), encoding="utf-8")
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    monkeypatch.setenv(trial.CASES_VARIABLE, str(cases))
    monkeypatch.setenv(trial.RESULTS_VARIABLE, str(results))
    assert ask("sizing-ratio-code", right_line) is None
    row = json.loads(results.read_text(encoding="utf-8"))
    assert row == {"item": "sizing-ratio-code", "results": [0.25], "error": ""}


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
def test_what_is_no_number_leaves_as_it_is_and_is_refused(value):
    results = trial.try_function(lambda **_: value, [{}]).results
    case = {"outer_diameter_mm": 1.0, "vein_diameter_mm": 4.0}
    judgement = items.find("sizing-ratio-code").judge_results([case], list(results))
    assert judgement.outcome == "refused"

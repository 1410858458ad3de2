"""A broken file among the kept results is its learner's state, and stops nobody's report."""

import json
from dataclasses import asdict

import pytest

from cubital import cli
from cubital.handin.results import MARKED, SYSTEM_ERROR
from cubital.marking.marks import gradebook, marker

WORKSHEET = "catheter-sizing"
LEFT = 3  # the exit status, as the README has it
LIST = f"results/{WORKSHEET}.problems.json"


def with_part(**parts):
    return lambda told: json.dumps(told | parts)


def first_item(**parts):
    return lambda told: json.dumps(told | {"items": [told["items"][0] | parts]})


BROKEN = {  # who -> what the file holds, and words of the reason
    "half": (lambda told: json.dumps(told)[:200], "half.json is not whole JSON"),
    "empty": (lambda told: "", "empty.json is not whole JSON"),
    "list": (lambda told: "[1]", "list.json is not a marking result"),
    "format": (with_part(format="cubital-result/9"), "format.json is not a marking result"),
    "part": (with_part(odd=1), "part.json lacks a part"),
    "item": (with_part(items=["x"]), "item.json lacks a part"),
    "points": (first_item(points="2"), "points.json has an odd points"),
    "message": (first_item(message=None), "message.json has an odd message"),
    "state": (with_part(state="done"), "state.json has an odd state"),
    "other": (with_part(), "it is of “ann”"),
}


@pytest.fixture(scope="module")
def workspace(copy_course, desk, tmp_path_factory):
    """One who is marked, and by each other learner's id a broken file; none can be opened."""
    where = tmp_path_factory.mktemp("broken")
    course = copy_course(where / "spring", ["ann", *BROKEN, "folder"])
    desk(course, "ann", where).answer().hand_in()
    given = [WORKSHEET, "--workspace", str(course.workspace)]
    assert cli.main(["cohort", "collect", *given]) == 0
    (whole, *_) = marker.mark(course, WORKSHEET)
    told = {"format": "cubital-result/1"} | json.loads(json.dumps(asdict(whole)))
    folder = course.results_folder / WORKSHEET
    for who, (broken, _) in BROKEN.items():
        (folder / f"{who}.json").write_text(broken(told), encoding="utf-8")
    (folder / "folder.json").mkdir()
    return course, whole, given


def test_each_broken_file_is_its_learners_state_with_file_and_what_to_do(workspace):
    course, whole, _ = workspace
    found = {row.learner: row for row in gradebook.results(course, WORKSHEET)}
    assert found["ann"] == whole
    assert whole.state == MARKED
    for who in (*BROKEN, "folder"):
        row = found[who]
        assert (row.state, row.items) == (SYSTEM_ERROR, ())
        assert str(course.results_folder / WORKSHEET / f"{who}.json") in row.reason
        assert BROKEN.get(who, (None, "Is a directory"))[1] in row.reason
        assert row.action == f"Move the file away and mark “{WORKSHEET}” again."


@pytest.mark.parametrize("step", ["report", "feedback"])
def test_report_and_feedback_are_written_and_name_the_broken_files(workspace, step, capsys):
    course, _, given = workspace
    assert cli.main(["cohort", step, *given]) == LEFT
    told = capsys.readouterr().out
    for who in (*BROKEN, "folder"):
        assert f"Not marked: {who}: system_error: what marking decided cannot be read" in told
    if step == "feedback":
        assert course.feedback("ann", WORKSHEET).is_file()
        return
    marks = (course.workspace / "report" / WORKSHEET / "marks.csv").read_text("utf-8-sig")
    assert "half.json is not whole JSON" in marks
    assert "half.json is not whole JSON" in (
        course.workspace / "report" / WORKSHEET / "index.html"
    ).read_text("utf-8")


def test_a_broken_list_of_what_was_not_taken_is_told_and_written_anew(workspace, capsys):
    course, _, given = workspace
    for text in ("{", "[]", '{"format": "x"}', '{"format": "cubital-problems/1", "inbox": [1]}'):
        (course.workspace / LIST).write_text(text, encoding="utf-8")
        assert cli.main(["cohort", "report", *given]) == LEFT
        assert f"Not marked: {LIST}: system_error: what was not taken" in capsys.readouterr().out
    assert cli.main(["cohort", "collect", *given]) == 0
    cli.main(["cohort", "report", *given])
    assert LIST not in capsys.readouterr().out

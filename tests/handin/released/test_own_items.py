"""An educator's own question is asked of its form alone; its file is run where it was released."""

import json
import shutil
import zipfile
from functools import partial
from pathlib import Path

import pytest

from cubital.handin.marks import mark
from cubital.handin.released import own
from cubital.handin.released.release import new_release, read_release
from cubital.handin.released.sealed import folder_of
from cubital.items import WORKSHEETS
from cubital.items.kinds import rules
from cubital.marking.cohort import course, releasing
from cubital.study import folders
from cubital.worksheet import ask
from cubital.worksheet.fields import AnswerField
from cubital.worksheet.sitting import sitting

WORKSHEET = "catheter-sizing"
FILE = "own-room_left.py"


@pytest.fixture(scope="module")
def cohort(tmp_path_factory):
    made = course.create(tmp_path_factory.mktemp("own") / "w", [course.Learner("ann")])
    own.write_template(made.workspace, "room_left")
    releasing.release(made, WORKSHEET, "spring")
    return made


@pytest.fixture
def opened(cohort, tmp_path):
    given_out = str(cohort.handout(WORKSHEET))
    return folders.lay_out(tmp_path / "learners", "ann", given_out).notebook.parent


@pytest.fixture
def sealed(cohort, tmp_path):
    """What the workspace keeps of the release, to be changed."""
    there = folder_of(cohort.workspace, WORKSHEET, "spring")
    return Path(shutil.copytree(there, tmp_path / "sealed"))


def test_the_file_stays_in_the_workspace_and_learners_get_the_question_alone(cohort):
    with zipfile.ZipFile(cohort.handout(WORKSHEET)) as archive:
        assert not [name for name in archive.namelist() if name.endswith(".py")]
        told = json.loads(archive.read(f"{WORKSHEET}/release.json"))
        text = b"".join(archive.read(name) for name in archive.namelist()).decode()
    assert told["own"]["own-room-left"]["file"] == FILE
    assert len(told["own"]["own-room-left"]["sha256"]) == 64
    item = cohort.release(WORKSHEET).item("own-room-left")
    assert not [slip.misconception for slip in item.slips if slip.misconception in text]
    assert (folder_of(cohort.workspace, WORKSHEET, "spring") / FILE).is_file()


def test_the_question_is_asked_and_its_answer_saved(cohort, opened, monkeypatch):
    monkeypatch.chdir(opened)
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)
    field = ask("own-room-left")
    assert isinstance(field, AnswerField)
    assert "lies in the middle of it" in field.question
    release = cohort.release(WORKSHEET)
    question, _ = cohort.sealed(release).asked("own-room-left", "ann", None)
    field.enter(f"{release.item('own-room-left').answer(question.values):.2f} mm")
    assert field.state == "saved"
    answers = sitting(opened).store.read()
    assert mark(*cohort.sealed(release).asked("own-room-left", "ann", answers)).outcome == "right"


def test_a_file_that_was_changed_is_not_run(sealed, tmp_path):
    trap = tmp_path / "trap.txt"
    path = sealed / FILE
    path.write_text(path.read_text() + f"\nopen({str(trap)!r}, 'w').close()\n", encoding="utf-8")
    with pytest.raises(ValueError, match="is not the file that was released, so it is not run"):
        read_release(sealed).item("own-room-left")
    assert not trap.exists()


def test_a_missing_file_is_told_and_the_other_items_are_known_all_the_same(sealed):
    (sealed / FILE).unlink()
    with pytest.raises(ValueError, match="is missing"):
        read_release(sealed).listed()
    known = [item.id for item in read_release(sealed).known()]
    assert known == [item.id for item in WORKSHEETS[WORKSHEET]]


@pytest.mark.parametrize("name", ["../own-x.py", "own-x.py/../y", "answers.json", "own-X.py", ""])
def test_a_release_that_names_another_file_is_refused(sealed, name):
    path = sealed / "release.json"
    told = json.loads(path.read_text(encoding="utf-8"))
    told["own"]["own-room-left"]["file"] = name
    path.write_text(json.dumps(told), encoding="utf-8")
    with pytest.raises(ValueError, match="cannot be the file of an own item"):
        read_release(sealed)


@pytest.mark.parametrize("name", ["Room", "1room", "", "a" * 41, "../x", "room left"])
def test_a_name_that_cannot_be_a_file_is_refused(tmp_path, name):
    with pytest.raises(own.OwnItemError, match="cannot name an item"):
        own.write_template(tmp_path, name)


def test_a_template_never_replaces_what_is_there(tmp_path):
    path = own.write_template(tmp_path, "room")
    path.write_text("# mine\n", encoding="utf-8")
    with pytest.raises(own.OwnItemError, match="is there already"):
        own.write_template(tmp_path, "room")
    assert path.read_text(encoding="utf-8") == "# mine\n"


HEAD = """
from random import random

from cubital.items import *

WORKSHEET = "catheter-sizing"
OBJECTIVE = "size-ratio"
LETTERS = ["a", "b", "c", "d"]
PLAIN = dict(id="own-x", title="T", points=1, section="S", ask=lambda values: "Q")
WRONG = {"a": "", "b": "errs", "c": "errs", "d": "errs"}


def order(draw):
    return {"order": draw.shuffled(LETTERS), "shown": draw.shuffled(LETTERS)}


def options(values):
    return [Option(key, key, WRONG[key]) for key in values["order"]]


def steps(values):
    return [Step(key, key) for key in LETTERS]


def columns(values):
    return [Column("x", "X"), Column("y", "Y")]


def rows(values):
    return [Row("a", "A", "x", {"y": "errs"}), Row("b", "B", "y", {"x": "errs"})]


CHOICE = dict(draw_values=order, options=options)
ORDER = dict(draw_values=order, steps=steps, rules=(Before("r", "a", "b", "errs"),))
TABLE = dict(draw_values=order, columns=columns, rows=rows)
TEXT = dict(draw_values=order, mark_scheme=("one",))
"""
FAULTY = {
    "two right": ("CHOICE", "WRONG['b'] = ''", "2 options are right"),
    "none right": ("CHOICE", "WRONG['a'] = 'errs'", "0 options are right"),
    "three options": ("CHOICE", "LETTERS.pop()", "there are 3 options: 4 at least"),
    "same text": (
        "CHOICE",
        "CHOICE['options'] = lambda v: [Option(k, 'same', WRONG[k]) for k in LETTERS]",
        "two options say 'same'",
    ),
    "always first": (
        "CHOICE",
        "CHOICE['draw_values'] = lambda d: {'n': d.step(0, 9, 1), 'order': LETTERS}",
        "stands at the same place for 200 of 200 learners",
    ),
    "tuples": (
        "CHOICE",
        "CHOICE['draw_values'] = lambda d: {'order': tuple(d.shuffled(LETTERS))}",
        "what no file keeps as it is",
    ),
    "chance": (
        "CHOICE",
        "CHOICE['draw_values'] = lambda d: {'n': random(), 'order': d.shuffled(LETTERS)}",
        "other values the second time",
    ),
    "no such step": (
        "ORDER",
        "ORDER['rules'] = (Before('r', 'a', 'z', 'errs'),)",
        "a rule, or values['shown'], may name a step that is not there",
    ),
    "wrong order": (
        "ORDER",
        "ORDER['rules'] = (Before('r', 'b', 'a', 'errs'),)",
        "the steps as listed break the rule 'r'",
    ),
    "no rules": ("ORDER", "ORDER['rules'] = ()", "rules is empty"),
    "no column": (
        "TABLE",
        "TABLE['rows'] = lambda v: [Row('e', 'E', 'z', {}), *rows(v)]",
        "right is 'z', which is no column",
    ),
    "no misconception": (
        "TABLE",
        "TABLE['rows'] = lambda v: [Row('c', 'C', 'x', {}), *rows(v)]",
        "needs one misconception for each column but the right one",
    ),
    "row twice": ("TABLE", "TABLE['rows'] = lambda v: rows(v) * 2", "two rows have the key 'a'"),
    "no scheme": ("TEXT", "TEXT['mark_scheme'] = ()", "mark_scheme is empty"),
}


def read_kind(folder, kind, change):
    (folder / "items").mkdir()
    item = f"ITEM = {kind.title()}Item(**PLAIN, **{kind})"
    path = folder / "items" / "x.py"
    path.write_text("\n".join((HEAD, change, item, "")), encoding="utf-8")
    (found,) = own.read_own_items(folder)
    return rules.faults(found.item, lambda who: found.item.values("r", who, {}))


@pytest.mark.parametrize("kind", ["CHOICE", "ORDER", "TABLE", "TEXT"])
def test_each_kind_has_no_fault_as_it_should_be(tmp_path, kind):
    assert read_kind(tmp_path, kind, "") == []


@pytest.mark.parametrize("case", FAULTY)
def test_each_kind_is_held_to_its_rules(tmp_path, case):
    kind, change, words = FAULTY[case]
    faults = read_kind(tmp_path, kind, change)
    assert words in faults[0], faults


@pytest.mark.parametrize("worksheet", WORKSHEETS)
def test_the_courses_own_items_keep_the_rules(worksheet):
    release = new_release("rules", worksheet)
    for item in WORKSHEETS[worksheet]:
        if item.needs not in {"results", "truth"}:
            draws = partial(release.values, item)
            faults = rules.faults(item, draws, learners=60)
            assert faults == [], item.id

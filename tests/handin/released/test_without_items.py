"""A paper is all that the learner's side needs: it works in a course that has no item left."""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from cubital import items, tables
from cubital.handin.answers import read_answers
from cubital.handin.bundle import read_bundle
from cubital.handin.marks import mark
from cubital.handin.released.release import new_release
from cubital.study import folders

LEARNER = "ada.alder"
# What a learner's computer does with a worksheet's folder: show each question, save, hand in.
SIT = """
import json, sys
from pathlib import Path
from cubital.handin.bundle import hand_in
from cubital.items.kinds.code import CodeForm
from cubital.worksheet.fields import field
from cubital.worksheet.sitting import sitting

folder, typed = Path(sys.argv[1]), json.loads(sys.argv[2])
here = sitting(folder)
shown = {}
for item_id in here.listed():
    form = here.store.form(item_id)
    if isinstance(form, CodeForm):
        continue
    if hasattr(form, "pictures"):
        here.store.save(item_id, typed[item_id])  # its picture is not rendered here
        continue
    box = field(here, item_id)
    box.enter(typed[item_id])
    shown[item_id] = [box.question, box.state, box.status]
hand_in(folder, here.learner, folder.parent / "out")
print(json.dumps(shown))
"""


@pytest.fixture(scope="module")
def bare(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The course with every item taken out, as a package to be imported instead of ours."""
    where = tmp_path_factory.mktemp("bare")
    grader = Path(items.__file__).parents[2]
    left_out = shutil.ignore_patterns("__pycache__")
    shutil.copytree(grader / "cubital", where / "grader" / "cubital", ignore=left_out)
    for part in ("modules", "exercises", "assets"):
        (where / part).symlink_to(tables.course_folder(part))
    inside = where / "grader" / "cubital" / "items"
    for path in inside.iterdir():
        if path.name not in {"__init__.py", "kinds", "typed", "writing"}:
            shutil.rmtree(path) if path.is_dir() else path.unlink()
    return where / "grader"


@pytest.mark.parametrize("worksheet", items.WORKSHEETS)
def test_every_paper_is_shown_answered_and_handed_in_with_no_item_left(
    worksheet, bare, given_out, tmp_path
):
    listed = items.WORKSHEETS[worksheet]
    pictures = {item.id: ("aaaa",) for item in listed if item.needs == "truth"}
    folder = tmp_path / LEARNER / worksheet
    sealed = given_out(folder, new_release("autumn", worksheet, pictures=pictures))
    notebook = folders.cleared_worksheet(worksheet)
    (folder / f"{worksheet}.ipynb").write_text(notebook, encoding="utf-8")
    asked = {key: question for key, (question, _) in sealed.all_asked(LEARNER, None).items()}
    typed = {}
    for item in listed:
        question = asked[item.id]
        if item.needs == "truth":
            left_open = {"place": [], "trials": {"said": {"1": item_key(item, question)}}}
            typed[item.id] = left_open.get(item.kind) or (
                [] if item.kind == "place" else {"what": question.as_entered("no-change")}
            )
        elif item.needs != "results":
            typed[item.id] = question.as_entered(item.solution(question.values))
    done = subprocess.run(
        [sys.executable, "-c", SIT, str(folder), json.dumps(typed)],
        env={"PYTHONPATH": str(bare), "HOME": str(tmp_path), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    shown = json.loads(done.stdout)
    for item_id, (words, state, status) in shown.items():
        assert words == asked[item_id].form.question
        assert (state, "not marked yet" in status) == ("saved", True)
    (zipped,) = (folder.parent / "out").glob("*.zip")
    assert read_bundle(zipped).learner == LEARNER
    answers = read_answers(folder)
    marked = {key: mark(*sealed.asked(key, LEARNER, answers)).outcome for key in shown}
    assert set(marked.values()) <= {"right", "waiting"}


def item_key(item, question):
    """The key in the paper of the first thing that can be said of a trial."""
    return question.as_entered(item.options[0].key) if item.kind == "trials" else ""


def test_the_bare_course_has_no_items(bare):
    code = "from cubital import items; items.find('sizing-french')"
    found = subprocess.run(
        [sys.executable, "-c", code],
        env={"PYTHONPATH": str(bare)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert "No module named 'cubital.items.worksheets'" in found.stderr

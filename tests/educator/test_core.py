"""A department can ask the core alone: three hours, and the rest to practise."""

import json
import re
import tomllib
from pathlib import Path

import pytest

from cubital.cli import main
from cubital.handin import passing
from cubital.handin.files import read_json
from cubital.handin.released.release import read_release
from cubital.items import WORKSHEETS
from cubital.items.core import core
from cubital.marking.cohort import releasing
from cubital.marking.cohort.course import Course
from cubital.marking.cohort.parallel import make_form, worksheets_of_form

from ..modules import minutes

CREATE = ["cohort", "create", "--core", "--workspace"]


@pytest.fixture
def course(tmp_path: Path) -> Course:
    roster = tmp_path / "roster.csv"
    roster.write_text("id,first_name,last_name\nann,,\n", encoding="utf-8")
    assert main([*CREATE, str(tmp_path / "spring"), "--roster", str(roster)]) == 0
    return Course(tmp_path / "spring")


def test_a_worksheet_asks_its_part_of_the_core_and_says_so(course: Course) -> None:
    where = str(course.workspace)
    release = ["cohort", "release", "light-and-depth", "--name", "spring-1", "--workspace", where]
    assert main(release) == 0
    folder = course.released("light-and-depth")
    asked = [i for i in WORKSHEETS["light-and-depth"] if i.optional or i.id in core()]
    assert list(read_release(folder).items) == [item.id for item in asked]
    cells = json.loads((folder / "light-and-depth.ipynb").read_text(encoding="utf-8"))["cells"]
    texts = ["".join(cell["source"]) for cell in cells]
    assert "\n\nFive questions, about 15 minutes. " in texts[0]
    assert [text.split("\n")[0] for text in texts if text.startswith("## 5.")] == [
        "## 5. The darker of two lines"
    ]
    assert texts.count('ask("light-artery")') == 0


@pytest.mark.parametrize("worksheet", WORKSHEETS)
def test_every_top_says_the_minutes_of_the_rule(course: Course, worksheet: str) -> None:
    source = read_json(course.source(worksheet) / f"{worksheet}.ipynb")
    notebook = releasing._adapted(source, course.bank(worksheet), worksheet)
    top = "".join(notebook["cells"][0]["source"])
    (stated,) = re.findall(r" questions, about (\d+) minutes", top)
    rule = minutes.of_worksheet(worksheet, core_alone=True)
    assert abs(int(stated) - rule) <= minutes.NEAR


def test_all_worksheets_together_ask_enough_to_decide_by(course: Course) -> None:
    bank = course.bank("light-and-depth")
    asked = [i for name in passing.required() for i in bank.asked(name) if not i.optional]
    assert {item.id for item in asked} == core()
    assert sum(item.id not in passing.standing_apart() for item in asked) >= 60


def test_a_second_call_harms_nothing_and_another_choice_stays(
    course: Course, capsys: pytest.CaptureFixture[str]
) -> None:
    path = course.workspace / "bank.toml"
    before = path.read_bytes()
    assert main([*CREATE, str(course.workspace)]) == 0
    assert path.read_bytes() == before
    path.write_text("[items.sizing-ratio]\npoints = 3\n", encoding="utf-8")
    other = course.workspace.parent / "other.csv"
    other.write_text("id,first_name,last_name\nben,,\n", encoding="utf-8")
    capsys.readouterr()
    again = [*CREATE, str(course.workspace), "--roster", str(other), "--replace-roster"]
    assert main(again) == 1
    assert list(course.roster()) == ["ann"]
    assert "bank.toml says already what is asked" in capsys.readouterr().err
    assert path.read_text(encoding="utf-8") == "[items.sizing-ratio]\npoints = 3\n"


def test_what_is_released_with_all_questions_stays_and_is_named(
    course: Course, capsys: pytest.CaptureFixture[str]
) -> None:
    (course.workspace / "bank.toml").unlink()
    where = str(course.workspace)
    release = ["cohort", "release", "light-and-depth", "--name", "spring-1", "--workspace", where]
    assert main(release) == 0
    assert main([*CREATE, where]) == 1
    assert "light-and-depth is released already with all questions" in capsys.readouterr().err
    assert not (course.workspace / "bank.toml").exists()


def test_a_question_whose_lines_are_deleted_is_asked_again(course: Course) -> None:
    path = course.workspace / "bank.toml"
    text = path.read_text(encoding="utf-8")
    assert text.count("[items.light-artery]\noff = true\n") == 1
    path.write_text(text.replace("[items.light-artery]\noff = true\n", ""), encoding="utf-8")
    asked = {item.id for item in course.bank("light-and-depth").asked("light-and-depth")}
    assert "light-artery" in asked
    assert "light-contrast" in asked
    assert "light-depth" not in asked


def test_a_parallel_form_asks_the_core_again_but_for_its_cases(course: Course) -> None:
    names = worksheets_of_form(course)
    assert sorted(names) == sorted(WORKSHEETS)
    form = make_form(course, course.workspace.parent / "again", ["ann"])
    told = tomllib.loads((form.workspace / "bank.toml").read_text(encoding="utf-8"))["items"]
    again = [i for name in names for i in form.bank(name).asked(name) if not i.optional]
    assert {item.id for item in again} == {
        item.id
        for worksheet in WORKSHEETS.values()
        for item in worksheet
        if item.id in core() and passing.asked_anew(item)
    }
    assert all(row == {"off": True} for row in told.values())

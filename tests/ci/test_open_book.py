"""A paper can be answered by the installed course alone; the page and what is said of it agree."""

import importlib
import re
import shutil
from pathlib import Path

import pytest

from cubital import items
from cubital.educator.create import create
from cubital.educator.release import release
from cubital.handin.marks import mark
from cubital.handin.released.sealed import read_sealed

CHECKOUT = Path(__file__).resolve().parents[2]
ROW = re.compile(r"\| ([\w-]+) \| ([\d.]+) \| ([\d.]+) \| (\d+) % \| (\d+) % \|")


@pytest.fixture
def open_book(monkeypatch):
    """The script of the checkout."""
    monkeypatch.syspath_prepend(CHECKOUT / ".ci")
    return importlib.import_module("open_book")


def rows(open_book):
    """The page's table: points, points on pictures, shares in per cent, by worksheet."""
    found = ROW.findall(open_book.PAGE.read_text(encoding="utf-8"))
    return {name: tuple(map(float, numbers)) for name, *numbers in found}


def test_the_course_answers_a_paper_with_nothing_sealed_at_hand(open_book, tmp_path):
    roster = tmp_path / "roster.csv"
    roster.write_text("id,first_name,last_name\nann,Ann,Alder\n", encoding="utf-8")
    workspace = create(tmp_path / "spring", roster).workspace
    handout = release(workspace, "catheter-sizing", "spring").handout
    given = shutil.copy(handout, tmp_path)
    workspace.rename(tmp_path / "away")
    here = open_book.answered(Path(given), "ann", tmp_path / "learners")
    sealed = read_sealed(tmp_path / "away", "catheter-sizing", "spring")
    asked = sealed.all_asked("ann", here.store.read())
    outcomes = {item_id: mark(*one).outcome for item_id, one in asked.items()}
    computed = [item.id for item in items.WORKSHEETS["catheter-sizing"] if not item.needs]
    assert {item_id: outcomes[item_id] for item_id in computed} == dict.fromkeys(computed, "right")


def test_the_page_has_every_worksheet_with_the_points_that_a_computer_marks(open_book):
    found = rows(open_book)
    assert set(found) == {*items.WORKSHEETS, "all"}
    for worksheet, listed in items.WORKSHEETS.items():
        points, pictured, by_course, by_chance = found[worksheet]
        assert points == sum(item.points for item in listed if item.needs != "person")
        assert pictured == sum(item.points for item in listed if item.needs == "truth")
        assert by_chance < by_course <= round(100 * (1 - pictured / points))


@pytest.mark.parametrize("place", ["README.md", "modules/90-educator-guide.ipynb"])
def test_what_is_said_of_the_open_book_is_what_the_page_says(open_book, place):
    *_, by_course, by_chance = rows(open_book)["all"]
    said = f"{by_course:.0f} % of the points"
    text = (CHECKOUT / place).read_text(encoding="utf-8")
    assert said in text
    assert f"{by_chance:.0f} %" in text.partition(said)[2][:200]

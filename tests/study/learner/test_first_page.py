"""The first page: one thing to do, every lesson and worksheet a link, an educator's file opened."""

import json
import re
import shutil
from pathlib import Path

import pytest

from cubital import tables
from cubital.handin.ids import answers_as
from cubital.handin.progress import keep_progress, read_progress
from cubital.handin.released.release import read_release
from cubital.items import WORKSHEETS
from cubital.marking.cohort import course as cohorts
from cubital.marking.cohort import releasing
from cubital.study import folders, page_kernel, site_files
from cubital.study.learner import first_page, people
from cubital.study.learner.first_page import FirstPage
from cubital.study.offered import of_release, offered
from cubital.tables import course
from cubital.worksheet.sitting import sitting

FIRST, SECOND = "10-light-and-depth", "20-focal-geometry"
NOTEBOOKS = {path.stem for path in tables.course_folder("modules").glob("*.ipynb")}
SHORT = course.Path("short", "A path of two lessons", (FIRST, SECOND), "Short.")


@pytest.fixture(scope="module")
def laid_out(tmp_path_factory):
    """Maria's folder with the whole course, which each test gets a copy of."""
    maria = people.begin(tmp_path_factory.mktemp("first"), "Maria Schmidt")
    folders.lay_out_course(maria.folder)
    return maria.folder


@pytest.fixture
def lessons(laid_out, tmp_path):
    """Maria's folder of lessons."""
    shutil.copytree(laid_out, tmp_path / laid_out.name)
    return tmp_path / laid_out.name / folders.LESSONS


@pytest.fixture(scope="session")
def handout(tmp_path_factory):
    """A worksheet as an educator gives it out, to Maria as ms42."""
    cohort = cohorts.create(
        tmp_path_factory.mktemp("cohort") / "spring", [cohorts.Learner("ms42", "Maria", "Schmidt")]
    )
    return Path(releasing.release(cohort, "catheter-sizing", "spring"))


def press(form, name, value=True):
    form._handle_custom_msg({"name": name, "value": value}, [])


def give(form, data, pieces=2):
    """Give a file as the page does, in pieces."""
    size = len(data) // pieces + 1
    for piece in range(pieces):
        told = {"name": "file", "file": "given.zip", "piece": piece, "pieces": pieces}
        form._handle_custom_msg(told, [memoryview(data[piece * size : (piece + 1) * size])])


def stops(form):
    (way,) = (block for block in form.blocks if block["kind"] == "way")
    return way["stops"]


def onward(form):
    (link,) = (
        inner
        for block in form.blocks
        if block["kind"] == "card"
        for inner in block["blocks"]
        if inner["kind"] == "link"
    )
    return link["words"], link["href"]


def test_every_lesson_and_worksheet_is_a_link_and_leads_to_a_page_that_is_there(lessons):
    links = [
        part["href"]
        for stop in stops(FirstPage(lessons))
        for line in stop["lines"]
        for part in line
        if "href" in part
    ]
    assert len(links) == len({*links}) == len(course.lessons()) + len(WORKSHEETS)
    assert not any("//" in link for link in links)  # a lesson without a worksheet leads to none
    assert all((lessons / link).resolve().is_file() for link in links)
    assert {
        *(row.name for row in course.lessons()),
        "00-start-here",
        "90-educator-guide",
        "95-evidence",
    } == NOTEBOOKS


def test_one_filled_button_goes_on_where_one_stopped(lessons):
    assert onward(FirstPage(lessons)) == ("Begin", f"{FIRST}.ipynb")
    keep_progress(lessons, page=f"lessons/{SECOND}.ipynb")
    assert onward(FirstPage(lessons)) == ("Go on", f"{SECOND}.ipynb")
    keep_progress(lessons, finished=SECOND)
    assert onward(FirstPage(lessons)) == ("Go on", f"{FIRST}.ipynb")
    keep_progress(lessons, page="focal-geometry/focal-geometry.ipynb")
    assert onward(FirstPage(lessons)) == ("Go on", f"{FIRST}.ipynb")


def test_opening_a_page_notes_where_one_is_but_not_the_first_page(lessons, monkeypatch):
    monkeypatch.setattr(page_kernel, "_ROOT", lessons.parents[1])
    monkeypatch.chdir(lessons)
    learner = lessons.parent.name
    page_kernel.open_page(f"{learner}/lessons/{SECOND}.ipynb", known=False)
    told = page_kernel.open_page(f"{learner}/lessons/00-start-here.ipynb", known=False).data
    assert read_progress(lessons).page == f"lessons/{SECOND}.ipynb"
    assert told["who"] == {}  # nobody else can be asked for here


def test_finished_lessons_and_the_next_one_are_told_by_sign_and_words(lessons):
    keep_progress(lessons, finished=FIRST)
    first, second, *_ = stops(FirstPage(lessons))
    assert (first["sign"], first["here"], first["lines"][0][1]["text"]) == (
        "✓",
        False,
        ": finished",
    )
    assert (second["sign"], second["here"]) == ("2", True)
    assert "1 of 8 lessons finished" in str(FirstPage(lessons).blocks)


def test_a_path_is_kept_and_an_unknown_one_refused(lessons, monkeypatch):
    both = (*course.paths(), SHORT)
    monkeypatch.setattr(course, "paths", lambda: both)
    form = FirstPage(lessons)
    press(form, "path", "short")
    assert read_progress(lessons).path == "short"
    assert "not on your path" in stops(form)[2]["lines"][0][1]["text"]
    press(form, "path", "surgeon")
    assert read_progress(lessons).path == "short"
    assert "'surgeon': it must be one of adult, paediatric, venepuncture, short" in form.fault


@pytest.mark.parametrize("path", course.paths(), ids=lambda path: path.key)
def test_a_path_is_chosen_by_ones_work_and_says_what_it_is(lessons, path):
    form = FirstPage(lessons)
    press(form, "path", path.key)
    (radios,) = (block for block in form.blocks if block["kind"] == "radios")
    assert radios["value"] == path.key
    assert radios["says"].startswith(path.note)
    rows = [row for row in course.lessons() if row.name not in path.lessons]
    told = {stop["lines"][0][0]["text"]: stop["lines"][0][1]["text"] for stop in stops(form)[:-1]}
    assert {title for title, words in told.items() if "not on your path" in words} == {
        row.title for row in rows
    }
    assert f"0 of {len(path.lessons)} lessons finished" in str(form.blocks)


def test_a_session_to_refresh_is_laid_out_and_gone_to(lessons):
    form = FirstPage(lessons)
    press(form, "refresh", 5)
    assert form.goes_to == "../refresh/refresh.ipynb"
    assert (lessons / form.goes_to).resolve().is_file()


def test_an_educators_file_asks_for_the_rosters_id_and_opens_under_it(lessons, handout):
    form = FirstPage(lessons)
    give(form, handout.read_bytes())
    assert form.goes_to == ""
    assert "Your id on your educator's roster" in form.words()
    press(form, "roster", "ms43")
    assert "does not name “ms43”" in form.words()
    press(form, "roster", " MS42 ")
    assert form.goes_to == "../catheter-sizing/catheter-sizing.ipynb"
    here = sitting(lessons.parent / "catheter-sizing")
    assert (here.learner, here.release.name) == ("ms42", "spring")
    here.store.save("sizing-ratio", "34 %")
    again = FirstPage(lessons)
    give(again, handout.read_bytes())  # the id is known now, and the answers stay
    assert again.goes_to == form.goes_to
    assert here.store.read().last("sizing-ratio") is not None
    folders.lay_out(lessons.parents[1], "maria-schmidt", str(handout))
    assert answers_as(here.folder) == "ms42"


def test_what_a_site_offers_is_opened_like_a_file_and_then_offered_no_more(
    lessons, handout, monkeypatch
):
    release, _ = folders.names_of_release(handout, "ms42")
    offer = of_release(release)
    monkeypatch.setattr(first_page, "offered", lambda: [offer])
    monkeypatch.setattr(site_files, "fetched", {offer.file: handout.read_bytes()}.get)
    form = FirstPage(lessons)
    assert "From your educator" in form.words()
    press(form, "offered", "releases/another.zip")
    assert "not given out here any more" in form.words()
    press(form, "offered", offer.file)
    press(form, "roster", "ms42")
    assert form.goes_to == "../catheter-sizing/catheter-sizing.ipynb"
    assert read_release(lessons.parent / "catheter-sizing").name == "spring"
    assert "Your educator gave out these worksheets here" not in FirstPage(lessons).words()


def test_where_the_course_runs_from_no_site_nothing_is_offered():
    assert offered() == []


def test_a_learner_whom_the_roster_names_by_their_folder_is_asked_for_nothing(tmp_path, handout):
    own = people.called(tmp_path, "ms42", "Maria")
    folders.lay_out_course(own.folder)
    form = FirstPage(own.folder / folders.LESSONS)
    give(form, handout.read_bytes(), pieces=1)
    assert form.goes_to == "../catheter-sizing/catheter-sizing.ipynb"
    assert read_release(own.folder / "catheter-sizing").name == "spring"


def test_a_file_that_is_no_worksheet_is_refused_in_words(lessons):
    form = FirstPage(lessons)
    give(form, b"no zip at all")
    assert "This is no worksheet that an educator gave out" in form.words()
    assert form.goes_to == ""


def test_the_map_names_each_worksheet_beside_its_lesson_and_one_that_joins_them(lessons):
    """The lesson that a worksheet's own text sends back to is the one it stands beside."""
    *rows, last = stops(FirstPage(lessons))
    for lesson, stop in zip(course.lessons(), rows, strict=True):
        if not lesson.worksheet:
            assert len(stop["lines"]) == 1
            continue
        text = worksheet_text(stop["lines"][1][0]["href"])
        assert f"](../lessons/{lesson.name}.ipynb)" in text
    assert last["lines"][1][0]["href"] == "../whole-course/whole-course.ipynb"
    (minutes,) = re.findall(r"\d+", last["beside"])
    assert f"about {minutes} minutes" in worksheet_text("../whole-course/whole-course.ipynb")


@pytest.mark.parametrize("path", course.paths(), ids=lambda path: path.key)
def test_a_path_says_how_long_it_takes_and_that_this_is_an_estimate(lessons, path):
    form = FirstPage(lessons)
    press(form, "path", path.key)
    beside = {stop["lines"][0][0]["text"]: int(stop["beside"].split()[0]) for stop in stops(form)}
    own = [row for row in course.lessons() if row.name in path.lessons]
    pages = [
        worksheet_text(f"../{row.worksheet}/{row.worksheet}.ipynb") for row in own if row.worksheet
    ]
    pages.append(worksheet_text("../whole-course/whole-course.ipynb"))
    sheets = sum(int(re.findall(r"questions, about (\d+) minutes", text)[0]) for text in pages)
    core = sum(row.core_minutes for row in (*own, course.closing()))
    said = [divmod(m, 60) for m in (sum(beside[row.title] for row in own), sheets, core)]
    assert re.findall(r"about (\d+) h(?: (\d+) min)?", form.words()) == [
        (str(hours), str(minutes) if minutes else "") for hours, minutes in said
    ]
    assert "All minutes here are estimates: nobody was timed" in form.words()


def worksheet_text(href):
    path = tables.course_folder("exercises") / "source" / href.removeprefix("../")
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return "\n".join("".join(cell["source"]) for cell in cells)

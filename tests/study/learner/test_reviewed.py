"""Every page says who has reviewed it; two paths say that nobody reviewed their own page."""

from datetime import date

import pytest

from cubital.handin.progress import keep_progress
from cubital.handin.released.department import Department, write_department
from cubital.study import folders
from cubital.study.learner.first_page import FirstPage
from cubital.study.learner.reviewed import notices
from cubital.tables import approving, course
from cubital.tables.approving import PageReview, page_edition

TODAY = date(2027, 1, 15)
NONE = "No clinician has reviewed this yet."
OWN = {"paediatric": "86-children", "venepuncture": "84-blood-sampling"}
TITLES = {row.name: row.title for row in course.lessons()}


@pytest.fixture
def folder(tmp_path):
    return folders.learner_folder(tmp_path, "ada")


def signed(*pages, on="2026-12-01", until="2027-12-01"):
    rows = [PageReview(p, "Ada Alder", "lead nurse", on, until, page_edition(p)) for p in pages]
    return Department(reviews={row.page: row for row in rows}, at="x")


def told(folder, page, today=TODAY):
    place = folders.LESSONS if page[0].isdigit() else page
    return notices(folder / place / f"{page}.ipynb", today)


def choose(folder, path):
    keep_progress(folder / folders.LESSONS, path=path)


@pytest.mark.parametrize("page", approving.pages())
def test_as_the_course_ships_every_page_says_that_nobody_reviewed_it(folder, page):
    if page in OWN.values():  # its own text says so, at its top
        assert told(folder, page) == []
        text = folders.lay_out_lesson(folder, page).read_text(encoding="utf-8")
        assert f"**{NONE}** Until your department" in text
    else:
        assert told(folder, page) == [NONE]


@pytest.mark.parametrize("path", OWN)
@pytest.mark.parametrize("page", approving.pages())
def test_the_two_paths_carry_the_notice_on_every_page(folder, path, page):
    choose(folder, path)
    said = [words for words in told(folder, page) if "your path's own page" in words]
    if page == OWN[path]:
        assert said == []
    else:
        (words,) = said
        assert f"“{TITLES[OWN[path]]}”" in words
        assert "hold each step against your own policy" in words


@pytest.mark.parametrize("path", OWN)
def test_the_notice_goes_with_a_review_of_the_paths_page_and_comes_back_when_it_runs_out(
    folder, path
):
    choose(folder, path)
    write_department(folder, signed(OWN[path]))
    assert told(folder, "40-catheter-sizing") == [NONE]
    assert told(folder, "complications") == [NONE]
    (own,) = told(folder, OWN[path])
    assert own == (
        "Reviewed by Ada Alder, lead nurse, on 1 December 2026; next review by 1 December 2027."
    )
    later = date(2027, 12, 2)
    assert len(told(folder, "40-catheter-sizing", later)) == 2
    assert told(folder, OWN[path], later) == ["The review of 1 December 2026 has run out."]


def test_a_review_of_another_page_lifts_no_notice(folder):
    choose(folder, "paediatric")
    write_department(folder, signed("84-blood-sampling", "40-catheter-sizing"))
    sizing = told(folder, "40-catheter-sizing")
    assert sizing[0].startswith("Reviewed by Ada Alder")
    assert "“Children”" in sizing[1]


def test_the_adult_path_has_no_page_of_its_own(folder):
    choose(folder, "adult")
    assert told(folder, "20-focal-geometry") == [NONE]


def test_a_page_that_is_no_part_of_the_course_speaks_of_the_path_alone(folder):
    assert told(folder, "refresh") == []
    choose(folder, "venepuncture")
    assert len(told(folder, "refresh")) == 1


def test_the_first_page_says_of_a_path_whether_its_page_is_reviewed(folder):
    def said(path):
        choose(folder, path)
        form = FirstPage(folder / folders.LESSONS)
        (block,) = (one for one in form.draw() if one.get("name") == "path")
        return block["says"]

    assert said("paediatric").endswith("No clinician has reviewed that page yet.")
    assert "reviewed" not in said("adult")
    today = date.today()
    write_department(
        folder,
        signed("86-children", on=str(today), until=str(approving.a_year_after(today))),
    )
    assert "reviewed" not in said("paediatric")
    assert said("venepuncture").endswith("No clinician has reviewed that page yet.")


def test_a_lesson_loses_the_sentence_that_a_review_makes_untrue(folder):
    def first(page):
        path = folders.lay_out_lesson(folder, page)
        text = path.read_text(encoding="utf-8")
        return text.partition('"id": "objectives"')[0]

    def text(page):
        return folders.lay_out_lesson(folder, page).read_text(encoding="utf-8")

    assert "no clinician has reviewed them yet" in text("00-start-here")
    assert "No clinician has reviewed these two yet" in text("90-educator-guide")
    today = date.today()
    until = approving.a_year_after(today)
    write_department(folder, signed("86-children", on=str(today), until=str(until)))
    assert NONE not in first("86-children")
    assert "Whoever takes blood from children must be well trained in it" in first("86-children")
    assert NONE in first("84-blood-sampling")
    for page in ("00-start-here", "90-educator-guide"):
        assert "the top of each says whether a clinician has reviewed it" in text(page).casefold()
        assert "no clinician has reviewed the" not in text(page).casefold()

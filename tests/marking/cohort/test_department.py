"""A release carries the department's signatures to whoever opens it, and makes no other release."""

import zipfile
from datetime import date

import pytest

from cubital import tables
from cubital.handin.progress import keep_progress
from cubital.handin.released.department import FILE, department_of
from cubital.marking.cohort import releasing
from cubital.marking.errors import CourseError
from cubital.study import folders
from cubital.study.learner.reviewed import notices
from cubital.tables.approving import PageReview, a_year_after, page_edition

from ...conftest import RELEASE, WORKSHEET

PAGE = "86-children"
HEAD = ",".join(PageReview._fields)


def sign(workspace):
    today = date.today()
    row = PageReview(
        PAGE, "Ada Alder", "nurse", str(today), str(a_year_after(today)), page_edition(PAGE)
    )
    (workspace / "page-reviews.csv").write_text(f"{HEAD}\n{','.join(row)}\n", encoding="utf-8")
    profile = '[approval]\napproved_by = "B. Birch"\napproved_on = "2026-12-01"\n'
    (workspace / tables.PROFILE_FILE).write_text(profile, encoding="utf-8")


def names(path):
    with zipfile.ZipFile(path) as archive:
        return archive.namelist()


def test_who_signed_reaches_the_learner_who_opens_the_file(copy_course, tmp_path):
    course = copy_course(tmp_path / "spring", ["ann"])
    before = course.release(WORKSHEET)
    assert f"{WORKSHEET}/{FILE}" not in names(course.handout(WORKSHEET))
    sign(course.workspace)
    path = releasing.release(course, WORKSHEET, RELEASE)  # the same release, signed meanwhile
    assert course.release(WORKSHEET) == before
    assert f"{WORKSHEET}/{FILE}" in names(path)

    opened = folders.lay_out(tmp_path / "learners", "ann", str(path))
    department = department_of(opened.folder)
    assert (department.approved_by, department.approved_on) == ("B. Birch", "2026-12-01")
    keep_progress(opened.folder / folders.LESSONS, path="paediatric")
    assert notices(opened.notebook) == ["No clinician has reviewed this yet."]
    lesson = folders.lay_out_lesson(opened.folder, PAGE)
    assert notices(lesson)[0].startswith("Reviewed by Ada Alder, nurse, on ")

    (course.workspace / "page-reviews.csv").unlink()
    (course.workspace / tables.PROFILE_FILE).unlink()
    path = releasing.release(course, WORKSHEET, RELEASE)
    assert f"{WORKSHEET}/{FILE}" not in names(path)
    folders.lay_out(tmp_path / "learners", "ann", str(path))
    assert len(notices(lesson)) == 0
    assert len(notices(opened.notebook)) == 2


def test_a_review_that_cannot_be_stops_the_release_with_the_reason(copy_course, tmp_path):
    course = copy_course(tmp_path / "spring", ["ann"])
    (course.workspace / "page-reviews.csv").write_text(f"{HEAD}\n{PAGE},A,,,,\n", encoding="utf-8")
    with pytest.raises(CourseError, match="needs the reviewer's name and role"):
        releasing.release(course, WORKSHEET, RELEASE)

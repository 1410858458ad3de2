"""What a release carries of its department, and what a learner who opened it has of it."""

import json

import pytest

from cubital import tables
from cubital.handin.released import department
from cubital.handin.released.department import Department, department_of, keep_department
from cubital.handin.released.release import new_release
from cubital.tables.approving import PageReview, page_edition

PAGE = "86-children"
ROW = PageReview(PAGE, "Ada", "nurse", "2026-12-01", "2027-12-01", page_edition(PAGE))
SIGNED = Department(approved_by="B. Birch", approved_on="2026-12-01", reviews={PAGE: ROW})


def test_where_nobody_signed_there_is_no_file(tmp_path):
    department.write_department(tmp_path, SIGNED)
    assert (tmp_path / department.FILE).is_file()
    department.write_department(tmp_path, department.given_out(tmp_path, tables.profile()))
    assert not (tmp_path / department.FILE).exists()
    assert department.read_department(tmp_path) == Department()


def test_what_is_carried_comes_back_as_it_was(tmp_path):
    department.write_department(tmp_path, SIGNED)
    assert department.read_department(tmp_path) == SIGNED


def test_a_learner_has_the_figures_of_the_release_with_who_approved_them(tmp_path):
    own = tables.profile()._replace(department="Ward 9", working_distance_mm=250)
    keep_department(tmp_path, new_release("spring", "catheter-sizing", profile=own), SIGNED)
    kept = department_of(tmp_path)
    assert kept.profile == own._replace(approved_by="B. Birch", approved_on="2026-12-01")
    assert kept.reviews == {PAGE: ROW}
    assert department_of(tmp_path / "nobody").profile == tables.profile()


@pytest.mark.parametrize(
    "damage",
    [
        lambda told: told | {"format": "x"},
        lambda told: told | {"approved_on": ""},
        lambda told: {key: told[key] for key in told if key != "reviews"},
        lambda told: [],
    ],
)
def test_a_damaged_file_is_refused_and_keeps_nobody_from_learning(tmp_path, damage):
    department.write_department(tmp_path, SIGNED)
    path = tmp_path / department.FILE
    path.write_text(json.dumps(damage(json.loads(path.read_text("utf-8")))), encoding="utf-8")
    with pytest.raises(ValueError, match=r"department\.json"):
        department.read_department(tmp_path)
    assert department_of(tmp_path) == Department()


def test_a_review_that_cannot_be_counts_for_nothing(tmp_path):
    forged = {
        "x": ROW._replace(page="85-nothing"),
        PAGE: ROW._replace(next_review="2099-01-01"),
    }
    department.write_department(tmp_path, Department(reviews=forged))
    assert department.read_department(tmp_path).reviews == {}


def test_of_two_computers_the_file_opened_last_counts_in_either_order(tmp_path):
    early = Department(approved_by="A", approved_on="2026-01-01", at="2026-12-01T08:00:00")
    late = Department(approved_by="B", approved_on="2026-02-01", at="2026-12-01T09:00:00")
    for first, second in ((early, late), (late, early)):
        here, there = tmp_path / first.approved_by, tmp_path / f"{first.approved_by}-there"
        department.write_department(here, first)
        department.write_department(there, second)
        department.merge_department(here, there)
        assert department_of(here) == late

"""A review of a page stands for twelve months at most, and for the text that was read."""

from datetime import date

import pytest

from cubital import tables
from cubital.tables import approving
from cubital.tables.approving import PageReview

PAGE = "84-blood-sampling"
ROW = PageReview(
    PAGE, "Ada Alder", "blood lead", "2026-11-30", "2027-11-30", approving.page_edition(PAGE)
)


@pytest.mark.parametrize(
    ("today", "due"),
    [
        ("2026-11-29", False),  # the day before it was made
        ("2026-11-30", True),
        ("2027-11-30", True),
        ("2027-12-01", False),
    ],
)
def test_a_review_stands_from_its_day_to_the_next(today, due):
    assert ROW.stands(date.fromisoformat(today)) is due


def test_a_review_runs_out_when_it_is_due_again_even_before_a_year():
    early = ROW._replace(next_review="2027-02-01")
    assert early.stands(date(2027, 2, 1))
    assert not early.stands(date(2027, 2, 2))


def test_a_review_never_stands_longer_than_twelve_months_whatever_it_says():
    late = ROW._replace(next_review="2030-01-01")
    assert late.stands(date(2027, 11, 30))
    assert not late.stands(date(2027, 12, 1))


def test_a_review_of_another_text_does_not_stand():
    assert not ROW._replace(edition="00000000").stands(date(2027, 1, 1))
    assert len({approving.page_edition(page) for page in approving.pages()}) == len(
        approving.pages()
    )


def test_what_a_page_says_of_its_review():
    today = date(2027, 1, 1)
    assert approving.said(PAGE, None, today) == "No clinician has reviewed this yet."
    assert approving.said(PAGE, ROW, today) == (
        "Reviewed by Ada Alder, blood lead, on 30 November 2026; next review by 30 November 2027."
    )
    assert approving.said(PAGE, ROW, date(2028, 1, 1)) == (
        "No clinician has reviewed this yet. The review of 30 November 2026 has run out."
    )
    other = ROW._replace(edition="00000000")
    assert approving.said(PAGE, other, today) == (
        "No clinician has reviewed this yet. The review of 30 November 2026 was of another text."
    )


def test_a_leap_day_is_due_on_the_last_of_february():
    assert approving.a_year_after(date(2028, 2, 29)) == date(2029, 2, 28)


def written(folder, *rows):
    lines = [",".join(PageReview._fields), *(",".join(row) for row in rows)]
    (folder / approving.FILE).write_text("\n".join(lines) + "\n", encoding="utf-8")
    return folder


def test_a_department_keeps_its_reviews_in_its_folder(tmp_path):
    assert approving.page_reviews(tmp_path) == {}
    assert approving.page_reviews(written(tmp_path, ROW)) == {PAGE: ROW}


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"page": "85-nothing"}, "is no page of the course: write one of 00-start-here"),
        ({"reviewer": " "}, "needs the reviewer's name and role"),
        ({"role": ""}, "needs the reviewer's name and role"),
        ({"reviewed_on": "in May"}, "reviewed_on is “in May”: write the day as 2026-05-04"),
        ({"next_review": "2027-12-01"}, "at most 12 months later"),
        ({"next_review": "2026-11-30"}, "must be after reviewed_on"),
    ],
)
def test_a_review_that_cannot_be_is_refused_with_the_reason(tmp_path, changed, said):
    with pytest.raises(ValueError, match=r"page-reviews\.csv") as told:
        approving.page_reviews(written(tmp_path, ROW._replace(**changed)))
    assert said in str(told.value)


def test_a_page_is_reviewed_once(tmp_path):
    with pytest.raises(ValueError, match="stands there twice"):
        approving.page_reviews(written(tmp_path, ROW, ROW))


def profile(folder, text):
    (folder / tables.PROFILE_FILE).write_text(text, encoding="utf-8")
    return tables.profile(folder)


def test_the_local_profile_says_who_approved_its_figures_and_when(tmp_path):
    shipped = tables.profile()
    assert (shipped.approved_by, shipped.approved_on) == ("", "")  # invented: nobody has
    own = profile(tmp_path, '[approval]\napproved_by = "B. Birch"\napproved_on = "2026-12-01"\n')
    assert (own.approved_by, own.approved_on) == ("B. Birch", "2026-12-01")
    assert tables.followed(own) == tables.followed(shipped)  # no release is another by it


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('approved_by = "B. Birch"\n', "write approved_by and approved_on both, or neither"),
        ('approved_on = "2026-12-01"\n', "write approved_by and approved_on both, or neither"),
        ('approved_by = "B."\napproved_on = "1.12.26"\n', "write the day as 2026-05-04"),
    ],
)
def test_half_an_approval_is_refused(tmp_path, text, said):
    with pytest.raises(ValueError, match=said):
        profile(tmp_path, f"[approval]\n{text}")

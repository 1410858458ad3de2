"""Who has reviewed the course's pages for a department, and for how long a review stands."""

import functools
import hashlib
import json
from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path
from typing import NamedTuple

from cubital.tables.files import course_folder, own_rows

FILE = "page-reviews.csv"
NOT_REVIEWED = "No clinician has reviewed this yet."
_MONTHS = 12  # a review stands no longer


class PageReview(NamedTuple):
    """A page that a clinician has reviewed for a department.

    ``reviewed_on`` and ``next_review`` are days such as 2026-05-04. ``edition`` is the mark of the
    text that was reviewed, as `page_edition` gives it.
    """

    page: str
    reviewer: str
    role: str
    reviewed_on: str
    next_review: str
    edition: str

    def stands(self, today: date) -> bool:
        """Tell whether the review stands: of the page's present text, and not run out."""
        last = min(date.fromisoformat(self.next_review), _a_year_after(self.reviewed_on))
        begun = date.fromisoformat(self.reviewed_on) <= today
        return begun and today <= last and self.edition == page_edition(self.page)


def page_reviews(folder: Path) -> Mapping[str, PageReview]:
    """Return the reviews in a department's folder by page; none where it has no such file.

    Raises
    ------
    ValueError
        A row cannot be used; the text names file, page and what to write.
    """
    path = folder / FILE
    return checked(own_rows(path, PageReview), path) if path.is_file() else {}


def checked(rows: Iterable[PageReview], where: Path) -> Mapping[str, PageReview]:
    """Return reviews by page, after they were held to what a review must say."""
    found: dict[str, PageReview] = {}
    for row in rows:
        said = f"{where}: “{row.page}”"
        if row.page not in pages():
            raise ValueError(f"{said} is no page of the course: write one of {', '.join(pages())}")
        if row.page in found:
            raise ValueError(f"{said} stands there twice")
        if not row.reviewer.strip() or not row.role.strip():
            raise ValueError(f"{said} needs the reviewer's name and role")
        for name in ("reviewed_on", "next_review"):
            _check_day(getattr(row, name), f"{said}: {name}")
        first, due = date.fromisoformat(row.reviewed_on), date.fromisoformat(row.next_review)
        if not first < due <= _a_year_after(row.reviewed_on):
            raise ValueError(
                f"{said}: next_review is {row.next_review}: it must be after reviewed_on, "
                f"{row.reviewed_on}, and at most {_MONTHS} months later"
            )
        found[row.page] = row
    return found


def check_approval(by: str, on: str, where: Path) -> None:
    """Hold who approved a department's figures, and when, to a name with a day, or neither."""
    if bool(by.strip()) != bool(on.strip()):
        raise ValueError(
            f"{where}: write approved_by and approved_on both, or neither: a name without a day, "
            "or a day without a name, approves nothing"
        )
    if on:
        _check_day(on, f"{where}: approved_on")


def said(page: str, review: PageReview | None, today: date) -> str:
    """Say who reviewed a page and when it is due again, or that nobody has."""
    if review is None:
        return NOT_REVIEWED
    if review.stands(today):
        return (
            f"Reviewed by {review.reviewer}, {review.role}, on {day(review.reviewed_on)}; "
            f"next review by {day(review.next_review)}."
        )
    if review.edition != page_edition(page):
        return f"{NOT_REVIEWED} The review of {day(review.reviewed_on)} was of another text."
    return f"{NOT_REVIEWED} The review of {day(review.reviewed_on)} has run out."


@functools.cache
def pages() -> tuple[str, ...]:
    """Return the pages that can be reviewed: lessons and pages about the course, worksheets."""
    lessons = course_folder("modules").glob("*.ipynb")
    sheets = course_folder("exercises").glob("source/*/*.ipynb")
    return (*sorted(path.stem for path in lessons), *sorted(path.stem for path in sheets))


@functools.cache
def page_edition(page: str) -> str:
    """Return the mark of a page's text: another text has another mark."""
    lesson = course_folder("modules") / f"{page}.ipynb"
    path = course_folder("exercises") / "source" / page / lesson.name
    cells = json.loads((lesson if lesson.is_file() else path).read_text(encoding="utf-8"))["cells"]
    words = "\n\n".join("".join(cell["source"]) for cell in cells)
    return hashlib.sha256(words.encode()).hexdigest()[:8]


def day(text: str) -> str:
    """Write a day such as 2026-05-04 as people do.

    >>> day("2026-05-04")
    '4 May 2026'
    """
    found = date.fromisoformat(text)
    return f"{found.day} {found:%B %Y}"


def a_year_after(first: date) -> date:
    """Return the last day on which a review of a day stands."""
    try:
        return first.replace(year=first.year + 1)
    except ValueError:  # the 29th of February
        return first.replace(year=first.year + 1, day=28)


def _a_year_after(text: str) -> date:
    return a_year_after(date.fromisoformat(text))


def _check_day(text: str, where: str) -> None:
    try:
        date.fromisoformat(text)
    except ValueError:
        raise ValueError(f"{where} is “{text}”: write the day as 2026-05-04") from None

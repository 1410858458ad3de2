"""The department that gave out a worksheet: its figures, who approved them, who reviewed pages.

Its course folder has them in ``local-profile.toml`` and ``page-reviews.csv``; a release carries
them, and a learner who opened one has them in ``department.json``, for lessons and pages.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from cubital import tables
from cubital.handin.files import read_json, write_json
from cubital.handin.released.release import Release
from cubital.tables.approving import PageReview, check_approval, checked, page_reviews

FILE = "department.json"
FORMAT = "cubital-department/1"


@dataclass(frozen=True)
class Department:
    """A department as its learners have it; ``figures`` is empty where it is the course's own.

    ``at`` is when its file was opened.
    """

    figures: Mapping[str, Any] = field(default_factory=dict)
    approved_by: str = ""
    approved_on: str = ""
    reviews: Mapping[str, PageReview] = field(default_factory=dict)
    at: str = ""

    def has_reviewed(self, page: str, today: date) -> bool:
        """Tell whether a review of a page stands."""
        return page in self.reviews and self.reviews[page].stands(today)

    @property
    def profile(self) -> tables.Profile:
        """The figures with those of the course that no department sets."""
        own = tables.profile()._replace(**self.figures)
        return own._replace(approved_by=self.approved_by, approved_on=self.approved_on)


def given_out(workspace: Path, profile: tables.Profile) -> Department:
    """Return what a release of a course folder carries beside its figures.

    Raises
    ------
    ValueError
        ``page-reviews.csv`` cannot be used; the text says why.
    """
    return Department(
        approved_by=profile.approved_by,
        approved_on=profile.approved_on,
        reviews=page_reviews(workspace),
    )


def write_department(folder: Path, department: Department) -> None:
    """Write a department's file into a folder; where there is nothing to say, there is none."""
    if department == Department():
        (folder / FILE).unlink(missing_ok=True)
        return
    told = asdict(department) | {
        "format": FORMAT,
        "reviews": [row._asdict() for row in department.reviews.values()],
    }
    write_json(folder / FILE, told)


def read_department(folder: Path) -> Department:
    """Return the department of a folder; the course's own where there is no file.

    Raises
    ------
    ValueError
        The file is of another form, or what it says cannot be.
    """
    path = folder / FILE
    if not path.is_file():
        return Department()
    told = read_json(path)
    try:
        if told["format"] != FORMAT:
            raise ValueError(f"{path} is of another edition of the course")
        rows = [PageReview(**{key: str(row[key]) for key in row}) for row in told["reviews"]]
        known = [row for row in rows if _is_known(row, path)]
        figures = told["figures"]
        found = Department(
            figures=tables.recorded_figures(figures, path) if figures else {},
            approved_by=str(told["approved_by"]),
            approved_on=str(told["approved_on"]),
            reviews=checked(known, path),
            at=str(told["at"]),
        )
        check_approval(found.approved_by, found.approved_on, path)
    except (KeyError, TypeError, AttributeError) as error:
        raise ValueError(f"{path} is not what a release carries") from error
    return found


def keep_department(learner: Path, release: Release, carried: Department) -> None:
    """Keep the department of a worksheet that a learner opened; the one opened last counts."""
    at = datetime.now(UTC).isoformat(timespec="milliseconds")
    kept = Department(
        figures=release.policy,
        approved_by=carried.approved_by,
        approved_on=carried.approved_on,
        reviews=carried.reviews,
        at=at,
    )
    write_department(learner, kept)


def department_of(learner: Path) -> Department:
    """Return the department whose file a learner opened last; the course's own if none can be read.

    A file that cannot be used keeps nobody from learning: the figures that ship take its place.
    """
    try:
        return read_department(learner)
    except (ValueError, OSError):
        return Department()


def merge_department(learner: Path, other: Path) -> None:
    """Take over a department's file from another computer, if it was opened there later."""
    there = department_of(other)
    if there.at > department_of(learner).at:
        write_department(learner, there)


def _is_known(row: PageReview, path: Path) -> bool:
    """Tell whether a review is of a page that this edition has, and can be used at all."""
    try:
        checked([row], path)
    except ValueError:
        return False
    return True

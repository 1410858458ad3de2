"""Have a department approve what the lessons claim, and its own figures."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from cubital import tables
from cubital.handin.files import write_text
from cubital.records.bank import approving
from cubital.tables.approving import page_reviews
from cubital.tables.files import course_folder

EVERY = "all"


@dataclass(frozen=True)
class ToApprove:
    """Pages with their claims, and a course folder's figures if one was named."""

    packs: tuple[approving.Pack, ...]
    profile: tables.Profile | None

    def in_words(self) -> str:
        """Say all of it in plain text, to print and sign."""
        return approving.text(self.packs, self.profile)

    def write_page(self, path: Path) -> None:
        """Write all of it as an HTML page."""
        write_text(path, approving.page(self.packs, self.profile))


def claims_to_approve(
    lesson: str = EVERY, workspace: Path | None = None, *, today: date | None = None
) -> ToApprove:
    """Return what is to be approved of one page, or of all, for the course or a course folder.

    Raises
    ------
    ValueError
        There is no such page, or the course folder's figures or reviews cannot be used.
    """
    today = today or date.today()
    every = sorted(path.stem for path in course_folder("modules").glob("*.ipynb"))
    names = every if lesson == EVERY else [lesson]
    reviews = {} if workspace is None else page_reviews(workspace)
    profile = None if workspace is None else tables.profile(workspace)
    packs = tuple(approving.pack(name, reviews, today) for name in names)
    return ToApprove(packs, profile)

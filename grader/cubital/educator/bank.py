"""List the items of the course, or of a course folder."""

from dataclasses import dataclass
from pathlib import Path

from cubital import tables
from cubital.educator.workspace import course_folder
from cubital.handin.bank import read_bank
from cubital.handin.ids import canonical_id
from cubital.handin.release import FILE, Release, new_release, read_release
from cubital.records.bank import page, summary

_PREVIEW = "preview"


@dataclass(frozen=True)
class Listed:
    """The rows that were asked for, by objective and kind."""

    entries: tuple[summary.Entry, ...]

    def in_words(self) -> str:
        """Say all of it as a table in plain text."""
        return page.listing(self.entries)


def list_bank(
    workspace: Path | None = None,
    *,
    kind: str = "",
    objective: str = "",
    worksheet: str = "",
    release: str | None = None,
) -> Listed:
    """List all items, or those of one kind, objective or worksheet.

    ``workspace`` is the course folder whose changes are applied, and ``release`` the name that
    options are drawn under, see `release_to_look_at`.

    Raises
    ------
    ValueError
        The folder's files cannot be used, or there is no such kind, objective or worksheet.
    """
    workspace = None if workspace is None else course_folder(workspace)
    read = read_bank(workspace)
    releases = {name: release_to_look_at(workspace, name, release) for name in read.worksheets}
    chosen = summary.entries(read, releases, kind=kind, objective=objective, worksheet=worksheet)
    return Listed(tuple(chosen))


def release_to_look_at(workspace: Path | None, worksheet: str, name: str | None) -> Release:
    """Return the course folder's release if it is the one asked for, else one to look at."""
    if workspace is not None:
        folder = workspace / "source" / worksheet
        if (folder / FILE).is_file():
            release = read_release(folder)
            if name in {None, release.name}:
                return release
    name = canonical_id(name) if name else _PREVIEW
    return new_release(name, worksheet, profile=tables.profile(workspace))

"""List the items of the course, or of a course folder."""

from dataclasses import dataclass
from pathlib import Path

from cubital import tables
from cubital.educator.workspace import course_folder
from cubital.handin.released.bank import read_bank
from cubital.handin.released.release import FILE, Release, new_release, read_release
from cubital.handin.released.sealed import releases_of
from cubital.records.bank import page, summary

PREVIEW = "preview"


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
    """Return the course folder's release of that name, or the present one; else one to look at.

    Raises
    ------
    ValueError
        The course folder has made no release of that name: what its learners are asked is known
        in its own folder alone.
    """
    if workspace is not None:
        folder = workspace / "source" / worksheet
        now = read_release(folder).name if (folder / FILE).is_file() else None
        made = releases_of(workspace, worksheet)
        if (name or now) in made:
            return made[name or now or ""]
    if name is not None:
        raise ValueError(
            f"what learners of release “{name}” are asked is known only in the workspace that made "
            f"it: name it with --workspace{'' if workspace is None else f', not {workspace}'}"
        )
    return new_release(PREVIEW, worksheet, profile=tables.profile(workspace))

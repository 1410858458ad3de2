"""Look at one item as any learner gets it."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from cubital import tables
from cubital.educator.bank import PREVIEW, release_to_look_at
from cubital.educator.workspace import course_folder
from cubital.handin.files import write_text
from cubital.handin.ids import canonical_id
from cubital.handin.released import pictures, sealed
from cubital.handin.released.bank import read_bank
from cubital.handin.released.own import own_faults
from cubital.handin.released.release import Release
from cubital.items import Item, PictureItem
from cubital.records.bank import page, space, summary


@dataclass(frozen=True)
class Previewed:
    """An item with the values of one learner, its value space, and its picture if it has one."""

    drawn: summary.Drawn
    space: space.Space
    shown: pictures.Shown | None

    def in_words(self) -> str:
        """Say all of it in plain text."""
        return page.text(self.drawn, self.space)

    def write_page(self, path: Path) -> None:
        """Write all of it as an HTML page, which holds the answer."""
        write_text(path, page.page(self.drawn, self.space, self.shown))


def preview(
    item_id: str,
    workspace: Path | None = None,
    *,
    learner: str = "learner-000",
    release: str | None = None,
) -> Previewed:
    """Draw an item for a learner of a release.

    Raises
    ------
    ValueError
        There is no such item, or it is the department's own and cannot be released yet: then the
        text names its faults, a line each.
    """
    workspace = None if workspace is None else course_folder(workspace)
    read = read_bank(workspace)
    worksheet = read.worksheet_of(item_id)
    item = read.by_id()[item_id]
    drawn_for = release_to_look_at(workspace, worksheet, release)
    if item.id in read.own:
        own = read.own[item.id]
        lesson = tables.curriculum().objective(own.objective).lesson
        faults = own_faults(own, partial(drawn_for.values, item), lesson)
        if faults:
            raise ValueError("\n".join(["this item cannot be released yet", *faults]))
    learner = canonical_id(learner)
    values = _values(workspace, drawn_for, item, learner)
    truth, shown = _picture(workspace, drawn_for, item, values)
    return Previewed(
        summary.drawn(read, item, drawn_for, learner, at=values, truth=truth),
        space.space(item, drawn_for),
        shown,
    )


def _values(
    workspace: Path | None, release: Release, item: Item, learner: str
) -> Mapping[str, Any] | None:
    """Return what a learner is asked about: by their paper, else drawn; None without pictures."""
    if workspace is not None and item.id in release.items and release.name != PREVIEW:
        papers = sealed.read_sealed(workspace, release.worksheet, release.name)
        values: Mapping[str, Any] = papers.asked(item.id, learner, None)[0].values
        return values
    if isinstance(item, PictureItem) and not release.pictures.get(item.id):
        return None
    return release.values(item, learner)


def _picture(
    workspace: Path | None, release: Release, item: Item, values: Mapping[str, Any] | None
) -> tuple[Mapping[str, Any] | None, pictures.Shown | None]:
    """Return truth and picture of an item on one, where the course folder holds its pool."""
    if workspace is None or values is None or not isinstance(item, PictureItem):
        return None, None
    pool = pictures.pool_folder(workspace, release.worksheet, release.name)
    form, key = item.form(values), item.key(values)
    truths = pictures.truths(pool)
    return form.truth(truths), pictures.shown(form, key, None, truths, pool)

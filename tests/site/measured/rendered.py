"""The pictures of a practice: what they show, what is true of them, how marks on them count."""

import hashlib
import tempfile
from dataclasses import replace
from pathlib import Path
from typing import Any

from cubital import items
from cubital.handin.released import pictures
from cubital.handin.released.release import AT_ONCE, Release, new_release, write_release
from cubital.items.kinds.on_pictures.pictured import PictureItem
from cubital.study.practice_pictures import few_pictures, render_practice

from .questions import judged

OF_ITEMS = {
    item.id: worksheet
    for worksheet, listed in items.WORKSHEETS.items()
    for item in listed
    if isinstance(item, PictureItem)
}


def practised(item_id: str, seed: str) -> dict[str, Any]:
    """Return of each picture of an item's practice its pixels' check sum and its truth, and how the
    right answer and each slip on the item's own are judged."""
    item = items.find(item_id)
    release = new_release(seed, OF_ITEMS[item_id], feedback=AT_ONCE, listed=[item])
    release = replace(release, pictures=few_pictures(release))
    with tempfile.TemporaryDirectory() as name:
        return _practised(item, release, Path(name))


def _practised(item: PictureItem, release: Release, folder: Path) -> dict[str, Any]:
    write_release(folder, release)
    render_practice(folder)
    values = release.values(item, "ada")
    form, told = item.form(values), pictures.truths(folder)
    truth = form.truth(told)
    return {
        "values": values,
        "pixels": {name: _pixels(pictures.recorded(folder, form, name)) for name in form.pictures},
        "truth": {name: told(name) for name in form.pictures},
        "judged": judged(item, values, truth),
    }


def _pixels(frames: Any) -> list[Any]:
    return [list(frames.shape), hashlib.sha256(frames.tobytes()).hexdigest()]

"""The item bank as data: all items in one table, and one item as a learner of any id gets it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from cubital import tables
from cubital.handin.released.bank import Bank
from cubital.handin.released.release import Release
from cubital.items import Item, Mistake
from cubital.records.bank.signing import stands

NEEDS_PICTURES = (
    "This item is about a picture: its values are drawn from the pictures of a release, which "
    "needs a course folder in which the worksheet is released."
)

_LEARNERS = 40  # enough to meet every option that an item offers


@dataclass(frozen=True)
class Entry:
    """One item's row in the table of all."""

    id: str
    kind: str
    worksheet: str
    objective: str
    points: float
    critical: bool
    slips: int
    off: bool
    note: str


@dataclass(frozen=True)
class Drawn:
    """An item as one learner of one release gets it, with all that marking knows of it."""

    item: Item
    worksheet: str
    objective: tables.Objective | None
    release: str
    learner: str
    note: str
    question: str
    values: tuple[tuple[str, str], ...]
    offered: tuple[str, ...]
    answer: str
    route: str
    tolerance: str
    mistakes: tuple[Mistake, ...]
    pool: tuple[tuple[str, int], ...] = ()


def entries(
    bank: Bank,
    releases: Mapping[str, Release],
    *,
    kind: str = "",
    objective: str = "",
    worksheet: str = "",
) -> list[Entry]:
    """Return the table of all items by objective and kind, or those that are asked for.

    ``releases`` gives, by worksheet, the release that options are drawn under.

    Raises
    ------
    ValueError
        There is no such kind, objective or worksheet; the text names those there are.
    """
    found = [
        _entry(bank, item, name, releases[name])
        for name, listed in bank.worksheets.items()
        for item in listed
    ]
    for name, wanted in (("kind", kind), ("objective", objective), ("worksheet", worksheet)):
        known = list(dict.fromkeys(getattr(row, name) for row in found if getattr(row, name)))
        if wanted and wanted not in known:
            raise ValueError(f"there is no {name} “{wanted}”; there are: {', '.join(known)}")
        found = [row for row in found if not wanted or getattr(row, name) == wanted]
    order = [row.key for row in tables.curriculum().objectives]
    return sorted(
        found,
        key=lambda row: (
            order.index(row.objective) if row.objective in order else len(order),
            row.kind,
        ),
    )


def objective_of(bank: Bank, item: Item) -> tables.Objective | None:
    """Return the objective that an item gives evidence for, if any."""
    curriculum = tables.curriculum()
    if item.id in bank.own:
        return curriculum.objective(bank.own[item.id].objective)
    return next(iter(curriculum.objectives_of(item.id)), None)


def _entry(bank: Bank, item: Item, worksheet: str, release: Release) -> Entry:
    objective = objective_of(bank, item)
    return Entry(
        id=item.id,
        kind=item.kind,
        worksheet=worksheet,
        objective=objective.key if objective else "",
        points=item.points,
        critical=_is_critical(item, objective),
        slips=count_slips(item, release),
        off=item.id in bank.off,
        note=note_on(bank, item),
    )


def count_slips(item: Item, release: Release) -> int:
    """Return how many slips an item knows, over all that it may offer."""
    names = (f"learner-{number:03d}" for number in range(_LEARNERS))
    return len(item.slip_keys(release.values(item, name) for name in names))


def _is_critical(item: Item, objective: tables.Objective | None) -> bool:
    return item.critical or bool(objective and item.id in objective.critical)


def note_on(bank: Bank, item: Item) -> str:
    """Say how a course folder changed an item, and whether clinicians have signed its key."""
    parts = []
    if item.id in bank.own:
        parts.append(f"own, {bank.own[item.id].path.name}")
    if item.id in bank.off:
        parts.append("off" + (f": {bank.off[item.id]}" if bank.off[item.id] else ""))
    if item.id in bank.points:
        parts.append("points changed")
    parts.append(stands([item]))
    return "; ".join(filter(None, parts))


def drawn(
    bank: Bank,
    item: Item,
    release: Release,
    learner: str,
    *,
    at: Mapping[str, Any] | None,
    truth: Mapping[str, Any] | None = None,
) -> Drawn:
    """Describe an item at a learner's values; ``at`` is None while its pictures are not rendered.

    ``truth`` is that of the picture, for items about one.
    """
    ready = at is not None
    values = at or {"picture": "", "trials": []}
    return Drawn(
        item=item,
        worksheet=bank.worksheet_of(item.id),
        objective=objective_of(bank, item),
        release=release.name,
        learner=learner,
        note="; ".join(filter(None, (note_on(bank, item), "" if ready else NEEDS_PICTURES))),
        question=item.ask(values),
        values=tuple((name, _words(value)) for name, value in values.items() if ready),
        offered=item.form(values).offered,
        answer=item.right_in_words(values, truth),
        route=item.route_to(values) if ready else "",
        tolerance=item.tolerance_in_words(values),
        mistakes=tuple(item.mistakes(values)),
        pool=tuple((getattr(item, "pool", None) or {}).items()),
    )


def _words(value: Any) -> str:
    if isinstance(value, bool | str):
        return str(value)
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, list | tuple):
        return ", ".join(map(_words, value))
    return str(value)

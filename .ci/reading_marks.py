"""The readers' answers: kept as they were given, and marked against the items as they are now."""

import json
import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import Any, NamedTuple

from reading_items import NAME, Values, drawn, frames_of, release_of, rendered, typed

from cubital import items
from cubital.handin.answers import AnswerStore
from cubital.handin.marks import mark
from cubital.handin.results import ItemResult
from cubital.items import Item

HEAD = """\
# What readers without a key answered. `first` is how it was marked then; `mended`, written by hand,
# says what was changed in the course because of it. `drawn` tells which values were asked about.
"""
AGREED, TEXT, REFUSED = "right", "waiting", "refused"
CHANGED, GONE = "drawn anew", "no longer asked"


class Read(NamedTuple):
    """One answer of a reader; an empty ``answer`` beside a doubt says that none was found."""

    worksheet: str
    item: str
    learner: str
    drawn: str
    answer: Any
    doubt: str = ""
    first: str = ""
    mended: str = ""


class Marked(NamedTuple):
    """How an answer compares with the key: an outcome of marking, `CHANGED` or `GONE`."""

    outcome: str
    reader: str
    key: str = ""
    route: str = ""
    why: str = ""

    @property
    def in_short(self) -> str:
        """How it was marked, to be kept: the outcome, and the answer if it is not right."""
        told = self.reader and self.outcome not in {AGREED, TEXT}
        return f"{self.outcome}: {self.reader}" if told else self.outcome


def stored(path: Path) -> list[Read]:
    """Return the answers kept so far."""
    if not path.is_file():
        return []
    return [Read(**row) for row in tomllib.loads(path.read_text(encoding="utf-8"))["answer"]]


def store(path: Path, reads: Iterable[Read]) -> None:
    """Write the answers down, worksheet by worksheet."""
    parts = [
        "\n[[answer]]\n" + "".join(f"{key} = {_toml(value)}\n" for key, value in row.items())
        for row in (one._asdict() for one in reads)
    ]
    path.write_text(HEAD + "".join(parts), encoding="utf-8", newline="\n")


def _toml(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {_toml(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_toml, value)) + "]"
    return json.dumps(value, ensure_ascii=False)


def given(folder: Path) -> list[Read]:
    """Read the forms of a folder, as far as they are filled in."""
    found = []
    for path in sorted(folder.glob("*/*.toml")):
        try:
            rows = tomllib.loads(path.read_text(encoding="utf-8"))
            reads = [Read(path.stem, key, path.parent.name, **row) for key, row in rows.items()]
        except (tomllib.TOMLDecodeError, TypeError) as error:
            raise SystemExit(f"{path} cannot be read: {error}") from error
        found += [one for one in reads if one.answer != "" or one.doubt]
    return found


def merged(kept: Iterable[Read], new: Iterable[Read]) -> list[Read]:
    """Put new answers in the place of old ones; how it was marked first and mended stays."""
    rows = {one[:3]: one for one in kept}
    for one in new:
        old = rows.get(one[:3])
        if old is not None:
            doubt = one.doubt or old.doubt
            rows[one[:3]] = one._replace(first=old.first, mended=old.mended, doubt=doubt)
        else:
            rows[one[:3]] = one
    order = list(items.WORKSHEETS)
    places = {item.id: n for listed in items.WORKSHEETS.values() for n, item in enumerate(listed)}
    return sorted(
        rows.values(),
        key=lambda one: (
            order.index(one.worksheet) if one.worksheet in order else len(order),
            places.get(one.item, len(places)),
            one.learner,
        ),
    )


def marked(read: Read, folder: Path) -> Marked:
    """Save an answer as the page would, in a folder to throw away, and mark it."""
    listed = {item.id: item for item in items.WORKSHEETS.get(read.worksheet, ())}
    if read.item not in listed:
        return Marked(GONE, str(read.answer))
    item, release = listed[read.item], release_of(read.worksheet)
    values = release.values(item, read.learner)
    frames = frames_of(read.worksheet, item, values)
    if drawn(item, values, frames) != read.drawn:
        return Marked(CHANGED, str(read.answer), why="its values or its picture are others now")
    truth = None
    if frames is not None:
        truth = item.form(values).truth(lambda name: rendered(read.worksheet, name).truth)
    key = item.right_in_words(values, truth)
    try:
        result = _result(read, item, values, folder)
    except ValueError as error:
        return Marked(REFUSED, str(read.answer), key, item.route_to(values), str(error))
    words = result.answer or str(read.answer)
    return Marked(result.outcome, words, key, result.route, result.message)


def _result(read: Read, item: Item, values: Values, folder: Path) -> ItemResult:
    release = release_of(read.worksheet)
    question = release.question(item, read.learner, NAME)
    if read.answer == "":
        return mark(question, None)
    beside = AnswerStore(folder / read.learner / read.worksheet, release, read.learner)
    entry = beside.save(item.id, typed(item, values, read.answer))
    return mark(question, entry, lambda name: rendered(read.worksheet, name).truth)

"""Show what an unsupervised sitting proves: papers answered with the course as the open book.

    .venv/bin/python .ci/open_book.py answer HANDOUT.zip --learner ID --to FOLDER
    .venv/bin/python .ci/open_book.py page

A hand-out holds no key. But practice needs the course's items, which are therefore installed with
it, and whoever has them can look for the values that lead to a question's words, and compute the
answer. ``answer`` does that for one paper, from the hand-out and the installed course alone, and
saves as a learner does. ``page`` releases each worksheet to an invented cohort, answers for some of
them, marks in the workspace, and writes the shares of the points to ``assets/docs/open-book.md``,
beside what blind choosing gets. It prints shares and no answer. Takes a few minutes.
"""

import argparse
import random
import tempfile
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from statistics import mean
from typing import Any, NamedTuple

import generated

from cubital import items
from cubital.educator.collect import collect
from cubital.educator.create import create
from cubital.educator.mark import mark
from cubital.educator.release import release
from cubital.educator.workspace import opened
from cubital.handin.bundle import hand_in
from cubital.handin.released.sealed import Sealed, read_sealed
from cubital.items import Form, Item, UnreadableAnswerError
from cubital.items.kinds.form import answer_with_keys
from cubital.items.writing.draw import Draw
from cubital.study import folders
from cubital.worksheet.sitting import Sitting, sitting

DOCS = Path(__file__).resolve().parents[1] / "assets" / "docs"
PAGE = DOCS / "open-book.md"
COMMAND = ".venv/bin/python .ci/open_book.py page"
NAME = "open-book"
ROSTER = [f"reader-{number:02d}" for number in range(1, 11)]
ANSWERING = ROSTER[:3]
SEED = "open book"
STARTS, MOST_PICKS = 60, 60
OFFERED_WEIGH = 5  # as much as so many words
BLIND_TRIES = 200
OFFERING = ("options", "ways", "reasons", "steps", "rows", "columns")


class Shares(NamedTuple):
    """Of one worksheet: the points that are marked by computer, and the share that each got."""

    worksheet: str
    points: float
    pictured: float
    open_book: float
    blind: float


class Picked(Draw):
    """A draw whose choices are given; ``numbers`` tells out of how many each was."""

    def __init__(self, policy: Mapping[str, Any], picks: Sequence[int]) -> None:
        super().__init__("", "", "", 0, policy)
        self.picks = picks
        self.numbers: list[int] = []

    def one_of(self, number: int) -> int:
        """Return the choice that is given, and the first one where none is."""
        place = len(self.numbers)
        self.numbers.append(number)
        return self.picks[place] % number if place < len(self.picks) else 0

    def beside(self, _name: str) -> "Picked":
        """Return itself: what items share on a paper is looked for anew with each of them."""
        return self


def main() -> None:
    """Do what is asked for."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    commands = parser.add_subparsers(dest="command", required=True)
    one = commands.add_parser("answer", help="answer one learner's paper of a hand-out")
    one.add_argument("handout", type=Path)
    one.add_argument("--learner", required=True)
    one.add_argument("--to", type=Path, required=True, metavar="FOLDER")
    commands.add_parser("page", help="write the page of shares")
    given = parser.parse_args()
    if given.command == "answer":
        here = answered(given.handout, given.learner, given.to)
        print(f"{len(here.store.read().items)} of {len(here.listed())} answered in {here.folder}")
        return
    with tempfile.TemporaryDirectory() as name:
        rows = list(measured(Path(name)))
    PAGE.write_text(written(rows), encoding="utf-8", newline="\n")
    generated.record(COMMAND, [PAGE], folder=DOCS)


# ----------------------------------------------------------------------------- the open book


def answered(handout: Path, learner: str, folder: Path) -> Sitting:
    """Answer a learner's paper from the hand-out and the installed course, and save."""
    here = sitting(folders.lay_out(folder, learner, str(handout)).notebook.parent)
    for item_id in here.listed():
        item, asked = items.find(item_id), here.store.form(item_id)
        if item.needs:  # a person reads the answer, or the truth of a picture decides on it
            continue
        values = found_values(item, asked, here.release.policy)
        names = names_between(item.form(values), asked)
        try:
            here.store.save(item_id, answer_with_keys(item.solution(values), names))
        except UnreadableAnswerError:  # those values are not the ones
            continue
    return here


def found_values(item: Item, asked: Form, policy: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return the values at which an item's words are most like those that are asked.

    One choice of the draw after the other is set to what brings the words nearest, from several
    starts.
    """
    chance = random.Random(asked.question)
    whole, best, found = likeness(asked, asked), -1, {}
    for _ in range(STARTS):
        picks = [chance.randrange(2**32) for _ in range(MOST_PICKS)]
        reached, values = climbed(item, asked, policy, picks)
        if reached > best:
            best, found = reached, values
        if best == whole:
            break
    return found


def climbed(
    item: Item, asked: Form, policy: Mapping[str, Any], picks: list[int]
) -> tuple[int, Mapping[str, Any]]:
    """Better the choices of a draw one after the other until none can be; see `found_values`."""

    def tried(picks: Sequence[int]) -> tuple[int, Mapping[str, Any], list[int]]:
        draw = Picked(policy, picks)
        values = item.draw_values(draw)
        return likeness(item.form(values), asked), values, draw.numbers

    best, values, numbers = tried(picks)
    before = -1
    while best > before:
        before, place = best, 0
        while place < len(numbers):
            for pick in range(numbers[place]):
                other = [*picks[:place], pick, *picks[place + 1 :]]
                reached, *rest = tried(other)
                if reached > best:
                    best, picks, (values, numbers) = reached, other, rest
            place += 1
    return best, values


def likeness(form: Form, asked: Form) -> int:
    """Return how many words and options two forms share, and how many stand at the same place."""
    ours, theirs = words(form), words(asked)
    offered, wanted = form.offered, asked.offered
    return (
        shared(ours, theirs)
        - abs(len(ours) - len(theirs))
        + OFFERED_WEIGH * shared(offered, wanted)
    )


def words(form: Form) -> list[str]:
    """Return the words of a question, with the inputs of a line of Python."""
    return [*form.question.split(), *map(str, getattr(form, "inputs", ()))]


def shared(ours: Sequence[str], theirs: Sequence[str]) -> int:
    """Return how many texts two lists share, and, once more, how many at the same place."""
    at_place = sum(one == other for one, other in zip(ours, theirs, strict=False))
    return (Counter(ours) & Counter(theirs)).total() + at_place


def names_between(form: Form, asked: Form) -> dict[str, str]:
    """Return, for each key of an item's form, the key of the same text on the paper."""
    names: dict[str, str] = {}
    for part in OFFERING:
        keys = {one.text: one.key for one in getattr(asked, part, ())}
        names |= {one.key: keys[one.text] for one in getattr(form, part, ()) if one.text in keys}
    return names


# ------------------------------------------------------------------------------- the shares


def measured(folder: Path) -> Iterator[Shares]:
    """Release, answer and mark every worksheet; yield the shares."""
    folder.mkdir(exist_ok=True)
    roster = folder / "roster.csv"
    rows = [f"{learner},Reader,{learner[-2:]}" for learner in ROSTER]
    roster.write_text("\n".join(["id,first_name,last_name", *rows]), encoding="utf-8")
    workspace = create(folder / "workspace", roster).workspace
    for worksheet in items.WORKSHEETS:
        opened(workspace).make_seal(worksheet, SEED)  # so that the page comes out the same
        handout = release(workspace, worksheet, NAME).handout
        for learner in ANSWERING:
            here = answered(handout, learner, folder / "learners")
            hand_in(here.folder, learner, workspace / "inbox")
        collect(workspace, worksheet)
        results = [one for one in mark(workspace, worksheet).results if one.items]
        if len(results) != len(ANSWERING):
            raise SystemExit(f"{worksheet}: {len(results)} hand-ins are marked")
        sealed = read_sealed(workspace, worksheet, NAME)
        asked = [row for row in results[0].items if not row.is_text]
        points = sum(row.max_points for row in asked)
        got = [sum(r.points or 0 for r in one.items if not r.is_text) for one in results]
        chance = random.Random(worksheet)
        guessed = [
            blind(sealed, learner, chance) for learner in ANSWERING for _ in range(BLIND_TRIES)
        ]
        yield Shares(
            worksheet=worksheet,
            points=points,
            pictured=sum(r.max_points for r in asked if items.find(r.item).needs == "truth"),
            open_book=mean(got) / points,
            blind=mean(guessed) / points,
        )


def blind(sealed: Sealed, learner: str, chance: random.Random) -> float:
    """Return the points that choosing blindly gets where something is offered to choose from."""
    paper, points = sealed.papers.paper_of(learner), 0.0
    for item_id in sealed.papers.listed(paper):
        asked, question = sealed.papers.form(paper, item_id), sealed.question(paper, item_id)
        typed = None if question.key.needs else chosen(asked, chance)
        if typed is not None:
            answer = question.answer(asked.read(typed))
            points += question.key.judge(question.form, answer).points
    return points


def chosen(form: Form, chance: random.Random) -> Any:
    """Return what somebody enters who chooses blindly; None where a number is asked for."""
    offers = {part: [one.key for one in getattr(form, part, ())] for part in OFFERING}
    if offers["ways"]:
        return {"way": chance.choice(offers["ways"]), "reason": chance.choice(offers["reasons"])}
    if offers["options"]:
        return chance.choice(offers["options"])
    if offers["steps"]:
        return chance.sample(offers["steps"], len(offers["steps"]))
    return {row: chance.choice(offers["columns"]) for row in offers["rows"]} or None


def per_cent(share: float) -> str:
    """Say a share in whole per cent."""
    return f"{100 * share:.0f} %"


def written(rows: Sequence[Shares]) -> str:
    """Return the page."""
    total = sum(row.points for row in rows)
    over_all = Shares(
        worksheet="all",
        points=total,
        pictured=sum(row.pictured for row in rows),
        open_book=sum(row.open_book * row.points for row in rows) / total,
        blind=sum(row.blind * row.points for row in rows) / total,
    )
    table = "\n".join(
        f"| {row.worksheet} | {row.points:g} | {row.pictured:g} | {per_cent(row.open_book)} "
        f"| {per_cent(row.blind)} |"
        for row in (*rows, over_all)
    )
    return f"""# What an unsupervised sitting proves

The file that learners get holds no key. But practice needs the course's questions with their \
calculations and explanations, so these are installed with it, for whoever installs the course. \
This page shows how far that goes. A program, `.ci/open_book.py`, reads a learner's paper, looks \
for the values that lead to its words, and answers by the installed course; it has no access to \
what is sealed in the educator's workspace. {len(ANSWERING)} of {len(ROSTER)} invented learners \
had each worksheet answered so, and their hand-ins were marked as any other.

*Share* is of the points that are marked by computer; texts are left out, though the mark schemes \
are in the course too. The program leaves questions on pictures blank, since what decides on them \
is sealed; *on pictures* says how many points they have. *Blind choosing* takes any option, order \
or column and leaves numbers and pictures blank: the mean of {BLIND_TRIES} tries a learner.

| worksheet | points | on pictures | share by open book | share by blind choosing |
|---|---|---|---|---|
{table}

So a mark from a sitting that nobody watched says that somebody had the course at hand, and no \
more. Let learners answer on computers of yours, under your eyes, where the course's command \
cannot be reached, if a mark is to say what they know.

Made by `{COMMAND}`.
"""


if __name__ == "__main__":
    main()

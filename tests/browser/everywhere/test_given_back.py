"""What an educator reads as one file shows whole: report, overview of worksheets, a question."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from cubital import items
from cubital.handin.objectives import objectives_of
from cubital.items.kinds.on_pictures.tally import Tally, written
from cubital.records import overview, report
from cubital.records.bank import page as bank
from cubital.records.bank.space import Count, Space, Spread
from cubital.records.bank.summary import Drawn
from cubital.records.cohort import gather
from cubital.tables import curriculum

from .looking import faults

pytestmark = pytest.mark.browser

WORKSHEET = "catheter-sizing"
MADE_AT = datetime(2026, 3, 5, 14, 2, tzinfo=UTC)
NOTICE = "The pass marks are invented."


@pytest.fixture
def results(row, sheet, all_right, unmarked):
    """A cohort with every state that a report can show."""
    known = [item.id for item in items.WORKSHEETS[WORKSHEET] if item.needs != "person"]
    found = [
        unmarked("unreadable.one", "unreadable", "truncated", "Ask for another file."),
        unmarked("held.one", "held", "another release", "Ask which one was meant."),
        unmarked("late.one", "late", "handed in a day late", "Let it count, or not."),
    ]
    for n in range(3, 24):
        key = known[n % len(known)]
        outcome = ("slip", "wrong", "blank", "refused")[n % 4]
        wrong = row(key, 0.0, outcome, slip="radius-for-diameter", message="A slip.")
        counted = written(dict.fromkeys(("clear", "middling", "faint"), Tally(2, 0, n % 2, 1)))
        wrong = replace(wrong, tally=counted)
        waits = {"sizing_reasons": row("sizing-reasons", None, full=3.0)} if n % 5 == 0 else {}
        found.append(sheet(f"learner.{n:02}", all_right(**waits, **{key.replace("-", "_"): wrong})))
    return found


@pytest.fixture
def given(results):
    """The text of each page by its name."""
    names = {one.learner: one.learner.title().replace(".", " ") for one in results}
    asked = tuple(items.WORKSHEETS[WORKSHEET])
    objectives = objectives_of(curriculum(), tuple(item.id for item in asked))
    first = overview.Sheet(WORKSHEET, "spring", results, objectives, "report.html", {})
    item = items.find("sizing-french")
    drawn = Drawn(
        item=item,
        worksheet=WORKSHEET,
        objective=None,
        release="spring",
        learner="ada.alder",
        values=(("outer_diameter_mm", "1.3"),),
        offered=(),
        mistakes=(),
        note="it was switched off",
        question="What French size is a catheter of 1.3 mm outer diameter?",
        answer="3.9 Fr",
        route="Three times the diameter in millimetres.",
        tolerance="0.1 Fr",
    )
    space = Space(
        learners=5,
        unit="Fr",
        outcomes=(Spread("right answer", (2.0, 3.0, 4.0, 5.0, 9.0)),),
        spreads=(Spread("outer_diameter_mm", (0.5, 1.0, 1.5, 2.0, 3.5)),),
        answers=(),
        counts=(Count("Drawn: gauge", tuple((f"{n} G", n) for n in range(14, 21))),),
    )
    cohort = gather(results, worksheet=WORKSHEET, names=names, release="spring")
    return {
        "report": report.render(cohort, made_at=MADE_AT, notice=NOTICE, title="Catheter sizing"),
        "overview": overview.render([first], names=names, made_at=MADE_AT),
        "question": bank.page(drawn, space),
    }


@pytest.mark.parametrize("name", ["report", "overview", "question"])
def test_a_page_shows_whole_in_every_way_and_axe_finds_nothing(given, open_page, tmp_path, name):
    path = tmp_path / f"{name}.html"
    path.write_text(given[name], encoding="utf-8")
    found = faults(open_page(path.as_uri()), name)
    assert not found, found

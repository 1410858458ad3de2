"""Results as a marker would write them, without a marker."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from cubital import items
from cubital.handin.results import MARKED, ItemResult, SubmissionResult
from cubital.records import report
from cubital.records.cohort import gather

WORKSHEET = "catheter-sizing"


@pytest.fixture
def row():
    """Make one item's result: by default right for 2 points."""

    def make(
        item,
        points=2.0,
        outcome=None,
        *,
        full=2.0,
        slip=None,
        message="",
        manual=False,
        misconception="",
        confidence=None,
    ):
        if outcome is None:
            outcome = "waiting" if points is None else "right" if points == full else "wrong"
        return ItemResult(
            item,
            outcome,
            points,
            full,
            message,
            "an answer",
            slip,
            manual,
            misconception=misconception,
            confidence=confidence,
        )

    return make


@pytest.fixture
def sheet():
    """Make one learner's marked submission."""

    def make(learner, rows, at="2026-03-02T09:30:00+00:00"):
        return SubmissionResult(
            learner, WORKSHEET, "spring", MARKED, submitted_at=at, items=tuple(rows)
        )

    return make


@pytest.fixture
def unmarked():
    """Make one learner's submission that could not be marked."""

    def make(learner, state, reason="", action=""):
        return SubmissionResult(learner, WORKSHEET, "spring", state, reason, action)

    return make


@pytest.fixture
def all_right(row):
    """All items of the worksheet right; single ones can be replaced."""

    def make(**replaced):
        rows = {
            item.id: replace(row(item.id, item.points, full=item.points), optional=item.optional)
            for item in items.WORKSHEETS[WORKSHEET]
        }
        rows |= {key.replace("_", "-"): value for key, value in replaced.items()}
        return list(rows.values())

    return make


@pytest.fixture
def cohort():
    """Gather results into a cohort."""

    def make(results, **told):
        return gather(results, worksheet=WORKSHEET, **told)

    return make


@pytest.fixture
def made_at():
    """The moment at which every report of these tests is made."""
    return datetime(2026, 3, 5, 14, 2, tzinfo=UTC)


@pytest.fixture
def page(made_at):
    """Render the report of some results."""

    def make(results, **told):
        shown = {
            key: told.pop(key) for key in ("title", "place", "notice", "invented") if key in told
        }
        gathered = gather(results, worksheet=WORKSHEET, **told)
        return report.render(gathered, made_at=made_at, **shown)

    return make

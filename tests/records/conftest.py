"""A cohort and its report, of results that no marker wrote."""

from datetime import UTC, datetime

import pytest

from cubital.records import report
from cubital.records.cohort import gather

WORKSHEET = "catheter-sizing"


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

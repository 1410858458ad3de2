"""Rates of complications against their studies, and intervals by statsmodels.

newman-2001 (abstract): 12 arterial punctures in 410 000 donations, 0.0029 %, 1 in 34 000; fast
flow in 11, bright red in 9 (75 %), pulsating needle in 4 (33 %), haematoma in 4 (33 %).
"""

import pytest
from statsmodels.stats.proportion import proportion_confint

from cubital import calc
from cubital.tables import complications as rows

COUNTED = [row for row in rows.rates().values() if row.trials]
NEWMAN = {
    "arterial-puncture": 0.000029,
    "arterial-fast": 0.92,
    "arterial-bright": 0.75,
    "arterial-pulsating": 0.33,
    "arterial-haematoma": 0.33,
}


@pytest.mark.parametrize("row", COUNTED, ids=lambda row: row.key)
def test_a_counted_share_is_its_count_and_lies_within_wilsons_interval(row):
    low, high = proportion_confint(int(row.events), int(row.trials), method="wilson")
    assert row.share == pytest.approx(row.events / row.trials, rel=1e-3)
    assert low < row.share < high
    assert calc.wilson_interval(row.events, row.trials) == pytest.approx((low, high), abs=1e-12)


@pytest.mark.parametrize(("key", "printed"), NEWMAN.items())
def test_newmans_shares(key, printed):
    assert rows.rates()[key].share == pytest.approx(printed, rel=0.02)


def test_an_arterial_puncture_is_one_in_34_000():
    assert 1 / rows.rates()["arterial-puncture"].share == pytest.approx(34_000, rel=0.01)


def test_a_missing_pulse_does_not_speak_against_an_arterial_puncture():
    """Eight of Newman's twelve did not pulsate."""
    quiet, unknown = (
        next(row for row in calc.tell_apart(found).candidates if row.key == "arterial_puncture")
        for found in ({"bright_blood": True, "pulsating_blood": False}, {"bright_blood": True})
    )
    assert quiet.score == unknown.score
    assert quiet.says_nothing == ("no blood or needle that pulsates",)


def test_a_definition_changes_the_rate_of_phlebitis_fourfold():
    """marsh-2020 (abstract): 19.3 % where defined, 4.5 % where not."""
    defined, undefined = (
        rows.rates()[f"phlebitis-{key}"].share for key in ("defined", "undefined")
    )
    assert defined / undefined == pytest.approx(19.3 / 4.5)


def test_nerve_injuries_are_one_in_21_000_to_26_700_donations():
    """donor-nerve-reports (read)."""
    row = rows.rates()["nerve-low"]
    assert 1 / 26_700 <= row.share <= 1 / 21_000

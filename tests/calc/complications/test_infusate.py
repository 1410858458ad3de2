"""Laws of infusates: flow beside a catheter, dilution, and the screen."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc
from cubital.tables import complications

RATIO = st.floats(0, 1)
SHARE = st.floats(0, 1)
RATE = st.floats(1, 2000)
FLOW = st.floats(1, 300)
OSMOLARITY = st.floats(0, 3000)


@given(RATIO, SHARE)
def test_off_the_middle_leaves_no_less_than_in_the_middle(ratio, eccentricity):
    share = calc.eccentric_flow_share(ratio, eccentricity=eccentricity)
    assert calc.annulus_flow_share(ratio) <= share <= 1


@given(st.floats(0.001, 0.999), SHARE, st.floats(0, 0.2))
def test_nearer_to_the_wall_leaves_more(ratio, eccentricity, more):
    here, nearer = (
        calc.eccentric_flow_share(ratio, eccentricity=min(1, e))
        for e in (eccentricity, eccentricity + more)
    )
    assert nearer >= here * (1 - 1e-6) - 1e-14


@given(st.floats(0.0001, 0.95), SHARE, st.floats(0.001, 0.04))
def test_a_thicker_catheter_leaves_less_wherever_it_lies(ratio, eccentricity, more):
    thin, thick = (
        calc.eccentric_flow_share(k, eccentricity=eccentricity) for k in (ratio, ratio + more)
    )
    assert thick < thin


@given(RATIO)
def test_the_range_of_what_is_left_runs_from_the_middle_to_the_wall(ratio):
    low, high = calc.flow_left_share(ratio)
    assert low == calc.annulus_flow_share(ratio)
    assert high == calc.eccentric_flow_share(ratio, eccentricity=1)


@given(st.floats(0.01, 0.99))
def test_there_is_no_step_where_one_form_takes_over_from_another(ratio):
    for edge in (0.9999, 1.0):
        below, at = (calc.eccentric_flow_share(ratio, eccentricity=e) for e in (edge - 1e-7, edge))
        assert below == pytest.approx(at, rel=1e-4)


def test_there_is_no_step_at_the_narrow_gap():
    for e in (0.0, 0.5, 0.9, 1.0):
        wide, narrow = (
            calc.eccentric_flow_share(k, eccentricity=e) / (1 - k) ** 3
            for k in (0.999 - 1e-9, 0.999 + 1e-9)
        )
        assert wide == pytest.approx(narrow, rel=2e-3)


def test_no_catheter_leaves_all_and_a_full_vein_nothing():
    eccentricity = np.array([0, 0.3, 1])
    assert calc.eccentric_flow_share(0, eccentricity=eccentricity).tolist() == [1, 1, 1]
    assert calc.eccentric_flow_share(1, eccentricity=eccentricity).tolist() == [0, 0, 0]


@given(OSMOLARITY, RATE, FLOW, st.floats(250, 320))
def test_what_goes_in_comes_out(osmolarity, rate, flow, blood):
    mixed = calc.diluted_osmolarity_mosm_per_l(
        osmolarity,
        rate_ml_per_h=rate,
        vein_flow_ml_per_min=flow,
        blood_osmolarity_mosm_per_l=blood,
    )
    infusion = rate / 60
    went_in = infusion * osmolarity + flow * blood
    assert mixed * (infusion + flow) == pytest.approx(went_in)
    assert min(osmolarity, blood) - 1e-9 <= mixed <= max(osmolarity, blood) + 1e-9


@given(RATE, FLOW, st.floats(1, 100))
def test_more_blood_thins_more_and_a_faster_infusion_less(rate, flow, more):
    share = calc.infusate_share(rate, vein_flow_ml_per_min=flow)
    assert calc.infusate_share(rate, vein_flow_ml_per_min=flow + more) < share
    assert calc.infusate_share(rate + more, vein_flow_ml_per_min=flow) > share


@given(OSMOLARITY, st.floats(0, 1500))
def test_a_stronger_infusate_is_flagged_by_no_fewer(osmolarity, more):
    weak, strong = (
        calc.screen_infusate(o, ph=7).flagged_by for o in (osmolarity, osmolarity + more)
    )
    assert set(weak) <= set(strong)


@given(OSMOLARITY, st.floats(0, 14))
def test_every_limit_either_flags_with_a_reason_or_passes(osmolarity, ph):
    found = calc.screen_infusate(osmolarity, ph=ph)
    keys = [row.key for row in complications.infusate_limits()]
    assert sorted(found.flagged_by + found.passed_by) == sorted(keys)
    assert len(found.reasons) >= len(found.flagged_by)
    verdicts = {
        (True, False): "within every limit listed",
        (False, True): "beyond every limit listed",
        (True, True): "the limits disagree",
    }
    assert found.verdict == verdicts[bool(found.passed_by), bool(found.flagged_by)]


def test_without_local_limits_nothing_is_decided_and_with_them_they_decide():
    assert calc.screen_infusate(308, ph=5).decision == (
        "not decided here: ask for the local policy"
    )
    policy = {"policy_osmolarity_mosm_per_l": 600, "policy_ph_low": 5, "policy_ph_high": 9}
    allowed, refused = "allowed by the local limits given", "not allowed by the local limits given"
    cases = {(600, 5): allowed, (601, 7): refused, (308, 4.9): refused, (308, 9.1): refused}
    for (osmolarity, ph), decision in cases.items():
        assert calc.screen_infusate(osmolarity, ph=ph, **policy).decision == decision


def test_a_screen_never_clears_a_drug_and_says_the_caution():
    found = calc.screen_infusate(308, ph=7)
    assert "clear no drug" in found.remark
    assert found.caution.startswith("For training.")


def test_limits_are_listed_strictest_first_and_infusates_within_their_ranges():
    tops = [row.osmolarity_mosm_per_l for row in complications.infusate_limits()]
    assert tops == sorted(tops)
    assert {row.at_limit for row in complications.infusate_limits()} == {"allowed", "flagged"}
    for row in complications.infusates().values():
        assert row.osmolarity_low <= row.osmolarity_mosm_per_l <= row.osmolarity_high, row.key
        assert row.ph_low <= row.ph <= row.ph_high, row.key

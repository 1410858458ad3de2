"""d', criterion and area against tables that circulate, scipy and a second way of computing."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from sklearn.metrics import confusion_matrix, recall_score, roc_auc_score

from cubital import calc

RATE = st.floats(0.001, 0.999)


# stanislaw-todorov-1999 and the tables that repeat it, from memory; checked with scipy.
@pytest.mark.parametrize(
    ("hits", "alarms", "d_prime", "criterion"),
    [
        (0.8, 0.2, 1.6832, 0),
        (0.9, 0.1, 2.5631, 0),
        (0.69, 0.31, 0.9917, 0),
        (0.84, 0.16, 1.9889, 0),
        (0.8, 0.4, 1.0950, -0.2941),
    ],
)
def test_tables_of_d_prime_and_criterion(hits, alarms, d_prime, criterion):
    assert calc.d_prime(hits, false_alarm_rate=alarms) == pytest.approx(d_prime, abs=5e-5)
    assert calc.criterion(hits, false_alarm_rate=alarms) == pytest.approx(criterion, abs=5e-5)


def test_the_log_linear_correction_of_a_perfect_observer():
    """hautus-1995, by hand: 20.5/21 and 0.5/11, d' 3.6714."""
    found = calc.detection_from_counts(20, misses=0, false_alarms=0, correct_rejections=10)
    assert found.hit_rate == pytest.approx(20.5 / 21)
    assert found.false_alarm_rate == pytest.approx(0.5 / 11)
    assert found.d_prime == pytest.approx(3.6714, abs=5e-5)


@given(RATE, RATE)
def test_d_prime_and_criterion_by_scipy(hits, alarms):
    z_hit, z_alarm = stats.norm.isf([1 - hits, 1 - alarms])
    assert calc.d_prime(hits, false_alarm_rate=alarms) == pytest.approx(z_hit - z_alarm, abs=1e-9)
    c = calc.criterion(hits, false_alarm_rate=alarms)
    assert c == pytest.approx(-(z_hit + z_alarm) / 2, abs=1e-9)


def test_the_area_is_how_often_a_signal_outranks_noise():
    """A simulated observer by scikit-learn's rank statistic; standard error about 0.001."""
    generator = np.random.default_rng(7)
    n, apart = 200_000, 1.0950
    seen = np.concatenate([generator.normal(size=n), generator.normal(apart, size=n)])
    there = np.repeat([0, 1], n)
    called = seen > 0.25335  # 40 % of the noise
    rejections, alarms, misses, hits = confusion_matrix(there, called).ravel().tolist()
    found = calc.detection_from_counts(
        hits, misses=misses, false_alarms=alarms, correct_rejections=rejections
    )
    assert found.area == pytest.approx(0.7806, abs=4e-3)
    assert found.area == pytest.approx(roc_auc_score(there, seen), abs=4e-3)
    assert found.d_prime == pytest.approx(apart, abs=0.015)
    recall = recall_score(there, called)
    assert calc.sensitivity(hits, misses=misses).value == pytest.approx(recall)
    recall_of_noise = recall_score(there, called, pos_label=0)
    assert calc.specificity(rejections, false_alarms=alarms).value == pytest.approx(recall_of_noise)

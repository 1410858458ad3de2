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


def cohort(generator, learners, trials):
    """Learners of d' about 1.5 and criterion about 0.2, who differ by 0.6 in both."""
    apart, lean = generator.normal([[1.5], [0.2]], 0.6, (2, learners))
    hits = generator.binomial(trials, stats.norm.cdf(apart / 2 - lean))
    return hits, generator.binomial(trials, stats.norm.cdf(-apart / 2 - lean))


def test_the_error_over_learners_is_that_of_scipys_bootstrap():
    """40 learners of 18 trials of each sort: the two ways agree to a tenth."""
    hits, alarms = cohort(np.random.default_rng(5), 40, 18)
    found = calc.cohort_detection(
        hits, misses=18 - hits, false_alarms=alarms, correct_rejections=18 - alarms
    )

    def scores(hits, alarms, axis=-1):
        trials = 18 * hits.shape[axis]
        return [stats.norm.ppf((one.sum(axis=axis) + 0.5) / (trials + 1)) for one in (hits, alarms)]

    def apart(hits, alarms, axis=-1):
        z_hit, z_alarm = scores(hits, alarms, axis)
        return z_hit - z_alarm

    def lean(hits, alarms, axis=-1):
        return -sum(scores(hits, alarms, axis)) / 2

    reach = stats.t.ppf(0.975, 39)
    for estimate, statistic in ((found.d_prime, apart), (found.criterion, lean)):
        other = stats.bootstrap(
            (hits, alarms), statistic, paired=True, n_resamples=4000, random_state=1
        ).standard_error
        assert (estimate.high - estimate.value) / reach == pytest.approx(other, rel=0.1)
        assert estimate.value == pytest.approx(statistic(hits, alarms))


def test_what_chance_leaves_is_the_spread_of_binomial_counts():
    """All learners alike; the variance of z summed over every count of a binomial, by scipy."""
    each, learners = 20, 25
    trials = each * learners
    found = calc.cohort_detection(
        [16] * learners, misses=4, false_alarms=[8] * learners, correct_rejections=12
    )
    variance = 0
    for share in (0.8, 0.4):
        counts = np.arange(trials + 1)
        weights = stats.binom.pmf(counts, trials, share)
        z = stats.norm.ppf((counts + 0.5) / (trials + 1))
        variance += np.average((z - np.average(z, weights=weights)) ** 2, weights=weights)
    half = stats.t.ppf(0.975, learners - 1) * np.sqrt(variance)
    assert found.d_prime.high - found.d_prime.value == pytest.approx(half, rel=0.02)
    assert found.criterion.high - found.criterion.value == pytest.approx(half / 2, rel=0.02)
    # stanislaw-todorov-1999 has 1.095 and -0.294 for these rates, as above; the correction is small
    assert found.d_prime.value == pytest.approx(1.0950, abs=5e-3)
    assert found.criterion.value == pytest.approx(-0.2941, abs=2e-3)


def test_the_interval_holds_the_truth_as_often_as_it_says():
    """300 cohorts of 12 learners; the truth is z of the mean rates over all such learners."""
    generator = np.random.default_rng(11)
    many = generator.normal([[1.5], [0.2]], 0.6, (2, 400_000))
    z_hit, z_alarm = (
        stats.norm.ppf(stats.norm.cdf(sign * many[0] / 2 - many[1]).mean()) for sign in (1, -1)
    )
    held = np.zeros(2)
    for _ in range(300):
        hits, alarms = cohort(generator, 12, 6)
        found = calc.cohort_detection(
            hits, misses=6 - hits, false_alarms=alarms, correct_rejections=6 - alarms
        )
        held += [
            found.d_prime.low <= z_hit - z_alarm <= found.d_prime.high,
            found.criterion.low <= -(z_hit + z_alarm) / 2 <= found.criterion.high,
        ]
    assert (held >= 0.92 * 300).all()  # 95 % less 2.4 standard errors
    assert (held <= 0.99 * 300).all()

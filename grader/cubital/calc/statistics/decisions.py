"""How surely a pass mark sorts learners: the error of a sum, and decisions on parallel forms."""

from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from cubital.calc.shared.quantities import several, single, single_whole

SEED = 1  # any whole number: it only makes a simulation repeat itself
DECISION_RUNS = 100_000  # puts the standard error of a share of 85 % at 0.11 %
HUNDREDTHS = 100  # points are told to the hundredth
ROUNDING = 1e-9  # a sum below its cut by less, in points, is at it


class Consistency(NamedTuple):
    """How often two parallel forms decide alike, beyond chance too, and how many pass one."""

    share: float
    kappa: float | None
    pass_share: float


def binomial_standard_error(item_points: Sequence[float], *, ability_share: float) -> float:
    """Return the standard error of measurement of a sum of points, at one ability.

    `error = sqrt(p (1 - p) * sum of w^2)`

    Parameters
    ----------
    item_points : sequence of float
        Points w of each item [points]
    ability_share : float
        Share p of such items that somebody would get right [-]

    Returns
    -------
    float
        Standard deviation of their sum over parallel forms [points]

    Notes
    -----
    Points 0.01 to 1000 each, share 0 to 1. Items are right or wrong, drawn at random from many
    alike, and independent: part marks make the error smaller, items that hang together larger.
    It needs no cohort, and is largest for who gets half right.

    Examples
    --------
    >>> round(binomial_standard_error([2] * 60, ability_share=0.67), 2)
    7.28

    References
    ----------
    lord-1957
    """
    points, p = several("points", item_points), single("ability_share", ability_share)
    return float(np.sqrt(p * (1 - p) * (points**2).sum()))


def decision_consistency(
    item_points: Sequence[float], *, cut_share: float, ability_mean: float, ability_sd: float
) -> Consistency:
    """Return how often two parallel forms of a test decide alike on the same learner.

    `share = E[P^2 + (1 - P)^2]`, `kappa = (share - c) / (1 - c)`, `c = E[P]^2 + (1 - E[P])^2`,
    with P the chance to pass at an ability that is spread as a beta distribution

    Parameters
    ----------
    item_points : sequence of float
        Points of each item [points]
    cut_share : float
        Share of the points that passes [-]
    ability_mean : float
        Mean over learners of the share of items that each would get right [-]
    ability_sd : float
        Standard deviation of that share over learners [-]

    Returns
    -------
    Consistency
        Share of decisions that agree, Cohen's kappa of them, share who pass one form [-]; kappa
        None where all pass or none does

    Notes
    -----
    Points 0.01 to 1000 each, cut 0.01 to 1, mean 0.01 to 0.99, SD 0.02 to 0.49 and below
    sqrt(mean (1 - mean)). Exact for items that are right or wrong, equally hard and independent
    at one ability; part marks raise the consistency. It says how alike two decisions are, not
    how right either is.

    Examples
    --------
    >>> sheet = decision_consistency([2] * 15, cut_share=0.67, ability_mean=0.75, ability_sd=0.12)
    >>> round(sheet.share, 2), round(sheet.kappa, 2)
    (0.72, 0.39)

    References
    ----------
    huynh-1976, livingston-lewis-1995
    """
    points, cut = several("points", item_points), single("cut_share", cut_share)
    a, b = _beta(ability_mean, ability_sd)
    nodes, weights = _nodes(points.size + 1, a, b)
    passes = _chance_to_pass(points, cut, nodes)
    share = float(weights @ (passes**2 + (1 - passes) ** 2))
    return _consistency(share, float(weights @ passes))


def simulated_consistency(
    item_points: Sequence[float],
    *,
    cut_share: float,
    ability_mean: float,
    ability_sd: float,
    runs: int = DECISION_RUNS,
    seed: int = SEED,
) -> Consistency:
    """Return the same as `decision_consistency`, by simulation of learners who sit two forms.

    `share = number of learners with two decisions alike / number of learners`

    Parameters
    ----------
    item_points : sequence of float
        Points of each item [points]
    cut_share : float
        Share of the points that passes [-]
    ability_mean : float
        Mean over learners of the share of items that each would get right [-]
    ability_sd : float
        Standard deviation of that share over learners [-]
    runs : int, optional
        Simulated learners [-]
    seed : int, optional
        Seed of the simulation [-]

    Returns
    -------
    Consistency
        Share of decisions that agree, Cohen's kappa of them, share who pass one form [-]

    Notes
    -----
    Points 0.01 to 1000 each, cut 0.01 to 1, mean 0.01 to 0.99, SD 0.02 to 0.49, runs 100 to
    1000000. The assumptions are those of `decision_consistency`.

    Examples
    --------
    >>> two = simulated_consistency([2] * 15, cut_share=0.67, ability_mean=0.75, ability_sd=0.12)
    >>> round(two.share, 1)
    0.7

    References
    ----------
    livingston-lewis-1995
    """
    points, cut = several("points", item_points), single("cut_share", cut_share)
    a, b = _beta(ability_mean, ability_sd)
    learners = single_whole("runs", runs)
    generator = np.random.Generator(np.random.PCG64(seed))
    ability = generator.beta(a, b, learners)
    needed = cut * points.sum() - ROUNDING
    forms = []
    for _ in range(2):
        total = np.zeros(learners)
        for worth, number in Counter(points.tolist()).items():
            total += worth * generator.binomial(number, ability)
        forms.append(total >= needed)
    one, other = forms
    return _consistency(float((one == other).mean()), float((one.mean() + other.mean()) / 2))


def _consistency(share: float, passing: float) -> Consistency:
    by_chance = passing**2 + (1 - passing) ** 2
    kappa = None if np.isclose(by_chance, 1) else (share - by_chance) / (1 - by_chance)
    return Consistency(share, kappa, passing)


def _beta(mean: float, sd: float) -> tuple[float, float]:
    """Return the two shapes of the beta distribution with this mean and standard deviation."""
    m, s = single("ability_mean", mean), single("ability_sd", sd)
    size = m * (1 - m) / s**2 - 1
    if size <= 0:
        raise ValueError(
            f"spread of the ability is {s:g}: with a mean of {m:g} it must be below "
            f"{np.sqrt(m * (1 - m)):.3g}"
        )
    return m * size, (1 - m) * size


def _nodes(number: int, a: float, b: float) -> tuple[np.ndarray, np.ndarray]:
    """Return abilities and weights by which the mean over a beta distribution is exact.

    So many nodes are exact for polynomials of degree 2 * number - 1 (Gauss-Jacobi), and the
    square of a chance to pass has twice the number of items as its degree.
    """
    from scipy.special import roots_jacobi  # noqa: PLC0415 - on use: it is slow to load

    places, weights = roots_jacobi(number, b - 1, a - 1)
    return (places + 1) / 2, weights / weights.sum()


def _chance_to_pass(points: np.ndarray, cut: float, abilities: np.ndarray) -> np.ndarray:
    """Return the chance at each ability that the sum of the points reaches the cut."""
    from scipy.special import bdtr  # noqa: PLC0415 - on use: it is slow to load

    whole = np.round(HUNDREDTHS * points).astype(int)
    step = int(np.gcd.reduce(whole))
    chances = np.ones((abilities.size, 1))  # of each sum, in steps
    for worth, number in sorted(Counter((whole // step).tolist()).items()):
        up_to = bdtr(np.arange(number + 1), number, abilities[:, None])
        of_number = np.diff(up_to, axis=1, prepend=0)
        more = np.zeros((abilities.size, chances.shape[1] + worth * number))
        for right in range(number + 1):
            end = worth * right + chances.shape[1]
            more[:, worth * right : end] += of_number[:, [right]] * chances
        chances = more
    sums = np.arange(chances.shape[1]) * step / HUNDREDTHS
    return chances[:, sums >= cut * points.sum() - ROUNDING].sum(axis=1)

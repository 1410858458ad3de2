"""How sure against how right: by hand, and never part of a mark."""

import pytest
from statsmodels.stats.proportion import proportion_confint

from cubital.handin.objectives import knowledge
from cubital.handin.standard import standard_of
from cubital.records.calibration import calibration
from cubital.tables import Expected, Objective


@pytest.fixture
def answers(row, sheet):
    """Twenty sure answers, five of them right; ten guesses, five of them right; others left out."""
    sure = [row(f"s{n}", 2.0 if n < 5 else 0.0, confidence=0.95) for n in range(20)]
    guessed = [row(f"g{n}", 2.0 if n < 5 else 0.0, confidence=0.25) for n in range(10)]
    left_out = [
        row("silent"),
        row("blank", 0.0, "blank", confidence=0.95),
        row("refused", 0.0, "refused", confidence=0.95),
        row("text", None, full=3.0, confidence=0.95),
    ]
    return [sheet("l1", sure), sheet("l2", [*guessed, *left_out])]


def test_each_level_has_its_share_and_wilsons_interval(answers):
    guess, sure = calibration(answers)
    assert (guess.confidence, guess.n, guess.right) == (0.25, 10, 5)
    assert (sure.confidence, sure.n, sure.share) == (0.95, 20, 0.25)
    assert (sure.low, sure.high) == pytest.approx(proportion_confint(5, 20, method="wilson"))


def test_a_level_is_called_off_only_outside_its_interval(answers, row, sheet):
    guess, sure = calibration(answers)
    assert sure.says == "Surer than right."
    # Wilson of 5 of 10 is 0.237 to 0.763 and holds 0.25.
    assert guess.says == "As sure as right."
    few = [sheet("l1", [row("a", 0.0, confidence=0.95)])]
    assert calibration(few)[0].says == "Fewer than 10 answers: no statement."
    better = [sheet("l1", [row(f"a{n}", confidence=0.25) for n in range(12)])]
    assert calibration(better)[0].says == "Right more often than they thought."


def test_how_sure_somebody_is_changes_no_mark_and_no_objective(row, sheet):
    rule = Objective("k", "T", "t", "l", "s", ("a", "b"), ("a",), 0.5, "Watches.")
    for points in (0.0, 2.0):
        plain = sheet("l1", [row("a", points), row("b")])
        said = sheet("l1", [row("a", points, confidence=0.95), row("b", confidence=0.25)])
        assert plain.points == said.points
        assert knowledge(plain, rule).state == knowledge(said, rule).state


def test_pass_mark_is_points_times_the_judges_mean_added_up():
    """By hand: 2 x (60 + 80) / 2 % + 3 x (50 + 30) / 2 % = 1.4 + 1.2 = 2.6 of 5."""
    rows = {"a": Expected("a", 2, (0.6, 0.8)), "b": Expected("b", 3, (0.5, 0.3))}
    found = standard_of(("a", "b"), rows)
    assert (found.pass_mark, found.points, found.judges) == (pytest.approx(2.6), 5, 2)
    assert found.pass_share == pytest.approx(0.52)
    assert standard_of(("a", "b", "c"), rows) is None

"""The page on decisions is what the code makes, and says what the course rests on."""

import importlib
from pathlib import Path

import pytest

from cubital.items import WORKSHEETS
from cubital.items.levels import standing_apart

CHECKOUT = Path(__file__).resolve().parents[2]


@pytest.fixture
def pass_rules(monkeypatch):
    """The script of the checkout."""
    monkeypatch.syspath_prepend(CHECKOUT / ".ci")
    return importlib.import_module("pass_rules")


def test_the_page_is_of_the_questions_that_ship(pass_rules):
    is_current = pass_rules.PAGE.read_text(encoding="utf-8") == pass_rules.page()
    assert is_current, f"{pass_rules.PAGE.name} is stale: run {pass_rules.COMMAND}"


def test_the_course_is_enough_to_decide_by_and_no_worksheet_is(pass_rules):
    *alone, course = pass_rules.sheets()
    assert course.is_enough
    assert not any(one.is_enough for one in alone)
    apart = sum(item.id in standing_apart() for name in WORKSHEETS for item in WORKSHEETS[name])
    assert course.questions == sum(one.questions for one in alone) - apart


def test_sixty_questions_are_the_fewest_of_those_tried_that_are_enough(pass_rules):
    enough = [one.questions for one in pass_rules.lengths() if one.is_enough]
    assert min(enough) == pass_rules.BOUNDS["fewest_to_decide"] == 60


def test_both_sums_together_err_less_and_the_better_of_two_passes_more_of_the_weak(pass_rules):
    near, rules = pass_rules.parallel_rules()
    one, both, better = (
        rules[name] for name in (pass_rules.ONE, pass_rules.BOTH, pass_rules.BETTER)
    )
    assert 0.1 < near < 0.3
    assert both.alike > one.alike
    assert both.passes_below < one.passes_below < better.passes_below
    assert both.fails_above < one.fails_above
    # One form alone is the course's own row: as `decision_consistency` works it out exactly.
    *_, course = pass_rules.sheets()
    assert one.alike == pytest.approx(course.exact.share, abs=0.012)
    assert one.passes == pytest.approx(course.exact.pass_share, abs=0.012)


def test_the_core_is_enough_to_decide_by_with_its_parallel_form_as_the_readme_says(pass_rules):
    told = {}
    for core_alone in (False, True):
        cut = pass_rules.pass_share(core_alone=core_alone)
        near, rules = pass_rules.parallel_rules(core_alone=core_alone, cut=cut)
        told[core_alone] = near, rules[pass_rules.BOTH]
    near, both = told[True]
    assert both.alike >= pass_rules.BOUNDS["least_consistency"]
    assert both.kappa >= pass_rules.BOUNDS["least_kappa"]
    readme = (pass_rules.DOCS.parents[1] / "README.md").read_text(encoding="utf-8")
    assert (
        f"{100 * near:.0f} of 100 learners would lie too near to decide and sit a parallel form, "
        f"{100 * told[False][0]:.0f} with the whole course"
    ) in readme
    assert (
        f"Two such sittings would decide alike on {100 * both.alike:.0f} of 100, "
        f"two of the whole on [{100 * told[False][1].alike:.0f}]"
    ) in readme


def test_what_is_worked_out_and_what_is_simulated_agree_in_every_row(pass_rules):
    rows = [
        *pass_rules.sheets(),
        pass_rules.of_core(),
        *pass_rules.lengths(),
        *pass_rules.cohorts(),
    ]
    assert len(rows) > 40
    for one in rows:
        assert one.tried.share == pytest.approx(one.exact.share, abs=0.012), one
        assert one.tried.pass_share == pytest.approx(one.exact.pass_share, abs=0.012), one
        # kappa hangs on the few who do not pass, where hardly anybody does not
        assert one.tried.kappa == pytest.approx(one.exact.kappa, abs=0.02), one

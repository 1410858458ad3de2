"""One patient: what the draws may not do, by a second way, and what is not a number."""

from datetime import datetime, timedelta
from itertools import permutations

import pytest

from cubital import items, tables
from cubital.explore.patient.choices import OnePatient
from cubital.explore.patient.read_back import all_steps
from cubital.handin.released.release import new_release
from cubital.items.patient import case, case_assessment
from cubital.tables.patient import patient

RELEASE = new_release("autumn", "one-patient")
LEARNERS = [f"learner-{number:04d}" for number in range(50)]
LISTED = items.WORKSHEETS["one-patient"]


def test_half_are_left_until_the_day_before(drawn):
    """By a thousand catheters, day after day."""
    item, values = items.find("patient-half-left"), drawn("patient-half-left")
    for v in values:
        left, day = 1000.0, 0
        while left >= 500:
            left, day = left - left * v["failing_share"], day + 1
        assert item.answer(v) == day


def test_the_lessons_rule_is_taken_for_right(drawn):
    """Three over the number, with all its decimals."""
    item, values = items.find("patient-none-failed"), drawn("patient-none-failed")
    for v in values:
        assert item.judge(v, {"number": 3 / v["insertions"]}).outcome == "right", v


def test_the_added_fluid_brings_the_drug_to_what_its_label_allows(drawn):
    item, values = items.find("patient-added-fluid"), drawn("patient-added-fluid")
    for v in values:
        in_all = v["vial_ml"] + item.answer(v)
        assert v["dose_mg"] / in_all == pytest.approx(v["greatest_mg_per_ml"])
        assert in_all <= 500
        assert v["vial_ml"] == int(v["vial_ml"])


def test_a_leak_is_seen_while_the_drug_still_runs(drawn):
    values = drawn("patient-least-dose")
    assert all(0 < v["last_look_min"] < v["stopped_min"] < v["whole_min"] for v in values)


def test_looking_fits_into_the_shift(drawn):
    item, values = items.find("patient-looking-time"), drawn("patient-looking-time")
    assert max(item.answer(v) / (60 * v["shift_h"]) for v in values) < 0.7


def test_time_in_the_vein_is_that_of_a_calendar(drawn):
    """From Monday 1 January 2024 on, by dates."""
    item, values = items.find("patient-dwell"), drawn("patient-dwell")
    for v in values:
        monday = datetime(2024, 1, 1) + timedelta(days=v["day"])
        put_in = monday.replace(hour=v["in_h"], minute=v["in_min"])
        out = monday.replace(hour=v["out_h"], minute=v["out_min"]) + timedelta(days=v["days"])
        hours = (out - put_in).total_seconds() / 3600
        assert item.answer(v) == pytest.approx(hours)
        asked = item.ask(v)
        assert (
            f"put in on {put_in:%A} at {put_in:%H:%M}. On the {out:%A} after, at {out:%H:%M}"
            in (asked)
        )


def test_more_catheters_are_those_of_a_book_kept_day_by_day(drawn):
    item, values = items.find("patient-more-catheters"), drawn("patient-more-catheters")[:200]
    for v in values:
        put_in = 0.0
        for day in range(1, v["days"] + 1):
            failed = v["patients"] * v["failing_share"]
            put_in += failed if day < v["days"] else 0
        assert item.answer(v) == pytest.approx(put_in)


# ------------------------------------------------------------------------- what is not a number

IN_ORDER = ("who", "ask", "feel", "clean", "in", "off", "end")


def test_only_asking_and_feeling_may_change_places(drawn):
    item, v = items.find("patient-order"), drawn("patient-order")[0]
    right = [order for order in permutations(IN_ORDER) if not item.broken(order)]
    assert sorted(right) == sorted([IN_ORDER, ("who", "feel", "ask", "clean", "in", "off", "end")])
    told = {key: [b.key for b in item.broken(o)] for key, o in item.slip_answers(v).items()}
    assert told == {rule.key: [rule.key] for rule in item.rules}


BEST = OnePatient().state() | {
    "asked": "all",
    "arm": "right",
    "felt": "yes",
    "cleaned": "alcohol",
    "measured_by": "ultrasound",
    "vein": "B",
    "catheter": "24-19",
    "insertion_angle_deg": 30,
    "after_blood": "lower",
    "attempt": 1,
    "secured": "held",
    "response": "remove",
}
# The row of the table, and what is chosen in the lesson's figures to get there.
CHOSEN = {
    "faint": {},
    "last-allowed": {"attempt": tables.profile().attempt_limit},
    "wet": {"cleaned": "wet"},
    "gloves": {"cleaned": "gloves"},
    "tight": {"vein": "A"},
    "round": {"secured": "round"},
    "not-felt": {"felt": "no"},
    "restricted": {"arm": patient().restricted_arm},
    "bed": {"after_blood": "bed"},
    "beyond": {"attempt": tables.profile().attempt_limit + 1},
    "slower": {"response": "slow"},
}
VERDICTS = {"good": case.GOOD, "mend": case.MEND, "stop": case.STOP}
WORST_LAST = (case.GOOD, case.MEND, case.STOP)


@pytest.fixture(scope="module")
def rows_seen(drawn):
    item, values = items.find("patient-judged"), drawn("patient-judged")
    return {row.key: row for v in values for row in item.rows(v)}


@pytest.mark.parametrize("key", CHOSEN)
def test_a_row_is_judged_as_the_lessons_figures_judge_it(key, rows_seen):
    state = BEST | CHOSEN[key]
    phases = all_steps(state)
    if key == "tight":  # judged before the needle; the insertion would judge the same again
        del phases["Insertion"]
    verdicts = {step.verdict for steps in phases.values() for step in steps}
    assert VERDICTS[rows_seen[key].right] == max(verdicts, key=WORST_LAST.index)


def test_a_phase_stops_for_one_and_waits_for_what_is_to_mend():
    good, mend, stop = (case.Step("x", "y", "z", v) for v in (case.GOOD, case.MEND, case.STOP))
    assert case.overall((good,)) == "Go on: nothing is missing"
    assert case.overall((good, mend, mend)) == "Not yet: 2 to mend first"
    assert case.overall((good, mend, stop)).startswith("Stop: 1 not acceptable")


def test_a_flow_that_no_catheter_gives_is_to_be_mended(monkeypatch):
    monkeypatch.setattr(case_assessment, "flow_needed_ml_per_min", lambda: 1000.0)
    *_, sized = all_steps(BEST)["Assessment"]
    assert sized.verdict == case.MEND
    assert "No catheter to choose from has a nominal flow of 1000 mL/min" in sized.leads_to


def test_every_row_of_the_insertion_is_held_to_the_figures(rows_seen):
    """Blood thinners and handing on before the first attempt are in the lesson's words alone."""
    assert set(rows_seen) == {*CHOSEN, "thinner", "hand-on-early"}


def test_handing_on_early_is_right_where_difficulty_is_expected(rows_seen):
    row = rows_seen["hand-on-early"]
    assert row.right == "good"
    assert "before the first attempt" in row.text
    assert "handing on earlier is right" in rows_seen["last-allowed"].misconceptions["mend"]


def test_skin_is_cleaned_with_no_tourniquet_on(drawn):
    item = items.find("patient-order")
    steps = {step.key: step.text for step in item.steps(drawn("patient-order")[0])}
    assert steps["clean"].startswith("Clean hands again, and gloves; with no tourniquet on")
    assert steps["in"].startswith("Tourniquet on")


def test_clean_hands_and_gloves_before_the_skin_are_asked_for_wherever_they_are_judged():
    scheme = " ".join(items.find("patient-handed-over").mark_scheme)
    assert "hands clean again and gloves on, clean the skin" in scheme


def test_every_table_has_five_rows_and_every_verdict(drawn):
    item, values = items.find("patient-judged"), drawn("patient-judged")
    for v in values:
        rows = item.rows(v)
        assert len({row.key for row in rows}) == 5
        assert {row.right for row in rows} == set(VERDICTS)
        for row in rows:
            assert set(row.misconceptions) == set(VERDICTS) - {row.right}


def test_policy_asked_about_is_the_departments():
    table = items.find("patient-judged")
    strict = {"attempt_limit": 1.0, "ratio_limit": 0.33}
    texts = " ".join(
        row.text
        for learner in LEARNERS
        for row in table.rows(table.values("autumn", learner, strict))
    )
    assert "attempt 1 of the 1 allowed" in texts
    assert "attempt 2, where 1 is allowed" in texts
    assert "would take 36 %; local policy allows 33 %" in texts

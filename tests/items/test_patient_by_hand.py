"""One patient: one draw of each number worked by pencil, and what the draws may not do.

The numbers here were worked out by counting a hundred patients, by the hours of a clock and by the
series of e; not by this course's code.
"""

from datetime import datetime, timedelta
from itertools import permutations

import pytest

from cubital import items, tables
from cubital.explore import patient_steps as lesson
from cubital.explore.patient_choices import OnePatient
from cubital.handin.release import new_release
from cubital.tables.patient import patient

RELEASE = new_release("autumn", "one-patient")
LEARNERS = [f"learner-{number:04d}" for number in range(1000)]
LISTED = items.WORKSHEETS["one-patient"]

WORKED = {
    # Of 100, 70 at first; of the other 30 half, 15: 85. With 70 % again, 21 of 30: 91.
    # Half of 70: 35. Between 70 and 50: 60. 15 of 100 fail twice.
    "patient-within-two": (
        {"first_share": 0.7, "second_share": 0.5},
        0.85,
        {
            "same-chance-again": 0.91,
            "both-for-either": 0.35,
            "averaged-chances": 0.6,
            "failed-for-succeeded": 0.15,
        },
    ),
    # ln 20 = 2.995732; over 30: 0.0998577. 1 - e^-x = x - x^2/2 + x^3/6 - x^4/24:
    # 0.0998577 - 0.0049858 + 0.0001660 - 0.0000041 = 0.0950338
    "patient-none-failed": (
        {"insertions": 30},
        0.0950338,
        {
            "none-for-never": 0.0,
            "one-for-three": 0.0333333,
            "failed-for-succeeded": 0.9049662,
            "per-cent-sign-missing": 9.50338,
        },
    ),
    # 1 mL of the 250 mL holds 4 of the 1000 mg; 20 mL are there. 50 mg/mL is 12.5 times 4 mg/mL.
    "patient-added-fluid": (
        {"dose_mg": 1000, "vial_ml": 20, "greatest_mg_per_ml": 4},
        230,
        {
            "whole-for-added": 250,
            "added-for-subtracted": 270,
            "times-stronger": 12.5,
            "as-much-again": 20,
        },
    ),
    # 20 mg and 5/3 mL a minute. By minute 15: 300 mg, 25 mL; by 27: 540 mg; half-way, 21: 420 mg;
    # in the 12 between 240 mg; 1200 - 540 = 660.
    "patient-least-dose": (
        {
            "dose_mg": 1200,
            "bag_ml": 100,
            "whole_min": 60,
            "last_look_min": 15,
            "stopped_min": 27,
        },
        300,
        {
            "all-that-ran": 540,
            "half-way-leak": 420,
            "doubtful-for-least": 240,
            "in-the-bag-for-in-the-vein": 660,
            "millilitres-for-milligrams": 25,
        },
    ),
    # 6 patients twice: 12 looks, 30 minutes. 2 patients 24 times: 48 looks, 120 minutes.
    # 8 patients twice: 16 looks, 40 minutes. 150 / 8 = 18.75.
    "patient-looking-time": (
        {
            "shift_h": 8,
            "quiet": 6,
            "quiet_every_h": 4,
            "watched": 2,
            "watched_every_min": 20,
            "look_min": 2.5,
        },
        150,
        {
            "watched-left-out": 30,
            "quiet-left-out": 120,
            "looks-for-minutes": 60,
            "all-at-the-longer": 40,
            "one-hour-for-shift": 18.75,
        },
    ),
    # Monday 21:30 to Thursday 21:30 is 72 h; 09:12 is 12 h 18 min before that: 59.7.
    # A day more 83.7; 72 + 12.3 = 84.3; 21.30 - 9.12 = 12.18, 72 - 12.18 = 59.82.
    "patient-dwell": (
        {"day": 0, "days": 3, "in_h": 21, "in_min": 30, "out_h": 9, "out_min": 12},
        59.7,
        {
            "dates-only": 72,
            "both-days-counted": 83.7,
            "clock-the-wrong-way": 84.3,
            "minutes-as-decimals": 59.82,
        },
    ),
    # Of 1000: 900, 810, 729, 656, 590, 531, 478: the seventh day. 5 x 10 % are half, 10 x all.
    "patient-half-left": (
        {"failing_share": 0.1, "planned_days": 14},
        7,
        {"chances-added": 5, "all-for-half": 10, "one-day-early": 6, "first-day-free": 8},
    ),
    # 2 of 20 a day, 4 days: 8; with the fifth 10; with the first twenty 28.
    # Of 20 first ones 20 x 0.9 x 0.9 x 0.9 x 0.9 = 13.122 are left after four days.
    "patient-more-catheters": (
        {"patients": 20, "days": 5, "failing_share": 0.1},
        8,
        {
            "last-day-counted": 10,
            "one-day-for-all": 2,
            "patients-for-catheters": 6.878,
            "first-ones-counted": 28,
        },
    ),
}


def drawn(item_id, learners=LEARNERS):
    item = items.find(item_id)
    return item, [RELEASE.values(item, learner) for learner in learners]


@pytest.mark.parametrize("item_id", WORKED)
def test_answer_and_slips_are_those_worked_by_hand(item_id):
    values, answer, slips = WORKED[item_id]
    item = items.find(item_id)
    assert item.answer(values) == pytest.approx(answer, rel=1e-5)
    assert item.slip_values(values) == pytest.approx(slips, rel=1e-5)


def test_all_numbers_of_the_worksheet_are_worked_by_hand():
    assert {item.id for item in LISTED if item.kind == "number"} == set(WORKED)


@pytest.mark.parametrize("item_id", WORKED)
def test_a_thousand_draws_keep_answer_and_slips_apart(item_id):
    item, values = drawn(item_id)
    for v in values:
        numbers = [item.answer(v), *item.slip_values(v).values()]
        closest = min(abs(a - b) for i, a in enumerate(numbers) for b in numbers[i + 1 :])
        assert item.tolerance(v) <= closest / 2, v


@pytest.mark.parametrize("item_id", WORKED)
def test_a_thousand_draws_and_their_answers_are_usual(item_id):
    usual = tables.limits()
    item, values = drawn(item_id)
    for v in values:
        for name, number in {**v, item.quantity: item.answer(v)}.items():
            if name in usual:
                assert usual[name].usual_low <= number <= usual[name].usual_high, name


def test_half_are_left_until_the_day_before():
    """By a thousand catheters, day after day."""
    item, values = drawn("patient-half-left")
    for v in values:
        left, day = 1000.0, 0
        while left >= 500:
            left, day = left - left * v["failing_share"], day + 1
        assert item.answer(v) == day


def test_the_lessons_rule_is_taken_for_right():
    """Three over the number, with all its decimals."""
    item, values = drawn("patient-none-failed")
    for v in values:
        assert item.judge(v, {"number": 3 / v["insertions"]}).outcome == "right", v


def test_the_added_fluid_brings_the_drug_to_what_its_label_allows():
    item, values = drawn("patient-added-fluid")
    for v in values:
        in_all = v["vial_ml"] + item.answer(v)
        assert v["dose_mg"] / in_all == pytest.approx(v["greatest_mg_per_ml"])
        assert in_all <= 500
        assert v["vial_ml"] == int(v["vial_ml"])


def test_a_leak_is_seen_while_the_drug_still_runs():
    _, values = drawn("patient-least-dose")
    assert all(0 < v["last_look_min"] < v["stopped_min"] < v["whole_min"] for v in values)


def test_looking_fits_into_the_shift():
    item, values = drawn("patient-looking-time")
    assert max(item.answer(v) / (60 * v["shift_h"]) for v in values) < 0.7


def test_time_in_the_vein_is_that_of_a_calendar():
    """From Monday 1 January 2024 on, by dates."""
    item, values = drawn("patient-dwell")
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


def test_more_catheters_are_those_of_a_book_kept_day_by_day():
    item, values = drawn("patient-more-catheters", LEARNERS[:200])
    for v in values:
        put_in = 0.0
        for day in range(1, v["days"] + 1):
            failed = v["patients"] * v["failing_share"]
            put_in += failed if day < v["days"] else 0
        assert item.answer(v) == pytest.approx(put_in)


# ------------------------------------------------------------------------- what is not a number

IN_ORDER = ("who", "ask", "feel", "in", "off", "end")


def test_only_asking_and_feeling_may_change_places():
    item, (v,) = drawn("patient-order", LEARNERS[:1])
    right = [order for order in permutations(IN_ORDER) if not item.broken(order)]
    assert sorted(right) == sorted([IN_ORDER, ("who", "feel", "ask", "in", "off", "end")])
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
VERDICTS = {"good": lesson.GOOD, "mend": lesson.MEND, "stop": lesson.STOP}
WORST_LAST = (lesson.GOOD, lesson.MEND, lesson.STOP)


def rows_seen():
    item, values = drawn("patient-judged")
    return {row.key: row for v in values for row in item.rows(v)}


@pytest.mark.parametrize("key", CHOSEN)
def test_a_row_is_judged_as_the_lessons_figures_judge_it(key):
    state = BEST | CHOSEN[key]
    phases = [lesson.assessment_steps(state), lesson.follow_up_steps(state)]
    if key != "tight":  # judged before the needle; the insertion would judge the same again
        phases.append(lesson.insertion_steps(state))
    verdicts = {step.verdict for steps in phases for step in steps}
    assert VERDICTS[rows_seen()[key].right] == max(verdicts, key=WORST_LAST.index)


def test_every_row_but_the_blood_thinner_is_held_to_the_figures():
    assert set(rows_seen()) == {*CHOSEN, "thinner"}


def test_every_table_has_five_rows_and_every_verdict():
    item, values = drawn("patient-judged")
    for v in values:
        rows = item.rows(v)
        assert len({row.key for row in rows}) == 5
        assert {row.right for row in rows} == set(VERDICTS)
        for row in rows:
            assert set(row.misconceptions) == set(VERDICTS) - {row.right}


def test_policy_asked_about_is_the_departments():
    wait, table = items.find("patient-cannot-wait"), items.find("patient-judged")
    strict = {"attempt_limit": 1.0, "ratio_limit": 0.33}
    assert "one attempt at a patient" in wait.ask(wait.values("autumn", "ada", strict))
    assert "two attempts" in wait.ask(RELEASE.values(wait, "ada"))
    texts = " ".join(
        row.text
        for learner in LEARNERS[:50]
        for row in table.rows(table.values("autumn", learner, strict))
    )
    assert "attempt 1 of the 1 allowed" in texts
    assert "attempt 2, where 1 is allowed" in texts
    assert "would take 36 %; local policy allows 33 %" in texts


def test_nobody_is_led_to_the_arm_with_the_restriction():
    item, values = drawn("patient-arm", LEARNERS[:200])
    for v in values:
        for option in item.options(v):
            assert option.right != (f"{v['side']} " in option.text), option.text


def test_what_can_harm_at_once_must_be_right():
    harmful = {"patient-arm", "patient-pulse", "patient-cannot-wait"}
    assert {item.id for item in LISTED if item.critical} == harmful

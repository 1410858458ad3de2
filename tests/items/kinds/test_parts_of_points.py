"""What a part is worth: of all rows and rules, up to the very tolerance, by what and where."""

from fractions import Fraction
from math import nextafter

import pytest

from cubital.items import (
    Before,
    CodeItem,
    Column,
    NumberItem,
    Option,
    OrderItem,
    Row,
    SeriesItem,
    Step,
    TableItem,
)
from cubital.items.kinds.base import Slip
from cubital.scene import NOTICE

KEYS = "abcde"
TABLE = TableItem(
    id="five",
    title="Five rows",
    points=5,
    section="",
    draw_values=lambda draw: {},
    ask=lambda values: "",
    columns=lambda values: (Column("yes", "Yes"), Column("no", "No")),
    rows=lambda values: tuple(Row(key, key, "yes", {"no": "guesses"}) for key in KEYS),
)


@pytest.mark.parametrize("right", range(6))
@pytest.mark.parametrize("wrong", range(6))
def test_a_row_of_a_table_is_worth_its_share_of_all_rows_filled_in_or_not(right, wrong):
    if not 1 <= right + wrong <= 5:
        return
    cells = dict.fromkeys(KEYS[:right], "yes") | dict.fromkeys(KEYS[right : right + wrong], "no")
    judgement = TABLE.judge({}, {"cells": cells})
    assert judgement.points == 5 * Fraction(right, 5)
    assert (judgement.outcome == "right") == (right == 5)


ORDER = OrderItem(
    id="four",
    title="Four steps",
    points=2,
    section="",
    draw_values=lambda draw: {"shown": draw.shuffled("abcd")},
    ask=lambda values: "",
    steps=lambda values: tuple(Step(key, key) for key in "abcd"),
    rules=(
        Before("late-a", "a", "b", "lets a wait"),
        Before("late-b", "b", "c", "lets b wait"),
        Before("late-c", "c", "d", "lets c wait"),
        Before("ends-first", "a", "d", "ends first"),
    ),
)


@pytest.mark.parametrize(
    ("order", "points", "slip"),
    [
        ("abcd", 2, None),
        ("bacd", 1.5, "late-a"),
        ("cbad", 1, "late-a"),  # b after a, and c after b, are turned
        ("dabc", 1, "late-c"),
        ("dcba", 0, "late-a"),
    ],
)
def test_each_rule_that_an_order_keeps_is_worth_its_share(order, points, slip):
    judgement = ORDER.judge({"shown": "dcba"}, {"order": list(order)})
    assert (judgement.points, judgement.slip) == (points, slip)


def test_every_rule_that_an_order_breaks_is_told():
    judgement = ORDER.judge({"shown": "dcba"}, {"order": list("cbad")})
    assert judgement.message == (
        "2 of 4 rules are kept. This order lets a wait; it also lets b wait."
    )


def test_leaving_the_steps_as_they_are_shown_earns_at_most_half():
    for learner in range(200):
        values = ORDER.values("autumn", f"learner-{learner}", {})
        assert ORDER.judge(values, {"order": values["shown"]}).points <= 1


def number(**more):
    return NumberItem(
        id="eight",
        title="Eight",
        points=2,
        section="",
        draw_values=lambda draw: {},
        ask=lambda values: "",
        answer=lambda values: 8.0,
        slips=(Slip("half", "the half is taken", lambda values: 4.0),),
        **more,
    )


# Of 8, 0.25 is 2: these numbers are exact in binary, so that the edge is the edge.
@pytest.mark.parametrize("item", [number(absolute_tolerance=0.5), number(relative_tolerance=0.25)])
def test_an_answer_may_lie_as_far_off_as_the_tolerance_and_no_farther(item):
    off = item.tolerance({})
    assert off == (0.5 if item.absolute_tolerance else 2.0)
    for edge, beyond in ((8 - off, -100), (8 + off, 100)):
        assert item.judge({}, {"number": edge}).outcome == "right"
        assert item.judge({}, {"number": nextafter(edge, beyond)}).outcome != "right"


def test_a_slip_is_known_as_far_off_as_the_tolerance_and_no_farther():
    item = number(absolute_tolerance=0.5)
    for edge, beyond in ((3.5, 0), (4.5, 8)):
        assert item.judge({}, {"number": edge}).outcome == "slip"
        assert item.judge({}, {"number": nextafter(edge, beyond)}).outcome == "wrong"


def test_a_functions_result_may_lie_as_far_off_as_the_tolerance_and_no_farther():
    item = CodeItem(
        id="line",
        title="A line",
        points=2,
        section="",
        draw_values=lambda draw: {},
        ask=lambda values: "",
        answer=lambda values: 8.0,
        relative_tolerance=0.25,
    )
    assert item.judge_results([{}, {}], [6.0, 10.0]).outcome == "right"
    assert item.judge_results([{}, {}], [6.0, nextafter(10.0, 100)]).outcome == "wrong"


# Frames of 320 x 240 pixels of 0.2 mm, flat and straight on: 12 mm are 60 columns.
EVENT = {"key": "event-1", "kind": "haematoma", "visible": True, "onset_frame": 10}
EVENT |= {"column": 200, "row": 150, "x_mm": (200 - 159.5) * 0.2, "y_mm": (150 - 119.5) * 0.2}
TRUTH = {
    "version": 1,
    "notice": NOTICE,
    "frames": 40,
    "picture": {
        "width_px": 320,
        "height_px": 240,
        "mm_per_px": 0.2,
        "centre_mm": [0.0, 0.0],
        "turn_deg": 0.0,
        "tilt_deg": 0.0,
        "tilt_towards_deg": 0.0,
        "distance_mm": None,
        "room_light_share": 0.0,
    },
    "events": [EVENT],
}
SERIES = SeriesItem(
    id="series",
    title="A series",
    points=4,
    section="",
    draw_values=lambda draw: {},
    ask=lambda values: "",
    options=lambda values: (Option("bruise", "A bruise."), Option("no-change", "Nothing.", "x")),
    happened={"haematoma": "bruise"},
    misconceptions={"bruise": "waits for pain", "no-change": "sees what is not there"},
)


@pytest.mark.parametrize(
    ("frame", "mark", "points"),
    [
        (10, [200, 150], 4),
        (14, [200, 150], 4),  # four frames late is in time
        (15, [200, 150], 3),
        (6, [200, 150], 4),
        (5, [200, 150], 3),
        (10, [260, 150], 4),  # 12 mm off
        (10, [265, 150], 3),  # 13 mm off
        (10, None, 3),
        (None, [200, 150], 3),
        (15, [265, 150], 2),
        (None, None, 2),
    ],
)
def test_of_a_series_what_is_worth_half_and_when_and_where_a_quarter_each(frame, mark, points):
    judgement = SERIES.judge(
        {"picture": "one"}, {"what": "bruise", "frame": frame, "mark": mark}, TRUTH
    )
    assert judgement.points == points
    assert ("Where: not right" in judgement.message) == (mark == [265, 150])


def test_when_and_where_count_only_if_what_is_right():
    answer = {"what": "no-change", "frame": 10, "mark": [200, 150]}
    assert SERIES.judge({"picture": "one"}, answer, TRUTH).points == 0

"""Every learner gets a question that makes sense, has one answer, and whose slips show."""

import functools
import hashlib
import math
import re

import pytest

from cubital import items, tables
from cubital.handin.released.release import new_release
from cubital.items import ChoiceItem, ExpressionItem, NumberItem
from cubital.items.writing.draw import Draw

RELEASE = new_release("autumn", "catheter-sizing")
LEARNERS = [f"learner-{number:03d}" for number in range(500)]
RELEASES = {name: new_release("autumn", name) for name in items.WORKSHEETS}
ITEMS = [item for listed in items.WORKSHEETS.values() for item in listed]
NUMBERS = [item for item in ITEMS if isinstance(item, NumberItem)]
CHOICES = [item for item in ITEMS if isinstance(item, ChoiceItem)]


def ids(listed):
    return [item.id for item in listed]


def worksheet_of(item):
    return next(name for name, listed in items.WORKSHEETS.items() if item in listed)


def drawn(item, learner):
    """What a learner gets of an item, drawn once for all tests; to be read, not changed."""
    return _drawn(item.id, learner)


@functools.cache
def _drawn(item_id, learner):
    item = items.find(item_id)
    return RELEASES[worksheet_of(item)].values(item, learner)


def test_a_draw_is_the_hash_of_its_names():
    """A second way to the same numbers: the hash written out by hand."""
    draw = Draw("autumn", "learner-001", "sizing-french", 0, {})
    digest = hashlib.sha256(b"autumn\0learner-001\0sizing-french\x000\x000").digest()
    expected = 60 + int.from_bytes(digest[:8], "big") % 161
    assert draw.step(0.6, 2.2, 0.01) == pytest.approx(expected / 100)


@pytest.mark.parametrize("worksheet", items.WORKSHEETS)
def test_worksheet_has_the_kinds_that_it_promises(worksheet):
    kinds = [item.kind for item in items.WORKSHEETS[worksheet]]
    assert kinds.count("number") >= 7
    assert {"choice", "text"} <= set(kinds)
    assert len(kinds) >= 12


@pytest.mark.parametrize("item", NUMBERS, ids=ids(NUMBERS))
def test_every_slip_can_be_typed_and_is_named_when_marked(item):
    seen = set()
    for learner in LEARNERS[:100]:
        values = drawn(item, learner)
        right = item.read(item.as_typed(item.answer(values), 6), values)
        assert item.judge(values, right).points == item.points
        for key, number in item.slip_values(values).items():
            judgement = item.judge(values, item.read(item.as_typed(number, 6), values))
            assert (judgement.outcome, judgement.points, judgement.slip) == ("slip", 0, key)
            seen.add(key)
    assert seen == {slip.key for slip in item.slips}


@pytest.mark.parametrize("item", NUMBERS, ids=ids(NUMBERS))
def test_learners_do_not_share_values(item):
    distinct = {str(drawn(item, learner)) for learner in LEARNERS}
    assert len(distinct) >= 4
    other = new_release("spring", worksheet_of(item))
    changed = [drawn(item, who) != other.values(item, who) for who in LEARNERS]
    assert sum(changed) > len(LEARNERS) / 2


DECIMALS = {
    r"Whole ": 0,
    r"one decimal\b": 1,
    r"two decimals\b": 2,
}


@pytest.mark.parametrize("item", NUMBERS, ids=ids(NUMBERS))
def test_an_answer_rounded_as_the_question_says_is_right(item):
    """The right answer, with no more digits than are asked for, is not marked down."""
    for learner in LEARNERS:
        values = drawn(item, learner)
        asked = item.ask(values)
        digits = next((n for words, n in DECIMALS.items() if re.search(words, asked)), None)
        if digits is None:
            continue
        in_per_cent = "per cent" in asked and not item.unit and "or per cent" not in asked
        answer = item.answer(values) * (100 if in_per_cent else 1)
        typed = f"{answer:.{digits}f} {'%' if in_per_cent else item.unit}"
        judgement = item.judge(values, item.read(typed, values))
        assert judgement.outcome == "right", (learner, values, typed, item.answer(values))


TO_THE_SAFE_SIDE = {r"round(?:ed)? up": math.ceil, r"round(?:ed)? down": math.floor}


@pytest.mark.parametrize("item", NUMBERS, ids=ids(NUMBERS))
def test_an_answer_rounded_to_the_side_that_the_question_names_is_right_too(item):
    for learner in LEARNERS:
        values = drawn(item, learner)
        asked = item.ask(values)
        digits = next((n for words, n in DECIMALS.items() if re.search(words, asked)), None)
        for words, rounded in TO_THE_SAFE_SIDE.items():
            if digits is None or not re.search(words, asked):
                continue
            typed = f"{rounded(item.answer(values) * 10**digits) / 10**digits} {item.unit}"
            judgement = item.judge(values, item.read(typed, values))
            assert judgement.outcome == "right", (learner, values, typed, item.answer(values))


@pytest.mark.parametrize("item", NUMBERS, ids=ids(NUMBERS))
def test_the_example_under_the_box_is_nobodys_right_answer(item):
    """In each of its spellings it shows the form of an answer and does not tell one."""
    any_values = drawn(item, LEARNERS[0])
    shown = [item.read(way, any_values)["number"] for way in item.example.split(" or ")]
    for learner in LEARNERS:
        values = drawn(item, learner)
        away = min(abs(number - item.answer(values)) for number in shown)
        assert away > item.tolerance(values), (learner, item.example, item.answer(values))


def numbers_in(text):
    return [float(number.replace(",", "")) for number in re.findall(r"\d[\d,]*(?:\.\d+)?", text)]


@pytest.mark.parametrize("item", NUMBERS, ids=ids(NUMBERS))
def test_every_number_says_how_it_comes_about(item):
    """The route is one line of words and numbers, and the right answer is one of its numbers."""
    for learner in LEARNERS[:50]:
        values = drawn(item, learner)
        route = item.route_to(values)
        assert route.strip()
        assert "\n" not in route
        assert not re.search(r"\bnan\b|\binf\b|--|\.\d{6}|\de[+-]?\d|[{}]|None", route), route
        shares = [1, 100] if not item.unit else [1]  # a share may be said in per cent
        answer, tolerance = item.answer(values), item.tolerance(values)
        assert any(
            abs(number / share - answer) <= tolerance
            for number in numbers_in(route)
            for share in shares
        ), (learner, route, answer)


@pytest.mark.parametrize("item", NUMBERS, ids=ids(NUMBERS))
def test_learners_are_told_different_routes(item):
    assert len({item.route_to(drawn(item, learner)) for learner in LEARNERS[:50]}) >= 3


@pytest.mark.parametrize("item", CHOICES, ids=ids(CHOICES))
def test_each_choice_has_one_right_option_and_varies(item):
    orders, offered = set(), set()
    for learner in LEARNERS:
        options = item.options(drawn(item, learner))
        assert [option.right for option in options].count(True) == 1
        assert len({option.text for option in options}) == len(options) >= 4
        orders.add(tuple(option.key for option in options))
        offered.update(option.text for option in options)
    assert len(orders) > 10
    assert len(offered) >= 6


@pytest.mark.parametrize("item", CHOICES, ids=ids(CHOICES))
def test_options_of_a_choice_item_do_not_give_the_answer_away_by_place(item):
    places = [
        [option.right for option in item.options(drawn(item, who))].index(True) for who in LEARNERS
    ]
    assert all(places.count(place) > len(LEARNERS) / 8 for place in range(4))


UNSEEN_CHARACTERS = 2  # so small a difference in length is not seen on the screen


@pytest.mark.parametrize("item", CHOICES, ids=ids(CHOICES))
def test_options_of_a_choice_item_do_not_give_the_answer_away_by_length(item):
    """The right option is neither the longest nor the shortest too often."""
    longest = shortest = 0
    for learner in LEARNERS:
        options = item.options(drawn(item, learner))
        (right,) = (len(option.text) for option in options if option.right)
        wrong = [len(option.text) for option in options if not option.right]
        longest += right > max(wrong) + UNSEEN_CHARACTERS
        shortest += right < min(wrong) - UNSEEN_CHARACTERS
    assert max(longest, shortest) <= 0.6 * len(LEARNERS), (longest, shortest)


def _limits(gauge):
    return next(
        row for row in tables.joint_limits() if (row.gauge, row.age_group) == (gauge, "adult")
    )


def test_drawn_patients_keep_within_the_joint_limits():
    """Vein, gauge, length, age and therapy go together, by the sourced table of joint limits."""
    ratio, gravity = items.find("sizing-ratio"), items.find("sizing-gravity-flow")
    adequate, smallest = items.find("sizing-smallest-adequate"), items.find("sizing-smallest-vein")
    rapid = next(row for row in tables.therapies() if row.key == "rapid")
    for learner in LEARNERS:
        drawn = RELEASE.values(ratio, learner)
        limits = _limits(drawn["gauge"])
        assert limits.vein_low_mm <= drawn["vein_diameter_mm"] <= limits.vein_high_mm

        drawn = RELEASE.values(gravity, learner)
        limits = _limits(drawn["gauge"])
        row = next(row for row in tables.gauges() if row.gauge == drawn["gauge"])
        assert limits.length_low_mm <= drawn["length_mm"] <= limits.length_high_mm
        assert row.inner_low_mm <= drawn["inner_diameter_mm"] <= row.inner_high_mm

        drawn = RELEASE.values(adequate, learner)
        enough = [
            row
            for row in tables.gauges()
            if (row.nominal_flow_ml_per_min or 0) >= drawn["flow_ml_per_min"]
        ]
        limits = _limits(max(enough, key=lambda row: row.gauge).gauge)
        assert "rapid" in limits.therapies
        low, high = rapid.flow_low_ml_per_min, rapid.flow_high_ml_per_min
        assert low <= drawn["flow_ml_per_min"] <= high
        assert limits.vein_low_mm <= drawn["vein_diameter_mm"] <= limits.vein_high_mm

        drawn = RELEASE.values(smallest, learner)
        limits = _limits(drawn["gauge"])
        assert limits.vein_low_mm <= smallest.answer(drawn) <= limits.vein_high_mm


def test_flow_asked_for_can_be_set_in_the_lessons_figure():
    item = items.find("sizing-gravity-flow")
    for learner in LEARNERS:
        drawn = RELEASE.values(item, learner)
        assert round(drawn["inner_diameter_mm"] / 0.05, 6).is_integer()
        assert (drawn["height_mm"] / 50).is_integer()


def test_slow_flow_is_laminar_where_the_question_says_so():
    """Re = 4 Q / (pi d nu), water at 20 degrees C with nu = 1.0034e-6 m2/s (IAPWS)."""
    item = items.find("sizing-bore-flow")
    for learner in LEARNERS:
        values = RELEASE.values(item, learner)
        for flow, bore in (
            (values["flow_ml_per_min"], values["inner_diameter_mm"]),
            (item.answer(values), values["new_inner_diameter_mm"]),
        ):
            reynolds = 4 * (flow * 1e-6 / 60) / (3.14159265 * bore * 1e-3 * 1.0034e-6)
            assert reynolds < 2000


def test_an_item_that_cannot_keep_its_slips_apart_says_so():
    french = items.find("sizing-french")
    blind = items.NumberItem(
        **{
            name: getattr(french, name)
            for name in ("title", "points", "section", "draw_values", "ask", "unit", "answer")
        },
        id="blind",
        quantity="answered_french",
        slips=(items.Slip("same", "nothing differs", french.answer),),
        relative_tolerance=0.01,
    )
    with pytest.raises(RuntimeError, match="blind: no values in 200 draws keep its slips apart"):
        blind.values("autumn", "learner-001", {})


def test_hidden_cases_differ_from_what_the_learner_sees():
    code = next(item for item in ITEMS if isinstance(item, ExpressionItem))
    for learner in LEARNERS[:50]:
        values = RELEASE.values(code, learner)
        shown, *hidden = code.cases(values, "a seal")
        assert shown == values
        assert len(hidden) == 3
        assert all(case != values for case in hidden)
        assert code.cases(values, "another seal")[1:] != hidden

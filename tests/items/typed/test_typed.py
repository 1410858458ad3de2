"""Every numeric item, answered as people write numbers: rounded, with a comma, in another unit."""

import itertools
import math
import re

import pytest

from cubital import items
from cubital.handin.released.release import new_release
from cubital.items import AskedBackError, NumberItem, UnreadableAnswerError

RELEASES = {name: new_release("autumn", name) for name in items.WORKSHEETS}
NUMBERS = {
    item.id: (item, RELEASES[worksheet])
    for worksheet, listed in items.WORKSHEETS.items()
    for item in listed
    if isinstance(item, NumberItem)
}
FEW = range(1)
MANY = pytest.param(range(1, 16), marks=pytest.mark.long)
EACH = pytest.mark.parametrize("item_id", NUMBERS)
LEARNERS = pytest.mark.parametrize("learners", [FEW, MANY], ids=["few", "many"])

# The same quantity in other units: by how much the number grows.
OTHER_UNITS = {
    "mm": {"cm": 0.1, "m": 0.001, "µm": 1000},
    "mL/min": {"mL/h": 60, "L/h": 0.06, "ml per min": 1},
    "drops/min": {"gtt/min": 1, "drops per h": 60},
    "h": {"min": 60, "hours": 1, "days": 1 / 24},
    "min": {"h": 1 / 60, "s": 60, "minutes": 1},
    "s": {"min": 1 / 60, "sec": 1},
    "days": {"h": 24, "d": 1},
    "mL": {"L": 0.001, "cc": 1},
    "mg": {"g": 0.001},
    "degrees": {"rad": math.pi / 180, "°": 1},
    "mm/s": {"cm/s": 0.1, "mm/min": 60},
    "Fr": {"French": 1, "ch": 1},
    "": {"%": 100, "per cent": 100},
    "lx": {"lux": 1},
    "wipes": {"wipe": 1},
    "pictures": {"picture": 1},
    "shifts": {"shift": 1},
    "catheters": {"catheter": 1},
}
DECIMALS = {r"Whole ": 0, r"one decimal\b": 1, r"two decimals\b": 2}


def drawn(item_id, learners):
    item, release = NUMBERS[item_id]
    for number in learners:
        yield item, release.values(item, f"learner-{number:03d}")


def figures(number, count):
    """Round to significant figures; 5 by the sixth is as good as no rounding."""
    if number == 0:
        return 0.0, 0
    places = count - 1 - math.floor(math.log10(abs(number)))
    return round(number, places), max(places, 0)


def spellings(item, number, least):
    """Write a number, rounded by at most ``least`` [in the item's unit], in every way there is."""
    units = {item.unit: 1} | OTHER_UNITS[item.unit]
    for unit, factor in units.items():
        for count in (2, 3, 4, 6):
            shown, places = figures(number * factor, count)
            if abs(shown / factor - number) > least:
                continue
            plain = f"{shown:.{places}f}"
            yield f"{plain} {unit}".strip()
            yield f" {plain}{unit} "
            padded = plain + ("000" if "." in plain else ".000")
            yield f"{padded} {unit}".strip()
            if re.fullmatch(r"-?0\.\d+|-?\d+\.(\d|\d\d|\d{4,})", plain):  # else it may group
                yield f"{plain.replace('.', ',')} {unit}".strip()


def read(item, values, typed):
    """Read what is typed; what is asked back because it has no sign is typed with it."""
    try:
        return item.read(typed, values)
    except AskedBackError:
        assert item.unit == ""
        assert "%" not in typed
        number = float(typed.strip().replace(",", "."))
        return item.read(f"{100 * number!r} %", values)
    except UnreadableAnswerError:
        assert item.most  # a bare number that is too large for per cent of a whole
        assert float(typed.strip().replace(",", ".")) > 100 * item.most
        return None


@LEARNERS
@EACH
def test_the_right_number_is_right_however_it_is_written(item_id, learners):
    """Rounded by no more than the tolerance, in any spelling and any unit of its dimension."""
    for item, values in drawn(item_id, learners):
        right = item.answer(values)
        allowed = max(item.absolute_tolerance, item.relative_tolerance * abs(right))
        ways = list(spellings(item, right, 0.999 * allowed))
        assert len(ways) >= 8
        for typed in ways:
            judgement = item.judge(values, item.read(typed, values))
            assert judgement.outcome == "right", (typed, right, values)


def coarseness(item, right, slip):
    """How far a slip is rounded by who rounds it as the question lets the answer be rounded."""
    share = max(item.absolute_tolerance / abs(right), item.relative_tolerance)
    asked_as_share = min(share, 0.05) * abs(slip)  # two significant figures at the coarsest
    in_decimals = max(item.absolute_tolerance, item.relative_tolerance * abs(right))
    asked_in_decimals = in_decimals if in_decimals < abs(slip) / 4 else 0
    return max(asked_as_share, asked_in_decimals, item.relative_tolerance * abs(slip))


@LEARNERS
@EACH
def test_each_slip_is_told_as_that_slip_however_it_is_written(item_id, learners):
    for item, values in drawn(item_id, learners):
        right = item.answer(values)
        for slip in item.slips:
            number = slip.value(values)
            if number is None:
                continue
            for typed in spellings(item, number, 0.999 * coarseness(item, right, number)):
                answer = read(item, values, typed)
                if answer is not None:
                    told = item.judge(values, answer).slip
                    assert told == slip.key, (typed, number, values)


@LEARNERS
@pytest.mark.parametrize("item_id", [key for key, (item, _) in NUMBERS.items() if item.unit])
def test_a_slip_rounded_as_the_question_asks_is_told(item_id, learners):
    for item, values in drawn(item_id, learners):
        asked = item.ask(values)
        digits = next((n for words, n in DECIMALS.items() if re.search(words, asked)), None)
        if digits is None:
            continue
        for slip in item.slips:
            number = slip.value(values)
            if number is None or abs(round(number, digits) - number) > abs(number) / 4:
                continue  # little would be left of it
            typed = f"{number:.{digits}f} {item.unit}".strip()
            answer = read(item, values, typed)
            if answer is not None:
                assert item.judge(values, answer).slip == slip.key, (typed, number, values)


SHARES = [key for key, (item, _) in NUMBERS.items() if item.most]


def test_every_ratio_says_from_where_on_it_is_asked_back_or_can_be_any_number():
    """What can exceed 1 freely is a number of times, a count or a gain; read item by item."""
    free = {key for key, (item, _) in NUMBERS.items() if not item.unit and not item.most}
    assert free == {
        "light-over-noise",
        "light-frames",
        "read-averaged",
        "read-gain",
        "read-false-bands",
        "comp-cool",
        "comp-times-as-much",
        "comp-needed",
        "whole-times-filled",
        "whole-per-charge",
    }
    assert {key for key in SHARES if NUMBERS[key][0].most != 1} == {"sizing-ratio"}


@LEARNERS
@pytest.mark.parametrize("item_id", SHARES)
def test_a_share_in_per_cent_without_its_sign_is_asked_back(item_id, learners):
    for item, values in drawn(item_id, learners):
        right = item.answer(values)
        whole = round(100 * right)
        for typed in (f"{whole}", f" {whole} ", f"{whole},0", f"{whole}.0"):
            if whole <= item.most:
                continue
            with pytest.raises(AskedBackError, match=f"Did you mean {whole} %\\?") as asked:
                item.read(typed, values)
            assert asked.value.meant == f"{whole} %"
        meant = item.judge(values, item.read(f"{whole} %", values))
        assert meant.outcome == (
            "right" if abs(whole / 100 - right) <= item.tolerance(values) else meant.outcome
        )
        for typed in (f"{right:.4f}", f"{100 * right:.2f} %"):
            assert item.judge(values, item.read(typed, values)).outcome == "right"


@LEARNERS
@pytest.mark.parametrize("item_id", SHARES)
def test_an_answer_saved_without_its_sign_by_an_earlier_edition_is_judged(item_id, learners):
    for item, values in drawn(item_id, learners):
        right = item.answer(values)
        whole = round(100 * right)
        judgement = item.judge(values, {"number": float(whole), "typed": str(whole)})
        assert judgement.points == 0
        knows = "per-cent-sign-missing" in {slip.key for slip in item.slips}
        rounds = abs(whole - 100 * right) <= min(100 * item.tolerance(values), 5 * right)
        if knows and rounds:
            assert judgement.slip == "per-cent-sign-missing", (whole, right)
        else:
            assert judgement.outcome in {"wrong", "slip"}


def test_more_than_a_hundred_times_the_most_is_refused_with_an_example():
    item, release = NUMBERS["sizing-area-share"]
    with pytest.raises(
        UnreadableAnswerError, match=r"340 cannot be the answer.*0\.72 or 72 %"
    ) as no:
        item.read("340", release.values(item, "ada"))
    assert not isinstance(no.value, AskedBackError)


def test_minutes_typed_for_hours_without_a_unit_are_asked_for_their_unit():
    item, release = NUMBERS["sizing-infusion-time"]
    values = release.values(item, "ada.alder")
    minutes = round(60 * item.answer(values))
    with pytest.raises(UnreadableAnswerError, match="The unit is missing"):
        item.read(str(minutes), values)
    assert item.judge(values, item.read(f"{minutes} min", values)).outcome == "right"
    assert item.judge(values, item.read(f"{minutes} h", values)).slip == "minutes-for-hours"


@pytest.mark.parametrize("item_id", NUMBERS)
def test_no_number_is_taken_for_two_things(item_id):
    """What is near enough to one slip is near enough to no other, and not to the answer."""
    for item, values in drawn(item_id, range(20)):
        right = item.answer(values)
        spans = [(right - item.tolerance(values), right + item.tolerance(values))]
        for number in item.slip_values(values).values():
            reach = item.slip_tolerance(values, number)
            spans.append((number - reach, number + reach))
        spans.sort()
        for (_, end), (start, _) in itertools.pairwise(spans):
            assert end <= start + 1e-9, (item_id, values, spans)

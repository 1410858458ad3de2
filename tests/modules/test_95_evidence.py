"""What is known of first attempts: the page says what the table says, the table what counts give.

Intervals of counts are worked out here by their textbook formulas, with no part of the package.
"""

import math
import re
from datetime import date

import pytest

from cubital import tables
from cubital.explore.course.evidence_tables import evidence_table, found, reading
from cubital.tables import course

from .stated import NUMBER, assert_written, pairs, unchecked, words_of

NAME = "95-evidence"
FOUND = course.evidence()
ROWS = list(FOUND.values())
Z = 1.959964  # of a 95 % interval
ALL = FOUND["first-attempt-all"]

STATED = {
    "how-to-read": {
        "*Failed 1.03 times as often*": (ALL.value,),
        "for every 100 failures without the light there were 103 with it": (100, 100 * ALL.value),
        "1 is no difference": (1,),
        "from below 1 to above 1": (1, 1),
    },
}


@pytest.fixture(scope="module")
def words(lessons):
    return words_of(lessons[NAME])


@pytest.mark.parametrize(("cell", "stated"), pairs(STATED))
def test_stated_numbers_are_the_tables(words, cell, stated):
    assert_written(words[cell], stated, STATED[cell][stated])


def test_no_number_in_the_prose_goes_unchecked(lessons):
    assert unchecked(lessons[NAME], STATED) == {}


def wilson(successes, trials):
    """Wilson 1927: the two p for which (x/n - p)^2 = z^2 p (1 - p) / n."""
    a = 1 + Z**2 / trials
    b = -(2 * successes / trials + Z**2 / trials)
    c = (successes / trials) ** 2
    root = math.sqrt(b * b - 4 * a * c)
    return (-b - root) / (2 * a), (-b + root) / (2 * a)


def katz(events, total, control_events, control_total):
    """Katz 1978: the logarithm of a ratio of two shares is near normal."""
    ratio = (events / total) / (control_events / control_total)
    error = math.sqrt(1 / events - 1 / total + 1 / control_events - 1 / control_total)
    return ratio, ratio * math.exp(-Z * error), ratio * math.exp(Z * error)


@pytest.mark.parametrize("row", [row for row in ROWS if row.events], ids=lambda row: row.key)
def test_what_comes_of_counts_is_what_the_counts_give(row):
    if row.measure == "success":
        due = (row.events / row.total, *wilson(row.events, row.total))
        digits = 3
    else:
        due = katz(row.events, row.total, row.control_events, row.control_total)
        digits = 2
    assert (row.value, row.low, row.high) == tuple(round(value, digits) for value in due)


def test_only_groups_of_ninety_fit_the_shares_of_the_trial_of_270():
    """The abstract gives 78.9, 62.2 and 58.9 %; of three groups that make 270, which fit?"""
    shares = (0.789, 0.622, 0.589)
    sizes = [
        {n for n in range(60, 121) if any(round(x / n, 3) == share for x in range(n + 1))}
        for share in shares
    ]
    fits = {(a, b, 270 - a - b) for a in sizes[0] for b in sizes[1] if 270 - a - b in sizes[2]}
    assert (90, 90, 90) in fits
    assert min(max(size) - min(size) for size in fits) == 0
    assert [size for size in fits if max(size) - min(size) < 9] == [(90, 90, 90)]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.key)
def test_every_finding_has_its_source_how_far_it_was_seen_and_its_limits(row):
    reference = tables.bibliography()[row.source]
    assert row.seen in tables.SEEN
    assert tables.SEEN.index(row.seen) >= tables.SEEN.index(reference.seen)
    assert row.group in course.EVIDENCE_GROUPS
    assert row.measure in course.MEASURES
    assert len(row.could_not_say) > 8
    assert date.fromisoformat(row.looked_on).year >= reference.year
    if row.searched:
        assert reference.year - 3 <= date.fromisoformat(row.searched).year <= reference.year


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.key)
def test_an_interval_holds_its_value(row):
    assert (row.low is None) == (row.high is None)
    if row.low is not None and row.value is not None:
        assert row.low < row.value < row.high
    if row.measure == "range":
        assert row.low < row.high


def test_every_finding_stands_on_the_page_once_with_its_numbers(ran):
    shown = {c.id: c.outputs[0].data["text/plain"] for c in ran(NAME).cells if c.get("outputs")}
    lines = [line for text in shown.values() for line in text.splitlines()]
    for row in ROWS:
        (line,) = (
            one
            for one in lines
            if one.lower().startswith(f"{row.words.lower()} | ") and row.source in one
        )
        percent = row.measure in {"success", "points", "range"}
        written = [float(text.replace(",", "")) for text in NUMBER.findall(line.split(" | ")[1])]
        for value in (row.value, row.low, row.high):
            if value is not None:
                due = abs(100 * value if percent else value)
                assert any(abs(due - number) <= 0.051 for number in written), (row.key, due)
        assert "seen in abstract only" in line
        assert row.could_not_say in line


def test_the_page_says_what_an_interval_allows():
    def says(key):
        return reading(FOUND[key])

    assert "No difference shown" in says("first-attempt-all")
    assert "No difference shown" in says("first-attempt-adults")
    assert "No difference shown" in says("first-attempt-difficult")
    assert "No difference shown" in says("children-infrared-trial")
    assert "No interval" in says("attempts-saved")
    assert says("ultrasound-over-infrared") == "Ultrasound did better, beyond chance"
    worse = FOUND["first-attempt-all"]._replace(low=1.01)
    assert reading(worse) == "Near-infrared light did worse, beyond chance"
    fewer = FOUND["children-infrared-trial"]._replace(high=-0.01)
    assert reading(fewer) == "Near-infrared light did worse, beyond chance"
    assert found(fewer) == "8.7 fewer of 100 (19.4 fewer to 1.0 fewer)"


def test_what_the_prose_takes_from_the_tables_is_so(words):
    ratios = [row for row in ROWS if row.measure in {"failing", "succeeding"}]
    widest = max(ratios, key=lambda row: row.high / row.low)
    assert widest.key == "first-attempt-adults"
    assert "the widest of all ratios on this page" in words["read-adults"]
    both = {row.source for row in ROWS if row.group == "ultrasound" and "infrared" in row.words}
    assert both - {"curtis-2015", "tada-2022"} == {"yalcinli-2022"}
    assert {row.seen for row in ROWS} == {"abstract"}
    assert "All sources were seen in abstract only" in words["how-to-read"]
    assert FOUND["ultrasound-adults-difficult"].low > 1
    assert FOUND["ultrasound-children"].low < 1
    assert FOUND["children-ultrasound-trial"].high > 0 > FOUND["children-ultrasound-trial"].value


def test_nothing_is_graded_by_nobody(words, ran):
    """A grade of evidence needs raters with a name; this page has none, so it gives no grade."""
    shown = "\n".join(c.outputs[0].data["text/plain"] for c in ran(NAME).cells if c.get("outputs"))
    said = "\n".join([*words.values(), shown]).casefold()
    assert not re.search(r"\bgrade[sd]?\b|certainty|quality of (the )?evidence|level [1-5i]", said)


def test_a_group_that_is_not_there_is_refused_with_those_there_are():
    with pytest.raises(ValueError, match="children, difficult, adults, ultrasound"):
        evidence_table("everybody")

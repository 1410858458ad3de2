"""The course's ten principles: where they are asked, and that nothing on a page tells which is
which."""

from collections import Counter
from itertools import chain, pairwise

import pytest

from cubital import calc, items
from cubital.handin.mending import lesson_of
from cubital.items.principles.asked import VignetteItem
from cubital.items.principles.course import PRINCIPLES
from cubital.tables.course import section_titles

MOST_CRITICAL = 20
PARTS = ("first", "second", "other")
LISTED = tuple(chain.from_iterable(items.WORKSHEETS.values()))
ASKED = {item.id: item for item in LISTED if isinstance(item, VignetteItem)}


@pytest.mark.parametrize("key", PRINCIPLES)
def test_a_principle_has_no_fault(key):
    assert list(PRINCIPLES[key].faults()) == []
    assert PRINCIPLES[key].key == key


def test_each_of_the_ten_is_asked_three_times_in_one_worksheet():
    assert len(PRINCIPLES) == 10
    for key in PRINCIPLES:
        ids = {f"{key.replace('_', '-')}-{part}" for part in PARTS}
        homes = [name for name, listed in items.WORKSHEETS.items() if ids & {i.id for i in listed}]
        assert len(homes) == 1
        assert ids <= ASKED.keys()
    assert len(ASKED) == 30


def test_what_must_be_right_to_pass_are_vignettes_with_their_trigger_and_nothing_else():
    critical = [item.id for item in LISTED if item.critical]
    assert len(critical) <= MOST_CRITICAL
    assert set(critical) == {key for key in ASKED if not key.endswith("-other")}


def test_where_one_stands_tells_nothing():
    """On each worksheet with several, the three of a principle stand in four different orders."""
    for listed in items.WORKSHEETS.values():
        orders = {}
        for item in listed:
            if isinstance(item, VignetteItem):
                orders.setdefault(item.principle, []).append(item.id.rpartition("-")[2])
        assert len({tuple(order) for order in orders.values()}) == len(orders)
        ids = [item.principle if isinstance(item, VignetteItem) else "" for item in listed]
        assert all(not one or one != after for one, after in pairwise(ids))


def test_titles_count_them_and_tell_nothing():
    titles = [item.title for item in LISTED if item.id in ASKED]
    assert titles == [f"Situation {number}" for number in range(1, 31)]


@pytest.mark.parametrize("item_id", ASKED)
def test_the_section_is_one_of_the_lesson_that_teaches_it(item_id):
    assert ASKED[item_id].section in section_titles(lesson_of(item_id))


@pytest.mark.parametrize("key", PRINCIPLES)
def test_how_many_ways_a_vignette_has_does_not_tell_whether_its_trigger_is_there(key):
    """Of those with the trigger four of six have five ways, of those without it two of three."""
    for vignettes in (PRINCIPLES[key].present, PRINCIPLES[key].absent):
        counts = Counter(len(one.ways) for one in vignettes)
        assert set(counts) == {4, 5}
        assert counts[5] * 3 == len(vignettes) * 2


def test_no_two_vignettes_of_the_course_are_told_in_the_same_words():
    stories = [one.story for row in PRINCIPLES.values() for one in row.vignettes]
    assert len(set(stories)) == len(stories)


def test_a_band_looks_narrower_than_measured_where_the_device_hangs_too_far_away():
    told = {one.key: one.story for row in PRINCIPLES.values() for one in row.vignettes}
    assert "hangs too far away" in told["picture-looks-narrower"]
    assert calc.camera_scale(40, reference_distance_mm=220) < 1
    assert calc.camera_scale(-40, reference_distance_mm=220) > 1

"""Two copies of one learner's answers are merged, whatever the clocks of the computers said."""

from hypothesis import given
from hypothesis import strategies as st

from cubital.handin.answers import Answers, Entry
from cubital.handin.merging import merged

ITEM = "sizing-ratio"
days = st.lists(st.integers(1, 20), max_size=5)


def tries(answered, first):
    """One try for each day that the clock said, with an answer of its own."""
    return tuple(
        Entry(at=f"2027-03-{day:02d}T10:00:00+00:00", values={}, answer={"number": first + n})
        for n, day in enumerate(answered)
    )


def kept(rows):
    return Answers("spring", "catheter-sizing", "ada", {ITEM: rows} if rows else {}, "")


@given(days, days, days)
def test_either_way_round_and_again_it_is_the_same_and_each_computers_order_stays(begun, one, two):
    before = tries(begun, 0)
    copies = [kept(before + tries(one, 100)), kept(before + tries(two, 200))]
    both = merged(*copies)
    assert merged(*reversed(copies)) == both
    assert [merged(both, copy) for copy in (*copies, both)] == [both] * 3
    rows = list(both.items.get(ITEM, ()))
    for copy in copies:
        at = [rows.index(row) for row in copy.items.get(ITEM, ())]
        assert at == sorted(at)
    assert len(rows) == len(begun) + len(one) + len(two)

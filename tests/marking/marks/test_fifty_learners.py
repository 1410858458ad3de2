"""Over fifty learners a worksheet: right gets all points, nothing gets none, a slip its points."""

import json
from typing import Any

import pytest

from cubital.handin.answers import Entry
from cubital.handin.marks import mark
from cubital.handin.released.release import new_release
from cubital.items import WORKSHEETS, Item

from ..costs import lost

LEARNERS = [f"learner-{number:02d}" for number in range(50)]
RELEASES = {name: new_release("winter", name) for name in WORKSHEETS}
ITEMS = [(name, item) for name, listed in WORKSHEETS.items() for item in listed if not item.needs]


def slips(item: Item, values: dict[str, Any]) -> dict[str, tuple[Any, float]]:
    """What is entered for each slip, and the points that stay."""
    answers = item.slip_answers(values)
    return {key: (answer, item.points - lost(item, values, key)) for key, answer in answers.items()}


@pytest.mark.parametrize(("worksheet", "item"), ITEMS, ids=[item.id for _, item in ITEMS])
def test_right_gets_all_nothing_none_and_each_slip_loses_its_points(
    worksheet: str, item: Item
) -> None:
    release = RELEASES[worksheet]
    named = set()
    for learner in LEARNERS:
        values = release.values(item, learner)

        def given(typed: Any, values: dict[str, Any] = values) -> Entry:
            answer = json.loads(json.dumps(item.read(typed, values)))  # as it is saved
            return Entry("2031-03-04T09:00:00+00:00", json.loads(json.dumps(values)), answer)

        question = release.question(item, learner)
        assert mark(question, given(item.solution(values))).points == item.points
        assert mark(question, None).points == 0
        for key, (typed, stays) in slips(item, values).items():
            row = mark(question, given(typed))
            assert (row.outcome, row.slip) == ("slip", key), (learner, values)
            assert row.points == pytest.approx(stays, abs=0.01)
            named.add(key)
    assert named == item.slip_keys(release.values(item, learner) for learner in LEARNERS)

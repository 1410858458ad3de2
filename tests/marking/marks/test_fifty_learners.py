"""Over fifty learners a worksheet: right gets all points, nothing gets none, a slip its points."""

import json
from typing import Any

import pytest

from cubital.handin.answers import Entry
from cubital.handin.marks import mark
from cubital.handin.release import new_release
from cubital.items import WORKSHEETS, Item

LEARNERS = [f"learner-{number:02d}" for number in range(50)]
RELEASES = {name: new_release("winter", name) for name in WORKSHEETS}
ITEMS = [
    (name, item)
    for name, listed in WORKSHEETS.items()
    for item in listed
    if item.kind in {"number", "choice", "order", "table"}
]


def right(item: Item, values: dict[str, Any]) -> Any:
    """What is entered by who is right."""
    if item.kind == "number":
        return item.as_typed(item.answer(values))
    if item.kind == "choice":
        return next(option.key for option in item.options(values) if option.right)
    return item.solution(values)


def slips(item: Item, values: dict[str, Any]) -> dict[str, tuple[Any, float]]:
    """What is entered for each slip, and the points that stay."""
    if item.kind == "number":
        made = item.slip_values(values)
        return {key: (item.as_typed(number), 0.0) for key, number in made.items()}
    if item.kind == "choice":
        return {o.key: (o.key, 0.0) for o in item.options(values) if not o.right}
    rows = len(item.rows(values)) if item.kind == "table" else 1
    stays = item.points * (1 - 1 / rows)
    return {key: (answer, stays) for key, answer in item.slip_answers(values).items()}


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

        assert mark(release, item, learner, given(right(item, values))).points == item.points
        assert mark(release, item, learner, None).points == 0
        for key, (typed, stays) in slips(item, values).items():
            row = mark(release, item, learner, given(typed))
            assert (row.outcome, row.slip) == ("slip", key), (learner, values)
            assert row.points == pytest.approx(stays, abs=0.01)
            named.add(key)
    if item.kind == "number":
        assert named == {slip.key for slip in item.slips}
    if item.kind == "order":
        assert named == {rule.key for rule in item.rules}

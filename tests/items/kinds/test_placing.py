"""Marks on a picture: one missed or one too many is nearly right, and the words judge the marks."""

import pytest

from cubital import items
from cubital.items.kinds.on_pictures.placing import PlaceKey
from cubital.scene.truth.scoring import Score

FORKS = items.find("read-forks")
VALUES = {"picture": "aaaa"}


def judged(monkeypatch, hits, misses, false_alarms):
    found = Score("bifurcation", hits, misses, false_alarms, 0, ())
    monkeypatch.setattr(PlaceKey, "score", lambda *_: found)
    return FORKS.key(VALUES).judge(FORKS.form(VALUES), {"marks": []}, {})


@pytest.mark.parametrize(("misses", "false_alarms"), [(1, 0), (0, 1)])
def test_one_mistake_among_several_right_marks_is_nearly(monkeypatch, misses, false_alarms):
    judgement = judged(monkeypatch, 5, misses, false_alarms)
    assert judgement.message.startswith("Nearly: 5 of ")
    assert "Marking like this" not in judgement.message
    assert judgement.points == pytest.approx(FORKS.points * 5 / 6, abs=0.005)


@pytest.mark.parametrize(
    ("hits", "misses", "false_alarms", "why"),
    [(4, 2, 0, FORKS.missed), (4, 0, 2, FORKS.invented), (1, 1, 0, FORKS.missed)],
)
def test_more_mistakes_are_told_with_what_they_rest_on(
    monkeypatch, hits, misses, false_alarms, why
):
    judgement = judged(monkeypatch, hits, misses, false_alarms)
    assert not judgement.message.startswith("Nearly")
    assert judgement.message.endswith(f"Marking like this {why}.")
    assert "somebody" not in judgement.message


def test_the_hint_says_what_a_mark_is_for_and_what_a_wrong_one_costs():
    assert FORKS.form(VALUES).hint == "Place one mark per fork. Wrong marks lose points."

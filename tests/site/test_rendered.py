"""A practice's pictures are the same in the browser's Python, to the pixel; what is true of them
too, but for the last digits of numbers that nobody rounded."""

import pytest

from . import there
from .measured import rendered

SAMPLE = ("read-forks",)
ROUNDING = 1e-12  # of sines and powers, which come from two libraries


@pytest.mark.parametrize(
    ("item", "seed"),
    [
        pytest.param(item, seed, marks=() if item in SAMPLE and not seed else pytest.mark.long)
        for item in rendered.OF_ITEMS
        for seed in range(2)
    ],
)
def test_pictures_truth_and_judgements_are_the_same(with_all, item, seed):
    here = there.here(rendered.practised, item, f"practice-{seed}")
    found = with_all(rendered.practised, item, f"practice-{seed}")
    assert [*there.differences(here["judged"], found["judged"])] == []
    assert [*there.differences(here, found, within=ROUNDING)] == []

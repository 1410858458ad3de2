"""Photons followed in the browser's Python tell the same as those of the compiled core."""

import pytest

from . import there
from .measured import photons

FARTHEST = 4.0  # standard errors between two runs at one depth: one pair in 16,000 lies farther


@pytest.mark.parametrize(
    ("number", "seed"),
    [(2_000, 1), *(pytest.param(8_000, seed, marks=pytest.mark.long) for seed in (1, 2, 3))],
)
def test_contrasts_differ_by_no_more_than_chance(at_first, number, seed):
    here, found = there.here(photons.run, number, seed + 10), at_first(photons.run, number, seed)
    away = [
        (one - other) / (error**2 + its**2) ** 0.5
        for one, other, error, its in zip(
            here["contrasts"], found["contrasts"], here["errors"], found["errors"], strict=True
        )
    ]
    assert max(map(abs, away)) < FARTHEST
    assert all(0 < error < 0.1 for error in found["errors"])

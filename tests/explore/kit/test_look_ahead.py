"""A figure works out the next step of a moved slider beforehand, and shows it only when asked."""

import asyncio

import pytest

from cubital.explore.sizing.fit import EndOnFit


@pytest.fixture
def counted(monkeypatch):
    """States that were computed, in order."""
    states = []
    compute = EndOnFit.compute

    def count(state):
        states.append(dict(state))
        return compute(state)

    monkeypatch.setattr(EndOnFit, "compute", staticmethod(count))
    return states


async def settle(figure):
    """Let what was put off for the next moment run."""
    ahead = figure._ahead
    for _ in range(1000):
        await asyncio.sleep(0.001)
        if figure._ahead is not ahead:
            return


@pytest.fixture
def moved(in_own_loop):
    """Move a figure's slider in a loop, as a kernel does, and let it look ahead."""

    def move_to(figure, *values):
        async def move():
            for value in values:
                figure.vein_diameter_mm = value
                await settle(figure)

        in_own_loop(move)

    return move_to


def test_the_next_step_is_there_before_it_is_asked_for(counted, moved, in_own_loop):
    figure = EndOnFit(vein_diameter_mm=3.0)
    moved(figure, 3.1)
    assert [state["vein_diameter_mm"] for state in counted][-2:] == [3.1, 3.2]
    before = len(counted)
    figure.vein_diameter_mm = 3.2
    assert len(counted) == before
    assert "3.2" in figure.picture["alt"]


def test_what_was_worked_out_beforehand_is_what_would_be_computed(counted, moved, in_own_loop):
    figure = EndOnFit(vein_diameter_mm=3.0)
    moved(figure, 3.1, 3.2)
    assert figure.picture == EndOnFit(vein_diameter_mm=3.2).picture


def test_another_step_is_computed_afresh(counted, moved, in_own_loop):
    figure = EndOnFit(vein_diameter_mm=3.0)
    moved(figure, 3.1)
    figure.vein_diameter_mm = 2.9
    assert counted[-1]["vein_diameter_mm"] == 2.9
    assert figure.picture == EndOnFit(vein_diameter_mm=2.9).picture


def test_nothing_is_worked_out_beyond_the_sliders_end_or_without_a_loop(
    counted, moved, in_own_loop
):
    figure = EndOnFit(vein_diameter_mm=5.0)
    figure.vein_diameter_mm = 5.5
    assert figure._ahead is None
    moved(figure, 6.0)
    assert max(state["vein_diameter_mm"] for state in counted) == 6.0

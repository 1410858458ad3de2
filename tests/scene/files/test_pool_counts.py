"""What of a pool is asked for: a number or counts of kinds, never both; and who renders it."""

import importlib
from collections import Counter
from pathlib import Path

import pytest

from cubital.scene.files import pools
from cubital.scene.files.planning import Size

SMALL = {"picture": Size(32, 24, 4.0), "series": Size(16, 12, 8.0, frames=3)}


@pytest.fixture
def render(monkeypatch):
    """A renderer in place of the real one; ``render.kinds`` counts what it was asked for."""
    monkeypatch.syspath_prepend(Path(__file__).parent)
    stand_in = importlib.import_module("stand_in")

    def draw(job):
        draw.kinds[job.kind] += 1
        return stand_in.draw(job)

    draw.kinds = Counter()
    return draw


def rendered(folder, render, **asked):
    asked = {"seed": 4, "processes": 1, "sizes": SMALL} | asked
    return pools.render_pool(folder, render=render, **asked)


@pytest.mark.parametrize("asked", [{}, {"number": 4, "jobs": {"valve": 4}}])
def test_neither_or_both_of_number_and_kinds_is_refused_and_nothing_is_made(
    asked, render, tmp_path
):
    with pytest.raises(ValueError, match="give either the number of pictures or how many"):
        rendered(tmp_path / "pool", render, **asked)
    assert not (tmp_path / "pool").exists()


def test_as_many_of_each_kind_are_made_as_asked_for_and_none_of_a_kind_of_none(render, tmp_path):
    pool = rendered(tmp_path, render, jobs={"valve": 2, "no-valve": 3, "series-nothing": 0})
    assert len([*pool.pictures.iterdir()]) == 5
    assert render.kinds == {"valve": 2, "no-valve": 3}


def test_a_number_alone_makes_that_many_in_the_usual_parts(render, tmp_path):
    rendered(tmp_path, render, number=12)
    assert sum(render.kinds.values()) == 12
    assert len(render.kinds) > 3


def test_where_the_number_of_cores_is_not_known_one_process_renders(render, tmp_path, monkeypatch):
    monkeypatch.setattr(pools.os, "cpu_count", lambda: None)
    pool = rendered(tmp_path, render, jobs={"valve": 2}, processes=None)
    assert len([*pool.pictures.iterdir()]) == 2

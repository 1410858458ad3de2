"""The chance that drives photon transport, and where its compiled code is kept."""

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from cubital.calc.light.transport import batches, photons
from cubital.calc.shared import compiling

LARGEST_GAP = 1.63  # of a distribution of n numbers from the true one, in 1/sqrt(n), at 1 %


def states(n):
    return [tuple(row) for row in np.random.default_rng(3).integers(1, 2**63, (n, 4), np.uint64)]


def gap(drawn, distribution):
    """Return the largest gap between drawn numbers and a distribution, in 1/sqrt(n)."""
    drawn = np.sort(drawn)
    steps = np.arange(1, len(drawn) + 1) / len(drawn)
    return np.abs(distribution(drawn) - steps).max() * np.sqrt(len(drawn))


@pytest.fixture(scope="module")
def sampled():
    """Many draws in compiled loops: free paths, and turns for some anisotropies."""
    next_state, free_path, turn = photons._next, photons._free_path, photons._turn

    @compiling.compiled(forceinline=True)
    def paths(state, n):
        found = np.empty(n)
        for i in range(n):
            found[i], state = free_path(state)
        return found

    @compiling.compiled(forceinline=True)
    def turns(state, n, g, start):
        found = np.empty((n, 3))
        for i in range(n):
            found[i, 0], found[i, 1], found[i, 2], state = turn(*start, g, state)
        return found

    @compiling.compiled(forceinline=True)
    def integers(state, n):
        found = np.empty(n, np.uint64)
        for i in range(n):
            found[i], state = next_state(state)
        return found

    return paths, turns, integers


def test_free_paths_are_exponential(sampled):
    paths, _, _ = sampled
    drawn = paths(states(1)[0], 1_000_000)
    assert gap(drawn, lambda x: 1 - np.exp(-x)) < LARGEST_GAP
    tail = drawn[drawn > 7.7] - 7.7  # beyond the ziggurat's steps
    assert gap(tail, lambda x: 1 - np.exp(-x)) < LARGEST_GAP


@pytest.mark.parametrize("g", [-0.7, 0.0, 0.3, 0.9, 0.99])
@pytest.mark.parametrize("start", [(0.0, 0.0, 1.0), (0.0, 0.0, -1.0), (0.48, -0.6, 0.64)])
def test_turns_are_those_of_henyey_and_greenstein(sampled, g, start):
    _, turns, _ = sampled
    found = turns(states(1)[0], 200_000, g, start)
    np.testing.assert_allclose(np.linalg.norm(found, axis=1), 1, atol=1e-12)
    cosine = found @ np.array(start)

    def distribution(c):
        if g == 0:
            return (1 + c) / 2
        return (1 - g**2) / (2 * g) * (1 / np.sqrt(1 + g**2 - 2 * g * c) - 1 / (1 + g))

    assert gap(cosine, distribution) < LARGEST_GAP
    assert cosine.mean() == pytest.approx(g, abs=5e-3)
    one = np.cross(start, (1.0, 0.0, 0.0) if abs(start[2]) == 1 else (0.0, 0.0, 1.0))
    one /= np.linalg.norm(one)
    other = np.cross(start, one)
    azimuth = np.arctan2(found @ other, found @ one)
    assert gap(azimuth, lambda a: (a + np.pi) / (2 * np.pi)) < LARGEST_GAP


def test_random_integers_are_those_of_the_published_generator(sampled):
    """xoshiro256+ written once more, in whole numbers of any size, from its description."""
    *_, integers = sampled
    state = states(1)[0]
    mask, words = 2**64 - 1, [int(word) for word in state]
    for drawn in integers(state, 1000):
        assert int(drawn) == (words[0] + words[3]) & mask
        shifted = (words[1] << 17) & mask
        words[2] ^= words[0]
        words[3] ^= words[1]
        words[1] ^= words[2]
        words[0] ^= words[3]
        words[2] ^= shifted
        words[3] = ((words[3] << 45) | (words[3] >> 19)) & mask


def test_batches_hold_all_photons_and_differ_by_one_at_most():
    for photons_wanted in (1000, 1234, 99_999, 12_345_678):
        sizes = batches.batch_sizes(photons_wanted)
        assert sizes.sum() == photons_wanted
        assert np.ptp(sizes) <= 1
        assert sizes.max() <= batches.LARGEST
    seeds = {tuple(batches.batch_seed(seed, number)) for seed in range(9) for number in range(9)}
    assert len(seeds) == 81


@pytest.mark.parametrize("can_write", [True, False])
def test_code_is_compiled_where_package_and_home_cannot_be_written(tmp_path, can_write):
    """As on a shared server: numba's own way fails there at import."""
    home = tmp_path / "home"
    home.write_text("a file: nothing can be made in it")
    temporary = tmp_path / "temporary"
    temporary.mkdir()
    environment = {k: v for k, v in os.environ.items() if not k.startswith(("XDG", "NUMBA"))}
    environment |= {"HOME": str(home), "XDG_CACHE_HOME": str(home / "cache")}
    environment |= {"TMPDIR": str(temporary)} if can_write else {"NUMBA_CACHE_DIR": "/proc/none"}
    code = "from cubital.calc.light.transport import photons; "
    code += "from cubital.calc.shared import compiling; print(compiling.cache_folder())"
    if not can_write:
        code = "import tempfile; tempfile.gettempdir = lambda: '/proc/none'; " + code
    command = [sys.executable, "-c", code]
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
    folder = done.stdout.strip()
    assert Path(folder).is_relative_to(temporary) if can_write else folder == "None"


def test_what_was_compiled_is_used_again(tmp_path):
    """The second process finds what the first compiled."""
    (tmp_path / "doubling.py").write_text(
        "from cubital.calc.shared.compiling import compiled\n\n\n"
        "@compiled()\ndef twice(x):\n    return 2 * x\n"
    )
    code = "import doubling as d; d.twice(2.0); print(sum(d.twice.stats.cache_hits.values()))"
    environment = os.environ | {"NUMBA_CACHE_DIR": str(tmp_path), "PYTHONPATH": str(tmp_path)}
    command = [sys.executable, "-c", code]
    found = [
        subprocess.run(command, env=environment, capture_output=True, text=True, check=True).stdout
        for _ in range(2)
    ]
    assert [int(hits) for hits in found] == [0, 1]

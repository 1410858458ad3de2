"""Which of a pool's trials each paper gets: allocated, so that papers share few of them.

A paper has a trial from each of its cells, such as the clear trials that show a refill. Half of the
cells show something and half do not. In each half papers are words of a code, one letter a cell:
two words agree in at most two letters of six. So two papers share at most four trials of twelve.
"""

import functools
from collections.abc import Sequence
from itertools import product

import numpy as np

from cubital.scene.chance import generator

AGREE = 2  # cells of a half in which two papers may have the same trial
DEEPEST = 4  # trials in a cell: for 64 papers of twelve


@functools.cache
def words(cells: int, deep: int) -> tuple[tuple[int, ...], ...]:
    """Return words of which each two agree in at most two letters, the first that come.

    Taken in the order of a dictionary, each that agrees little enough with those before: a
    lexicode (Conway and Sloane, IEEE Transactions on Information Theory 1986, from memory).

    Parameters
    ----------
    cells : int
        Letters of a word [-]
    deep : int
        How many letters there are to choose from [-]

    Examples
    --------
    >>> len(words(6, 4)), len(words(6, 1))
    (64, 1)
    """
    found: list[tuple[int, ...]] = []
    taken = np.empty((0, cells), int)
    for word in product(range(deep), repeat=cells):
        if not len(taken) or (taken == word).sum(axis=1).max() <= AGREE:
            found.append(word)
            taken = np.array(found)
    return tuple(found)


def deep_for(papers: int, cells: int = 6) -> int:
    """Return how many trials a cell needs, so that so many papers share few enough.

    Examples
    --------
    >>> [deep_for(papers) for papers in (1, 4, 40, 64)]
    [1, 2, 4, 4]
    """
    enough = (deep for deep in range(1, DEEPEST) if len(words(cells, deep)) >= papers)
    return next(enough, DEEPEST)


def shares(
    cells: Sequence[Sequence[str]], papers: Sequence[str], *, seed: str
) -> dict[str, tuple[str, ...]]:
    """Return the trials of each paper, one a cell; where the words run out they come again.

    ``cells`` are those that show something, then as many that do not.

    Examples
    --------
    >>> shares([["a"], ["b"]], ["1", "2"], seed="x")
    {'1': ('a', 'b'), '2': ('a', 'b')}
    """
    half, deep = len(cells) // 2, min(map(len, cells))
    listed = words(half, deep)
    chance = generator("allocating", seed)
    orders = [chance.permutation(len(listed)) for _ in range(2)]
    found = {}
    for place, paper in enumerate(papers):
        again = place // len(listed)  # the second half then is another paper's
        chosen = [
            listed[order[(place + again * at) % len(listed)]] for at, order in enumerate(orders)
        ]
        letters = [letter for word in chosen for letter in word]
        found[paper] = tuple(cell[letter] for cell, letter in zip(cells, letters, strict=True))
    return found

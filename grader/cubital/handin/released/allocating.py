"""Which of a pool's trials each paper gets: allocated, so that papers share few of them.

A paper has a trial from each of its cells, such as the clear trials that show a refill. Half of the
cells show something and half do not. Papers are words of a code, one letter for a cell of either
half: two words agree in at most two letters of six. So two papers share at most four trials of
twelve.

All papers lie in one file, so that anybody can count which trials stand beside which. A trial that
shows something therefore always stands beside the same one that does not, and never without it.
Then the file is the same if any two such partners change places: it tells which two are partners,
and not which of them shows it. With a word of its own for each half the file would tell the two
halves apart, and with them the key of everybody.
"""

import functools
from collections.abc import Sequence
from itertools import product

import numpy as np

from cubital.scene.chance import generator

AGREE = 2  # letters of a word in which two papers may have the same pair of trials
DEEPEST = 4  # trials in a cell: for 64 papers of twelve


Word = tuple[int, ...]


@functools.cache
def words(
    cells: int, deep: int, agree: int = AGREE, before: tuple[Word, ...] = ()
) -> tuple[Word, ...]:
    """Return words of which each two agree in at most so many letters, the first that come.

    Taken in the order of a dictionary, each that agrees little enough with those before: a
    lexicode (Conway and Sloane, IEEE Transactions on Information Theory 1986, from memory).

    Parameters
    ----------
    cells : int
        Letters of a word [-]
    deep : int
        How many letters there are to choose from [-]
    agree : int
        In how many letters two words may agree [-]
    before : words
        Those with which they, too, agree in no more letters [-]

    Examples
    --------
    >>> len(words(6, 4)), len(words(6, 1))
    (64, 1)
    """
    taken = set(before)
    every = [word for word in product(range(deep), repeat=cells) if word not in taken]
    left = np.array(every, int).reshape(-1, cells)
    for word in before:
        left = left[(left == word).sum(axis=1) <= agree]
    found = []
    while len(left):
        first, left = left[0], left[1:]
        found.append(tuple(map(int, first)))
        left = left[(left == first).sum(axis=1) <= agree]
    return tuple(found)


def _drawn(cells: int, deep: int, papers: int, seed: str) -> list[Word]:
    """Return words for so many papers by chance; those that agree in fewest letters come first."""
    chance = generator("allocating", seed)
    found: list[Word] = []
    for agree in range(min(AGREE, cells), cells + 1):
        if len(found) < papers:
            more = words(cells, deep, agree, tuple(sorted(found)))
            found += [more[place] for place in chance.permutation(len(more))]
    return found


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

    ``cells`` are those that show something, then as many that do not. The trials at one place of
    the first cell of either half are partners, and so on.

    Examples
    --------
    >>> shares([["a"], ["b"]], ["1", "2"], seed="x")
    {'1': ('a', 'b'), '2': ('a', 'b')}
    """
    half, deep = len(cells) // 2, min(map(len, cells))
    listed = _drawn(half, deep, len(papers), seed)
    found = {}
    for place, paper in enumerate(papers):
        word = listed[place % len(listed)]
        found[paper] = tuple(cell[letter] for cell, letter in zip(cells, word + word, strict=True))
    return found

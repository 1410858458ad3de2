"""Chance for scenes: the same words and numbers give the same draws on every machine."""

import hashlib

import numpy as np


def generator(*parts: str | int | float) -> np.random.Generator:
    """Return a generator of random numbers that depends on these parts alone.

    Streams of other parts are independent: anatomy, texture and each frame's noise take their own.

    Examples
    --------
    >>> float(generator("anatomy", 3).random()) == float(generator("anatomy", 3).random())
    True
    >>> float(generator("anatomy", 3).random()) == float(generator("texture", 3).random())
    False
    """
    words = "|".join(map(str, parts)).encode()
    start = hashlib.sha256(words).digest()[:16]  # 128 bits, as many as PCG64 holds
    return np.random.Generator(np.random.PCG64(int.from_bytes(start, "little")))

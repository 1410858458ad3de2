"""Pairs are those that `scipy.optimize` chooses, also where several choices cost the same."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from cubital.scene.truth.pairing import paired
from cubital.scene.truth.scoring import FAR

sides = st.integers(1, 9)
cost = st.sampled_from([0.0, 1.0, 2.0, FAR]) | st.floats(0, 9)


@st.composite
def costs(draw):
    rows, columns = draw(sides), draw(sides)
    row = st.lists(cost, min_size=columns, max_size=columns)
    return np.array(draw(st.lists(row, min_size=rows, max_size=rows)))


@given(costs())
def test_pairs_are_as_scipy_chooses_them(costs):
    assert paired(costs) == [
        *zip(*map(np.ndarray.tolist, linear_sum_assignment(costs)), strict=True)
    ]


@given(sides)
def test_where_one_side_is_empty_there_are_no_pairs(count):
    assert paired(np.empty((0, count))) == paired(np.empty((count, 0))) == []

"""Marks and structures in pairs, so that what the pairs cost together is least."""

import numpy as np


def paired(costs: np.ndarray) -> list[tuple[int, int]]:
    """Return the row and the column of each pair: as many pairs as the shorter side has.

    Row after row finds the shortest way to a free column, by columns that other rows leave for
    another (Crouse 2016, doi:10.1109/TAES.2016.140952). `scipy.optimize.linear_sum_assignment`
    gives the same, but all that is loaded with it is large in a browser.

    Examples
    --------
    >>> paired(np.array([[1.0, 3.0], [2.0, 9.0]]))
    [(0, 1), (1, 0)]
    """
    rows, columns = costs.shape
    if rows > columns:
        return sorted((row, column) for column, row in paired(costs.T))
    of_rows, of_columns = np.zeros(rows), np.zeros(columns)  # what each has paid so far
    row_of, column_of = np.full(columns, -1), np.full(rows, -1)
    for first in range(rows):
        left = np.arange(columns)[::-1]
        length, came_from = np.full(columns, np.inf), np.full(columns, -1)
        passed: list[int] = []
        row, so_far = first, 0.0
        while row >= 0:
            further = so_far + costs[row] - of_rows[row] - of_columns
            shorter = left[further[left] < length[left]]
            length[shorter], came_from[shorter] = further[shorter], row
            at = _nearest(length[left], row_of[left] < 0)
            passed.append(int(left[at]))
            left[at] = left[-1]
            left = left[:-1]
            so_far, row = length[passed[-1]], row_of[passed[-1]]
        of_rows[first] += so_far
        of_rows[row_of[passed[:-1]]] += so_far - length[passed[:-1]]
        of_columns[passed] -= so_far - length[passed]
        column = passed[-1]
        while row != first:
            row = came_from[column]
            row_of[column] = row
            column_of[row], column = column, column_of[row]
    return [(row, int(column)) for row, column in enumerate(column_of)]


def _nearest(length: np.ndarray, is_free: np.ndarray) -> int:
    """Return the place of the least length; of several, that of a free column."""
    least = np.flatnonzero(length == length.min())
    free = least[is_free[least]]
    return int(free[-1] if free.size else least[0])

"""Marks decided and kept: each hand-in inspected, who cannot be marked and why, rows of nbgrader's
gradebook, marks given by hand, a marking that was killed, how long many hand-ins take."""

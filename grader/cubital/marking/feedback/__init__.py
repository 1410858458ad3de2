"""The page that goes back to a learner: whether the worksheet is met, what must be right and is
not, what to do next, each question; and nbgrader's step that makes it."""

from cubital.marking.loading import leave_out

leave_out()

"""The page that goes back to a learner: what stands on it, and nbgrader's step that makes it."""

from cubital.marking.loading import leave_out

leave_out()

"""The page that goes back to a learner: what the worksheet shows, what must be right and is not,
what to do next, each question; how it is made and written, by us and by nbgrader."""

from cubital.marking.loading import leave_out

leave_out()

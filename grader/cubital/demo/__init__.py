"""`cubital demo`: a whole cohort of invented learners, from release to report, checked to the
digit."""

from cubital.demo.run import Played, run

__all__ = ["Played", "run"]

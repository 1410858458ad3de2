"""The cohort's report, the overview of all worksheets and `marks.csv`: who needs attention,
objectives and pass marks, how questions worked, how sure learners were."""

from cubital.records.cohort import Cohort, Problem, gather
from cubital.records.marks_table import marks_csv
from cubital.records.objectives import Knowledge, knowledge, knowledge_of
from cubital.records.report import Written, build, render
from cubital.records.statistics import item_statistics, slip_counts

__all__ = [
    "Cohort",
    "Knowledge",
    "Problem",
    "Written",
    "build",
    "gather",
    "item_statistics",
    "knowledge",
    "knowledge_of",
    "marks_csv",
    "render",
    "slip_counts",
]

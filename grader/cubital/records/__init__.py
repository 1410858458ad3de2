"""The cohort's report, the overview of all worksheets and `marks.csv`: who needs attention,
objectives and pass marks, how questions worked, how sure learners were."""

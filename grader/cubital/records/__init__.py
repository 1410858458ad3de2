"""The cohort's report, the overview of all worksheets and `marks.csv`: who needs attention,
whom the course passes, what is shown of each objective, how questions worked, how sure learners
were, what they recognise."""

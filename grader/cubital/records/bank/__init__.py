"""`cubital bank`: all questions in one table, one question's page with its answer, its slips and
what comes out over 500 learners, and the sheet on which clinicians sign the keys of cases and
vignettes."""

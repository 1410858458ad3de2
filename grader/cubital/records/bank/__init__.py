"""`cubital bank`: all questions in one table, one question's page with its answer, its slips and
what comes out over 500 learners, the sheet on which clinicians sign the keys of cases and
vignettes, and the pack by which a department approves what the lessons claim."""

"""`cubital bank`: all questions in one table, and one question's page with its answer, its slips
and what comes out over 500 learners."""

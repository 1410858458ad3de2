"""The page that goes back to a learner: what stands on it, and nbgrader's step that makes it."""

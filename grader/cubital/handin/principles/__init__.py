"""The second chance at a principle: what is recorded of it, the papers of a retake, and how a
learner stands by that."""

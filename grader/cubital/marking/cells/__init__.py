"""A learner's code cells run in another process, watched over, and what they changed found."""

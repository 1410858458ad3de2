"""A learner's code cells run in a sandbox, or without one for who asks for that."""

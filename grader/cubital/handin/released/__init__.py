"""What a release is made of: a paper for each learner, the sealed keys, the pictures and their
truth, a department's `bank.toml` and own items; what a file given out tells."""

"""What a release is made of: a paper for each learner, the sealed keys, the pictures' truth, a
department's `bank.toml` and own items. What the file given out tells, and what stays when things
change."""

"""Files and types that learner's side and educator's side share."""

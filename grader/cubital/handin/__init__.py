"""What learner's and educator's side share: saved answers, the file handed in, learner ids, the
mark of one answer, results, the rule by which objectives are met; files written atomically, closed
to others."""

"""What learner's and educator's side share: saved answers, the file handed in, learner ids, the
mark of one answer, results, what shows an objective and what passes the course; files written
atomically, closed to others."""

"""Which hand-in of a learner counts: due dates and extensions, feedback that came before, the
educator's choices, the files that are kept of all hand-ins, what looks wrong with their times."""

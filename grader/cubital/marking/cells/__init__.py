"""The sandbox that learners' code cells run in: what they may reach, how long they may run,
attacks, what they leave running; or a run without it, for who asks for that."""

"""What an educator does about a principle that a learner missed: talk, watch, hand out a retake,
decide; each is recorded."""

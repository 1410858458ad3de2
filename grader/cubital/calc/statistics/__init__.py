"""Statistics of marks and of learners: agreement, intervals, detection, reliability, learning
curves, pass marks."""

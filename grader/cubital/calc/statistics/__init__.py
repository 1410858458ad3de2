"""Statistics of marks, agreement, learning and pass marks."""

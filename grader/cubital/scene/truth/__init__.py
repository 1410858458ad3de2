"""What is true of a picture: what is there, what can be seen, words, difficulty, scores."""

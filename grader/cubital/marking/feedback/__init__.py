"""What goes back to learners: the page made of results."""

"""What goes wrong, how it is told apart and graded, and what is done first."""

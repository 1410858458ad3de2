"""What goes wrong, how it is told apart and graded, how far it swells, and what is done first."""

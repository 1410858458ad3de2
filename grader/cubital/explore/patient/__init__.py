"""Figures of the lesson that follows one patient."""

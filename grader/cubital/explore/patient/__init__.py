"""Figures of the lesson that follows one patient: each phase's choices, and all of them read
back."""

"""Figures of the lesson on catheter sizing."""

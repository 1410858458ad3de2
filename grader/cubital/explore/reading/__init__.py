"""Figures of the lesson on reading the vein."""

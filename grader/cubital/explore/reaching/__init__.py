"""Figures of the lesson on reaching the vein."""

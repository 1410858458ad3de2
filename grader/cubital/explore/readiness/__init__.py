"""Figures of the lesson on readiness: the check before use, batteries, stored pictures, light at
the eye."""

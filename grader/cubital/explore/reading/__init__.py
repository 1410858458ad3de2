"""Figures of the lesson on reading the vein: what makes veins fade, processing, refilling, valves,
a straight stretch."""

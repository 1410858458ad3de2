"""Figures of the lesson on catheter sizing: fit, flow, drip, and the tables of gauges."""

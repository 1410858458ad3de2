"""Synthetic near-infrared pictures and series of superficial veins, with known truth.

Everything here is simulated, not clinically validated.
"""

NOTICE = "simulated, not clinically validated"

"""Cubital: a course on near-infrared vein imaging and peripheral access."""

__version__ = "0.1.0"

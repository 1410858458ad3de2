"""Photons followed one by one through layers of tissue and veins, compiled and in batches, and
weighed anew for other absorptions."""

"""Photons followed one by one through layers of tissue, and the fits that stand in for them."""

"""Photons followed through layers of tissue and veins, one by one where numba compiles and many at
a time where there is none; in batches, and weighed anew for other absorptions."""

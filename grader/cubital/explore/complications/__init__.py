"""Figures of the lesson on complications: signs at a site, scales, swelling, series of a leak and
a haematoma."""

"""Figures of the lesson on reaching the vein: the needle from the side, share in the vein,
holding, blood in the chamber."""

"""Figures of the lesson on light and depth: contrast by depth, width, two veins, vein and artery,
photons."""

"""The needle on its way into the vein, and how long a catheter lasts there."""

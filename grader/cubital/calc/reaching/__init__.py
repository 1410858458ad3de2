"""The needle on its way into the vein, how much of the catheter lies in it, and how long it lasts
there."""

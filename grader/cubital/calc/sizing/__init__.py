"""Which catheter goes into which vein, and how much flows through it."""

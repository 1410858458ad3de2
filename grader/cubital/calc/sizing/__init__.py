"""Which catheter goes into which vein, how much flows through it and beside it, drops and
hours."""

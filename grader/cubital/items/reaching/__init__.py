"""Questions of the worksheet reaching-the-vein: angle and length, the way to the vein, what lies
in it, afterwards."""

"""Questions of the worksheet reading-the-vein: touch, sites, refilling, processing, forks and
series in pictures."""

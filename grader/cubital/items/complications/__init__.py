"""Questions of the worksheet complications: signs at a site, leaks, bleeding, when to stop,
counting; what the signs in a figure mean."""

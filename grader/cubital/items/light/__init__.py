"""Questions of the worksheet light-and-depth: what is seen, what light does, what the picture does
not show."""

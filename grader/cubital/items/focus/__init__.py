"""Questions of the worksheet focal-geometry: distance, tilt, where line and vein lie, room light,
the check on a target."""

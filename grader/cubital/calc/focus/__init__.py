"""Where the picture is sharp and where it lands: depth of field, tilt, registration, an unsteady
hand, room light."""

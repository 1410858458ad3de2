"""Where the picture is sharp and where it lands: depth of field, tilt, registration, room light."""

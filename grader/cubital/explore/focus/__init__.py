"""Figures of the lesson on focal geometry: distance, tilt, registration, room light, holding, the
check on a target."""

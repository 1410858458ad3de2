"""How a scene looks in the picture: camera, focus, smear and noise, shading by vessels and valves,
skin and hair, processing of a frame."""

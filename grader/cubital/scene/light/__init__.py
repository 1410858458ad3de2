"""How a scene looks in the picture: camera, focus, smear and noise, shading by vessels and valves,
skin, hair, creases, tendons, moles, scars and glare, processing of a
frame.
"""

"""How light shows a scene: camera, shading by vessels, the look of skin, processing."""

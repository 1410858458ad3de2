"""Light in skin and blood: absorption, scattering, contrast, how deep a vein is seen."""

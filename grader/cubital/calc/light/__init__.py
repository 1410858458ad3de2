"""Light in skin and blood: absorption, scattering, how a vein shows and how deep; formulas fitted
to photon transport."""

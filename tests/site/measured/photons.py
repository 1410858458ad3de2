"""Photons followed as the lesson's figure follows them at a press."""

from cubital.explore.light.photon_walk import follow_photons


def run(photons: int, seed: int) -> dict[str, list[float]]:
    """Return what a run tells of each depth: contrast and its standard error."""
    told = follow_photons(
        3, melanin_percent=5, photons=photons, seed=seed, progress=lambda _done, _of: None
    )
    return {"contrasts": list(told.contrasts), "errors": list(told.errors)}

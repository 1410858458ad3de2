"""Light deep in a scattering medium, by the diffusion approximation."""

from typing import NamedTuple

import numpy as np

from cubital.calc.light.fresnel import reflectance_share
from cubital.calc.shared.quantities import check, checked
from cubital.calc.shared.units import Number, plain
from cubital.tables.light import surface_fits

ISOTROPIC = 3  # D = 1 / (3 mutr): the mean of a squared cosine is a third
NODES = 64  # nodes of the integral over angles: its error is then below 1e-9
SOLID = 4  # of the full solid angle 4 pi, and of the quarter of a fluence that goes up
SURFACES = ("integral", "cubic", "groenhuis")
FORMS = ("flux", "hybrid")


class Moments(NamedTuple):
    """Shares of the light from inside that a smooth surface sends back.

    ``fluence`` and ``flux`` are for the even and the forward part of diffuse light [-].
    """

    fluence: Number
    flux: Number


@checked
def effective_attenuation_per_mm(
    absorption_per_mm: Number, *, reduced_scattering_per_mm: Number
) -> Number:
    """Return how fast light deep in a scattering medium fades with depth.

    `mu_eff = sqrt(3 * mu_a * (mu_a + mu_s'))`

    Parameters
    ----------
    absorption_per_mm : float or array
        Absorption coefficient mu_a [1/mm]
    reduced_scattering_per_mm : float or array
        Reduced scattering coefficient mu_s' = mu_s (1 - g) [1/mm]

    Returns
    -------
    float or ndarray
        Effective attenuation coefficient [1/mm]

    Notes
    -----
    Absorption 0 to 100 per mm, reduced scattering 0.001 to 1000 per mm. Good where mu_s' is well
    above mu_a and more than 1 / (mu_a + mu_s') away from surface and source.

    Examples
    --------
    >>> round(effective_attenuation_per_mm(0.02, reduced_scattering_per_mm=1.8), 3)
    0.33

    References
    ----------
    farrell-1992, jacques-2013
    """
    mus = reduced_scattering_per_mm
    return plain(np.sqrt(ISOTROPIC * absorption_per_mm * (absorption_per_mm + mus)))


@checked
def penetration_depth_mm(absorption_per_mm: Number, *, reduced_scattering_per_mm: Number) -> Number:
    """Return the depth over which light deep in a scattering medium falls to 37 %.

    `delta = 1 / sqrt(3 * mu_a * (mu_a + mu_s'))`

    Parameters
    ----------
    absorption_per_mm : float or array
        Absorption coefficient mu_a, above 0 [1/mm]
    reduced_scattering_per_mm : float or array
        Reduced scattering coefficient mu_s' = mu_s (1 - g) [1/mm]

    Returns
    -------
    float or ndarray
        Penetration depth delta [mm]

    Notes
    -----
    Absorption 0 to 100 per mm but not 0, where light fades by no exponential; reduced scattering
    0.001 to 1000 per mm. Not the depth to which a vein is seen: that also asks for contrast.

    Examples
    --------
    >>> round(penetration_depth_mm(0.02, reduced_scattering_per_mm=1.8), 2)
    3.03

    References
    ----------
    jacques-2013
    """
    if np.any(np.asarray(absorption_per_mm) == 0):
        raise ValueError("absorption coefficient is 0 1/mm: for a depth it must be above 0 1/mm")
    return plain(
        1
        / np.asarray(
            effective_attenuation_per_mm(
                absorption_per_mm, reduced_scattering_per_mm=reduced_scattering_per_mm
            )
        )[()]
    )


def _moments(index: Number, surface: str) -> Moments:
    """Return the moments of the Fresnel reflectance from inside, by integral or by fit."""
    if surface == "cubic":
        fits = surface_fits()
        return Moments(fits["cubic-fluence-moment"].at(index), fits["cubic-flux-moment"].at(index))
    inside = np.asarray(index)[..., None]
    critical = np.sqrt(1 - 1 / inside**2)
    nodes, weights = np.polynomial.legendre.leggauss(NODES)
    t, dt = (nodes + 1) / 2, weights / 2
    # cosines from critical to 1, close together at the critical angle, where R is steep
    cosine = critical + (1 - critical) * t**2
    width = (1 - critical) * 2 * t * dt
    reflected = width * reflectance_share(
        np.degrees(np.arccos(np.minimum(cosine, 1.0))),
        refractive_index=inside,
        refractive_index_beyond=1.0,
    )
    critical = critical[..., 0]
    return Moments(
        2 * np.sum(reflected * cosine, axis=-1) + critical**2,
        # 3: of the flux's 3 cos^2; below the critical cosine all is reflected, which gives a cube
        3 * np.sum(reflected * cosine**2, axis=-1) + critical**3,
    )


@checked
def internal_reflection(refractive_index: Number, *, surface: str = "integral") -> Number:
    """Return the parameter A that says how much a smooth surface sends diffuse light back.

    `A = (1 + R_flux) / (1 - R_fluence)`, with `R_fluence = 2 * integral of R c dc` and
    `R_flux = 3 * integral of R c^2 dc` over the cosine c from 0 to 1, R by Fresnel from inside

    Parameters
    ----------
    refractive_index : float or array
        Refractive index of the medium; air is beyond [-]
    surface : str, optional
        "integral": as above; "cubic": a fit to it; "groenhuis": an older fit, `(1 + r) / (1 - r)`
        with a diffuse reflectance r [-]

    Returns
    -------
    float or ndarray
        Parameter A: the fluence vanishes a distance 2 A D outside the surface [-]

    Notes
    -----
    Index 1 to 3. The cubic fit is within 0.1 % of the integral from 1.33 to 1.5; Groenhuis' is 9
    to 11 % larger there, as it takes one reflectance for both parts. Published results differ by
    which they use: say it.

    Examples
    --------
    >>> round(internal_reflection(1.4), 4)
    2.9485
    >>> round(internal_reflection(1.4, surface="groenhuis"), 3)
    3.251

    References
    ----------
    haskell-1994, prahl-1988, groenhuis-1983
    """
    if surface not in SURFACES:
        raise ValueError(f"the surface is {surface!r}: choose one of {', '.join(SURFACES)}")
    if surface == "cubic":
        return plain(surface_fits()["cubic-parameter"].at(refractive_index))
    if surface == "groenhuis":
        share = surface_fits()["groenhuis-reflectance"].at(refractive_index)
        return plain((1 + share) / (1 - share))
    moments = _moments(refractive_index, surface)
    return plain((1 + moments.flux) / (1 - moments.fluence))


def radial_reflectance_per_mm2(
    distance_mm: Number,
    *,
    absorption_per_mm: Number,
    reduced_scattering_per_mm: Number,
    refractive_index: Number,
    form: str = "hybrid",
    surface: str = "integral",
) -> Number:
    """Return the diffuse reflectance at a distance from a pencil beam.

    `flux = a'/(4 pi) * (z0 (mu_eff + 1/r1) e^(-mu_eff r1) / r1^2 + (z0 + 2 zb) (mu_eff + 1/r2)
    e^(-mu_eff r2)/r2^2)` and `fluence = a'/(4 pi D) * (e^(-mu_eff r1) / r1 - e^(-mu_eff r2) / r2)`
    with `z0 = 1/(mu_a + mu_s')`, `D = z0/3`, `zb = 2 A D`, `r1^2 = z0^2 + rho^2` and
    `r2^2 = (z0 + 2 zb)^2 + rho^2`; the hybrid is `(1 - R_fluence)/4 * fluence + (1 - R_flux)/2 *
    flux`.

    Parameters
    ----------
    distance_mm : float or array
        Distance rho along the surface from where the beam enters [mm]
    absorption_per_mm : float or array
        Absorption coefficient mu_a [1/mm]
    reduced_scattering_per_mm : float or array
        Reduced scattering coefficient mu_s' [1/mm]
    refractive_index : float or array
        Refractive index of the medium; air is beyond [-]
    form : str, optional
        "flux": what crosses the surface (Farrell); "hybrid": what a detector of all angles gets
        from fluence and flux (Kienle and Patterson) [-]
    surface : str, optional
        How the surface's reflection is had, as in `internal_reflection` [-]

    Returns
    -------
    float or ndarray
        Reflectance per area and photon that entered [1/mm2]

    Notes
    -----
    Distance 0 to 1000 mm, absorption 0 to 100 per mm, reduced scattering 0.001 to 1000 per mm,
    index 1 to 3. One endless layer, a point source of the transport albedo a' at the depth z0
    (many texts leave out a'). Within a few mean free paths of the beam it is wrong by tens of
    per cent.

    Examples
    --------
    >>> reflectance = radial_reflectance_per_mm2(
    ...     5, absorption_per_mm=0.02, reduced_scattering_per_mm=1.8, refractive_index=1.4
    ... )
    >>> round(reflectance, 6)
    0.000758

    References
    ----------
    farrell-1992, kienle-1997
    """
    if form not in FORMS:
        raise ValueError(f"the form is {form!r}: choose one of {', '.join(FORMS)}")
    rho = check("distance_mm", distance_mm)
    mueff = np.asarray(
        effective_attenuation_per_mm(
            absorption_per_mm, reduced_scattering_per_mm=reduced_scattering_per_mm
        )
    )
    index = check("refractive_index", refractive_index)
    mus = check("reduced_scattering_per_mm", reduced_scattering_per_mm)
    source = 1 / (check("absorption_per_mm", absorption_per_mm) + mus)
    diffusion = source / ISOTROPIC
    image = source + 2 * 2 * internal_reflection(index, surface=surface) * diffusion
    near, far = np.hypot(source, rho), np.hypot(image, rho)
    faded_near, faded_far = np.exp(-mueff * near), np.exp(-mueff * far)
    strength = mus * source / (SOLID * np.pi)
    flux = strength * (
        source * (mueff + 1 / near) * faded_near / near**2
        + image * (mueff + 1 / far) * faded_far / far**2
    )
    if form == "flux":
        return plain(flux)
    fluence = strength / diffusion * (faded_near / near - faded_far / far)
    moments = _moments(index, surface)
    return plain((1 - moments.fluence) / SOLID * fluence + (1 - moments.flux) / 2 * flux)


@checked
def total_diffuse_reflectance(
    absorption_per_mm: Number,
    *,
    reduced_scattering_per_mm: Number,
    refractive_index: Number,
    surface: str = "integral",
) -> Number:
    """Return the diffuse reflectance of an endless layer.

    `Rd = a' / (1 + 2 A (1 - a') + (1 + 2 A / 3) sqrt(3 (1 - a')))`, with
    `a' = mu_s' / (mu_a + mu_s')`

    Parameters
    ----------
    absorption_per_mm : float or array
        Absorption coefficient mu_a [1/mm]
    reduced_scattering_per_mm : float or array
        Reduced scattering coefficient mu_s' [1/mm]
    refractive_index : float or array
        Refractive index of the medium; air is beyond [-]
    surface : str, optional
        How the surface's reflection is had, as in `internal_reflection` [-]

    Returns
    -------
    float or ndarray
        Share of the light that entered which leaves again [-]

    Notes
    -----
    Absorption 0 to 100 per mm, reduced scattering 0.001 to 1000 per mm, index 1 to 3. Without
    what the surface itself reflects at entry. Against adding-doubling it is a few per cent high
    at a' of 0.8 and less than 1 % at 0.99, for an index of 1; the surface's form matters more.

    Examples
    --------
    >>> round(
    ...     total_diffuse_reflectance(
    ...         0.02, reduced_scattering_per_mm=1.8, refractive_index=1.4
    ...     ),
    ...     3,
    ... )
    0.617

    References
    ----------
    flock-1989, farrell-1992
    """
    parameter = internal_reflection(refractive_index, surface=surface)
    lost = absorption_per_mm / (absorption_per_mm + reduced_scattering_per_mm)
    return plain(
        (1 - lost)
        / (1 + 2 * parameter * lost + (1 + 2 * parameter / ISOTROPIC) * np.sqrt(ISOTROPIC * lost))
    )

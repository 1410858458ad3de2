"""Viscosity and density of what runs through a catheter."""

from dataclasses import dataclass

import numpy as np

from cubital import tables
from cubital.calc.shared.quantities import checked
from cubital.calc.shared.units import KELVIN_AT_0_C, MPA_S_PER_UPA_S, Number, plain


@dataclass(frozen=True)
class Fluid:
    """A fluid at one temperature."""

    name: str
    label: str
    viscosity_mpa_s: Number
    density_kg_per_m3: Number


@checked
def water_viscosity_mpa_s(temperature_c: Number) -> Number:
    """Return the viscosity of water at atmospheric pressure.

    `mu = sum over i of a_i * (T / 300 K)^b_i`, four terms

    Parameters
    ----------
    temperature_c : float or array
        Temperature [degrees C]

    Returns
    -------
    float or ndarray
        Dynamic viscosity [mPa s]

    Notes
    -----
    0 to 100 degrees C, within 1 %. Pure water; the pressure of a drip changes nothing that shows.

    Examples
    --------
    >>> round(water_viscosity_mpa_s(20), 3)
    1.002

    References
    ----------
    iapws-sr6-08
    """
    water = tables.water()
    kelvin = temperature_c + KELVIN_AT_0_C
    scaled = np.asarray(kelvin / water.reference_temperature_k)
    powers = zip(water.viscosity_a, water.viscosity_b, strict=True)
    return plain(MPA_S_PER_UPA_S * sum(a * scaled**b for a, b in powers))


@checked
def water_density_kg_per_m3(temperature_c: Number) -> Number:
    """Return the density of water at atmospheric pressure.

    `rho = (sum over i of n_i * t^i) / (1 + d * t)`, t in degrees C, six terms

    Parameters
    ----------
    temperature_c : float or array
        Temperature [degrees C]

    Returns
    -------
    float or ndarray
        Density [kg/m3]

    Notes
    -----
    0 to 100 degrees C, within 0.01 %. Pure water without dissolved air.

    Examples
    --------
    >>> round(water_density_kg_per_m3(20), 1)
    998.2

    References
    ----------
    kell-1975
    """
    water = tables.water()
    celsius = np.asarray(temperature_c)
    numerator = sum(n * celsius**i for i, n in enumerate(water.density_numerator))
    return plain(numerator / (1 + water.density_denominator * celsius))


def fluid(name: str, *, temperature_c: Number) -> Fluid:
    """Return viscosity and density of a named fluid.

    `mu = r * mu_water(T)`, `rho = s * rho_water(T)`, with r and s from `assets/sizing/fluids.csv`

    Parameters
    ----------
    name : str
        water, saline, plasma or blood [-]
    temperature_c : float or array
        Temperature of the fluid [degrees C]

    Returns
    -------
    Fluid
        Viscosity [mPa s] and density [kg/m3]

    Notes
    -----
    0 to 100 degrees C for water; for blood and plasma the factors hold near 37 degrees C. Leaves
    out that blood thickens at low shear, in the cold and with more red cells, and that stored
    red cells are thicker than whole blood.

    Examples
    --------
    >>> round(fluid("blood", temperature_c=37).viscosity_mpa_s, 1)
    4.0

    References
    ----------
    blood-viscosity-notes
    """
    rows = tables.fluids()
    if name not in rows:
        raise ValueError(f"no fluid is called {name!r}: choose one of {', '.join(rows)}")
    row = rows[name]
    return Fluid(
        name=row.name,
        label=row.label,
        viscosity_mpa_s=plain(row.relative_viscosity * water_viscosity_mpa_s(temperature_c)),
        density_kg_per_m3=plain(row.relative_density * water_density_kg_per_m3(temperature_c)),
    )

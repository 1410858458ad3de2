"""Tables of light in tissue: spectra of absorbers, scattering, layers of skin, blood."""

import functools
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from cubital.tables.files import asset, csv_rows


class HaemoglobinTable(NamedTuple):
    """A published table of haemoglobin or whole blood; one of whole blood has no molar mass."""

    key: str
    words: str
    molar_mass_g_per_mol: float | None
    kind: str
    source: str
    seen: str
    note: str


class Haemoglobin(NamedTuple):
    """Molar extinction (base 10) of haemoglobin at one wavelength of one table."""

    table: str
    wavelength_nm: float
    oxygenated_per_cm_per_molar: float
    deoxygenated_per_cm_per_molar: float
    kind: str
    source: str
    seen: str


class WholeBlood(NamedTuple):
    """Absorption and scattering of whole blood at one wavelength, at a haematocrit of 0.45."""

    wavelength_nm: float
    oxygenated_per_mm: float
    deoxygenated_per_mm: float
    scattering_per_mm: float
    anisotropy: float
    theory_scattering_oxygenated_per_mm: float
    theory_scattering_deoxygenated_per_mm: float
    theory_anisotropy_oxygenated: float
    theory_anisotropy_deoxygenated: float
    kind: str
    source: str
    seen: str


class WaterRow(NamedTuple):
    """Absorption of water at one wavelength of one table."""

    table: str
    wavelength_nm: float
    absorption_per_cm: float
    kind: str
    source: str
    seen: str


class FatRow(NamedTuple):
    """Absorption of pure fat at one wavelength."""

    wavelength_nm: float
    absorption_per_m: float
    kind: str
    source: str
    seen: str


class Melanin(NamedTuple):
    """A convention for the absorption of melanosomes: a power of the wavelength."""

    key: str
    words: str
    coefficient_per_cm: float
    reference_nm: float
    power: float
    kind: str
    source: str
    seen: str
    note: str


class MelaninFraction(NamedTuple):
    """What one source gives for the volume fraction of melanosomes in the epidermis."""

    words: str
    low: float
    high: float
    layer_mm: float
    kind: str
    source: str
    seen: str
    note: str


class Scattering(NamedTuple):
    """Reduced scattering of a tissue by a power law, by Rayleigh and Mie shares, or both."""

    key: str
    group: str
    words: str
    power_a_per_cm: float | None
    power_a_sd: float | None
    power_b: float | None
    mie_a_per_cm: float | None
    rayleigh_share: float | None
    mie_b: float | None
    reference_nm: float
    kind: str
    source: str
    seen: str


class SkinLayer(NamedTuple):
    """Thickness, composition, scattering and refractive index of a layer of skin."""

    key: str
    words: str
    scattering: str
    thickness_mm: float
    thickness_low_mm: float
    thickness_high_mm: float
    thickness_kind: str
    thickness_source: str
    thickness_seen: str
    blood_fraction: float
    blood_low: float
    blood_high: float
    water_fraction: float | None
    water_low: float | None
    water_high: float | None
    fat_fraction: float | None
    fat_low: float | None
    fat_high: float | None
    composition_kind: str
    composition_source: str
    composition_seen: str
    refractive_index: float
    index_low: float
    index_high: float
    index_kind: str
    index_source: str
    index_seen: str


class Blood(NamedTuple):
    """A kind of blood by its oxygen saturation and haematocrit."""

    key: str
    words: str
    oxygen_saturation: float
    saturation_low: float
    saturation_high: float
    saturation_kind: str
    saturation_source: str
    saturation_seen: str
    haematocrit: float
    haematocrit_low: float
    haematocrit_high: float
    haematocrit_kind: str
    haematocrit_source: str
    haematocrit_seen: str


class ColourClass(NamedTuple):
    """A class of skin colour by the angle above which it lies."""

    words: str
    above_degrees: float
    kind: str
    source: str
    seen: str


@functools.cache
def haemoglobin_tables() -> Mapping[str, HaemoglobinTable]:
    """Return the tables of blood and haemoglobin by key, the default first."""
    return MappingProxyType({r.key: r for r in csv_rows("light/tables.csv", HaemoglobinTable)})


@functools.cache
def haemoglobin(table: str) -> tuple[Haemoglobin, ...]:
    """Return the rows of one table of haemoglobin, shortest wavelength first."""
    return tuple(r for r in csv_rows("light/haemoglobin.csv", Haemoglobin) if r.table == table)


@functools.cache
def whole_blood() -> tuple[WholeBlood, ...]:
    """Return the table of whole blood, shortest wavelength first."""
    return csv_rows("light/whole-blood.csv", WholeBlood)


@functools.cache
def water() -> Mapping[str, tuple[WaterRow, ...]]:
    """Return the tables of water's absorption by name, the default first."""
    found: dict[str, list[WaterRow]] = {}
    for row in csv_rows("light/water.csv", WaterRow):
        found.setdefault(row.table, []).append(row)
    return MappingProxyType({name: tuple(rows) for name, rows in found.items()})


@functools.cache
def fat() -> tuple[FatRow, ...]:
    """Return the absorption of fat, shortest wavelength first."""
    return csv_rows("light/fat.csv", FatRow)


@functools.cache
def melanin() -> Mapping[str, Melanin]:
    """Return the conventions for melanosomes by key, the default first."""
    return MappingProxyType({r.key: r for r in csv_rows("light/melanin.csv", Melanin)})


@functools.cache
def melanin_fractions() -> tuple[MelaninFraction, ...]:
    """Return what sources give for the volume fraction of melanosomes: they disagree."""
    return csv_rows("light/melanin-fractions.csv", MelaninFraction)


@functools.cache
def scattering() -> Mapping[str, Scattering]:
    """Return the reduced scattering of tissues by key."""
    return MappingProxyType({r.key: r for r in csv_rows("light/scattering.csv", Scattering)})


@functools.cache
def skin_layers() -> Mapping[str, SkinLayer]:
    """Return the layers of skin by key, from the surface down."""
    return MappingProxyType({r.key: r for r in csv_rows("light/layers.csv", SkinLayer)})


@functools.cache
def blood() -> Mapping[str, Blood]:
    """Return the kinds of blood by key."""
    return MappingProxyType({r.key: r for r in csv_rows("light/blood.csv", Blood)})


@functools.cache
def colour_classes() -> tuple[ColourClass, ...]:
    """Return the classes of skin colour, the lightest first."""
    return csv_rows("light/colours.csv", ColourClass)


class SurfaceFit(NamedTuple):
    """A sum of powers of the refractive index: what it gives, and how well."""

    powers: tuple[int, ...]
    factors: tuple[float, ...]
    gives: str
    kind: str
    source: str
    seen: str

    def at(self, refractive_index: float) -> float:
        """Return the fit at a refractive index, or an array of them."""
        return sum(f * refractive_index**p for f, p in zip(self.factors, self.powers, strict=True))


@functools.cache
def surface_fits() -> Mapping[str, SurfaceFit]:
    """Return the fits by key."""
    rows = asset("light/diffusion.toml").items()
    lists = ("powers", "factors")
    return MappingProxyType(
        {key: SurfaceFit(**row | {name: tuple(row[name]) for name in lists}) for key, row in rows}
    )


@functools.cache
def fitted() -> Mapping[str, Any]:
    """Return the fits of contrast and width, and what they were fitted for."""
    return MappingProxyType(asset("fitted/visibility.toml"))

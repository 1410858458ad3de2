"""The calculations of the course: floats and arrays in, floats and arrays out.

Names are a quantity and its unit. Arguments after the first are given by name. An impossible
value raises ValueError with the quantity, the value, the unit and the allowed range.
"""

from cubital.calc.catheter import (
    area_share,
    catheter_to_vein_ratio,
    french_size,
    gauge,
    largest_outer_diameter_mm,
    outer_diameter_mm,
    smallest_vein_diameter_mm,
)
from cubital.calc.competence import (
    Estimate,
    Interval,
    item_difficulty,
    item_discrimination,
    wilson_interval,
)
from cubital.calc.flow import (
    annulus_flow_share,
    catheter_flow_ml_per_min,
    entrance_length_mm,
    flow_after_bore_change_ml_per_min,
    hydrostatic_pressure_pa,
    is_laminar,
    poiseuille_flow_ml_per_min,
    reynolds_number,
)
from cubital.calc.fluid import Fluid, fluid, water_density_kg_per_m3, water_viscosity_mpa_s
from cubital.calc.infusion import drip_rate_per_min, infusion_rate_ml_per_h, infusion_time_h
from cubital.calc.quantities import check, remarks
from cubital.calc.sizing import Sizing, size_catheter

__all__ = [
    "Estimate",
    "Fluid",
    "Interval",
    "Sizing",
    "annulus_flow_share",
    "area_share",
    "catheter_flow_ml_per_min",
    "catheter_to_vein_ratio",
    "check",
    "drip_rate_per_min",
    "entrance_length_mm",
    "flow_after_bore_change_ml_per_min",
    "fluid",
    "french_size",
    "gauge",
    "hydrostatic_pressure_pa",
    "infusion_rate_ml_per_h",
    "infusion_time_h",
    "is_laminar",
    "item_difficulty",
    "item_discrimination",
    "largest_outer_diameter_mm",
    "outer_diameter_mm",
    "poiseuille_flow_ml_per_min",
    "remarks",
    "reynolds_number",
    "size_catheter",
    "smallest_vein_diameter_mm",
    "water_density_kg_per_m3",
    "water_viscosity_mpa_s",
    "wilson_interval",
]

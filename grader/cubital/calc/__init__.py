"""The calculations of the course: floats and arrays in, floats and arrays out.

Names are a quantity and its unit. Arguments after the first are given by name. An impossible
value raises ValueError with the quantity, the value, the unit and the allowed range.
"""

from cubital.calc.absorbers import (
    absorption_from_index_per_mm,
    bloodless_skin_absorption_per_mm,
    fat_absorption_per_mm,
    melanosome_absorption_per_mm,
    melanosome_absorption_spread_per_mm,
    water_absorption_per_mm,
)
from cubital.calc.agreement import (
    Agreement,
    cohen_kappa,
)
from cubital.calc.blood import (
    absorption_from_extinction_per_mm,
    blood_absorption_per_mm,
    blood_absorption_spread_per_mm,
    blood_anisotropy,
    blood_medium,
    blood_scattering_per_mm,
    isosbestic_wavelength_nm,
    named_blood,
)
from cubital.calc.catheter import (
    area_share,
    catheter_to_vein_ratio,
    french_size,
    gauge,
    largest_outer_diameter_mm,
    outer_diameter_mm,
    smallest_vein_diameter_mm,
)
from cubital.calc.chance import (
    chance_of_at_least,
    success_within_attempts,
)
from cubital.calc.control_limits import (
    ControlLimit,
    SignalChance,
    cusum_limit,
    cusum_signal_chance,
    learning_curve_limit,
    learning_curve_signal_chance,
)
from cubital.calc.detection import (
    Detection,
    criterion,
    d_prime,
    detection_from_counts,
    sensitivity,
    specificity,
)
from cubital.calc.exposure import (
    Exposure,
    Margin,
    exposure_margins,
    eye_irradiance_limit_w_per_m2,
    irradiance_w_per_m2,
    retina_radiance_limit_w_per_m2_sr,
    retina_thermal_weight,
    skin_exposure_limit_j_per_m2,
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
from cubital.calc.intervals import (
    Estimate,
    Interval,
    clopper_pearson_interval,
    highest_failure_share,
    insertions_needed,
    wilson_interval,
)
from cubital.calc.item_analysis import (
    cronbach_alpha,
    item_difficulty,
    item_discrimination,
    kr20,
)
from cubital.calc.learning_curve import (
    SprtLines,
    Weights,
    cusum_path,
    cusum_weights,
    failure_rate_after_odds,
    first_signal,
    learning_curve_path,
    sprt_lines,
)
from cubital.calc.media import Layer, Medium, Vein
from cubital.calc.quantities import check, remarks
from cubital.calc.sizing import Sizing, size_catheter
from cubital.calc.skin import (
    epidermis_absorption_per_mm,
    epidermis_double_pass,
    skin_colour_angle_degrees,
    skin_colour_class,
    skin_layers,
)
from cubital.calc.spectrum import Spread
from cubital.calc.standard_setting import (
    PassMark,
    angoff_pass_mark,
)
from cubital.calc.tissue import (
    reduced_scattering_per_mm,
    reduced_scattering_spread_per_mm,
    skin_anisotropy,
    tissue_absorption_per_mm,
    tissue_refractive_index,
)

__all__ = [
    "Agreement",
    "ControlLimit",
    "Detection",
    "Estimate",
    "Exposure",
    "Fluid",
    "Interval",
    "Layer",
    "Margin",
    "Medium",
    "PassMark",
    "SignalChance",
    "Sizing",
    "Spread",
    "SprtLines",
    "Vein",
    "Weights",
    "absorption_from_extinction_per_mm",
    "absorption_from_index_per_mm",
    "angoff_pass_mark",
    "annulus_flow_share",
    "area_share",
    "blood_absorption_per_mm",
    "blood_absorption_spread_per_mm",
    "blood_anisotropy",
    "blood_medium",
    "blood_scattering_per_mm",
    "bloodless_skin_absorption_per_mm",
    "catheter_flow_ml_per_min",
    "catheter_to_vein_ratio",
    "chance_of_at_least",
    "check",
    "clopper_pearson_interval",
    "cohen_kappa",
    "criterion",
    "cronbach_alpha",
    "cusum_limit",
    "cusum_path",
    "cusum_signal_chance",
    "cusum_weights",
    "d_prime",
    "detection_from_counts",
    "drip_rate_per_min",
    "entrance_length_mm",
    "epidermis_absorption_per_mm",
    "epidermis_double_pass",
    "exposure_margins",
    "eye_irradiance_limit_w_per_m2",
    "failure_rate_after_odds",
    "fat_absorption_per_mm",
    "first_signal",
    "flow_after_bore_change_ml_per_min",
    "fluid",
    "french_size",
    "gauge",
    "highest_failure_share",
    "hydrostatic_pressure_pa",
    "infusion_rate_ml_per_h",
    "infusion_time_h",
    "insertions_needed",
    "irradiance_w_per_m2",
    "is_laminar",
    "isosbestic_wavelength_nm",
    "item_difficulty",
    "item_discrimination",
    "kr20",
    "largest_outer_diameter_mm",
    "learning_curve_limit",
    "learning_curve_path",
    "learning_curve_signal_chance",
    "melanosome_absorption_per_mm",
    "melanosome_absorption_spread_per_mm",
    "named_blood",
    "outer_diameter_mm",
    "poiseuille_flow_ml_per_min",
    "reduced_scattering_per_mm",
    "reduced_scattering_spread_per_mm",
    "remarks",
    "retina_radiance_limit_w_per_m2_sr",
    "retina_thermal_weight",
    "reynolds_number",
    "sensitivity",
    "size_catheter",
    "skin_anisotropy",
    "skin_colour_angle_degrees",
    "skin_colour_class",
    "skin_exposure_limit_j_per_m2",
    "skin_layers",
    "smallest_vein_diameter_mm",
    "specificity",
    "sprt_lines",
    "success_within_attempts",
    "tissue_absorption_per_mm",
    "tissue_refractive_index",
    "water_absorption_per_mm",
    "water_density_kg_per_m3",
    "water_viscosity_mpa_s",
    "wilson_interval",
]

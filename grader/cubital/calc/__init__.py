"""The calculations: floats and arrays in, floats and arrays out; a topic is loaded on its first
use.

Names are a quantity and its unit. Arguments after the first are given by name. An impossible
value raises ValueError with the quantity, the value, the unit and the allowed range.

A page that needs one topic thus does not wait for all.
"""

import sys
from importlib import import_module
from typing import Any

# The public names by the module that holds them, in the drawer of its topic.
TOPICS = {
    "complications.grading": (
        "Grade",
        "drug_class_row",
        "extravasation_grade",
        "infiltration_grade",
        "phlebitis_grade",
        "visual_phlebitis_score",
    ),
    "complications.haematoma": (
        "haematoma_limit_ml",
        "haematoma_volume_ml",
    ),
    "complications.infusate": (
        "InfusateScreen",
        "diluted_osmolarity_mosm_per_l",
        "infusate_share",
        "osmolarity_from_solute_mosm_per_l",
        "screen_infusate",
    ),
    "complications.swelling": (
        "girth_rise_mm",
        "infiltrated_volume_ml",
        "limb_volume_share",
        "swelling_diameter_mm",
        "swelling_length_share",
    ),
    "complications.telling_apart": (
        "Assessment",
        "Candidate",
        "FirstActions",
        "LookFor",
        "first_actions",
        "look_for_instead",
        "signs_of",
        "tell_apart",
    ),
    "complications.vesicants": (
        "LocalDrug",
        "local_drug",
    ),
    "focus.depth_of_field": (
        "DepthOfField",
        "blur_circle_mm",
        "blur_on_skin_mm",
        "depth_of_field_mm",
        "f_number_for_window",
        "hyperfocal_distance_mm",
    ),
    "focus.illumination": (
        "PictureContrast",
        "illuminance_at_distance_lx",
        "illuminance_on_tilt_lx",
        "luminance_cd_per_m2",
        "picture_contrast",
        "picture_illuminance_lx",
        "room_light_limit_lx",
    ),
    "focus.noticing": ("noticed_difference_cd_per_m2",),
    "focus.projection": (
        "Offset",
        "camera_scale",
        "distance_error_allowed_mm",
        "projected_scale",
        "registration_error_mm",
        "registration_error_on_slope_mm",
        "registration_offset_mm",
    ),
    "focus.steadiness": (
        "HoldRuns",
        "drift_lag_error_mm",
        "drift_spread_mm",
        "share_of_time_in_window",
        "simulate_hold",
        "tremor_amplitude_mm",
        "tremor_lag_error_mm",
    ),
    "focus.tilt": (
        "convergence_angle_deg",
        "largest_tilt_deg",
        "limb_drop_mm",
        "tilt_depth_span_mm",
        "tilt_stretch",
    ),
    "focus.view_budget": (
        "BudgetLine",
        "ViewBudget",
        "ViewDevice",
        "scenario_device",
        "view_budget",
    ),
    "light.absorbers": (
        "absorption_from_index_per_mm",
        "bloodless_skin_absorption_per_mm",
        "fat_absorption_per_mm",
        "melanosome_absorption_per_mm",
        "melanosome_absorption_spread_per_mm",
        "water_absorption_per_mm",
    ),
    "light.blood": (
        "absorption_from_extinction_per_mm",
        "blood_absorption_per_mm",
        "blood_absorption_spread_per_mm",
        "blood_anisotropy",
        "blood_medium",
        "blood_scattering_per_mm",
        "isosbestic_wavelength_nm",
        "named_blood",
    ),
    "light.diffusion": (
        "effective_attenuation_per_mm",
        "internal_reflection",
        "penetration_depth_mm",
        "radial_reflectance_per_mm2",
        "total_diffuse_reflectance",
    ),
    "light.fresnel": (
        "critical_angle_deg",
        "reflectance_share",
        "refraction_angle_deg",
    ),
    "light.media": (
        "Layer",
        "Medium",
        "Vein",
    ),
    "light.phantom": (
        "phantom_apparent_depth_mm",
        "phantom_sight_line_shift_mm",
    ),
    "light.skin": (
        "epidermis_absorption_per_mm",
        "epidermis_double_pass",
        "skin_colour_angle_degrees",
        "skin_colour_class",
        "skin_layers",
    ),
    "light.skin_visibility": (
        "VeinAndArtery",
        "skin_apparent_width_mm",
        "skin_brightness_share",
        "skin_deepest_visible_mm",
        "skin_vein_contrast",
        "vein_and_artery_contrast",
    ),
    "light.spectrum": ("Spread",),
    "light.tissue": (
        "reduced_scattering_per_mm",
        "reduced_scattering_spread_per_mm",
        "skin_anisotropy",
        "tissue_absorption_per_mm",
        "tissue_refractive_index",
    ),
    "light.transport.batches": ("Score",),
    "light.transport.photon_runs": (
        "PhotonRun",
        "photon_run",
    ),
    "light.transport.reweighting": (
        "PhotonPaths",
        "ReweightedReflectance",
        "photon_paths",
        "reweighted_reflectance",
    ),
    "light.transport.shadows": (
        "Shadow",
        "Shadows",
        "followed_contrast",
        "vein_shadows",
    ),
    "light.visibility": (
        "apparent_width_mm",
        "blur_mm",
        "deepest_visible_mm",
        "vein_contrast",
    ),
    "reaching.insertion": (
        "Reach",
        "age_group_remarks",
        "angle_for_fraction_deg",
        "depth_to_wall_mm",
        "fraction_in_vein",
        "length_in_vein_mm",
        "reach_along_needle",
        "track_length_mm",
    ),
    "reaching.survival": (
        "failure_hazard_ratio",
        "survival_band",
    ),
    "readiness.batteries": (
        "any_ready_chance",
        "charge_availability",
        "chargers_for_always_on",
        "on_time_h",
        "sessions_per_charge",
        "stations_kept",
        "units_for_always_on",
    ),
    "readiness.charging": (
        "ChargeSchedule",
        "ChargeSpan",
        "charge_schedule",
    ),
    "readiness.daily_check": (
        "DailyCheck",
        "PreUse",
        "RegistrationFit",
        "check_registration",
        "fit_registration",
        "judge_pre_use",
    ),
    "readiness.exposure": (
        "Exposure",
        "Margin",
        "exposure_margins",
        "eye_irradiance_limit_w_per_m2",
        "irradiance_w_per_m2",
        "retina_radiance_limit_w_per_m2_sr",
        "retina_thermal_weight",
        "skin_exposure_limit_j_per_m2",
    ),
    "readiness.storage": (
        "StoredRange",
        "chance_of_loss",
        "stored_range",
        "time_to_loss_h",
    ),
    "reading.refill": (
        "EmptiedSegment",
        "emptied_segment",
        "refill_front_mm",
        "rolls_from_needle",
        "sideways_shift_mm",
        "split_at_bifurcation_ml_per_min",
    ),
    "reading.vessel": (
        "distended_area_share",
        "distended_diameter_mm",
        "distension_progress",
        "refill_time_s",
        "refill_volume_ml",
        "tourniquet_pressure_mmhg",
        "vein_flow_from_velocity_ml_per_min",
        "vein_pressure_under_cuff_mmhg",
        "vein_velocity_mm_per_s",
        "velocity_between_valves_mm_per_s",
    ),
    "shared.quantities": (
        "check",
        "remarks",
    ),
    "shared.spans": ("Span",),
    "sizing.annulus": (
        "eccentric_flow_share",
        "flow_left_share",
    ),
    "sizing.catheter": (
        "area_share",
        "catheter_to_vein_ratio",
        "french_size",
        "gauge",
        "largest_outer_diameter_mm",
        "outer_diameter_mm",
        "smallest_vein_diameter_mm",
    ),
    "sizing.flow": (
        "annulus_flow_share",
        "catheter_flow_ml_per_min",
        "entrance_length_mm",
        "flow_after_bore_change_ml_per_min",
        "hydrostatic_pressure_pa",
        "is_laminar",
        "poiseuille_flow_ml_per_min",
        "reynolds_number",
    ),
    "sizing.fluid": (
        "Fluid",
        "fluid",
        "water_density_kg_per_m3",
        "water_viscosity_mpa_s",
    ),
    "sizing.infusion": (
        "drip_rate_per_min",
        "infusion_rate_ml_per_h",
        "infusion_time_h",
    ),
    "sizing.size_choice": (
        "Sizing",
        "size_catheter",
    ),
    "statistics.agreement": (
        "Agreement",
        "cohen_kappa",
    ),
    "statistics.chance": (
        "chance_of_at_least",
        "success_within_attempts",
    ),
    "statistics.control_limits": (
        "ControlLimit",
        "SignalChance",
        "cusum_limit",
        "cusum_signal_chance",
        "learning_curve_limit",
        "learning_curve_signal_chance",
    ),
    "statistics.decisions": (
        "Consistency",
        "binomial_standard_error",
        "decision_consistency",
        "simulated_consistency",
    ),
    "statistics.detection": (
        "CohortDetection",
        "Detection",
        "cohort_detection",
        "criterion",
        "d_prime",
        "detection_from_counts",
        "sensitivity",
        "specificity",
    ),
    "statistics.intervals": (
        "Estimate",
        "Interval",
        "clopper_pearson_interval",
        "highest_failure_share",
        "insertions_needed",
        "wilson_interval",
    ),
    "statistics.item_analysis": (
        "cronbach_alpha",
        "item_difficulty",
        "item_discrimination",
        "kr20",
    ),
    "statistics.learning_curve": (
        "SprtLines",
        "Weights",
        "cusum_path",
        "cusum_weights",
        "failure_rate_after_odds",
        "first_signal",
        "learning_curve_path",
        "sprt_lines",
    ),
    "statistics.standard_setting": (
        "PassMark",
        "angoff_pass_mark",
    ),
}
_TOPIC_OF = {name: topic for topic, names in TOPICS.items() for name in names}
__all__ = sorted(_TOPIC_OF)  # noqa: PLE0605 - the names stand above, once


def __getattr__(name: str) -> Any:
    if name not in _TOPIC_OF:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(f"{__name__}.{_TOPIC_OF[name]}"), name)
    setattr(sys.modules[__name__], name, value)
    return value


def __dir__() -> list[str]:
    return [*globals(), *__all__]

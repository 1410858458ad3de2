"""Light and depth, worked by pencil.

With a table of sines and of e, from the formulas that the questions state and from the sources' own
tables, or read off the lesson; not by this course's code.
"""

from .reading_off import BY_LAW, Read

RELATIVE = 3e-4

WORKED = {
    # 160 - 120 = 40; 40 / 160, 40 / 120, 120 / 160, 40 / 280
    "light-contrast": (
        {"skin_level": 160, "vein_level": 120},
        0.25,
        {
            "vein-for-background": 0.33333,
            "left-for-lost": 0.75,
            "sum-for-background": 0.14286,
            "per-cent-sign-missing": 25,
        },
    ),
    # 3 x 0.02 x 2.00 = 0.12; its root 0.34641; 1 / 0.34641 = 2.8868; 1 / 0.12 = 8.3333
    # without the 3: root of 0.04 is 0.2, 1 / 0.2 = 5; 1 / 0.02 = 50
    "light-penetration": (
        {"absorption_per_mm": 0.02, "reduced_scattering_per_mm": 1.98},
        2.8868,
        {
            "scattering-left-out": 50,
            "attenuation-for-depth": 0.34641,
        },
    ),
    # 0.4 / 2.4 = 0.16667; squared 0.027778; 0.4 squared 0.16
    "light-surface": (
        {"refractive_index": 1.4},
        0.027778,
        {
            "entered-for-mirrored": 0.97222,
            "per-cent-sign-missing": 2.7778,
        },
    ),
    # 12 / 2.5 = 4.8; 138 / 2.5 = 55.2; 4.8 / 3 = 1.6
    "light-over-noise": (
        {"skin_level": 150, "vein_level": 138, "noise_level": 2.5},
        4.8,
        {"brightness-for-difference": 55.2, "needed-counted-in": 1.6},
    ),
    # 2.4 / 0.8 = 3; 3 x 3 = 9
    "light-frames": (
        {"noise_percent": 2.4, "wanted_percent": 0.8},
        9,
        {"linear-for-root": 3},
    ),
    # Melanosomes 6.6e11 x 850^-3.33 = 116.06 per cm, 11.606 per mm; bloodless skin
    # 0.0244 + 8.53 e^-10.514 = 0.0246 per mm. 0.2 x 11.606 + 0.8 x 0.0246 = 2.3409 per mm.
    # A step of 0.04 mm: e^-0.093636 = 0.91061. Two in: 0.91061 squared = 0.82921; two out again:
    # that squared = 0.68759. A step takes 0.08939, and four times that from 1 leaves 0.64244
    "light-melanin": (
        {"melanin": 0.2, "epidermis_mm": 0.08},
        0.68759,
        {
            "one-pass": 0.82921,
            "taken-for-let-through": 0.31241,
            "straight-line-for-curve": 0.64244,
            "per-cent-sign-missing": 68.759,
        },
    ),
    # 0.7 x 0.65 + 0.3 x 0.43 = 0.584; x 36 / 45 = 0.4672; 1 / 0.4672 = 2.1404
    # 0.3 x 0.65 + 0.7 x 0.43 = 0.496; x 0.8 = 0.3968. 1 / 0.584. 0.584 x 0.36 = 0.21024
    "light-blood": (
        {"wavelength_nm": 940, "saturation": 0.7, "haematocrit": 0.36},
        2.1404,
        {
            "saturation-swapped": 2.5202,
            "haematocrit-ignored": 1.7123,
            "haematocrit-as-factor": 4.7565,
        },
    ),
    # 5 - 3 = 2 mm deeper; at 30 degrees twice as far, 4; cos 30 = 0.8660, 2 / 0.8660 = 2.3094;
    # the whole way 2 x 5 = 10; 32 - 10 = 22
    "light-deeper-than-thought": (
        {
            "length_mm": 32,
            "insertion_angle_deg": 30,
            "thought_depth_mm": 3.0,
            "upper_wall_depth_mm": 5.0,
        },
        4,
        {
            "angle-left-out": 2,
            "cosine-for-sine": 2.3094,
            "whole-way-for-difference": 10,
            "left-for-lost": 22,
        },
    ),
    # In the lesson: 1.0 mm across is lost below 3.0 mm, 3.0 mm across below 4.8 mm; stated 7.
    # The vein's centre lies half a millimetre below its upper wall.
    "light-deepest": (
        {"depth_reach_mm": 7, "lumen_diameter_mm": 1.0, "melanin_percent": 5, "noise_percent": 1.0},
        Read(3.0, within=0.06),
        {
            "stated-for-this": Read(7, within=0),
            "centre-for-near-wall": Read(3.5, within=0.06),
            "noise-itself": BY_LAW,
        },
    ),
    # In the lesson: 3.0 mm looks 8.6 mm wide at 3.0 mm depth, 5.2 mm at 1.0 mm. 3.0 + 3.0.
    "light-apparent-width": (
        {"lumen_diameter_mm": 3.0, "upper_wall_depth_mm": 3.0},
        Read(8.6, within=0.06),
        {
            "size-from-picture": Read(3.0, within=0.06),
            "shallow-curve": Read(5.2, within=0.06),
            "depth-added": Read(6.0, within=0.06),
        },
    ),
}

"""Reaching the vein, worked by pencil.

With a table of sines, with the right-angled triangle of depth, way and angle, and with the
densities of mercury and saline; not by this course's code.
"""

from .reading_off import Read

RELATIVE = 1e-3

# sin 30 = 0.5, cos 30 = 0.8660; sin 25 = 0.42262, cos 25 = 0.90631
WORKED = {
    # Middle at 5.0 + 1.5 = 6.5; half of 3.0 above it: 5.0. Far wall 8.0; 6.5 - 3.0 = 3.5.
    "reach-near-wall": (
        {"near_wall_depth_mm": 5.0, "vein_diameter_mm": 3.0},
        5.0,
        {"centre-for-near-wall": 6.5, "diameter-for-radius": 3.5, "far-for-near-wall": 8.0},
    ),
    # At 30 degrees the way is twice the depth: 9.0. 4.5 / 0.8660 = 5.196; 4.5 x 0.5 = 2.25.
    # The sine of 30 radians is -0.988: no length.
    "reach-track": (
        {"near_wall_depth_mm": 4.5, "insertion_angle_deg": 30},
        9.0,
        {"angle-left-out": 4.5, "cosine-for-sine": 5.196},
    ),
    # 2.4 / 0.42262 = 5.679, to the middle half of it 2.839. Far wall from the skin
    # 6.4 / 0.42262 = 15.144, near wall 4.0 / 0.42262 = 9.465. 2.4 / 0.90631 = 2.648.
    "reach-room": (
        {"near_wall_depth_mm": 4.0, "vein_diameter_mm": 2.4, "insertion_angle_deg": 25},
        5.679,
        {
            "angle-left-out": 2.4,
            "from-the-skin": 15.144,
            "cosine-for-sine": 2.648,
        },
    ),
    # Way 6.0 / 0.42262 = 14.197; 48 - 14.197 = 33.803. 48 - 6 = 42. 6.0 / 0.90631 = 6.620.
    "reach-length-in-vein": (
        {"length_mm": 48, "near_wall_depth_mm": 6.0, "insertion_angle_deg": 25},
        33.803,
        {"outside-for-inside": 14.197, "angle-left-out": 42.0, "cosine-for-sine": 41.380},
    ),
    # Way 10.0 of 32: 0.3125 outside, 0.6875 inside. 1 - 5 / 32 = 0.84375.
    # 5.0 / 0.8660 = 5.774; 1 - 5.774 / 32 = 0.8196.
    "reach-share": (
        {"length_mm": 32, "near_wall_depth_mm": 5.0, "insertion_angle_deg": 30},
        0.6875,
        {
            "outside-for-inside": 0.3125,
            "angle-left-out": 0.84375,
            "cosine-for-sine": 0.8196,
            "per-cent-sign-missing": 68.75,
        },
    ),
    # 0.35 x 32 = 11.2 of way, at 30 degrees half of it deep: 5.6. 0.65 x 32 x 0.5 = 10.4.
    # 11.2 x 0.8660 = 9.699; 11.2 / 0.5 = 22.4.
    "reach-deepest": (
        {"length_mm": 32, "fraction_wanted": 0.65, "insertion_angle_deg": 30},
        5.6,
        {
            "inside-for-outside": 10.4,
            "angle-left-out": 11.2,
            "cosine-for-sine": 9.699,
        },
    ),
    # 0.4 x 25 = 10 of way for 5 of depth: the sine is a half, 30 degrees, 0.5236 rad.
    # 5 / 15 = 0.3333: 19.471 degrees; 5 / 25 = 0.2: 11.537 degrees; 90 - 30 = 60.
    "reach-angle": (
        {"length_mm": 25, "fraction_wanted": 0.6, "near_wall_depth_mm": 5.0},
        30.0,
        {
            "inside-for-outside": 19.471,
            "share-left-out": 11.537,
            "cosine-for-sine": 60.0,
            "calculator-in-radians": 0.5236,
        },
    ),
    # Near wall at 2 x 4.0 = 8.0; the needle is 0.7 beyond it, the catheter's end 2.0 - 0.7 short.
    "reach-catheter-end": (
        {"near_wall_depth_mm": 4.0, "insertion_angle_deg": 30, "needle_in_mm": 8.7},
        1.3,
        {
            "needle-in-already-left-out": 2.0,
            "needle-for-catheter": 0.7,
        },
    ),
    # 80 % of 50 mmHg are 40 mmHg. Mercury is 13.595 g/cm3, saline at 22 degrees 1.0046 g/cm3:
    # 40 x 13.595 / 1.0046 = 541.3; 35 of them 473.6; 50 of them 676.6.
    "reach-standstill": (
        {"cuff_mmhg": 50},
        541.3,
        {"lower-end": 473.6, "tourniquet-for-vein": 676.6, "mercury-for-water": 40.0},
    ),
    # In the lesson at 0.5 N: 1.8 mm in loose skin, 0.2 mm in held skin. 1.8 - 0.2; 1.8 + 0.2.
    "reach-shift": (
        {"skin": "loose", "push_n": 0.5},
        Read(1.6, within=0.11),
        {
            "unheld-only": Read(1.8, within=0.05),
        },
    ),
}

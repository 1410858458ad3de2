"""Focal geometry, worked by pencil.

By similar triangles, by a table of sines, by the table of the normal distribution, and by dividing
lumens by square metres; not by this course's code. The device: 220 mm, window 18 mm, picture 96 by
72 mm, 14 lm, camera and projector 24 mm apart.
"""

RELATIVE = 1e-3
DEVICE = {
    "working_distance_mm": 220,
    "window_mm": 18,
    "picture_width_mm": 96,
    "picture_height_mm": 72,
    "light_output_lm": 14,
}

WORKED = {
    # 4.0 x 220 = 880; 880 / 235 = 3.7447. 4.0 x 235 / 220 = 4.2727. 3.7447 x 220 / 235 = 3.5057.
    "focal-shown-width": (
        {"vein_diameter_mm": 4.0, "object_distance_mm": 235},
        3.7447,
        {"farther-shows-larger": 4.2727, "sharp-so-unchanged": 4.0, "square-for-length": 3.5057},
    ),
    # Three times the smear at three times 18 mm: 54. Less 18; and 220; 18 x root of 3; 18 / 3.
    "focal-smear": (
        {"smear_mm": 0.69},
        54.0,
        {
            "beyond-the-window": 36.0,
            "from-the-device": 274.0,
            "grows-as-square": 31.177,
        },
    ),
    # A quarter more picture at a quarter more distance: 275. 220 x 4 / 5; 220 + 24; 220 x 5 / 3.
    "focal-wider": (
        {"picture_width_mm": 120},
        275.0,
        {"nearer-for-larger": 176.0, "added-for-scaled": 244.0, "short-for-long-side": 366.667},
    ),
    # 12 of 36 mm: sin 19.471 = 1/3. 18 of 36: 30. 24 of 36: sin 41.810 = 2/3. 12 of 72:
    # sin 9.594 = 1/6. 90 - 19.471; 19.471 x 3.14159 / 180.
    "focal-largest-tilt": (
        {"field_mm": 72, "distance_error_mm": 6},
        19.471,
        {
            "whole-window-for-tilt": 30.0,
            "whole-for-half": 9.594,
            "cosine-for-sine": 70.529,
            "calculator-in-radians": 0.33984,
        },
    ),
    # 11 mm off, a twentieth of 220: a twentieth of 24. 7.5, 3.5 and 4 mm x 24 / 220. 24 x 11 / 18.
    "focal-shift": (
        {"limb": "a forearm", "place_mm": 18, "drop_mm": 7.5, "distance_error_mm": 3.5},
        1.2,
        {
            "hold-left-out": 0.81818,
            "limb-left-out": 0.38182,
            "lower-counted-as-nearer": 0.43636,
        },
    ),
    # 1.1 x 220 / 24 = 10.083; with 2.2 twice that; with 1 mm 9.1667. 1.1 x 24 / 220 = 0.12.
    "focal-allowed": (
        {"vein_diameter_mm": 2.2},
        10.083,
        {
            "diameter-for-radius": 20.167,
            "tolerance-for-this-vein": 9.1667,
            "sharp-for-on-the-vein": 18.0,
        },
    ),
    # On the vein within 9.167 mm. Free hand, 5 mm of drift: z = 0.6333 and -3.0333, so 0.7367 -
    # 0.0012 = 0.7355. Rested, 2 mm: z = 1.5833, 0.9433. Of 50 s: 36.78 and 47.17. Sharp within
    # 18 mm: z = 2.4, 0.9918, against 1: 0.0082 of 50 s.
    "focal-rest": (
        {"setting_error_mm": 6, "hold_time_s": 50},
        10.39,
        {"rested-hand-only": 47.17, "sharp-for-on-the-vein": 0.4099},
    ),
    # 0.12 x 0.075 = 0.009 m2: 18 / 0.009. Own picture 0.096 x 0.072 = 0.006912 m2. 18 / 0.12;
    # 18 / 0.0144; 90 cm2 / 100 = 0.9 m2.
    "focal-illuminance": (
        {"light_output_lm": 18, "picture_width_mm": 120, "picture_height_mm": 75},
        2000.0,
        {
            "size-left-out": 2604.2,
            "width-for-area": 150.0,
            "square-for-rectangle": 1250.0,
            "hundred-for-ten-thousand": 20.0,
        },
    ),
    # 144 by 108 mm: 14 / 0.015552 = 900.21, doubled. 14 / 0.006912 = 2025.46, doubled; two thirds
    # of it, doubled. Half of 900.21.
    "focal-room-limit": (
        {"picture_width_mm": 144},
        1800.4,
        {
            "size-left-out": 4050.9,
            "width-for-area": 2700.6,
            "picture-for-room-light": 900.21,
        },
    ),
}

for _item_id, (_values, *_) in WORKED.items():
    if _item_id != "focal-rest":  # read off the lesson's figure, which is of its own device
        _values["device"] = DEVICE

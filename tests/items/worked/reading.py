"""Reading the vein, worked by pencil.

From the formulas that the questions state, with a table of roots; not by this course's code.
"""

RELATIVE = 1e-3

WORKED = {
    # Emptied from 40; 92 is the last valve below 100: 92 - 40 = 52. 100 - 40, 63 - 40, 118 - 40.
    "read-pale": (
        {
            "finger_mm": 40,
            "first_mm": 63,
            "last_mm": 92,
            "stroked_to_mm": 100,
            "beyond_mm": 118,
        },
        52,
        {
            "whole-stroke": 60,
            "first-valve-for-last": 23,
            "valve-beyond-the-stroke": 78,
            "place-for-length": 92,
        },
    ),
    # 8 steps of 0.25 s are 2 s: 36 / 2 = 18. 9 steps 2.25 s: 16. 36 / 8 = 4.5.
    # 20 steps from frame 0 are 5 s: 7.2. 36 x 2 = 72.
    "read-front-speed": (
        {"front_distance_mm": 36, "interval_s": 0.25, "first_frame": 12, "last_frame": 20},
        18,
        {
            "both-ends-counted": 16,
            "frames-for-seconds": 4.5,
            "from-the-first-frame": 7.2,
        },
    ),
    # Empty, 60 mm at 12 mm/s take 5 s; nine tenths are missing: 4.5. A tenth: 0.5. 5 / 0.9 = 5.556.
    # 12 / 60 = 0.2.
    "read-refill-time": (
        {"segment_length_mm": 60, "velocity_mm_per_s": 12},
        4.5,
        {
            "left-in-forgotten": 5,
            "left-for-lost": 0.5,
        },
    ),
    # 50 mm on 250 px: 5 px a millimetre. 300 px are 60 mm; 60 - 6 - 9 = 45; 60 - 9; 60 + 15;
    # 300 - 15 = 285.
    "read-straight-run": (
        {"ruler_mm": 50, "ruler_px": 250, "run_px": 300, "behind_mm": 6, "ahead_mm": 9},
        45,
        {
            "margins-left-out": 60,
            "fork-behind-forgotten": 51,
            "pixels-for-millimetres": 285,
        },
    ),
    # 3 / 3 = 1 from the camera; with 1 that stays, root of 2 is 1.4142: 6 / 1.4142 = 4.2426.
    # 6 / 1; hair a third too: root of 10 / 9 is 1.0541, 6 / 1.0541 = 5.6921; 6 / 2;
    # one frame: root of 10 is 3.1623, 6 / 3.1623 = 1.8974.
    "read-averaged": (
        {"contrast_percent": 6, "noise_percent": 3, "still_percent": 1, "frames": 9},
        4.2426,
        {
            "still-left-out": 6,
            "still-averaged-too": 5.6921,
            "noises-added": 3,
        },
    ),
    # 4 % x 0.40 = 1.6 %; 5 / 1.6 = 3.125. 5 / 4 = 1.25. 4 % x 0.60 = 2.4 %: 2.0833.
    # 1.6 / 5 = 0.32. 100 / 40 = 2.5.
    "read-gain": (
        {"filter_mm": 4, "band_mm": 0.8, "kept_percent": 40, "contrast_percent": 4},
        3.125,
        {
            "filter-forgotten": 1.25,
            "lost-for-left": 2.0833,
            "contrast-forgotten": 2.5,
        },
    ),
    # A piece is 1.5 x 4.5 = 6.75 mm2, the field 4800: 711.11 pieces, 2.3 % of them 16.356.
    # Squares of 2.25 mm2: 2133.3, of them 49.067. Twice 16.356. 4800 / 4.5 = 1066.7, of it 24.533.
    "read-false-bands": (
        {
            "field_width_mm": 80,
            "field_height_mm": 60,
            "filter_mm": 1.5,
            "threshold_times": 2.0,
            "chance_percent": 2.3,
        },
        16.356,
        {
            "square-pieces": 49.067,
            "lighter-counted-too": 32.711,
            "pieces-for-bands": 711.11,
        },
    ),
}

"""Complications, worked by pencil.

By counting sites, minutes and cubes, with a table of powers of e for the haematoma; not by this
course's code.
"""

RELATIVE = 1e-4

WORKED = {
    # 24 of 30 are 0.8, 12 of 80 are 0.15: 5.333 times. 24 / 12 = 2; 24 of 36 cool ones leak.
    "comp-cool": (
        {"leaked": 30, "well": 80, "cool_leaked": 24, "cool_well": 12},
        5.3333,
        {
            "counts-for-shares": 2.0,
            "found-only": 0.8,
            "leaks-among-cool": 0.66667,
        },
    ),
    # 09:40 to 10:25 are 45 min, three quarters of 80. As decimals 10.25 - 9.40 = 0.85: 68.
    "comp-outside": (
        {"rate_ml_per_h": 80, "felt_at_min": 580, "apart_min": 45},
        60.0,
        {
            "minutes-as-decimals": 68.0,
            "one-hour-for-the-time": 80.0,
            "half-way-leak": 30.0,
        },
    ),
    # 60 leak: 18 change, 42 do not. 40 do not leak. 42 of 82 unchanged ones leak.
    "comp-unchanged": (
        {"leaking_share": 0.6, "shown_share": 0.3},
        0.51220,
        {
            "unchanged-rules-out": 0.0,
            "sign-left-out": 0.6,
            "missed-for-predicted": 0.7,
            "counted-among-all": 0.42,
        },
    ),
    # 45 / 30 = 3/2; its cube is 27/8, its square 9/4.
    "comp-times-as-much": (
        {"first_mm": 30, "now_mm": 45},
        3.375,
        {
            "width-for-volume": 1.5,
            "area-for-volume": 2.25,
            "tripled-for-cubed": 4.5,
            "more-for-times": 2.375,
        },
    ),
    # 62 - 14 = 48 mm of 160 mm. 62 / 160 = 0.3875; 48 of 150 mm round.
    "comp-limb-share": (
        {"limb_length_mm": 160, "girth_mm": 150, "upper_edge_mm": 14, "lower_edge_mm": 62},
        0.3,
        {
            "edge-for-length": 0.3875,
            "girth-for-length": 0.32,
            "per-cent-sign-missing": 30.0,
        },
    ),
    # Give 0.15 mL/mmHg, so it ends at 0.15 x 40 = 6.0 and 0.15 x 10 = 1.5 mL. The time in which
    # it comes near is 0.15 / 0.02 = 7.5 min. Pressed after 3 min: e^-0.4 = 0.67032, 0.32968 of the
    # end: 1.97808 and 0.49452. After 9 min: e^-1.2 = 0.30119, 0.69881 of 4.5 = 3.14463.
    "comp-haematoma": (
        {"minute": 9, "pressed_after_min": 3},
        1.48356,
        {
            "tourniquet-on-only": 1.97808,
            "pressing-set-otherwise": 3.14463,
        },
    ),
    # 6.5 - 2.5 = 4 in 100: one in 25. 100 / 2.5 = 40; 6.5 / 4 = 1.625.
    "comp-needed": (
        {"before_percent": 6.5, "after_percent": 2.5, "every_h": 1},
        25.0,
        {
            "after-only": 40.0,
            "relative-for-absolute": 1.625,
        },
    ),
    # 50 sites, agreed on 40: 0.8. Yes 15 and 13, no 35 and 37: (195 + 1295) / 2500 = 0.596.
    # 0.204 / 0.404 = 0.50495. With a coin 2 x 0.8 - 1 = 0.6. 9 of 19 that either called.
    "comp-kappa": (
        {"both": 9, "first_only": 6, "second_only": 4, "neither": 31},
        0.50495,
        {
            "observed-for-kappa": 0.8,
            "not-over-the-rest": 0.204,
            "chance-taken-for-half": 0.6,
        },
    ),
}

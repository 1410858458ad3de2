"""Catheter sizing, worked by pencil and pocket calculator.

By the lesson's tables of gauges, needles and drop factors, French = 3 x mm, ratio = catheter / vein
by diameter, flow ~ bore^4. Water at 20 degrees C has 1.0016 mPa s and 998.21 kg/m3, g is
9.80665 m/s2. For a short tube p = a Q + b Q^2 with a = 128 mu L / (pi d^4),
b = K 8 rho / (pi^2 d^4), K = 2.28, all in SI units. Not by this course's code.
"""

RELATIVE = 1e-4

WORKED = {
    # 20 G: band 0.950 to 1.149 mm, bore 0.80 mm; a 20 G steel needle up to 0.920 mm. Counted from
    # the other end of 26, 24, 22, 20, 18, 17, 16, 14 it is 18 G: up to 1.349 mm.
    "sizing-upper-diameter": (
        {"gauge": 20},
        1.149,
        {
            "lower-end": 0.950,
            "inner-for-outer": 0.80,
            "gauge-order-reversed": 1.349,
            "needle-table-for-catheter": 0.920,
        },
    ),
    # 3 x 2.13; 3 x 1.065; 2.13 / 3; the way round 2.13 x 3.14159.
    "sizing-french": (
        {"outer_diameter_mm": 2.13},
        6.39,
        {
            "radius-for-diameter": 3.195,
            "french-upside-down": 0.71,
            "circumference-for-french": 6.69159,
        },
    ),
    # 1.149 / 3.0 = 0.383; 3.0 / 1.149; 0.5745 / 3.0; 0.383 x 0.383; 0.80 / 3.0; 1.349 / 3.0.
    "sizing-ratio": (
        {"gauge": 20, "vein_diameter_mm": 3.0},
        0.383,
        {
            "ratio-upside-down": 2.61097,
            "area-for-diameter": 0.146689,
            "inner-for-outer": 0.266667,
            "per-cent-sign-missing": 38.3,
            "gauge-order-reversed": 0.449667,
        },
    ),
    # 1.849 / 0.41 = 4.50976; 1.849 x 0.41; the root of 0.41 is 0.640312: 1.849 / 0.640312;
    # 0.9245 / 0.41; bore 1.30 / 0.41; from the other end 24 G: 0.749 / 0.41.
    "sizing-smallest-vein": (
        {"gauge": 16, "ratio_limit": 0.41},
        4.50976,
        {
            "multiplied-by-limit": 0.75809,
            "area-for-diameter": 2.88765,
            "inner-for-outer": 3.17073,
            "gauge-order-reversed": 1.82683,
        },
    ),
    # 0.34 x 0.34 = 0.1156; 1 - 0.1156; 0.34 / 2.
    "sizing-area-share": (
        {"ratio": 0.34},
        0.1156,
        {
            "diameter-for-area": 0.34,
            "free-for-filled": 0.8844,
            "per-cent-sign-missing": 11.56,
        },
    ),
    # 0.85 / 0.65 = 1.307692; squared 1.710059; squared again 2.924302. 1.4 times each of them;
    # 1.4 / 2.924302.
    "sizing-bore-flow": (
        {"flow_ml_per_min": 1.4, "inner_diameter_mm": 0.65, "new_inner_diameter_mm": 0.85},
        4.09402,
        {
            "square-for-fourth-power": 2.39408,
            "linear-for-fourth-power": 1.83077,
        },
    ),
    # p = 998.21 x 9.80665 x 0.700 = 6852.367
    # d^4 = 0.0013^4 = 2.8561e-12
    # a = 128 x 0.0010016 x 0.045 / (3.14159 x 2.8561e-12) = 6.429742e8
    # b = 2.28 x 8 x 998.21 / (9.8696 x 2.8561e-12) = 6.459124e14
    # a^2 + 4 b p = 1.8117531e19; its root 4.2564693e9
    # Q = (4.2564693e9 - 0.6429742e9) / 1.2918247e15 = 2.797202e-6 m3/s; x 60e6 = 167.832 mL/min
    # Without losses p / a = 1.065730e-5 m3/s: 639.438 mL/min.
    # Half the bore: a and b 16 times as large, 1.02875865e10 and 1.0334598e16.
    # a^2 + 4 b p = 3.8910027e20; its root 1.97256248e10;
    # 9.438038e9 / 2.0669196e16 = 4.566234e-7 m3/s: 27.3974 mL/min.
    # A tenth of the height, p = 685.2367: a^2 + 4 b p = 2.1838273e18; its root 1.4777778e9;
    # 8.348037e8 / 1.2918247e15 = 6.462206e-7 m3/s: 38.7732 mL/min.
    "sizing-gravity-flow": (
        {"gauge": 16, "inner_diameter_mm": 1.30, "length_mm": 45, "height_mm": 700},
        167.832,
        {
            "losses-left-out": 639.438,
            "height-in-centimetres": 38.7732,
        },
    ),
    # 500 x 20 = 10,000 drops in 240 minutes; with the 60-drop set 30,000; 10,000 in 4 hours.
    "sizing-drip-rate": (
        {"volume_ml": 500, "time_h": 4, "drop_factor_per_ml": 20},
        41.66667,
        {
            "wrong-drop-factor": 125,
            "per-hour-for-per-minute": 2500,
        },
    ),
    # 1000 / 230 = 4.34783 h, written 4.35; 4 h 35 min are 4.58333 h. 230 / 1000. 60 x 4.34783.
    "sizing-infusion-time": (
        {"volume_ml": 1000, "rate_ml_per_h": 230},
        4.34783,
        {
            "decimals-as-minutes": 4.58333,
            "minutes-for-hours": 260.8696,
        },
    ),
}

"""The whole course, worked by pencil.

By counting a hundred patients, by halving step by step, and by the textbook volume of half an
ellipsoid; not by this course's code.
"""

RELATIVE = 1e-6

WORKED = {
    # 500 / 15 = 33.3 mL/min. Of 22 G 80 % are 28.8, of 20 G 48.8: 20 G. 1.08 / 0.45 = 2.4.
    # In full 22 G gives 36: 0.9 / 0.45 = 2. Next wider 18 G: 1.26 / 0.45 = 2.8. 1.08 x 0.45 is
    # 0.486. The root of 0.45 is 0.6708204: 1.08 / 0.6708204 = 1.6099690.
    "whole-vein-for-order": (
        {
            "ratio_limit": 0.45,
            "volume_ml": 500,
            "time_min": 15,
            "packets_mm": [0.9, 1.08, 1.26, 1.7, 2.1],
        },
        2.4,
        {
            "margin-left-out": 2.0,
            "thicker-than-needed": 2.8,
            "multiplied-by-limit": 0.486,
            "area-for-diameter": 1.6099690,
        },
    ),
    # 24, 12, 6, 3 %: 3 x 1.5 = 4.5 mm; the sine of 30 degrees is a half: 9 mm; 9 / 0.35 = 25.714.
    # To 1 %: 2 to the power of 4.5849625 is 24; 6.8774438 mm; twice that over 0.35.
    # In a straight line 12 points go with 1.5 mm, and 21 with 2.625: 5.25 / 0.35 = 15.
    # 9 / 0.65; 9; 4.5 / 0.35.
    "whole-length-for-seen": (
        {"noise": 0.01, "contrast": 0.24, "halving_mm": 1.5, "insertion_angle_deg": 30},
        25.7142857,
        {
            "noise-for-needed": 39.2996786,
            "straight-line-for-curve": 15,
            "inside-for-outside": 13.8461538,
            "share-left-out": 9,
            "angle-left-out": 12.8571429,
        },
    ),
    # 6.0 - 1.5 = 4.5 mm; 9 mm on the way; 23 of 32. From the middle 12 mm: 20 of 32. A whole
    # diameter less, 3 mm, 6 mm on the way: 26 of 32. 27.5 of 32. 9 of 32.
    "whole-share-from-middle": (
        {
            "length_mm": 32,
            "vein_diameter_mm": 3.0,
            "middle_depth_mm": 6.0,
            "insertion_angle_deg": 30,
        },
        0.71875,
        {
            "centre-for-near-wall": 0.625,
            "diameter-for-radius": 0.8125,
            "angle-left-out": 0.859375,
            "outside-for-inside": 0.28125,
        },
    ),
    # 4.0 / 2.5 = 1.6; 1.6 x 1.6 = 2.56; x 1.6 = 4.096; 2.56 - 1; 1 / 2.56.
    "whole-times-filled": (
        {"gauge": 20, "vein_diameter_mm": 2.5, "band_mm": 4.0},
        2.56,
        {
            "width-for-area": 1.6,
            "more-for-times": 1.56,
        },
    ),
    # Of 100 patients: 100 x 6 and 60 x 28 minutes, 2280. 100 x 6 + 40 x 28 = 1720. 100 x 34.
    # 60 x 34 = 2040. 600 + 60 x 18 = 1680.
    "whole-until-in": (
        {"attempt_min": 6, "success_share": 0.4, "comes_min": 18, "needs_min": 10},
        22.8,
        {
            "failed-for-succeeded": 17.2,
            "colleague-every-time": 34,
            "own-time-only-if-it-fails": 20.4,
            "waiting-only": 16.8,
        },
    ),
    # Of 100 patients: 125 attempts of 7 minutes, 8.75 minutes each; 210 / 8.75 = 24. 210 / 7;
    # 210 / 14; 175 attempts: 210 / 12.25; 4/3 attempts: 210 / 9.3333 = 22.5.
    "whole-per-charge": (
        {"run_time_h": 3.5, "on_min": 7, "success_share": 0.75},
        24,
        {
            "one-attempt-each": 30,
            "two-attempts-each": 15,
            "failed-for-succeeded": 17.1428571,
            "limit-left-out": 22.5,
        },
    ),
    # Half an ellipsoid, 2/3 pi x 2 x 2 x 0.6 cm3 = 5.0265482 mL; 30 mL/h: 10.0530965 minutes.
    # With 50 mL/h 6.0318579, with 20 mL/h 15.0796447. A quarter of it, as 4 x 4 for 4 x 4 x 4:
    # 2.5132741. An eighth: 1.2566371. In hours 0.1675516.
    "whole-until-felt": (
        {"rate_ml_per_h": 50, "outside_share": 0.6, "swelling_diameter_mm": 40},
        10.0530965,
        {
            "all-outside": 6.0318579,
            "inside-for-outside": 15.0796447,
            "square-for-cube": 2.5132741,
        },
    ),
    # 5 mL; 5 / 0.0785398 = 63.66198, whose cube root is 3.9929455: 39.929 / 160. Over the cube root
    # of 2, 1.2599210, for 2.5 mL; times it for 10 mL. The square root of 63.66198 is 7.9788456.
    "whole-child-share": (
        {"rate_ml_per_h": 10, "look_every_min": 30, "limb_length_mm": 160},
        0.2495591,
        {
            "half-way-leak": 0.1980752,
            "one-hour-for-the-time": 0.3144248,
        },
    ),
    # 100 mL/h: 200 mL in two hours. An hour without: 800 mL in 7 h, 114.2857 mL/h, a third of that
    # in drops. 800 in 8 h; 1000 in 7 h; 800 in 10 h; three times the drops.
    "whole-drops-left": (
        {
            "volume_ml": 1000,
            "whole_h": 10,
            "from_h": 8,
            "ran_min": 120,
            "stood_min": 60,
            "drop_factor_per_ml": 20,
        },
        38.0952381,
        {
            "pause-left-out": 33.3333333,
            "whole-for-left": 47.6190476,
            "time-set-anew": 26.6666667,
            "wrong-drop-factor": 114.2857143,
        },
    ),
}

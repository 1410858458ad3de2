"""Readiness, worked by pencil.

With a clock, a list of numbered pictures, sums of minutes and a table of squares; not by this
course's code.
"""

RELATIVE = 1e-3

WORKED = {
    # 80 % of 210 min are 168 min. 3 x 6 = 18 min go in an hour: 168 / 18 = 9.333 h.
    # 168 min = 2.8 h; new 210 / 18 = 11.667; lost 42 / 18 = 2.333; 30 % of 168 min = 50.4 min;
    # one patient an hour: 168 / 6 = 28.
    "ready-lasts": (
        {"run_time_h": 3.5, "battery_left": 0.80, "patients_per_h": 3, "minutes_each": 6},
        9.333,
        {
            "always-on": 2.8,
            "ageing-left-out": 11.667,
            "lost-for-left": 2.333,
            "multiplied-by-share-on": 0.84,
        },
    ),
    # 7 x 12 = 84 min of use, 10 % of 210 min = 21 are there: 63 are missing. A charge of 150 min
    # gives 210, so 7 of use need 5: 45. All 84 need 60; from 10 % to full 135. 90 % of 60 is 54.
    "ready-before-list": (
        {
            "run_time_h": 3.5,
            "charge_time_h": 2.5,
            "charge_left": 0.10,
            "patients": 7,
            "minutes_each": 12,
        },
        45.0,
        {
            "charge-left-forgotten": 60.0,
            "charged-to-full": 135.0,
            "minute-for-minute": 63.0,
            "left-as-share-of-list": 54.0,
        },
    ),
    # By the clock: on 0-3, charging 3-5.5, on 5.5-8.5, charging 8.5-10: 2.5 + 1.5 = 4 h without.
    # Long run 2.5 of every 5.5 h: 10 x 2.5 / 5.5 = 4.5455. New: off 3.5-6 and 9.5-10, 3 h.
    "ready-hours-without": (
        {"shift_h": 10.0, "run_time_h": 3.0, "new_run_time_h": 3.5, "charge_time_h": 2.5},
        4.0,
        {
            "long-run-share": 4.5455,
            "first-gap-only": 2.5,
            "never-charged": 7.0,
            "label-for-timed": 3.0,
        },
    ),
    # 180 s: wet to 50, 100, 150, 200: the fourth fills it. 14 x 2 = 28 times 4. Three are too few.
    # 300 s: the sixth ends at 300.
    "ready-wipes": (
        {"patients": 14, "wet_min": 3, "dry_after_s": 50},
        112.0,
        {
            "rounded-down": 84.0,
            "only-after-the-patient": 56.0,
            "dry-for-done": 28.0,
        },
    ),
    # 0.9 x 0.9 = 0.81, again 0.729, again 0.6561, again 0.59049. 0.1 five times: 0.00001.
    "ready-missed-fault": (
        {"shows_share": 0.10, "checks": 5},
        0.59049,
        {
            "found-for-missed": 0.40951,
            "one-check-for-all": 0.9,
            "chances-added": 0.5,
            "shows-every-time": 0.00001,
        },
    ),
    # 42 a shift. Of 340 the last 60 are kept: 280 new ones fit, the 281st takes the oldest.
    # 281 / 42 = 6.6905; 340 / 42 = 8.0952; 60 / 42 = 1.4286; 281 / 14 = 20.071; 400 / 42 = 9.5238.
    "ready-shifts-until-lost": (
        {"stored_pictures": 340, "patients": 14, "pictures_each": 3, "pictures_to_keep": 60},
        6.6905,
        {
            "whole-store-for-room": 8.0952,
            "kept-for-room": 1.4286,
            "patients-for-pictures": 20.071,
        },
    ),
    # 60 over: 1 to 60 gone. Of 51 to 85 (35 pictures) 51, 52 ... 60 are ten; 61 to 85 are 25.
    "ready-lost": (
        {"stored_pictures": 340, "pictures_taken": 400, "first": 51, "last": 85},
        10,
        {
            "all-overwritten": 60,
            "still-there-for-lost": 25,
            "first-not-counted": 9,
            "whole-series-at-once": 35,
        },
    ),
    # From 300 to 150 mm half the distance: four times 6 is 24 W/m2 of 100. Once: 12. As it is: 6.
    # Swapped, a quarter of 6: 1.5. The margin is 100 / 24 = 4.1667.
    "ready-eye-share": (
        {"source_distance_mm": 300, "light_w_per_m2": 6.0, "minutes": 30, "eyes_mm": 150},
        0.24,
        {
            "distance-not-squared": 0.12,
            "distance-left-out": 0.06,
            "margin-for-share": 4.1667,
        },
    ),
    # 100 / 9 = 11.111 W/m2; 4 / 11.111 = 0.36, root 0.6: 180 mm. Linear 0.36 x 300 = 108. The
    # limit itself: 4 / 100, root 0.2: 60 mm; times 9 = 540. Swapped: 300 / 0.6 = 500.
    "ready-nearest": (
        {"source_distance_mm": 300, "light_w_per_m2": 4.0, "minutes": 30, "margin_wanted": 9},
        180.0,
        {
            "distance-not-squared": 108.0,
            "margin-left-out": 60.0,
            "margin-on-the-distance": 540.0,
        },
    ),
}

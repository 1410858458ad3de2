"""One patient, worked by pencil.

By counting a hundred patients, by the hours of a clock and by the series of e; not by this course's
code.
"""

RELATIVE = 1e-5

WORKED = {
    # Of 100, 70 at first; of the other 30 half, 15: 85. With 70 % again, 21 of 30: 91.
    # Half of 70: 35. Between 70 and 50: 60. 15 of 100 fail twice.
    "patient-within-two": (
        {"first_share": 0.7, "second_share": 0.5},
        0.85,
        {
            "same-chance-again": 0.91,
            "both-for-either": 0.35,
            "averaged-chances": 0.6,
            "failed-for-succeeded": 0.15,
        },
    ),
    # ln 20 = 2.995732; over 30: 0.0998577. 1 - e^-x = x - x^2/2 + x^3/6 - x^4/24:
    # 0.0998577 - 0.0049858 + 0.0001660 - 0.0000041 = 0.0950338
    "patient-none-failed": (
        {"insertions": 30},
        0.0950338,
        {
            "none-for-never": 0.0,
            "one-for-three": 0.0333333,
            "per-cent-sign-missing": 9.50338,
        },
    ),
    # 1 mL of the 250 mL holds 4 of the 1000 mg; 20 mL are there. 50 mg/mL is 12.5 times 4 mg/mL.
    "patient-added-fluid": (
        {"dose_mg": 1000, "vial_ml": 20, "greatest_mg_per_ml": 4},
        230,
        {
            "whole-for-added": 250,
            "as-much-again": 20,
        },
    ),
    # 20 mg and 5/3 mL a minute. By minute 15: 300 mg, 25 mL; by 27: 540 mg; half-way, 21: 420 mg;
    # in the 12 between 240 mg; 1200 - 540 = 660.
    "patient-least-dose": (
        {
            "dose_mg": 1200,
            "bag_ml": 100,
            "whole_min": 60,
            "last_look_min": 15,
            "stopped_min": 27,
        },
        300,
        {
            "all-that-ran": 540,
            "half-way-leak": 420,
            "doubtful-for-least": 240,
            "millilitres-for-milligrams": 25,
        },
    ),
    # 6 patients twice: 12 looks, 30 minutes. 2 patients 24 times: 48 looks, 120 minutes.
    # 8 patients twice: 16 looks, 40 minutes. 150 / 8 = 18.75.
    "patient-looking-time": (
        {
            "shift_h": 8,
            "quiet": 6,
            "quiet_every_h": 4,
            "watched": 2,
            "watched_every_min": 20,
            "look_min": 2.5,
        },
        150,
        {
            "watched-left-out": 30,
            "quiet-left-out": 120,
            "all-at-the-longer": 40,
        },
    ),
    # Monday 21:30 to Thursday 21:30 is 72 h; 09:12 is 12 h 18 min before that: 59.7.
    # A day more 83.7; 72 + 12.3 = 84.3; 21.30 - 9.12 = 12.18, 72 - 12.18 = 59.82.
    "patient-dwell": (
        {"day": 0, "days": 3, "in_h": 21, "in_min": 30, "out_h": 9, "out_min": 12},
        59.7,
        {
            "dates-only": 72,
            "both-days-counted": 83.7,
            "clock-the-wrong-way": 84.3,
            "minutes-as-decimals": 59.82,
        },
    ),
    # Of 1000: 900, 810, 729, 656, 590, 531, 478: the seventh day. 5 x 10 % are half, 10 x all.
    "patient-half-left": (
        {"failing_share": 0.1, "planned_days": 14},
        7,
        {"chances-added": 5, "one-day-early": 6},
    ),
    # 2 of 20 a day, 4 days: 8; with the fifth 10; with the first twenty 28.
    # Of 20 first ones 20 x 0.9 x 0.9 x 0.9 x 0.9 = 13.122 are left after four days.
    "patient-more-catheters": (
        {"patients": 20, "days": 5, "failing_share": 0.1},
        8,
        {
            "last-day-counted": 10,
            "patients-for-catheters": 6.878,
            "first-ones-counted": 28,
        },
    ),
}

"""A lesson says a department's figures where it says so, and its figures follow where it does.

Expected numbers are worked out here by hand from the department's figures.
"""

import json
import re

import pytest

from cubital import tables
from cubital.explore.focus import own_figures as focus
from cubital.explore.readiness import own_figures as readiness
from cubital.explore.readiness.battery_day import BatteryDay
from cubital.explore.sizing import own_figures as sizing
from cubital.explore.sizing.fit import EndOnFit
from cubital.explore.sizing.gauge_tables import choice_table, ratio_evidence_table
from cubital.handin.released.department import Department, keep_department
from cubital.handin.released.release import new_release
from cubital.study import folders
from cubital.study.edition import restore

LESSONS = {"20-focal-geometry": focus, "40-catheter-sizing": sizing, "70-readiness": readiness}
OWN = tables.profile()._replace(
    department="Ward 9",
    hospital="Birch Hospital",
    working_distance_mm=250,
    window_mm=25,
    picture_width_mm=100,
    picture_height_mm=80,
    light_output_lm=16,
    run_time_h=2.5,
    charge_time_h=3,
    stored_pictures=600,
    ratio_limit=0.36,
)


@pytest.fixture
def folder(tmp_path):
    return folders.learner_folder(tmp_path, "ada")


def open_file(folder, profile, by="", on=""):
    release = new_release("spring", "catheter-sizing", profile=profile)
    keep_department(folder, release, Department(approved_by=by, approved_on=on))


def cells(folder, name):
    path = folders.lay_out_lesson(folder, name)
    notebook = json.loads(path.read_text(encoding="utf-8"))
    return {cell["id"]: "".join(cell["source"]) for cell in notebook["cells"]}


@pytest.mark.parametrize("name", LESSONS)
def test_what_is_said_otherwise_stands_in_the_lesson_once(name):
    path = tables.course_folder("modules") / f"{name}.ipynb"
    shipped = json.loads(path.read_text(encoding="utf-8"))["cells"]
    text = {cell["id"]: "".join(cell["source"]) for cell in shipped}
    low = OWN._replace(ratio_limit=0.26)
    high = OWN._replace(ratio_limit=0.55)
    for profile in (OWN, low, high):
        for said in LESSONS[name].own_sentences(profile):
            assert said.cell in text, said
            if said.shipped:
                assert text[said.cell].count(said.shipped) == 1, said


@pytest.mark.parametrize("name", LESSONS)
def test_with_the_figures_that_ship_a_lesson_stays_as_it_is(folder, name):
    before = cells(folder, name)
    open_file(folder, tables.profile())
    assert cells(folder, name) == before


@pytest.mark.parametrize("name", LESSONS)
def test_a_lesson_says_whose_figures_these_are_and_who_approved_them(folder, name):
    open_file(folder, OWN)
    said = cells(folder, name)["objectives"]
    assert "**The figures of Ward 9, Birch Hospital**, which nobody has approved yet," in said
    open_file(folder, OWN, "B. Birch", "2026-12-01")
    assert "approved by B. Birch on 1 December 2026" in cells(folder, name)["objectives"]
    unnamed = tables.profile()._replace(ratio_limit=0.36)
    open_file(folder, unnamed)
    assert "**The figures of your department**" in cells(folder, name)["objectives"]


def test_focal_geometry_says_what_comes_of_the_departments_device(folder):
    open_file(folder, OWN)
    said = cells(folder, "20-focal-geometry")
    far, near = 3 * 250 / 275, 3 * 250 / 225
    assert "from 225 to 275 mm" in said["read-the-distance"]
    assert f"measures {far:.2f} mm in the picture" in said["read-the-distance"]
    assert f"at the near end {near:.2f} mm" in said["read-the-distance"]
    assert f"; {100 * (250 / 275) ** 2:.0f} % of the light" in said["read-the-distance"]
    assert "up to a tilt of 30 degrees" in said["read-the-tilt"]  # sin 30 = 25 / 50
    assert "up to 39." in said["read-the-tilt"]  # sin 38.7 = 25 / 40
    assert "the line is 2.4 mm beside" in said["read-the-shift"]  # 24 x 25 / 250
    assert "A shift of 1 mm comes at 10.4 mm, so registration" in said["read-the-shift"]
    assert "2,000 lx on the skin" in said["read-the-room"]  # 16 / (0.1 x 0.08)
    assert "a room light of 4,000 lx" in said["read-the-room"]


def test_catheter_sizing_goes_by_the_departments_limit(folder, monkeypatch):
    open_file(folder, OWN)
    said = cells(folder, "40-catheter-sizing")
    assert (
        "the local limit of 36 %, the policy of Ward 9, Birch Hospital?"
        in (said["catheter-to-vein-ratio"])
    )
    assert (
        "at 2.5 mm it is 46.0 %, over the limit, and at 2.6 mm it was 44.2 %"
        in (said["read-the-fit"])
    )
    assert "at 36 % is 3.20 mm" in said["read-the-fit"]  # 1.149 / 0.36 = 3.192, rounded up
    assert (
        "The 20 gauge, at 44.2 %, does not fit under the limit of Ward 9"
        in (said["read-the-choice"])
    )
    monkeypatch.chdir(folder / folders.LESSONS)
    assert EndOnFit(gauge=20, vein_diameter_mm=2.6).show().numbers.ratio_limit == 0.36
    chosen = choice_table(flow_needed_ml_per_min=100 / 30, vein_diameter_mm=2.6)
    assert "local limit 36" in chosen.caption
    assert "The limit of Ward 9, Birch Hospital: 36" in ratio_evidence_table().note
    monkeypatch.chdir(folder.parent)
    assert EndOnFit(gauge=20, vein_diameter_mm=2.6).show().numbers.ratio_limit == 0.45


@pytest.mark.parametrize(
    ("limit", "fit", "choice", "nothing"),
    [
        (0.26, "over it too", "Nor does the 24 gauge", "cannot give you both"),
        (0.45, "A tenth of a millimetre decided it", "also fits", "cannot give you both"),
        (0.5, "still within the limit; it is over it below 2.30 mm", "also fits", "cannot give"),
        (
            0.55,
            "still within the limit; it is over it below 2.09 mm",
            "also fits",
            "still takes it",
        ),
    ],
)
def test_what_a_limit_decides_comes_out_by_it(folder, limit, fit, choice, nothing):
    open_file(folder, OWN._replace(ratio_limit=limit))
    said = cells(folder, "40-catheter-sizing")
    assert fit in said["read-the-fit"]
    assert choice in said["read-the-choice"]
    assert nothing in said["when-nothing-fits"]


def test_readiness_goes_by_the_departments_run_and_charge_time(folder, monkeypatch):
    open_file(folder, OWN)
    said = cells(folder, "70-readiness")
    assert "250 mm for the device of Ward 9, Birch Hospital" in said["read-the-questions"]
    assert "runs for 2.5 h when it is full, and takes 3.0 h" in said["batteries-and-chargers"]
    # on 0-2.5, 5.5-8, 11-12: gaps 2.5-5.5 and 8-11
    assert "comes 2.5 h into the shift, and 6.0 of the 12 h" in said["read-the-battery-day"]
    assert "a full unit lasts 10.0 h, " in said["read-the-battery-day"]
    assert "and one does not last 12 h" in said["read-the-battery-day"]
    assert "3.0 h without a device" in said["read-the-battery-day"]
    assert "= 2.5 ÷ 5.5 = 45 % of the time" in said["numbers-of-units"]
    assert "5.5 ÷ 2.5 = 2.2, so three; " in said["numbers-of-units"]
    assert "3.0 ÷ 2.5 = 1.20, so two" in said["numbers-of-units"]
    assert "keeps 600 pictures." in said["stored-pictures"]
    assert "new picture number 541; at 40 a shift that is after 13.5" in said["read-the-store"]
    assert "three units and two chargers keep one device of Ward 9" in said["what-we-have-done"]
    joined = "\n".join(said.values())
    assert not re.search(r"3\.5 h|340 pictures(?!\. Say)|220 mm for the device", joined)
    monkeypatch.chdir(folder / folders.LESSONS)
    shown = BatteryDay(at_start="full", use_percent=100).show().numbers
    assert (shown.run_time_h, shown.first_gap_h, shown.gap_h) == (2.5, 2.5, 6)


def test_opening_a_page_brings_the_figures_and_takes_them_back(folder):
    path = folders.lay_out_lesson(folder, "70-readiness")
    assert restore(path) is False
    open_file(folder, OWN)
    assert restore(path) is True
    assert "Ward 9, Birch Hospital" in path.read_text(encoding="utf-8")
    assert restore(path) is False
    open_file(folder, tables.profile())
    assert restore(path) is True
    assert "Ward 9" not in path.read_text(encoding="utf-8")

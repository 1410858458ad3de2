"""A lesson says a department's figures where it says so, and its figures follow where it does.

Expected numbers are worked out here by hand from the department's figures.
"""

import itertools
import json
import re
from xml.etree import ElementTree

import pytest

from cubital import tables
from cubital.explore.focus import own_figures as focus
from cubital.explore.focus.polarity import LightOrDarkLines
from cubital.explore.focus.registration import ShownAndTrue
from cubital.explore.focus.room_light import PictureAndRoom
from cubital.explore.focus.target_check import CheckOnTarget
from cubital.explore.focus.tilted_skin import TiltedSkin
from cubital.explore.focus.view_tables import picture_size_table
from cubital.explore.focus.working_distance import WorkingDistance
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


def test_focal_geometry_goes_by_the_departments_device(folder):
    open_file(folder, OWN)
    said = cells(folder, "20-focal-geometry")
    far, near = 3 * 250 / 275, 3 * 250 / 225
    assert "about the device of Ward 9, Birch Hospital" in said["working-distance"]
    assert "250 mm and its window 25 mm either side: from 225 to 275" in said["working-distance"]
    assert "you drift from 250 to 275 mm" in said["working-distance"]
    assert f"at 275 mm the vein measures {far:.2f} mm, at 225 mm" in said["read-the-distance"]
    assert f"the near end, {near:.2f} mm" in said["read-the-distance"]
    assert f"{100 * (250 / 275) ** 2:.0f} % is left at 275 mm" in said["size-and-light"]
    assert "is 100 by 80 mm. Up to a tilt of 30 degrees" in said["tilt-and-turn"]  # sin 30 = 25/50
    assert "at 30 degrees 100 % of the long side" in said["read-the-tilt"]
    assert "25 mm too near and 25 mm too far" in said["read-the-tilt"]
    assert "falls from 30 to 19 degrees" in said["read-the-tilt"]  # sin 18.7 = 16 / 50
    assert "up to 39 degrees." in said["stretched"]  # sin 38.7 = 25 / 40
    assert "the skin is 25 mm too far" in said["registration"]
    assert "2.4 mm beside the vein, 2.4 times" in said["read-the-shift"]  # 24 x 25 / 250
    assert "comes at 10.4 mm: **registration fails 42 % of the way" in said["read-the-shift"]
    assert "With 48 mm it is 4.8 mm. At −25 mm," in said["other-baselines"]
    assert "the line 0.5 mm off" in said["read-the-limbs"]  # 24 x 5.4 / 250
    assert "10.0 mm and 1.0 mm, within what" in said["read-the-limbs"]  # 24 x 10 / 250 = 0.96
    assert "puts 2,000 lx" in said["room-light"]  # 16 / (0.1 x 0.08)
    assert "4.00 in the examination room, enough; 0.80 beside" in said["read-the-room"]
    assert "0.10 under the procedure lamp, too little" in said["read-the-room"]
    assert "a room light of 4,000 lx" in said["read-the-room"]
    assert "200 mm wide instead of 100 mm" in said["larger-picture"]
    assert "25 %, or 500 lx:" in said["read-the-sizes"]
    assert "only up to 1,000 lx" in said["read-the-sizes"]
    assert "into 100 by 80 mm, and that is 0.1 m × 0.08 m" in said["eye-in-numbers"]
    assert "*fail* at 15 mm" in said["read-the-checks"]  # 24 x 15 / 250 = 1.44
    assert "keeps to the course's own device" in said["holding"]
    joined = "\n".join(said.values())
    assert not re.search(r"220 mm|238 mm|202 mm|18 mm|96 by 72|2,025|4,051", joined)


def test_figures_of_focal_geometry_follow_the_departments_device(folder, monkeypatch):
    open_file(folder, OWN)
    folders.lay_out_lesson(folder, "20-focal-geometry")
    monkeypatch.chdir(folder / folders.LESSONS)
    held = WorkingDistance(vein_diameter_mm=3)
    assert (held.object_distance_mm, held.show().numbers.far_mm) == (250, 275)
    assert held.traits()["object_distance_mm"].span() == (210, 290)
    tilted = TiltedSkin(tilt_deg=30).show().numbers
    assert (tilted.length_mm, tilted.sharp_share) == (100, pytest.approx(1))
    shifted = ShownAndTrue(distance_error_mm=25).show().numbers
    assert (shifted.size_mm, shifted.is_sharp) == (pytest.approx(2.4), True)
    assert CheckOnTarget(distance_error_mm=20).show().numbers.shift_mm == pytest.approx(1.92)
    lit = PictureAndRoom(room="examination-room")
    assert (lit.picture_width_mm, lit.show().numbers.projected_lx) == (100, pytest.approx(2000))
    light = LightOrDarkLines(room="night", lines="light").show().numbers
    # reflectance / pi times 2,000 lx more than the skin beside it
    assert light.line_cd_per_m2 / light.beside_cd_per_m2 == pytest.approx((5 + 2000) / 5)
    assert "100 by 80" in picture_size_table(tilt_deg=10).rows[1][0].replace("\xa0", " ")
    monkeypatch.chdir(folder.parent)
    assert WorkingDistance().object_distance_mm == 220


@pytest.mark.parametrize(
    "device",
    [
        {"working_distance_mm": 120, "window_mm": 60, "picture_width_mm": 200},
        {"working_distance_mm": 500, "window_mm": 10, "picture_width_mm": 60},
    ],
)
def test_figures_of_the_least_and_the_largest_device_stay_on_their_sheet(
    folder, monkeypatch, device
):
    own = OWN._replace(**device, picture_height_mm=device["picture_width_mm"] * 0.75)
    open_file(folder, own)
    folders.lay_out_lesson(folder, "20-focal-geometry")
    monkeypatch.chdir(folder / folders.LESSONS)
    for made in (WorkingDistance, TiltedSkin, ShownAndTrue, PictureAndRoom, LightOrDarkLines):
        figure = made()
        sliders = [name for name in made.inputs if hasattr(figure.traits()[name], "span")]
        for ends in itertools.product(*(figure.traits()[name].span() for name in sliders)):
            figure = made(**dict(zip(sliders, ends, strict=True)))
            root = ElementTree.fromstring(figure.show().svg)
            _, _, width, height = map(float, root.get("viewBox").split())
            for line in root.iter("{http://www.w3.org/2000/svg}line"):
                assert -1 <= float(line.get("x2")) <= width + 1, (made, ends)
                assert -1 <= float(line.get("y2")) <= height + 1, (made, ends)


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
        (0.26, "over it too", "Nor does the 24 gauge", "you cannot have both"),
        (0.45, "A tenth of a millimetre decided it", "also fits", "you cannot have both"),
        (
            0.5,
            "still within the limit; it is over it below 2.30 mm",
            "also fits",
            "cannot have both",
        ),
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

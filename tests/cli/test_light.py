"""The command that computes how veins show says what it computed, for people and for programs."""

import csv
import math
import re

import pytest

from cubital import calc, cli
from cubital.calc.light.media import Layer, Medium

SKIN = ("0.03", "9", "0.8", "1.4", "inf")
ASKED = ["visibility", "--layer", *SKIN, "--vein", "0.5", "--photons", "4000"]
PLACES = ["--depth", "0.5", "2", "--diameter", "1", "3"]


def run(capsys, *more):
    code = cli.main([*ASKED, *more])
    return code, capsys.readouterr()


def test_the_table_has_a_row_for_each_vein_and_says_what_counts(capsys):
    code, told = run(capsys, *PLACES, "--exit-angle", "50", "--seed", "7")
    assert code == 0
    for said in (
        "within 50 degrees",
        "Photons: 4,000; seed 7",
        "(background - darkest) / background",
        "to the upper wall",
        "standard errors",
        "absorption 0.03/mm, scattering 9/mm, anisotropy 0.8, index 1.4, inf mm thick",
        "simulated, not clinically validated",
    ):
        assert said.lower() in told.out.lower()
    rows = re.findall(r"^ *(\S+) +(\S+) +(\S+) \+- (\S+) +(\S+) \+- (\S+)$", told.out, re.MULTILINE)
    assert [row[:2] for row in rows] == [("0.5", "1"), ("0.5", "3"), ("2", "1"), ("2", "3")]


def test_the_file_holds_the_figures_of_the_library(capsys, tmp_path):
    path = tmp_path / "veins.csv"
    code, _ = run(capsys, *PLACES, "--csv", str(path))
    assert code == 0
    rows = list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
    found = calc.vein_shadows(
        [Layer(Medium(0.03, 9.0, 0.8, 1.4), math.inf)],
        vein_medium=Medium(0.5, 9.0, 0.8, 1.4),
        depths_mm=[0.5, 2.0],
        diameters_mm=[1.0, 3.0],
        photons=4000,
        seed=1,
    )
    for row, shadow in zip(rows, found.shadows, strict=True):
        assert float(row["depth_mm"]) == shadow.depth_mm
        assert float(row["contrast"]) == shadow.contrast.value
        assert float(row["contrast_se"]) == shadow.contrast.standard_error
        assert float(row["width_mm"]) == shadow.width_mm.value
        assert float(row["background"]) == found.background.value
        assert (row["photons"], row["seed"], row["exit_angle_deg"]) == ("4000", "1", "90.0")
        assert row["followed_contrast"] == ""


def test_for_output_the_table_is_all_there_is(capsys):
    code, told = run(capsys, "--depth", "1", "--diameter", "2", "--csv", "-")
    assert code == 0
    assert len(list(csv.reader(told.out.splitlines()))) == 2


def test_layers_and_the_veins_own_scattering_are_taken_and_followed(capsys, tmp_path):
    path = tmp_path / "veins.csv"
    layered = ["visibility", "--layer", "0.3", "20", "0.8", "1.4", "0.1", "--layer", *SKIN]
    vein = ["--vein", "0.5", "50", "0.98", "1.37", "--photons", "4000"]
    more = ["--depth", "0.5", "--diameter", "3", "--follow", "--csv", str(path)]
    assert cli.main([*layered, *vein, *more]) == 0
    told = capsys.readouterr().out
    assert "Layer 2" in told
    assert "followed through the vein" in told
    assert "index is taken as" in told
    (row,) = csv.DictReader(path.read_text(encoding="utf-8").splitlines())
    apart = abs(float(row["contrast"]) - float(row["followed_contrast"]))
    assert 0 < apart < 4 * float(row["followed_se"]) + 4 * float(row["contrast_se"])


@pytest.mark.parametrize(
    ("more", "fault"),
    [
        (["--depth", "1", "--diameter", "0"], "vein diameter is 0 mm"),
        (["--depth", "nan", "--diameter", "1"], "depth of the vein is nan mm"),
        (["--depth", "1", "--diameter", "1", "--vein", "0.5", "9"], "has 2 coefficients"),
        (["--depth", "1", "--diameter", "1", "--exit-angle", "120"], "is 120 degrees: it must be"),
        (["--depth", "1", "--diameter", "1", "--photons", "5"], "it must be from 1000"),
        (["--depth", "1", "--diameter", "1", "--seed", "-1"], "seed is -1"),
    ],
)
def test_what_cannot_be_computed_is_refused_with_the_reason(capsys, more, fault):
    code, told = run(capsys, *more)
    assert code == 1
    assert fault in told.err
    assert told.out == ""

"""The data tables: complete, sourced, consistent with each other, and strict on bad input."""

import ast
import csv
import functools
import json
import re
import tomllib
from itertools import pairwise
from pathlib import Path

import pytest

from cubital import tables
from cubital.handin.mending import lesson_of
from cubital.items import WORKSHEETS
from cubital.tables import files

ASSETS = tables.course_folder("assets")
CHECKOUT = Path(__file__).parents[2]
NO_NUMBERS = {"levels", "signed-keys"}  # words on questions


def data_rows():
    """Yield every row of the tables of numbers, with the name of its file."""
    for path in sorted(ASSETS.rglob("*.csv")):
        if path.stem.startswith("standard-") or path.stem in NO_NUMBERS | {"quantities"}:
            continue  # judges' estimates, invented, and limits, set by the course: so README.md
        with path.open(encoding="utf-8", newline="") as file:
            yield from ((path.name, row) for row in csv.DictReader(file))
    for path in sorted(ASSETS.rglob("*.toml")):
        if path.stem in {"constants", "water"}:
            table = tomllib.loads(path.read_text(encoding="utf-8"))
            yield from ((path.name, row) for row in table.values())


def sources(row):
    return {v for k, v in row.items() if (k == "source" or k.endswith("_source")) and v}


def texts(folder, *suffixes):
    paths = (path for path in (CHECKOUT / folder).rglob("*") if path.suffix in suffixes)
    return [path.read_text(encoding="utf-8") for path in paths if "bibliography" not in path.name]


def test_every_source_is_in_the_bibliography():
    unknown = {
        (name, key)
        for name, row in data_rows()
        for key in sources(row)
        if key not in tables.bibliography()
    }
    assert unknown == set()
    profile = tables.profile()
    assert {profile.ratio_limit_source, profile.attempt_limit_source} <= {*tables.bibliography()}


def test_every_entry_of_the_bibliography_is_used():
    used = "\n".join(
        text
        for folder in ("assets", "grader", "tests", "modules", "exercises")
        for text in texts(folder, ".csv", ".toml", ".py", ".ipynb")
    )
    keys = tables.bibliography()
    assert [key for key in keys if not re.search(rf"(?<![\w-]){key}(?![\w-])", used)] == []


def test_every_row_of_numbers_says_its_kind_its_source_and_how_far_that_was_seen():
    for name, row in data_rows():
        marks = {mark: [v for k, v in row.items() if k.endswith(mark)] for mark in ("kind", "seen")}
        assert marks["kind"], name
        assert marks["seen"], name
        assert sources(row), name
        assert set(marks["kind"]) <= {*tables.KINDS, ""}, name
        assert set(marks["seen"]) <= {*tables.SEEN, ""}, name


def test_every_entry_of_the_bibliography_says_its_year_and_how_far_it_was_seen():
    for key, reference in tables.bibliography().items():
        assert reference.seen in tables.SEEN, key
        assert 1900 < reference.year < 2100, key


@functools.cache
def names_in(*folders):
    """Return the names, texts and f-strings of Python files: a set, and patterns."""
    names, patterns = set(), set()
    nodes = (
        node
        for folder in folders
        for path in (CHECKOUT / folder).rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
    )
    for node in nodes:
        match node:
            case ast.JoinedStr(values):
                parts = [getattr(part, "value", "") for part in values]
                texts = [part if isinstance(part, str) else "" for part in parts]
                if max(map(len, texts), default=0) >= len("valve-"):
                    patterns.add("".join(re.escape(text) or r"[\w-]+" for text in texts))
            case ast.Constant(str(name)) | ast.arg(name) | ast.AnnAssign(ast.Name(name)):
                names.add(name)
    return names, re.compile("|".join(patterns))


def unused(keys, *folders):
    names, patterns = names_in(*folders)
    return [key for key in keys if key not in names and not patterns.fullmatch(key)]


COMPARED = ("grader", "tests/modules", "tests/published", "tests/scene")


def test_every_constant_is_used_by_the_course_or_compared_by_a_test():
    assert unused(tables.constants(), *COMPARED) == []
    assert unused(["reliability-low"], *COMPARED) == ["reliability-low"]


def test_every_quantity_is_checked_or_shown_by_the_course():
    assert unused(tables.limits(), "grader") == []
    assert unused(["event_depth_mm"], "grader") == ["event_depth_mm"]


def test_a_constant_lies_within_its_own_range():
    for key, row in tables.constants().items():
        assert row.low <= row.value <= row.high, key
    for row in tables.drop_factors():
        assert row.low <= row.drop_factor_per_ml <= row.high
    for row in tables.fluids().values():
        assert row.viscosity_low <= row.relative_viscosity <= row.viscosity_high


def test_every_quantity_stands_in_its_table_once():
    with (ASSETS / "quantities.csv").open(encoding="utf-8", newline="") as file:
        names = [row["name"] for row in csv.DictReader(file)]
    assert sorted(names) == sorted(tables.limits())


def test_usual_limits_lie_within_the_possible_ones():
    for key, row in tables.limits().items():
        assert row.low <= row.usual_low < row.usual_high <= row.high, key
        assert key.isidentifier()


def test_catheter_bands_follow_each_other_without_a_gap():
    rows = tables.gauges()
    assert [row.gauge for row in rows] == [26, 24, 22, 20, 18, 17, 16, 14]
    for thinner, wider in pairwise(rows):
        assert wider.outer_lower_mm == pytest.approx(thinner.outer_upper_mm + 0.001)


def test_a_catheter_row_agrees_with_itself():
    for row in tables.gauges():
        assert row.outer_lower_mm < row.outer_upper_mm
        assert all(row.outer_lower_mm <= od <= row.outer_upper_mm for od in row.outer_nominal_mm)
        assert row.inner_low_mm <= row.inner_mm <= row.inner_high_mm < row.outer_lower_mm
        flows = (
            row.flow_low_ml_per_min,
            row.nominal_flow_ml_per_min,
            row.flow_high_ml_per_min,
        )
        assert (None in flows and set(flows) == {None}) or list(flows) == sorted(flows)
        assert (row.flow_source is None) == (row.nominal_flow_ml_per_min is None)


def test_a_wider_catheter_has_a_wider_bore_and_a_larger_flow():
    rows = tables.gauges()
    assert [row.inner_mm for row in rows] == sorted(row.inner_mm for row in rows)
    flows = [row.nominal_flow_ml_per_min for row in rows if row.nominal_flow_ml_per_min]
    assert flows == sorted(flows)


def test_a_needle_and_a_catheter_of_one_gauge_differ_in_colour_and_diameter():
    needles = {row.gauge: row for row in tables.needle_tubes()}
    shared = [row for row in tables.gauges() if row.gauge in needles]
    assert [row.gauge for row in shared] == [22, 20, 18]
    for row in shared:
        needle = needles[row.gauge]
        assert row.hub_colour != needle.hub_colour
        assert needle.outer_upper_mm < row.outer_upper_mm
        assert needle.inner_min_mm < needle.outer_lower_mm


def test_the_ratios_in_circulation_are_there_with_what_they_rest_on():
    assert [row.ratio for row in tables.ratio_evidence()] == [0.33, 0.41, 0.45]
    assert all(len(row.rests_on) > 40 for row in tables.ratio_evidence())


def test_joint_limits_agree_with_the_catheter_table_and_the_therapies():
    gauges = {row.gauge: row for row in tables.gauges()}
    therapies = {row.key for row in tables.therapies()}
    pairs = [(row.gauge, row.age_group) for row in tables.joint_limits()]
    assert len(set(pairs)) == len(pairs)
    for row in tables.joint_limits():
        lengths = gauges[row.gauge].lengths_mm
        assert any(row.length_low_mm <= length <= row.length_high_mm for length in lengths)
        assert row.vein_low_mm < row.vein_high_mm
        assert gauges[row.gauge].outer_upper_mm < row.vein_low_mm
        assert set(row.therapies) <= therapies
        assert row.age_group in {"neonate", "child", "adult"}


def test_every_therapy_is_served_by_some_catheter():
    flows = {row.gauge: row.nominal_flow_ml_per_min or 0 for row in tables.gauges()}
    for therapy in tables.therapies():
        assert therapy.flow_low_ml_per_min < therapy.flow_high_ml_per_min
        able = [
            row
            for row in tables.joint_limits()
            if therapy.key in row.therapies and flows[row.gauge] >= therapy.flow_high_ml_per_min
        ]
        assert able, therapy.key


def test_the_profile_says_that_it_is_invented():
    assert "Invented" in tables.profile().notice


def test_a_folders_profile_replaces_single_keys(tmp_path):
    (tmp_path / "local-profile.toml").write_text(
        '[place]\ndepartment = "Day unit"\n[policy]\nratio_limit = 0.33\n', encoding="utf-8"
    )
    own, shipped = tables.profile(tmp_path), tables.profile()
    assert (own.department, own.ratio_limit) == ("Day unit", 0.33)
    assert (own.hospital, own.attempt_limit) == (shipped.hospital, shipped.attempt_limit)
    assert tables.profile(tmp_path / "local-profile.toml") == own
    assert tables.profile() == shipped


def test_a_folder_without_a_profile_has_the_shipped_one(tmp_path):
    assert tables.profile(tmp_path) == tables.profile()


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("[policy]\nratio_limt = 0.33\n", "no key 'ratio_limt' is known"),
        ('[policy]\nratio_limit = "a third"\n', "it must be of type float"),
        ("[policy]\nratio_limit = 45\n", "must be from 0.25 to 0.7"),
        ("[policy]\nattempt_limit = 2.5\n", "it must be of type int"),
        ("[policy]\nattempt_limit = true\n", "it must be of type int"),
        ("[policy]\nattempt_limit = 0\n", "it must be above 0"),
        ("[device]\nrun_time_h = nan\n", "it must be above 0"),
        ('[policy]\nvesicants = "all"\n', "it must be a list of words"),
        ("ratio_limit = 0.33\n", "stands outside a section"),
        ("[policy\n", "is not readable as TOML"),
    ],
)
def test_a_wrong_profile_raises_with_the_file_and_the_reason(tmp_path, text, message):
    (tmp_path / "local-profile.toml").write_text(text, encoding="utf-8")
    with pytest.raises(ValueError, match=message):
        tables.profile(tmp_path)


def test_a_named_profile_that_is_not_there_raises(tmp_path):
    with pytest.raises(FileNotFoundError):
        tables.profile(tmp_path / "nowhere.toml")


def test_every_item_but_optional_ones_gives_evidence_for_exactly_one_objective():
    curriculum = tables.curriculum()
    items = [item for row in curriculum.objectives for item in row.items]
    assert len(items) == len(set(items))
    asked = [item for listed in WORKSHEETS.values() for item in listed]
    assert set(items) == {item.id for item in asked if not item.optional}
    assert sum(item.optional for item in asked) == 32
    assert all(len(curriculum.objectives_of(item)) == 1 for item in items)
    assert curriculum.objective("measure-vein").critical == (
        "cannot-size-first",
        "cannot-size-second",
    )


def test_an_item_that_is_critical_is_critical_to_its_objective():
    known = {item.id: item for listed in WORKSHEETS.values() for item in listed}
    for row in tables.curriculum().objectives:
        assert set(row.critical) == {item for item in row.items if known[item].critical}


def _headings(lesson):
    path = tables.course_folder("modules") / f"{lesson}.ipynb"
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    lines = "".join("".join(cell["source"]) + "\n" for cell in cells).splitlines()
    return {line.lstrip("# ") for line in lines if line.startswith("#")}


def test_every_item_names_a_heading_of_the_lesson_that_mends_it():
    for item in (item for listed in WORKSHEETS.values() for item in listed):
        assert item.section in _headings(lesson_of(item.id)), item.id


def test_every_objective_names_a_heading_of_its_lesson():
    for row in tables.curriculum().objectives:
        assert row.section in _headings(row.lesson)


def test_every_objective_says_what_an_assessor_watches():
    for row in tables.curriculum().objectives:
        assert row.topic == row.lesson.partition("-")[2]
        assert len(row.observed_practice) > 40
        assert row.observed_practice.endswith(".")


OBJECTIVE = """
[[objective]]
key = "a"
title = "A"
topic = "t"
lesson = "l"
section = "s"
items = ["x"]
critical = ["x"]
pass_share = 0.5
observed_practice = "Watch."
"""


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (OBJECTIVE.replace('critical = ["x"]', 'critical = ["y"]'), "is not among its items"),
        (OBJECTIVE.replace("0.5", "1.5"), "pass_share of 'a' must be above 0 and at most 1"),
        (OBJECTIVE * 2, "two objectives have the same key"),
    ],
)
def test_a_wrong_curriculum_raises(tmp_path, text, message):
    path = tmp_path / "curriculum.toml"
    path.write_text(OBJECTIVE, encoding="utf-8")
    assert tables.curriculum(path).objectives[0].items == ("x",)
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ValueError, match=message):
        tables.curriculum(path)


def test_pass_share_is_the_judges_mean_weighted_by_points():
    """By hand: (2 x (75 + 65 + 75 + 60) + 2 x (60 + 70 + 70 + 70)) / 4 / (2 + 2) = 68.125 %."""
    assert tables.curriculum().objective("size-dimensions").pass_share == pytest.approx(0.68125)


def test_every_item_stands_in_the_sheets_with_its_points_and_no_other_does():
    asked = [item for listed in WORKSHEETS.values() for item in listed]
    known = {item.id: item.points for item in asked if not item.optional}
    assert {key: row.points for key, row in tables.standard().items()} == known
    judges = tables.setting()["judges"]
    assert all(len(row.estimates) == len(judges) for row in tables.standard().values())
    assert tables.setting()["invented"]
    assert "Invented" in tables.setting()["notice"]


def test_a_sheet_in_a_course_folder_replaces_its_items(tmp_path):
    sheet = tmp_path / "standard-ours.csv"
    sheet.write_text("item,points,a,b\nsizing-french,2,80,100\n", encoding="utf-8")
    rows = tables.standard(tmp_path)
    assert rows["sizing-french"].share == pytest.approx(0.9)
    assert rows["sizing-french"].range == pytest.approx(0.2)
    assert len(rows) == len(tables.standard())
    for text, words in (
        ("item,points,a\nx,2,80\n", "two judges or more"),
        ("item,points,a,b\nx,2,80,101\n", "line 2: each judge gives a number from 0 to 100"),
        ("item,points,a,b\nx,2,80,many\n", "line 2: could not convert"),
    ):
        sheet.write_text(text, encoding="utf-8")
        with pytest.raises(ValueError, match=words):
            tables.standard(tmp_path)


def test_unknown_names_raise_with_the_names_there_are():
    with pytest.raises(KeyError, match="laminar-reynolds-limit"):
        tables.constant("speed-of-light")
    with pytest.raises(KeyError, match="no objective is called 'juggling'"):
        tables.curriculum().objective("juggling")
    with pytest.raises(ValueError, match="no part of the course is called"):
        tables.course_folder("../etc")


def test_tables_cannot_be_changed_by_their_readers():
    with pytest.raises(TypeError):
        tables.constants()["x"] = None
    with pytest.raises(AttributeError):
        tables.gauges()[0].gauge = 1


def test_an_installed_course_is_found_before_a_checkout(tmp_path, monkeypatch):
    package = tmp_path / "site" / "cubital"
    (package / "tables").mkdir(parents=True)
    monkeypatch.setattr(files, "__file__", str(package / "tables" / "files.py"))
    assert tables.course_folder("modules") == tmp_path / "modules"
    (package / "course" / "modules").mkdir(parents=True)
    assert tables.course_folder("modules") == package / "course" / "modules"


def test_a_table_kept_in_several_files_is_one_and_says_each_key_once(tmp_path, monkeypatch):
    monkeypatch.setattr(files, "course_folder", lambda _part: tmp_path)
    for folder in ("light", "focus", "again"):
        (tmp_path / folder).mkdir()
    (tmp_path / "focus" / "numbers.toml").write_text("[depth]\nvalue = 0\n")
    (tmp_path / "light" / "numbers.toml").write_text("[wavelength]\nvalue = 650\n")
    (tmp_path / "light" / "numbersother.toml").write_text("[stray]\nvalue = 1\n")
    assert set(files.merged("numbers")) == {"depth", "wavelength"}
    (tmp_path / "again" / "numbers.toml").write_text("[depth]\nvalue = 2\n")
    with pytest.raises(ValueError, match=r"gives again what another file gives: depth"):
        files.merged("numbers")

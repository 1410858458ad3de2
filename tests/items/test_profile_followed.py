"""A release follows the department's figures: each one offered changes what is asked and marked."""

import json

import pytest

from cubital import items, tables
from cubital.handin.answers import Entry
from cubital.handin.marks import mark
from cubital.handin.released.release import new_release, read_release, write_release
from cubital.items import ChoiceItem, NumberItem, PictureItem
from cubital.items.kinds.rules import faults

SHIPPED = tables.profile()
PLACE = ("department", "hospital", "notice")
# One other value for each figure: by it, an item, and what its question then says.
CHANGED = {
    "working_distance_mm": (250, "focal-shown-width", "working distance of 250 mm"),
    "window_mm": (25, "focal-largest-tilt", "the window is 25 mm either side"),
    "depth_reach_mm": (9, "light-deepest", "The device states 9 mm"),
    "picture_width_mm": (120, "focal-wider", "a picture 120 by 72 mm"),
    "picture_height_mm": (60, "focal-wider", "a picture 96 by 60 mm"),
    "light_output_lm": (20, "focal-room-limit", "puts 2,894 lx"),  # 20 / (0.096 x 0.072)
    "run_time_h": (4.5, "ready-lasts", "runs for 4.5 h"),
    "charge_time_h": (1.5, "ready-before-list", "1.5 h"),
    "stored_pictures": (600, "ready-lost", "keeps 600 pictures"),
    "ratio_limit": (0.36, "whole-vein-for-order", "36 %"),
    "attempt_limit": (3, "patient-judged", "where 3 are allowed"),
    "vesicants": (("phenytoin",), "whole-vesicant-short", "phenytoin"),
}


def worksheet_of(item_id):
    return next(
        name for name, listed in items.WORKSHEETS.items() if item_id in [i.id for i in listed]
    )


# What must change along with the one figure, so that the device is one that can be.
TOGETHER = {
    ("working_distance_mm", 120): {"window_mm": 12},
    ("window_mm", 60): {"working_distance_mm": 300},
    ("picture_width_mm", 60): {"picture_height_mm": 45, "light_output_lm": 5},
    ("picture_height_mm", 180): {"picture_width_mm": 200},
    ("light_output_lm", 60): {"picture_width_mm": 160, "picture_height_mm": 120},
}


def toml(name, value):
    section = "policy" if name in {"ratio_limit", "attempt_limit", "vesicants"} else "device"
    figures = {name: value} | TOGETHER.get((name, value), {})
    lines = "".join(f"{key} = {json.dumps(each)}\n" for key, each in figures.items())
    return f"[{section}]\n{lines}"


def released(folder, name, value, worksheet):
    """Release, write and read back, as a course folder with this one figure does."""
    (folder / tables.PROFILE_FILE).write_text(toml(name, value), encoding="utf-8")
    release = new_release("autumn", worksheet, profile=tables.profile(folder))
    write_release(folder, release)
    assert read_release(folder) == release
    return read_release(folder)


def shown(item, values):
    """Return all that a learner is asked, rows and options as well."""
    return str(item.form(values).data())


def test_each_figure_that_can_be_set_is_tried_here():
    assert {*CHANGED, *PLACE} == set(tables.FOLLOWED)


@pytest.mark.parametrize("name", CHANGED)
def test_the_question_follows_each_figure(name, tmp_path):
    value, item_id, words = CHANGED[name]
    item, worksheet = items.find(item_id), worksheet_of(item_id)
    own, shipped = released(tmp_path, name, value, worksheet), new_release("autumn", worksheet)
    assert words in shown(item, own.values(item, "ada"))
    assert words not in shown(item, shipped.values(item, "ada"))


@pytest.mark.parametrize("name", [name for name in CHANGED if name != "depth_reach_mm"])
def test_key_and_mark_follow_each_figure(name, tmp_path):
    """What is right under the one is not the same answer under the other, marked by the release."""
    value, item_id, _ = CHANGED[name]
    item, worksheet = items.find(item_id), worksheet_of(item_id)
    own = released(tmp_path, name, value, worksheet)
    values = own.values(item, "ada")
    answer = item.read(item.solution(values), values)
    entry = Entry("2026-01-01T00:00:00+00:00", values, answer)
    assert mark(own.question(item, "ada"), entry).outcome == "right"
    # read again, after the folder's figure is another one: the release stands
    (tmp_path / tables.PROFILE_FILE).write_text("[policy]\nratio_limit = 0.5\n", encoding="utf-8")
    assert mark(read_release(tmp_path).question(item, "ada"), entry).outcome == "right"
    assert mark(new_release("autumn", worksheet).question(item, "ada"), entry).outcome == "refused"


def test_the_stated_depth_is_the_slip_that_is_told(tmp_path):
    item = items.find("light-deepest")
    own = released(tmp_path, "depth_reach_mm", 9, "light-and-depth")
    values = own.values(item, "ada")
    assert item.judge(values, {"number": 9.0}).slip == "stated-for-this"


def ends():
    for name in CHANGED:
        limit = tables.limits().get(f"profile_{name}")
        if limit:
            for value in (limit.low, limit.high):
                yield name, int(value) if value == int(value) else value
    yield "vesicants", ("Amsacrine",)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        pytest.param(*row, marks=[] if at % 12 == 0 else pytest.mark.long)
        for at, row in enumerate(ends())
    ],
)
def test_items_keep_their_rules_at_both_ends_of_each_figure(name, value, tmp_path):
    (tmp_path / tables.PROFILE_FILE).write_text(toml(name, value), encoding="utf-8")
    profile = tables.profile(tmp_path)
    for worksheet, listed in items.WORKSHEETS.items():
        release = new_release("autumn", worksheet, profile=profile)
        for item in listed:
            if isinstance(item, NumberItem | ChoiceItem) and not isinstance(item, PictureItem):
                draws = lambda who, item=item, release=release: release.values(item, who)  # noqa: E731
                assert faults(item, draws, learners=40) == []


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[device]\nbatteries = 2\n", "no key 'batteries' is known"),
        ('[device]\ncleaning = "Wipe it."\n', "cleaning cannot be set here.*what can be: depart"),
        ('[policy]\nratio_limit_source = "x"\n', "ratio_limit_source cannot be set here"),
        ("[device]\nworking_distance_mm = 22\n", "working_distance_mm is 22: the working distance"),
        ("[device]\npicture_height_mm = 120\n", "must be below picture_width_mm, 96"),
        ("[device]\nwindow_mm = 60\n", "at most a quarter of working_distance_mm, 220"),
        ("[device]\nlight_output_lm = 60\n", "8681 lx, and it must be from 200 to 4000 lx"),
        ("[policy]\nattempt_limit = 9\n", "attempt_limit is 9: .* from 1 to 4"),
        ("[policy]\nvesicants = []\n", "vesicants must name one drug"),
    ],
)
def test_what_cannot_be_is_refused_with_file_key_and_reason(text, words, tmp_path):
    path = tmp_path / tables.PROFILE_FILE
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ValueError, match=words) as refused:
        tables.profile(tmp_path)
    assert str(refused.value).startswith(str(path))


def test_a_release_of_an_earlier_edition_says_what_to_do(tmp_path):
    write_release(tmp_path, new_release("autumn", "readiness"))
    path = tmp_path / "release.json"
    told = json.loads(path.read_text(encoding="utf-8"))
    told["policy"] = {"ratio_limit": 0.45, "attempt_limit": 2}
    path.write_text(json.dumps(told), encoding="utf-8")
    with pytest.raises(ValueError, match="made by another edition of the course; use the course"):
        read_release(tmp_path)

"""What holds for every explorer: state, words, message, picture."""

import itertools
import re
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest
import traitlets

from cubital.explore.kit import drawing
from cubital.explore.kit.catalogue import every_explorer
from cubital.explore.sizing.drip import DripAndTime
from cubital.explore.sizing.fit import EndOnFit
from cubital.explore.sizing.flow import BoreAndFlow

SVG = "{http://www.w3.org/2000/svg}"
EXPLORERS = every_explorer()
MOST_CORNERS = 32
OTHER_VALUES = [
    (EndOnFit, "vein_diameter_mm", 4.1),
    (EndOnFit, "gauge", 24),
    (BoreAndFlow, "inner_diameter_mm", 1.3),
    (BoreAndFlow, "length_mm", 48),
    (BoreAndFlow, "height_mm", 450),
    (BoreAndFlow, "fluid", "blood"),
    (BoreAndFlow, "temperature_c", 8),
    (DripAndTime, "volume_ml", 250),
    (DripAndTime, "time_h", 8),
    (DripAndTime, "drop_factor_per_ml", 60),
]
IMPOSSIBLE = [
    (EndOnFit, "vein_diameter_mm", 0, "vein diameter is 0 mm: here it must be from 1 to 6 mm"),
    (EndOnFit, "vein_diameter_mm", -2.5, "-2.5 mm"),
    (EndOnFit, "vein_diameter_mm", float("nan"), "nan mm"),
    (EndOnFit, "vein_diameter_mm", float("inf"), "inf mm"),
    (EndOnFit, "vein_diameter_mm", True, "True mm"),
    (EndOnFit, "vein_diameter_mm", "2.6", "'2.6' mm"),
    (EndOnFit, "gauge", 19, "catheter is 19 gauge: it must be one of 26, 24, 22, 20"),
    (EndOnFit, "gauge", "20", "'20' gauge"),
    (BoreAndFlow, "inner_diameter_mm", 5, "inner diameter is 5 mm: here it must be from 0.3 to 2"),
    (BoreAndFlow, "length_mm", 2, "catheter length is 2 mm: here it must be from 14 to 70 mm"),
    (BoreAndFlow, "height_mm", 9000, "9000 mm"),
    (BoreAndFlow, "fluid", "milk", "fluid is 'milk': it must be one of water, saline"),
    (BoreAndFlow, "temperature_c", 120, "120 degrees C"),
    (DripAndTime, "volume_ml", 0, "volume is 0 mL: here it must be from 50 to 1000 mL"),
    (DripAndTime, "time_h", 100, "time is 100 h: here it must be from 0.5 to 24 h"),
    (DripAndTime, "drop_factor_per_ml", 17, "17 drops/mL: it must be one of 20, 60"),
]


def corners(explorer):
    """Every combination of slider ends and choices."""
    controls = explorer().controls
    ways = [
        [value for value, _ in c["options"]] if "options" in c else [c["low"], c["high"]]
        for c in controls
    ]
    names = [c["name"] for c in controls]
    found = [dict(zip(names, values, strict=True)) for values in itertools.product(*ways)]
    return found[:: max(1, len(found) // MOST_CORNERS)]


def other_value(explorer, name):
    """A value of one control that is not the one it starts with."""
    figure = explorer()
    (control,) = (c for c in figure.controls if c["name"] == name)
    if "options" in control:
        return next(v for v, _ in control["options"] if v != getattr(figure, name))
    return max(control["low"], control["high"], key=lambda end: abs(end - getattr(figure, name)))


CONTROLS = [(explorer, name) for explorer in EXPLORERS for name in explorer.inputs]


class Images(HTMLParser):
    def __init__(self):
        super().__init__()
        self.found = []

    def handle_starttag(self, tag, attrs):
        if tag == "img":
            self.found.append(dict(attrs))


def shown(picture):
    """What the eye gets of a picture."""
    frame = picture["frame"]
    return picture["svg"], bytes(frame["grey"]) if frame else b"", picture["readings"]


@pytest.mark.parametrize(("explorer", "name"), CONTROLS)
def test_picture_and_words_follow_each_control(explorer, name):
    figure, value = explorer(), other_value(explorer, name)
    before = dict(figure.picture)
    setattr(figure, name, value)
    after = figure.picture
    assert after["alt"] != before["alt"] or after["readings"] != before["readings"]
    assert shown(after) != shown(before)
    fresh = explorer(**{name: value}).picture
    assert (shown(after), after["alt"]) == (shown(fresh), fresh["alt"])


@pytest.mark.parametrize(("explorer", "name"), CONTROLS)
def test_no_control_reaches_beyond_its_ends(explorer, name):
    figure = explorer()
    (control,) = (c for c in figure.controls if c["name"] == name)
    if "options" in control:
        beyond = ["no such choice", None, True]
    else:
        beyond = [control["low"] - control["step"], control["high"] + control["step"], "1", True]
        beyond += [float("nan"), float("inf")]
    for value in beyond:
        with pytest.raises(traitlets.TraitError):
            setattr(figure, name, value)


@pytest.mark.parametrize(("explorer", "name", "value", "words"), IMPOSSIBLE)
def test_impossible_state_is_refused_with_quantity_value_unit_and_range(
    explorer, name, value, words
):
    figure = explorer()
    before = figure.state(), dict(figure.picture)
    with pytest.raises(traitlets.TraitError, match=re.escape(words)):
        setattr(figure, name, value)
    assert (figure.state(), figure.picture) == before
    with pytest.raises(traitlets.TraitError, match=re.escape(words)):
        explorer(**{name: value})


@pytest.mark.parametrize("explorer", EXPLORERS)
def test_a_start_that_no_control_has_is_refused(explorer):
    with pytest.raises(TypeError, match=f"{explorer.__name__} has no colour: it can be started"):
        explorer(colour="red")


@pytest.mark.parametrize(("explorer", "name", "value"), OTHER_VALUES)
def test_a_value_from_the_browser_moves_the_picture(explorer, name, value):
    figure = explorer()
    figure.set_state({name: value})
    assert getattr(figure, name) == value
    assert figure.picture == explorer(**{name: value}).picture
    assert figure.picture["of"] == {one: getattr(figure, one) for one in explorer.inputs}


def test_a_wrong_value_from_the_browser_is_not_swallowed():
    with pytest.raises(traitlets.TraitError, match="vein diameter is 99 mm"):
        EndOnFit().set_state({"vein_diameter_mm": 99})


@pytest.mark.parametrize("explorer", EXPLORERS)
def test_compute_knows_nothing_but_the_state(explorer):
    figure = explorer()
    state = figure.state()
    first = explorer.compute(dict(state)).message()
    for corner in corners(explorer)[:3]:
        explorer.compute(corner)
    again = explorer.compute(dict(state)).message()
    assert shown(again) == shown(first) == shown(figure.picture)
    assert again["alt"] == first["alt"] == figure.picture["alt"]


@pytest.mark.parametrize("explorer", EXPLORERS)
def test_at_every_corner_the_figure_is_well_formed_small_and_has_words(explorer):
    for state in corners(explorer):
        picture = explorer.compute(state)
        assert picture.svg or picture.frame is not None
        if picture.svg:
            assert ElementTree.fromstring(picture.svg).tag == f"{SVG}svg"
        assert len(picture.svg) < 24_000
        assert len(picture.alt) > 80
        assert not re.search(r"\b(nan|inf)\b", picture.svg + picture.alt)
        assert all(reading.label and reading.value for reading in picture.readings)


@pytest.mark.parametrize("explorer", EXPLORERS)
def test_at_every_corner_the_words_stay_on_the_sheet_and_stand_out(explorer):
    for svg in filter(None, (explorer.compute(state).svg for state in corners(explorer))):
        root = ElementTree.fromstring(svg)
        _, _, width, height = (float(v) for v in root.get("viewBox").split())
        for text in root.iter(f"{SVG}text"):
            size, x = float(text.get("font-size")), float(text.get("x"))
            long = 0.56 * size * len(text.text)  # an average letter of a sans face, generously
            start = {"start": x, "middle": x - long / 2, "end": x - long}[
                text.get("text-anchor", "start")
            ]
            assert start >= -2, text.text
            assert start + long <= width + 2, text.text
            assert size <= float(text.get("y")) <= height - 2, text.text
            assert drawing.contrast(text.get("fill")) >= 4.5
            assert size >= 12


@pytest.mark.parametrize("explorer", EXPLORERS)
def test_controls_carry_a_label_and_the_slider_a_unit_and_a_value_it_can_show(explorer):
    figure = explorer()
    assert [c["name"] for c in figure.controls] == list(explorer.inputs)
    for control in figure.controls:
        assert control["label"]
        if "options" in control:
            assert all(words for _, words in control["options"])
            continue
        assert control["unit"]
        assert control["unit_words"]
        steps = (getattr(figure, control["name"]) - control["low"]) / control["step"]
        assert steps == pytest.approx(round(steps), abs=1e-6)


@pytest.mark.parametrize("explorer", EXPLORERS)
def test_says_on_its_face_that_it_is_simulated(explorer):
    figure = explorer()
    assert figure.notice.startswith("Simulated, not clinically validated.")
    assert "Simulated, not clinically validated." in figure.static()._repr_html_()


@pytest.mark.parametrize("explorer", EXPLORERS)
def test_without_a_live_view_there_is_the_figure_with_its_present_words(explorer):
    figure = explorer()
    name = explorer.inputs[0]
    setattr(figure, name, other_value(explorer, name))
    data, _ = figure._repr_mimebundle_()
    assert data["application/vnd.jupyter.widget-view+json"]["model_id"] == figure.model_id
    assert data["text/plain"] == figure.picture["alt"]
    images = Images()
    images.feed(data["text/html"])
    assert [image["alt"] for image in images.found if image["alt"]] == [figure.picture["alt"]]
    assert images.found[0]["alt"]


@pytest.mark.parametrize("explorer", EXPLORERS)
def test_the_view_asks_no_other_machine_for_anything(explorer):
    figure = explorer()
    front = figure._esm + figure._css
    assert not re.search(r"https?:|//cdn|\bimport\b|fetch\(|@import|url\(", front)

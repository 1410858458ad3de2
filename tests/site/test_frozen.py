"""What a page shows before Python answers is what its cells show, and nothing of a learner's."""

import base64
import json

import pytest

from cubital.explore.focus.working_distance import WorkingDistance
from cubital.explore.light.two_veins import TwoVeins
from cubital.site import frozen
from cubital.study import folders
from cubital.study.learner import pages
from cubital.study.learner.people import begin
from cubital.study.learner.welcome import ON_SITE


@pytest.fixture
def learner(tmp_path):
    return begin(tmp_path, "Zorgbert").folder


def page_of(learner, name):
    shown = frozen.frozen_page(folders.lay_out_lesson(learner, name))
    return json.loads(frozen.as_json(shown))


def part_of(page, cell):
    [output] = page["cells"][cell]
    return output["data"][frozen.PART]


def test_a_figure_goes_out_as_it_stands_at_its_defaults_with_its_script_once(learner):
    page = page_of(learner, "20-focal-geometry")
    part = part_of(page, "distance-window-scale")
    figure = WorkingDistance(object_distance_mm=220, vein_diameter_mm=3)
    state = figure.get_state()
    assert part["state"]["picture"] == json.loads(json.dumps(state["picture"]))
    assert part["state"]["object_distance_mm"] == 220
    assert page["modules"][part["module"]] == state["_esm"]
    assert page["styles"][part["style"]] == state["_css"]
    assert len(page["modules"]) == 1
    [table] = page["cells"]["limbs-and-places"]
    assert "<table" in table["data"]["text/html"]


def test_a_pictures_bytes_come_back_as_they_were(learner):
    part = part_of(page_of(learner, "10-light-and-depth"), "match-the-veins")
    figure = TwoVeins(upper_wall_depth_mm=1, lumen_diameter_mm=1, melanin_percent=5)
    grey = base64.b64decode(part["state"]["picture"]["frame"]["grey"]["$base64"])
    assert grey == figure.compute(figure.state()).frame.tobytes()


@pytest.mark.parametrize("name", folders.lesson_names())
def test_every_figure_of_a_lesson_is_there_and_no_form_that_is_the_learners(learner, name):
    page = page_of(learner, name)
    assert "sources" in page["cells"]
    assert not {"the-end", "first-page", "your-choices"} & page["cells"].keys()
    assert "zorgbert" not in json.dumps(page["cells"]).lower()


def test_who_is_welcomed_can_type_a_name(tmp_path):
    page = json.loads(frozen.as_json(frozen.frozen_page(pages.lay_out_welcome(tmp_path))))
    kinds = [block["kind"] for block in part_of(page, "form")["state"]["blocks"]]
    assert "ask" in kinds


def test_a_site_says_before_python_is_up_that_a_private_window_forgets(site_folder, tmp_path):
    site = json.loads((site_folder / "pages" / "_welcome.frozen.json").read_text(encoding="utf-8"))
    here = json.loads(frozen.as_json(frozen.frozen_page(pages.lay_out_welcome(tmp_path))))
    said = [one.get("text") for one in part_of(site, "form")["state"]["blocks"]]
    assert ON_SITE in said
    assert ON_SITE not in json.dumps(part_of(here, "form")["state"], ensure_ascii=False)

"""The practices that a site has ready, as it carries them."""

import json
import zipfile

import pytest

from cubital.handin.released.release import read_release
from cubital.site.frozen import PART
from cubital.study import folders
from cubital.worksheet.sitting import sitting


@pytest.fixture(scope="module")
def told(site_folder):
    return json.loads((site_folder / "site.json").read_text())["cubitalFrozen"]["practices"]


@pytest.mark.parametrize("worksheet", folders.worksheet_names())
def test_what_is_shown_before_python_answers_is_what_anybody_is_asked(
    site_folder, told, worksheet, tmp_path
):
    for practice, file in told[worksheet].items():
        folder = folders.learner_folder(tmp_path / practice, "zorgbert")
        here = sitting(folders.lay_out_practice(folder, worksheet, practice).parent)
        page = json.loads((site_folder / file).read_text())
        parts = [one["data"] for row in page["cells"].values() for one in row]
        states = [data[PART]["state"] for data in parts if PART in data]
        shown = {state["item"]: state for state in states}
        kinds = {item: here.store.form(item).kind for item in here.listed()}
        pictured = {item for item, kind in kinds.items() if kind in {"trials", "place", "series"}}
        assert shown.keys() == kinds.keys() - pictured
        for item, state in shown.items():
            form = here.store.form(item)
            assert (state["question"], state["entered"]) == (form.question, None)
            assert state["parts"] == json.loads(json.dumps(form.parts()))


def test_the_pictures_of_a_practice_are_those_that_it_names(site_folder, told, tmp_path):
    """Each with its truth, by which the practice is marked."""
    with_pictures = 0
    for worksheet, practices in told.items():
        for practice in practices:
            notebook = folders.lay_out_practice(tmp_path / practice, worksheet, practice)
            named = {one for row in read_release(notebook.parent).pictures.values() for one in row}
            found = [*site_folder.glob(f"practices/{worksheet}-{practice}-*.zip")]
            assert len(found) == bool(named)
            if not named:
                continue
            with_pictures += 1
            with zipfile.ZipFile(found[0]) as archive:
                files = archive.namelist()
            for part in ("pictures/", "sealed/truth/"):
                there = {
                    f.removeprefix(part).partition(".")[0] for f in files if f.startswith(part)
                }
                assert there == named
    assert with_pictures == 4

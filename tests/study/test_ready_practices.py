"""Practices that a site has ready: which of them a learner gets, and their pictures."""

import io
import json
import zipfile

import numpy as np
import pytest

from cubital.handin.released.release import read_release
from cubital.scene.files import pools
from cubital.study import folders, practice_pictures, ready_practices, site_files
from cubital.worksheet.sitting import sitting

SHEET, PICTURED = "focal-geometry", "one-patient"
ONE, TWO = "practice-ready-1", "practice-ready-2"
FILES = {SHEET: {ONE: "", TWO: ""}, PICTURED: {ONE: "practices/pictures.zip"}}


@pytest.fixture
def on_site(tmp_path, monkeypatch):
    """The course as it runs from a site that has practices ready."""
    assets = tmp_path / "assets"
    (assets / "site").mkdir(parents=True)
    (assets / "site" / ready_practices.FILE).write_text(json.dumps(FILES))
    monkeypatch.setattr(ready_practices, "course_folder", lambda _name: assets)
    monkeypatch.setattr(site_files, "_site", ["http://course/"])


def practised(folder, sheet=SHEET, *, again=False):
    notebook = folders.practise_again(folder, sheet) if again else folders.practise(folder, sheet)
    return read_release(notebook.parent)


def asked(folder, sheet=SHEET):
    here = sitting(folder / sheet)
    return {item: here.store.form(item) for item in here.listed()}


def test_a_learner_has_each_practice_once_and_then_others(on_site, tmp_path):
    folder = folders.learner_folder(tmp_path, "ada")
    had = [practised(folder), *(practised(folder, again=True) for _ in range(3))]
    assert {had[0].name, had[1].name} == {ONE, TWO}
    assert not {had[2].name, had[3].name} & {ONE, TWO}
    assert had[2].name != had[3].name
    assert [one.shared for one in had] == [True, True, False, False]


def test_the_first_goes_by_the_learners_id(on_site, tmp_path):
    names = {who: practised(folders.learner_folder(tmp_path, who)).name for who in "abcd"}
    assert names == {"a": TWO, "b": ONE, "c": TWO, "d": ONE}  # the letters' numbers begin at 97


def test_all_who_have_a_practice_are_asked_the_same_and_who_has_their_own_is_not(on_site, tmp_path):
    first, second = (folders.learner_folder(tmp_path, who) for who in ("a", "c"))
    for folder in (first, second):
        practised(folder)
    assert asked(first) == asked(second)
    for folder in (first, second):
        for _ in FILES[SHEET]:
            practised(folder, again=True)
    assert asked(first) != asked(second)


def test_without_a_site_every_practice_is_a_learners_own(tmp_path):
    release = practised(folders.learner_folder(tmp_path, "ada"))
    assert not release.shared
    assert release.name not in {ONE, TWO}


def test_the_pictures_come_from_the_site_and_nothing_is_rendered(on_site, tmp_path, monkeypatch):
    def grey(job):
        frames = np.zeros((job.size.frames, job.size.height_px, job.size.width_px), np.uint8)
        return frames, {}

    monkeypatch.setattr(pools, "_scene", grey)
    monkeypatch.setattr(site_files, "fetched", lambda _path: b"none yet")
    notebook = folders.lay_out_practice(tmp_path / "there", PICTURED, ONE)
    practice_pictures.render_practice(notebook.parent)
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        for part in ("pictures", "sealed"):
            for path in (notebook.parent / part).rglob("*"):
                archive.write(path, path.relative_to(notebook.parent))
    monkeypatch.setattr(site_files, "fetched", {"practices/pictures.zip": buffer.getvalue()}.get)
    monkeypatch.setattr(pools, "_scene", lambda _job: pytest.fail("a picture is rendered"))
    folder = folders.learner_folder(tmp_path, "ada")
    practised(folder, PICTURED)
    practice_pictures.render_practice(folder / PICTURED)
    pictures = sorted(path.name for path in (folder / PICTURED / "pictures").iterdir())
    assert pictures == sorted(path.name for path in (notebook.parent / "pictures").iterdir())
    assert len(pictures) > 1


@pytest.mark.parametrize("given", [OSError("gone"), b"no zip"])
def test_pictures_that_the_site_does_not_give_are_rendered(on_site, tmp_path, monkeypatch, given):
    def fetched(_path):
        if isinstance(given, OSError):
            raise given
        return given

    monkeypatch.setattr(site_files, "fetched", fetched)
    folder = folders.learner_folder(tmp_path, "ada")
    practised(folder, PICTURED)
    ready_practices.take_pictures(folder / PICTURED, read_release(folder / PICTURED))
    assert not (folder / PICTURED / "pictures").exists()

"""The pictures of a release: whose they are, how a screen shows them, where their truth lies."""

import numpy as np
import pytest

from cubital import items
from cubital.handin.released import pictures
from cubital.scene.files import picture_files, planning

READING = items.WORKSHEETS["reading-the-vein"]


def test_every_picture_belongs_to_one_item_of_its_kinds():
    counts = pictures.wanted(READING)
    jobs = planning.planned(counts, seed=3)
    names = pictures.assigned(READING, jobs)
    kind = {job.name: job.kind for job in jobs}
    given = [name for own in names.values() for name in own]
    assert sorted(given) == sorted(kind)
    for item_id, own in names.items():
        pool = items.find(item_id).pool
        assert {found: [kind[n] for n in own].count(found) for found in pool} == dict(pool)
        assert list(own) == sorted(own)


def test_worksheets_without_pictures_want_none():
    assert pictures.wanted(items.WORKSHEETS["readiness"]) == {}
    assert pictures.assigned(items.WORKSHEETS["readiness"], ()) == {}


def test_a_dark_picture_is_shown_brighter_all_frames_alike_and_a_bright_one_as_it_is():
    dark = np.full((2, 20, 20), 50, np.uint8)
    dark[1] = 25
    dark[:, :2] = 0
    shown = picture_files.brightened(dark)
    # 95 % of the first frame are at most 50 grey, and skin is to be 190: 3.8 times.
    assert (shown[0, 10, 10], shown[1, 10, 10], shown[0, 0, 0]) == (190, 95, 0)
    bright = np.full((1, 20, 20), 210, np.uint8)
    assert (picture_files.brightened(bright) == bright).all()
    spot = dark.copy()
    spot[0, 10, 10] = 200  # a gleam is cut off, it does not wrap around
    assert picture_files.brightened(spot)[0, 10, 10] == 255


def test_a_truth_that_is_not_there_is_told_with_what_to_do(tmp_path):
    with pytest.raises(ValueError, match=r"picture abc is not in .*: restore the pool"):
        pictures.truths(tmp_path)("abc")


def test_a_workspaces_truths_are_those_it_sealed_described_ones_too(tmp_path):
    for place, number in ((pictures.pool_folder, 1), (pictures.described_folder, 2)):
        pool = place(tmp_path, "reading-the-vein", "autumn") / "sealed" / "truth"
        pool.mkdir(parents=True)
        (pool / f"abc{number}.json").write_text(f'{{"truth": {number}}}', encoding="utf-8")
    told = pictures.sealed_truths(tmp_path, "reading-the-vein", "autumn")
    assert (told("abc1"), told("abc2")) == ({"truth": 1}, {"truth": 2})
    with pytest.raises(ValueError, match="is not in"):
        pictures.sealed_truths(tmp_path, "reading-the-vein", "spring")("abc1")

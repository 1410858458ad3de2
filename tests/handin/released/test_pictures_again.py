"""A picture and its truth are read once, and anew when their files change."""

import json
import os

import numpy as np
import pytest

from cubital import items
from cubital.handin.released import pictures
from cubital.scene.files import picture_files

YEAR_2000_NS = 946_684_800 * 10**9


def write(path, data):
    """Write as a pool is written: each file of the same date."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    os.utime(path, ns=(YEAR_2000_NS, YEAR_2000_NS))


def test_a_truth_is_read_anew_when_its_file_changes(tmp_path, monkeypatch):
    path = tmp_path / "sealed" / "truth" / "abc.json"
    read = []
    whole = pictures.read_json
    monkeypatch.setattr(pictures, "read_json", lambda *a, **b: read.append(1) or whole(*a, **b))
    for number in (1, 2):
        write(path, json.dumps({"truth": {"number": number}}).encode())
        for _ in range(2):
            assert pictures.truths(tmp_path)("abc") == {"truth": {"number": number}}
    assert len(read) == 2


def test_a_picture_is_read_anew_when_its_file_changes_and_nobody_writes_into_it(tmp_path):
    item = items.find("read-forks")
    form = item.form({"picture": "abc"})
    size = (form.height_px, form.width_px)
    for grey in (190, 210):
        write(
            tmp_path / "pictures" / "abc.png",
            picture_files.png_bytes(np.full(size, grey, np.uint8)),
        )
        found = pictures.frames(tmp_path, form)
        assert found is pictures.frames(tmp_path, form)
        assert (found == grey).all()
        with pytest.raises(ValueError, match="read-only"):
            found[:] = 0


def test_a_compressed_series_is_shown_as_it_is_and_one_of_an_earlier_edition_brightened(tmp_path):
    form = items.find("read-series").form({"picture": "abc"})
    frames = np.full((form.frames, form.height_px, form.width_px), 100, np.uint8)
    strip = picture_files.strip(frames)
    write(
        tmp_path / "pictures" / "abc.jpg",
        picture_files.jpeg_bytes(strip, qualities=range(90, 91), length=256_000),
    )
    assert (pictures.frames(tmp_path, form) == 100).all()
    (tmp_path / "pictures" / "abc.jpg").unlink()
    write(tmp_path / "pictures" / "abc.png", picture_files.png_bytes(strip))
    assert (pictures.frames(tmp_path, form) == 190).all()

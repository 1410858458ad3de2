"""The command that renders pictures for a release: what it makes, says and refuses."""

import json

import numpy as np
import pytest

from cubital import cli
from cubital.scene.files import picture_files, pools
from cubital.scene.files.planning import SUFFIXES, Rendered


@pytest.fixture
def quick(monkeypatch):
    """A renderer in place of the real one: it notes what it was asked for."""
    asked = []

    def draw(job):
        asked.append(job)
        shape = job.size.frames, job.size.height_px, job.size.width_px
        return Rendered(np.zeros(shape, np.uint8), {"truth": {}})

    monkeypatch.setattr(pools, "_scene", draw)
    return asked


def run(*words):
    return cli.main(["scenes", *map(str, words), "--processes", "1"])


def test_it_renders_the_number_and_says_where_the_truth_lies(quick, capsys, tmp_path):
    assert run(tmp_path, "--number", 5, "--seed", "autumn") == 0
    told = capsys.readouterr()
    assert "5 pictures in" in told.out
    assert "simulated, not clinically validated" in told.out
    assert f"{tmp_path / 'sealed'}. Keep it, and the seed, from learners" in told.out
    assert "5/5" in told.err  # the bar
    assert len([*(tmp_path / "pictures").iterdir()]) == 5


def test_kinds_can_be_asked_for_one_by_one(quick, tmp_path):
    assert run(tmp_path, "--kind", "valve", 2, "--kind", "artery", 1, "--kind", "valve", 1) == 0
    assert sorted(job.kind for job in quick) == ["artery", "valve", "valve", "valve"]


def test_the_seed_is_told_to_nobody(quick, capsys, tmp_path):
    assert run(tmp_path, "--number", 1) == 0
    seed = json.loads((tmp_path / "sealed" / "pool.json").read_text())["seed"]
    told = capsys.readouterr()
    assert seed not in told.out + told.err


def test_the_same_command_again_renders_nothing_again(quick, tmp_path):
    words = tmp_path, "--number", 3, "--seed", 1
    assert (run(*words), len(quick)) == (0, 3)
    assert (run(*words), len(quick)) == (0, 3)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--number", "0"], "number of pictures of the pool is 0: it must be from 1"),
        ([], "give either the number of pictures or how many of each kind"),
        (["--kind", "bones", "3"], "no kind of picture is called 'bones': there are valve"),
        (["--kind", "valve", "few"], "number of pictures of kind 'valve' is 'few': give digits"),
        (["--kind", "valve", "-1"], "number of pictures of kind 'valve' is '-1': give digits"),
    ],
)
def test_an_impossible_request_is_refused_in_a_sentence(quick, capsys, tmp_path, words, said):
    assert run(tmp_path, *words) == 1
    assert said in capsys.readouterr().err
    assert not (tmp_path / "pictures").exists()


def test_real_pictures_are_made_by_two_processes_as_by_one(tmp_path):
    words = ["--kind", "no-valve", "1", "--kind", "series-nothing", "1", "--seed", "3"]
    for processes in ("1", "2"):
        folder = tmp_path / processes
        assert cli.main(["scenes", str(folder), *words, "--processes", processes]) == 0
    one, two = (
        {
            str(path.relative_to(tmp_path / processes)): path.read_bytes()
            for path in (tmp_path / processes).rglob("*.*")
            if path.suffix in (*SUFFIXES, ".json")
        }
        for processes in ("1", "2")
    )
    assert one == two
    shapes = {
        picture_files.frames_of(path).shape[1:] for path in (tmp_path / "1" / "pictures").iterdir()
    }
    assert shapes == {(480, 640), (40 * 240, 320)}
    truths = [json.loads(data) for name, data in one.items() if "truth" in name]
    for told in truths:
        assert told["truth"]["version"] == 1
        assert told["difficulty"]["level"] > 0
        assert told["description"]["sentences"]

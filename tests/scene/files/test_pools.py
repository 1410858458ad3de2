"""Pools: the same bytes whoever renders them, however often stopped, and no leak in the files."""

import hashlib
import importlib
import json
import multiprocessing
import os
import random
import struct
import subprocess
import sys
from collections import Counter
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from sklearn.ensemble import RandomForestClassifier
from sklearn.metrics import roc_auc_score
from sklearn.model_selection import StratifiedKFold, cross_val_predict

from cubital.scene.files import parallel, picture_files, planning, pools
from cubital.scene.files.planning import Size

HERE = Path(__file__).parent
SMALL = {"picture": Size(32, 24, 4.0), "series": Size(16, 12, 8.0, frames=3)}
FEW = {"valve": 6, "no-valve": 6, "series-nothing": 3}


@pytest.fixture
def stand_in(monkeypatch):
    """The renderers in place of the real one, where a pool's processes find them too."""
    monkeypatch.syspath_prepend(HERE)
    return importlib.import_module("stand_in")


def digests(folder):
    """The check sum of every picture and every truth."""
    paths = [*(folder / "pictures").iterdir(), *(folder / "sealed").rglob("*.json")]
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in paths
    }


def rendered(folder, render, **asked):
    asked = {"jobs": FEW, "seed": 4, "processes": 1, "sizes": SMALL} | asked
    return pools.render_pool(folder, render=render, **asked)


def test_one_process_or_two_give_the_same_bytes(stand_in, tmp_path):
    one = rendered(tmp_path / "one", stand_in.draw)
    two = rendered(tmp_path / "two", stand_in.draw, processes=2)
    assert len([*one.pictures.iterdir()]) == len([*two.pictures.iterdir()]) == 15
    assert digests(tmp_path / "one") == digests(tmp_path / "two")


def test_another_seed_gives_other_names_and_other_pictures(stand_in, tmp_path):
    one = rendered(tmp_path / "one", stand_in.draw)
    two = rendered(tmp_path / "two", stand_in.draw, seed=5)
    assert not {job.name for job in one.jobs} & {job.name for job in two.jobs}
    assert not {*digests(tmp_path / "one").values()} & {*digests(tmp_path / "two").values()}


def test_a_stopped_run_goes_on_and_ends_with_the_same_bytes(stand_in, tmp_path):
    rendered(tmp_path / "whole", stand_in.draw)
    with pytest.raises(KeyboardInterrupt):
        rendered(tmp_path / "stopped", stand_in.draw_and_stop)
    assert not (tmp_path / "stopped" / "pictures").exists()
    drawn = []

    def draw(job):
        drawn.append(job)
        return stand_in.draw(job)

    rendered(tmp_path / "stopped", draw)
    assert len(drawn) == 15 - 4
    assert digests(tmp_path / "stopped") == digests(tmp_path / "whole")


def test_a_killed_run_goes_on_and_ends_with_the_same_bytes(stand_in, tmp_path):
    rendered(tmp_path / "whole", stand_in.draw)
    killed = tmp_path / "killed"
    program = (
        "import stand_in; from pathlib import Path; from cubital.scene.files import pools; "
        "from cubital.scene.files.planning import Size; "
        f"pools.render_pool(Path({str(killed)!r}), jobs={FEW!r}, seed=4, processes=1, "
        f"sizes={SMALL!r}, render=stand_in.draw_and_die)"
    )
    path = os.pathsep.join([str(HERE), *sys.path])
    run = [sys.executable, "-c", program]
    ended = subprocess.run(run, env=os.environ | {"PYTHONPATH": path}, check=False, timeout=120)
    assert ended.returncode < 0
    half = killed / "sealed" / "unfinished" / ".half.part"
    half.write_bytes(b"half")
    rendered(killed, stand_in.draw, processes=2)
    assert digests(killed) == digests(tmp_path / "whole")
    assert not half.exists()


def test_a_helper_ends_with_the_process_that_started_it():
    program = (
        "import multiprocessing, os, signal\n"
        "from cubital.scene.files import parallel, pools\n"
        "def work():\n    parallel.start_helper()\n    print(os.getpid(), flush=True)\n"
        "    signal.pause()\n"
        "if os.fork() == 0:\n"
        "    helper = multiprocessing.get_context('fork').Process(target=work)\n"
        "    helper.start()\n    os._exit(0)\n"
    )
    # the output ends when the last process that holds it has ended
    run = [sys.executable, "-W", "ignore", "-c", program]
    ended = subprocess.run(run, stdout=subprocess.PIPE, check=False, timeout=60)
    assert ended.returncode == 0


def test_a_pool_done_is_left_as_it_is(stand_in, tmp_path):
    rendered(tmp_path, stand_in.draw)
    before = digests(tmp_path)

    def draw(job):
        raise AssertionError(job)

    rendered(tmp_path, draw)
    assert digests(tmp_path) == before


def test_a_series_that_an_earlier_edition_kept_exactly_is_not_made_again(stand_in, tmp_path):
    pool = rendered(tmp_path, stand_in.draw)
    (job, *_) = [job for job in pool.jobs if job.kind.startswith(planning.SERIES)]
    exact = pool.pictures / f"{job.name}.png"
    pool.picture(job).unlink()
    exact.write_bytes(picture_files.png_bytes(picture_files.strip(stand_in.draw(job).frames)))

    def draw(job):
        raise AssertionError(job)

    assert rendered(tmp_path, draw).picture(job) == exact


@pytest.mark.parametrize(
    "other", [{"seed": 5}, {"jobs": {"valve": 3}}, {"sizes": {"picture": Size(40, 24, 4.0)}}]
)
def test_another_pool_in_the_same_folder_is_refused(stand_in, tmp_path, other):
    rendered(tmp_path, stand_in.draw)
    before = digests(tmp_path)
    with pytest.raises(ValueError, match=f"another kind .*{'kinds' if 'jobs' in other else ''}"):
        rendered(tmp_path, stand_in.draw, **other)
    assert digests(tmp_path) == before


def test_a_folder_of_other_pictures_is_refused(stand_in, tmp_path):
    (tmp_path / "pictures").mkdir()
    (tmp_path / "pictures" / "mine.png").touch()
    with pytest.raises(ValueError, match="files of no pool"):
        rendered(tmp_path, stand_in.draw)


def test_two_runs_in_one_folder_are_refused(stand_in, tmp_path):
    def draw(job):
        with pytest.raises(ValueError, match="rendered by another run"):
            rendered(tmp_path, stand_in.draw)
        return stand_in.draw(job)

    rendered(tmp_path, draw, jobs={"valve": 2})


def test_a_secret_seed_is_drawn_and_kept_sealed(stand_in, tmp_path):
    pool = rendered(tmp_path, stand_in.draw, seed=None)
    assert len(pool.seed) == 32
    assert rendered(tmp_path, stand_in.draw, seed=None).seed == pool.seed
    assert rendered(tmp_path / "b", stand_in.draw, seed=None).seed != pool.seed
    assert pool.seed not in str([*pool.pictures.rglob("*")])
    assert pool.sealed.stat().st_mode & 0o077 == 0


def test_a_picture_of_another_size_is_refused(stand_in, tmp_path):
    with pytest.raises(ValueError, match="must be 1 frames of 24 by 32 px"):
        rendered(tmp_path, stand_in.too_small)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"jobs": {"valves": 2}}, "no kind of picture is called 'valves': there are valve, "),
        ({"jobs": None}, "either the number of pictures or how many of each kind"),
        ({"number": 3}, "either the number of pictures or how many of each kind"),
        ({"jobs": None, "number": 0}, "number of pictures of the pool is 0: it must be from 1"),
        ({"jobs": None, "number": 2.5}, "it must be a whole number"),
        ({"jobs": {"valve": 0}}, "number of pictures of the pool is 0"),
        ({"processes": 0}, "number of processes is 0: it must be from 1"),
    ],
)
def test_impossible_pools_say_what_cannot_be(stand_in, tmp_path, asked, said):
    with pytest.raises(ValueError, match=said):
        rendered(tmp_path, stand_in.draw, **asked)


@pytest.mark.parametrize("number", [1, 2, 7, 60, 500, 777])
def test_the_usual_parts_add_up_and_are_nearest(number):
    counts = planning.mixed(number)
    parts = planning._table()["parts"]
    assert sum(counts.values()) == number
    for kind, count in counts.items():
        assert abs(count - number * parts[kind] / sum(parts.values())) < 1


def test_valve_and_no_valve_have_equal_parts_and_events_are_all_there():
    counts = planning.mixed(490)
    assert counts["valve"] == counts["no-valve"] > 0
    assert all(counts.values())
    events = importlib.import_module("cubital.scene.happening.events").EVENTS
    assert {kind for kind in counts if kind.startswith(planning.SERIES)} == {
        f"{planning.SERIES}{event}" for event in events
    }


def chunks(path):
    """The kinds and lengths of a PNG file's chunks, by a reader of our own."""
    data, at, found = path.read_bytes(), 8, []
    while at < len(data):
        length, kind = struct.unpack(">I4s", data[at : at + 8])
        found.append((kind.decode(), length))
        at += length + 12
    return found


def test_files_of_a_kind_are_alike_in_all_but_their_pixels(stand_in, tmp_path):
    pool = rendered(tmp_path, stand_in.draw, processes=2)
    seen = {}
    for job in pool.jobs:
        path, told = pool.picture(job), pool.picture(job).stat()
        own = (told.st_size, told.st_mtime_ns, told.st_mode, path.suffix)
        with Image.open(path) as image:
            assert image.mode == "L"
            if planning.kept(job.kind) is None:
                own += tuple(chunks(path))
                assert {kind for kind, _ in chunks(path)} == {"IHDR", "IDAT", "IEND"}
                assert image.info == {}
            else:
                assert not image.getexif()
                assert not {"comment", "exif", "xmp", "icc_profile"} & {*image.info}
        seen.setdefault(job.kind.startswith(planning.SERIES), set()).add(own)
    assert [len(found) for found in seen.values()] == [1, 1]


def test_pictures_come_back_as_they_were_drawn_with_their_truth(stand_in, tmp_path):
    pool = rendered(tmp_path, stand_in.draw)
    for job in pool.jobs:
        frames, truth = stand_in.draw(job)
        kept = picture_files.frames_of(pool.picture(job), len(frames))
        if planning.kept(job.kind) is None:
            assert np.array_equal(kept, frames)
        else:
            shown = picture_files.brightened(frames)
            assert np.abs(kept.astype(int) - shown).mean() < 2
        told = json.loads(pool.truth(job).read_text(encoding="utf-8"))
        assert told["truth"] == truth["truth"]
        assert told["notice"] == "simulated, not clinically validated"
        assert (told["name"], told["job"]["kind"]) == (job.name, job.kind)


def outside(pool):
    """What a learner has without looking at pixels, by picture; and whether a valve is there."""
    rows, valves = [], []
    for at, path in enumerate(sorted(pool.pictures.iterdir())):
        found, told = chunks(path), path.stat()
        rows.append(
            [
                *(int(digit, 16) for digit in path.stem),
                at,
                told.st_size,
                told.st_mtime_ns % 10**9,
                told.st_mtime_ns // 10**9,
                told.st_mode,
                len(found),
                sum(length for kind, length in found if kind == "IDAT"),
            ]
        )
        truth = json.loads((pool.sealed / "truth" / f"{path.stem}.json").read_text())
        valves.append(bool(truth["truth"]["valves"]))
    return np.array(rows, float), np.array(valves)


def area(*pools_):
    """The area under the curve of a forest that tells valve from no valve, and its 95 % interval.

    Each picture is judged by trees that never saw it; the interval is by drawing pictures anew.
    """
    parts = [outside(pool) for pool in pools_]
    rows, valves = (np.concatenate(column) for column in zip(*parts, strict=True))
    assert Counter(valves.tolist()) == dict.fromkeys((True, False), 100 * len(pools_))
    forest = RandomForestClassifier(100, random_state=0)
    folds = StratifiedKFold(5, shuffle=True, random_state=0)
    scores = cross_val_predict(forest, rows, valves, cv=folds, method="predict_proba")[:, 1]
    chance = random.Random(0)
    drawn = [chance.choices(range(len(rows)), k=len(rows)) for _ in range(1000)]
    areas = [roc_auc_score(valves[some], scores[some]) for some in drawn]
    return roc_auc_score(valves, scores), *np.percentile(areas, [2.5, 97.5])


BOTH = {"valve": 100, "no-valve": 100}


def test_nothing_but_the_pixels_tells_valve_from_no_valve(stand_in, tmp_path):
    two = [rendered(tmp_path / str(n), stand_in.draw, jobs=BOTH, seed=n) for n in (11, 12)]
    _, low, high = area(*two)
    assert low <= 0.5 <= high
    assert high - low < 0.15  # four hundred pictures: sure enough to say something


def test_lengths_of_compressed_files_would_tell(stand_in, tmp_path, monkeypatch):
    monkeypatch.setattr(picture_files, "STORED", 6)
    _, low, _ = area(rendered(tmp_path, stand_in.draw, jobs=BOTH, seed=11))
    assert low > 0.9


def test_names_in_the_order_of_the_list_would_tell(stand_in, tmp_path, monkeypatch):
    monkeypatch.setattr(planning, "_name", lambda seed, number: f"{number:016x}")
    _, low, _ = area(rendered(tmp_path, stand_in.draw, jobs=BOTH, seed=11))
    assert low > 0.9


def test_processes_are_started_afresh_so_that_it_works_on_every_system(
    stand_in, tmp_path, monkeypatch
):
    asked = []
    real = multiprocessing.get_context
    monkeypatch.setattr(
        parallel.multiprocessing, "get_context", lambda how: asked.append(how) or real(how)
    )
    rendered(tmp_path, stand_in.draw, processes=2, jobs={"valve": 2})
    assert asked == ["spawn"]

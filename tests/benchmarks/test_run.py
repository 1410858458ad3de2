"""The benchmark command: what it finds, what it prints, and when it ends with an error."""

import importlib
from pathlib import Path

import pytest

HERE = Path(__file__).parent


@pytest.fixture
def run(monkeypatch, tmp_path):
    """The command, with a folder of its own to look for benchmarks in."""
    monkeypatch.syspath_prepend(HERE)
    module = importlib.import_module("run")
    monkeypatch.setattr(module, "HERE", tmp_path)
    return module


def write(folder, topic, *rows):
    (folder / f"bench_{topic}.py").write_text(f"def rows():\n    return {[*rows]!r}\n")


@pytest.mark.parametrize(
    ("figure", "target", "verdict"),
    [
        (1.49, "< 1.5", "met"),
        (1.5, "< 1.5", "MISSED"),
        (1.5, "<= 1.5", "met"),
        (2.4, ">= 2.5", "MISSED"),
        (2.5, ">= 2.5", "met"),
        (float("nan"), "< 1.5", "MISSED"),
        (9.0, "", ""),
    ],
)
def test_a_target_is_met_or_missed(run, figure, target, verdict):
    assert run.Row("w", figure, "n", target).verdict() == verdict


def test_all_benchmarks_go_into_one_table_and_a_missed_target_is_an_error(run, tmp_path, capsys):
    write(tmp_path, "light", ("photons", 2.6, "of the plain program", ">= 2.5"))
    write(tmp_path, "marking", ("a hand-in", 0.5, "s", ""))
    assert run.main([]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split("  ")[0] for line in lines[2:]] == ["photons", "a hand-in"]
    assert lines[2].split()[-1] == "met"
    write(tmp_path, "slow", ("sweep", 1.7, "of one run", "<= 1.5"))
    assert run.main([]) == 1
    assert run.main(["light", "marking"]) == 0
    assert run.main(["slow"]) == 1


def test_an_unknown_topic_is_told_with_those_there_are(run, tmp_path, capsys):
    write(tmp_path, "light", ("photons", 2.6, "s", ""))
    assert run.main(["sound"]) == 2
    assert "there are light" in capsys.readouterr().out


def test_every_benchmark_of_the_course_has_rows(monkeypatch):
    monkeypatch.syspath_prepend(HERE)
    found = importlib.import_module("run").topics()
    assert "imports" in found
    assert all("def rows()" in path.read_text(encoding="utf-8") for path in found.values())

"""Bars are drawn once there is something to show, and not where nobody looks."""

import pytest

from cubital.cli.bars import Bar


def test_nothing_is_drawn_before_the_first_step_is_known(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with Bar("step"):
        pass
    assert capsys.readouterr().err == ""


def test_a_bar_names_the_part_and_counts_to_its_end(capsys: pytest.CaptureFixture[str]) -> None:
    with Bar("step") as bar:
        for done, part in ((0, "Answering"), (1, "Marking"), (3, "Done")):
            bar.move(done, 3, part)
    told = capsys.readouterr()
    last = told.err.rstrip("\n").rpartition("\r")[2]
    assert last.startswith("Done: 100%")
    assert "3/3" in last
    assert told.out == ""


def test_a_bar_that_goes_on_from_earlier_pictures_counts_them(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with Bar("picture") as bar:
        bar.pictures(2, 4)
        bar.pictures(4, 4)
    told = capsys.readouterr().err
    assert " 50%" in told
    assert "Pictures: 100%" in told
    assert "4/4" in told


def test_a_bar_that_is_not_to_be_shown_stays_away(capsys: pytest.CaptureFixture[str]) -> None:
    with Bar("picture", shown=False) as bar:
        bar.pictures(0, 2)
        bar.pictures(2, 2)
    assert capsys.readouterr().err == ""

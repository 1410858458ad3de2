"""A course folder's `bank.toml`: what is changed, what is left as it is, and what is refused."""

import pytest

from cubital import items
from cubital.handin.released.bank import read_bank

FRENCH = items.find("sizing-french")


def bank(folder, text, **options):
    (folder / "bank.toml").write_text(text, encoding="utf-8")
    return read_bank(folder, **options)


def test_without_a_folder_the_bank_is_the_courses_own():
    found = read_bank()
    assert found.worksheets == items.WORKSHEETS
    assert (found.folder, found.off, found.points, found.own) == (None, {}, {}, {})


def test_an_empty_folder_changes_nothing(tmp_path):
    found = read_bank(tmp_path)
    assert found.worksheets == items.WORKSHEETS
    assert found.folder == tmp_path


def test_points_and_items_that_are_off_are_changed_and_all_else_stays(tmp_path):
    text = "[items.sizing-french]\npoints = 7\n[items.sizing-area-share]\noff = true\n"
    found = bank(tmp_path, text)
    assert found.points == {"sizing-french": 7}
    assert found.by_id()["sizing-french"].points == 7 != FRENCH.points
    assert found.off == {"sizing-area-share": ""}
    left = {item.id for item in found.asked("catheter-sizing")}
    all_of_it = {item.id for item in items.WORKSHEETS["catheter-sizing"]}
    assert all_of_it - left == {"sizing-area-share"}
    same = [key for key, item in found.by_id().items() if item == items.find(key)]
    assert len(same) == len(found.by_id()) - 1


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("items = 3\n", r"items must be sections such as \[items\."),
        ("[items]\nsizing-french = 3\n", r"\[items\.sizing-french\] must be a section with points"),
        ("[items.sizing-frensh]\npoints = 2\n", "there is no item “sizing-frensh”; there are: "),
        ("[item.sizing-french]\npoints = 2\n", "'item' is not a section; allowed are: items"),
        ("[items.sizing-french]\npoint = 2\n", "'point' is not a key; allowed are: points"),
    ],
)
def test_what_cannot_be_used_is_refused_with_what_is_allowed(tmp_path, text, words):
    with pytest.raises(ValueError, match=words) as refused:
        bank(tmp_path, text)
    assert "bank.toml" in str(refused.value)


def test_own_items_that_are_still_written_are_passed_over_where_drafts_are_left_alone(tmp_path):
    text = "[items.own-room-left]\npoints = 2\n[items.sizing-french]\npoints = 7\n"
    assert bank(tmp_path, text, drafts=False).points == {"sizing-french": 7}
    with pytest.raises(ValueError, match="there is no item “own-room-left”"):
        bank(tmp_path, text)

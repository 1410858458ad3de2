"""Whatever the course names by what people enter, every system can keep it under that name."""

import string
from pathlib import PureWindowsPath

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from cubital.handin.ids import canonical_id
from cubital.handin.released import own

DEVICES = ["con", "prn", "aux", "nul", "com1", "com9", "lpt1", "lpt9"]
# Letters that ids are made of, and what people type beside them.
LETTERS = string.ascii_letters + string.digits + "._- " + ':*?"<>|/\\ .ÄßıİſK²\u200b\0'
NAMES = st.one_of(
    st.text(LETTERS, max_size=45),
    st.builds("".join, st.tuples(st.sampled_from(DEVICES), st.text(".1x ", max_size=4))),
)


def legal(name: str) -> bool:
    """Whether Windows takes a folder's name, by Microsoft's rules and by Python's own list."""
    return (
        0 < len(name) <= 255
        and not set(name) & set('<>:"/\\|?*')
        and all(ord(letter) >= 32 for letter in name)
        and name[-1] not in {".", " "}
        and not PureWindowsPath(name).is_reserved()
    )


@given(NAMES)
@example("con")
@example("Aux.Jones")
@example("nul ")
@example("a.")
def test_an_id_that_is_taken_names_a_folder_everywhere(text: str) -> None:
    try:
        learner = canonical_id(text)
    except ValueError:
        return
    assert legal(learner)
    assert legal(f"{learner}.part")
    assert canonical_id(learner) == learner


@given(NAMES, NAMES)
@example("A", "a")
@example("\u212a", "k")  # the sign for kelvin, which becomes a k
def test_two_ids_differ_by_more_than_their_case(one: str, other: str) -> None:
    """So that two learners never share a folder where case does not count."""
    try:
        ids = canonical_id(one), canonical_id(other)
    except ValueError:
        return
    assert (ids[0].casefold() == ids[1].casefold()) == (ids[0] == ids[1])


@pytest.mark.parametrize("name", ["con", "NUL", "com1", "lpt9.smith", "aux.a.b"])
def test_a_device_of_windows_is_refused_with_the_reason(name: str) -> None:
    with pytest.raises(ValueError, match="Windows keeps that name for a device"):
        canonical_id(name)


@pytest.mark.parametrize("name", ["con", "nul", "com1"])
def test_an_own_question_is_not_named_like_a_device(name: str, tmp_path) -> None:
    with pytest.raises(own.OwnItemError, match="which Windows keeps for devices"):
        own.write_template(tmp_path, name)
    assert not [*tmp_path.iterdir()]
    (tmp_path / f"{name}.py").write_text("ITEM = None", encoding="utf-8")
    with pytest.raises(own.OwnItemError, match="which Windows keeps for devices"):
        own.read_own_item(tmp_path / f"{name}.py")

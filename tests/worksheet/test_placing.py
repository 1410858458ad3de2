"""Marks on a picture: placed, taken away, and refused with what is wrong."""

import numpy as np
import pytest

from cubital.worksheet.placing import PlaceMarks


@pytest.fixture
def picture():
    frame = np.arange(12, dtype=np.uint8).reshape(3, 4)
    return PlaceMarks(frame, title="Mark it", alt="A grey picture", at_most=2)


def send(picture, what, column, row):
    picture._handle_custom_msg({"what": what, "column": column, "row": row}, [])


def test_the_picture_reaches_the_page_as_its_bytes(picture):
    assert (picture.frame["width"], picture.frame["height"]) == (4, 3)
    assert bytes(picture.frame["grey"]) == bytes(range(12))


def test_marks_are_kept_in_the_order_they_were_placed(picture):
    send(picture, "place", 3, 2)
    send(picture, "place", 0, 0)
    assert picture.marks == [[3, 2], [0, 0]]
    assert picture.said == "Mark 2 placed at column 0, row 0"
    send(picture, "away", 3, 2)
    assert picture.marks == [[0, 0]]
    assert picture.said == "Mark at column 3, row 2 taken away; 1 left"


@pytest.mark.parametrize(
    ("column", "row", "words"),
    [
        (4, 0, "the column is 4: it must be a whole number from 0 to 3"),
        (0, 3, "the row is 3: it must be a whole number from 0 to 2"),
        (-1, 0, "the column is -1"),
        (0.5, 0, "the column is 0.5"),
        (None, 0, "the column is None"),
        (True, 0, "the column is True"),
        (1, 1, "there is a mark at column 1, row 1 already"),
    ],
)
def test_a_mark_that_cannot_be_is_refused_and_the_others_stay(picture, column, row, words):
    send(picture, "place", 1, 1)
    send(picture, "place", column, row)
    assert picture.marks == [[1, 1]]
    assert picture.said.startswith(f"No mark placed: {words}")


def test_one_mark_too_many_is_refused(picture):
    for column in range(3):
        send(picture, "place", column, 0)
    assert picture.marks == [[0, 0], [1, 0]]
    assert "2 marks, as many as may be" in picture.said

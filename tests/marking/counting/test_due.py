"""Due dates: a date with an hour and its distance from UTC, in a file to be edited by hand."""

import time
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from cubital.marking.counting.due import FILE, Due, in_words, read_dates, read_local, write_due
from cubital.marking.errors import CourseError

SHEET = "catheter-sizing"
CET, CEST = timezone(timedelta(hours=1)), timezone(timedelta(hours=2))
AT = datetime(2027, 3, 5, 17, tzinfo=CET)


def test_what_is_written_is_read_and_others_stay(tmp_path: Path) -> None:
    assert read_dates(tmp_path, SHEET) == {}
    first = Due(AT, {"ann": AT + timedelta(days=7), "b.n-1": AT + timedelta(hours=2)})
    write_due(tmp_path, SHEET, "spring.1", first)
    write_due(tmp_path, SHEET, "spring-2", Due(AT))
    write_due(tmp_path, "readiness", "spring.1", Due(AT))
    assert read_dates(tmp_path, SHEET) == {"spring.1": first, "spring-2": Due(AT)}
    write_due(tmp_path, SHEET, "spring.1", None)
    assert read_dates(tmp_path, SHEET) == {"spring-2": Due(AT)}
    assert read_dates(tmp_path, "readiness") == {"spring.1": Due(AT)}


def test_a_file_by_hand_is_read_with_the_distance_that_it_states(tmp_path: Path) -> None:
    (tmp_path / FILE).write_text(
        f"[{SHEET}.spring]\ndue = 2027-03-05 17:00:00+01:00\n"
        f"[{SHEET}.spring.extensions]\nann = 2027-07-01T17:00:00+02:00\n"
    )
    due = read_dates(tmp_path, SHEET)["spring"]
    assert due.of("ben") == datetime(2027, 3, 5, 16, tzinfo=UTC)
    assert due.of("ann") == datetime(2027, 7, 1, 15, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (f"[{SHEET}.s]\ndue = 2027-03-05 17:00:00\n", "does not say how far from UTC"),
        (f"[{SHEET}.s]\ndue = 2027-03-05\n", "is no date with an hour"),
        (f"[{SHEET}.s]\ndue = 'friday'\n", "is no date with an hour"),
        (f"[{SHEET}.s]\ndate = 2027-03-05 17:00:00Z\n", "“date” is unknown"),
        (f"[{SHEET}.s.extensions]\nann = 2027-03-05 17:00:00Z\n", "it has no “due”"),
        (f"[{SHEET}]\ndue = 2027-03-05 17:00:00Z\n", "NAME OF THE RELEASE"),
        (f"[{SHEET}.s]\ndue = 2027-03-05 17:00:00Z\nextensions = 1\n", "is not a table"),
        ("[", "not readable as TOML"),
    ],
)
def test_what_is_no_due_date_is_refused_with_file_place_and_reason(
    tmp_path: Path, text: str, words: str
) -> None:
    (tmp_path / FILE).write_text(text)
    with pytest.raises(CourseError, match=words) as told:
        read_dates(tmp_path, SHEET)
    assert str(tmp_path / FILE) in str(told.value)


@pytest.mark.parametrize(
    ("text", "zone", "at"),
    [
        ("2027-03-05 17:00", "Europe/Berlin", datetime(2027, 3, 5, 16, tzinfo=UTC)),  # winter
        ("2027-07-01 17:00", "Europe/Berlin", datetime(2027, 7, 1, 15, tzinfo=UTC)),  # summer
        ("2027-03-05T17:00:30", "Asia/Kolkata", datetime(2027, 3, 5, 11, 30, 30, tzinfo=UTC)),
        ("2027-03-05 17:00+05:00", "Europe/Berlin", datetime(2027, 3, 5, 12, tzinfo=UTC)),
    ],
)
def test_a_date_is_of_the_zone_that_is_named(text: str, zone: str, at: datetime) -> None:
    assert read_local(text, zone) == at


def test_without_a_zone_it_is_of_this_computers(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "America/New_York")
    time.tzset()
    try:
        assert read_local("2027-07-01 17:00") == datetime(2027, 7, 1, 21, tzinfo=UTC)
        with pytest.raises(ValueError, match="put forward"):
            read_local("2027-03-14 02:30")
    finally:
        monkeypatch.undo()
        time.tzset()


@pytest.mark.parametrize(
    ("text", "zone", "words"),
    [
        ("2027-03-05", "", "has no hour"),
        ("friday", "", "is no date"),
        ("2027-02-30 17:00", "", "is no date"),
        ("2027-03-28 02:30", "Europe/Berlin", "put forward"),
        ("2027-03-05 17:00", "Berlin", "no time zone is called"),
        ("2027-03-05 17:00", "../etc", "no time zone is called"),
    ],
)
def test_what_is_no_moment_is_refused(text: str, zone: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        read_local(text, zone)


def test_a_moment_is_said_with_its_distance_from_utc() -> None:
    assert in_words(AT) == "2027-03-05 17:00 +01:00"
    assert in_words(AT.astimezone(UTC)) == "2027-03-05 16:00 UTC"
    minus = timezone(-timedelta(hours=3, minutes=30))
    assert in_words(AT.astimezone(minus)) == "2027-03-05 12:30 -03:30"

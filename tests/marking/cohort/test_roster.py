"""A roster comes as spreadsheets write it, or is refused with the true reason; none is lost."""

import json
import zipfile
from pathlib import Path

import pytest

from cubital.cli import main
from cubital.marking.cohort.course import Course, CourseError, Learner, create, read_roster

ROWS = [Learner("jose.m", "José", "Muñoz, PhD"), Learner("zoe", "Zoë", "Ångström")]
COMMAS = 'id,first_name,last_name\njose.m,José,"Muñoz, PhD"\nzoe,Zoë,Ångström\n'
SEMICOLONS = 'id;first_name;last_name\r\njose.m;José;"Muñoz, PhD"\r\nzoe;Zoë;Ångström\r\n'


def written(folder: Path, data: bytes) -> Path:
    path = folder / "learners.csv"
    path.write_bytes(data)
    return path


@pytest.mark.parametrize(
    "data",
    [
        COMMAS.encode(),
        b"\xef\xbb\xbf" + COMMAS.encode(),
        SEMICOLONS.encode("cp1252"),
        SEMICOLONS.encode("latin-1"),
        SEMICOLONS.replace(";", "\t").encode("utf-16"),
        b"\xfe\xff" + SEMICOLONS.encode("utf-16-be"),
        COMMAS.encode("utf-16-le"),
        b"sep=;\r\n" + SEMICOLONS.encode(),
        ("\r\n;;\r\n" + SEMICOLONS + "\r\n;;\r\n\r\n").encode(),
        SEMICOLONS.replace("id;first_name;last_name", " ID ;First Name;LAST_NAME ").encode(),
        'last_name,"first_name",ward,id\n"Muñoz, PhD",José,4, Jose.M \nÅngström,Zoë,,zoe'.encode(),
        COMMAS.replace("\n", ",,\n").encode(),
    ],
    ids=[
        "commas",
        "mark of UTF-8",
        "Windows-1252",
        "Latin-1",
        "tabs in UTF-16",
        "UTF-16, high byte first",
        "UTF-16 without its mark",
        "a line that names the separator",
        "empty lines",
        "names of columns spelled freely",
        "other order, and a column of the ward's",
        "empty columns at the end",
    ],
)
def test_a_roster_is_read_as_spreadsheets_write_it(tmp_path: Path, data: bytes) -> None:
    assert read_roster(written(tmp_path, data)) == ROWS


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (
            b"id;name\nann;Moss\n",
            "lacks the columns first_name, last_name.*with a semicolon between columns, as: "
            "id, name",
        ),
        (b"id,id,first_name,last_name\n", "has twice the columns id"),
        (b"", "lacks the columns id, first_name, last_name.*as: nothing"),
        (b"PK\x03\x04\x14\x00", "is a workbook, not a CSV file: save the sheet as “CSV UTF-8”"),
        (b"id,first_name,last_name\nann,\x81\x8d,\xff\n", "not text in UTF-8, UTF-16 or"),
        (
            b"id,first_name,last_name\nann,Ann,Moss, RN\n",
            "line 2 has 4 values for 3 columns: put a value that holds the separator in quot",
        ),
        (
            b"id,first_name,last_name\nann@ward.example,Ann,Moss\n",
            "line 2: 'ann@ward.example' is an e-mail address.*use “ann”, or a staff number",
        ),
        (
            b"id,first_name,last_name\nann@a.example,A,M\nANN@b.example,A,N\n",
            "line 2: 'ann@a.example' is an e-mail.*“ann” begins several of them.*line 3",
        ),
        (
            b"id,first_name,last_name\nann@a.example,A,M\nann,A,N\n",
            "line 2: 'ann@a.example' is an e-mail.*“ann” begins several of them",
        ),
    ],
)
def test_what_is_refused_is_refused_for_its_true_reason(
    tmp_path: Path, data: bytes, words: str
) -> None:
    with pytest.raises(CourseError, match=words):
        read_roster(written(tmp_path, data))


def test_guessed_letters_are_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = written(tmp_path, SEMICOLONS.encode("cp1252"))
    assert (
        main(["cohort", "create", "--workspace", str(tmp_path / "w"), "--roster", str(path)]) == 0
    )
    told = capsys.readouterr().out
    assert "was read as Windows-1252" in told
    assert "José" in told
    assert Course(tmp_path / "w").roster() == {row.id: row for row in ROWS}


def files(course: Course) -> list[Path]:
    """All files but the empty one that whoever is at work here locks."""
    found = [path for path in course.workspace.rglob("*") if path.is_file()]
    return [path for path in found if path.name != ".at-work.lock"]


def test_a_roster_is_replaced_only_if_that_is_said_and_nothing_is_lost(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    course = create(tmp_path / "w", [*ROWS, Learner("ann", "Ann", "Moss"), Learner("bo", "Bo")])
    handed_in = course.submitted("ann", "catheter-sizing") / "answers.json"
    handed_in.parent.mkdir(parents=True)
    handed_in.write_text("{}")
    note = {"format": "cubital-handin/1", "learner": "bo", "worksheet": "catheter-sizing"}
    note |= {"release": "autumn-1", "at": "2021-03-04T08:00:00+00:00", "sha256": {}}
    with zipfile.ZipFile(course.inbox / "not-collected-yet.zip", "w") as archive:
        archive.writestr("handin.json", json.dumps(note))
    before = {path: path.read_bytes() for path in files(course)}
    path = written(tmp_path, (COMMAS.replace("Zoë,Ångström", "Zoe,Reed") + "cy,Cy,Fir\n").encode())
    command = ["cohort", "create", "--workspace", str(course.workspace), "--roster", str(path)]
    assert main(command) == 1
    told = capsys.readouterr().err
    for line in (
        "added: cy (Cy Fir)\n",
        "removed: ann (Ann Moss), who has handed in\n",
        "removed: bo (Bo), who has handed in\n",
        "renamed: zoe, Zoë Ångström to Zoe Reed\n",
    ):
        assert line in told
    assert "say --replace-roster" in told
    assert {p: p.read_bytes() for p in files(course)} == before
    assert main([*command, "--replace-roster"]) == 0
    assert list(course.roster()) == ["jose.m", "zoe", "cy"]
    kept = course.workspace / "roster-before-1.csv"
    assert kept.read_bytes() == before.pop(course.roster_file)
    after = {p: p.read_bytes() for p in files(course)}
    assert {p: after[p] for p in before} == before
    assert main(command) == 0, "the same again changes nothing"
    assert {p: p.read_bytes() for p in files(course)} == after

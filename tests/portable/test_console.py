"""What the command says and reads where letters are not all there: Windows-1252, marks, UTF-16."""

from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest

from cubital import tables
from cubital.handin.files import read_json
from cubital.handin.released.own import read_own_item

Elsewhere = Callable[..., CompletedProcess[str]]
OWN = Path(__file__).parents[1] / "handin" / "released" / "ratio.py"


def test_letters_that_the_console_lacks_stop_nothing(tmp_path: Path, elsewhere: Elsewhere) -> None:
    roster = tmp_path / "roster.csv"
    roster.write_text("id,first_name,last_name\nann,Łucja,Żak\n", encoding="utf-8")
    words = ["-m", "cubital", "cohort", "create", "--roster=roster.csv", "--workspace=Łódź“1”"]
    done = elsewhere("win32", tmp_path, *words)
    assert (done.returncode, done.stderr) == (0, "")
    assert "\\u0141ód\\u017a“1”; 1 learners are on" in done.stdout
    assert "Łucja,Żak" in (tmp_path / "Łódź“1”" / "roster.csv").read_text(encoding="utf-8")


def test_files_may_begin_with_the_mark_of_their_encoding(tmp_path: Path) -> None:
    toml, file = tmp_path / "local-profile.toml", tmp_path / "a.json"
    toml.write_bytes("\ufeffname = 'Łódź'\r\n".encode())
    file.write_bytes(b'\xef\xbb\xbf{"a": 1}\r\n')
    assert tables.read_toml(toml) == {"name": "Łódź"}
    assert read_json(file) == {"a": 1}


def test_a_question_of_ones_own_may_begin_with_it_and_have_lines_of_windows(tmp_path: Path) -> None:
    text = OWN.read_bytes()
    plain, marked = tmp_path / "plain.py", tmp_path / "marked.py"
    plain.write_bytes(text)
    marked.write_bytes(b"\xef\xbb\xbf" + text.replace(b"\n", b"\r\n"))
    assert read_own_item(marked).item.id == read_own_item(plain).item.id


def test_a_table_in_another_encoding_is_named_with_what_to_do(tmp_path: Path) -> None:
    path = tmp_path / "bank.toml"
    path.write_text("points = 3\n", encoding="utf-16")
    with pytest.raises(ValueError, match=r"bank\.toml is not text in UTF-8: save it in that enc"):
        tables.read_toml(path)

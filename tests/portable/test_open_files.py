"""Windows moves nothing onto a file that a program has open, nor a folder with such a file."""

from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest

Elsewhere = Callable[..., CompletedProcess[str]]
HELD = """
import sys, time
from pathlib import Path
from cubital.scene.files import atomic
path = Path("marks.csv")
path.write_bytes(b"old")
reader = path.open("rb")
tried = []
def wait(seconds):
    tried.append(seconds)
    if len(tried) == int(sys.argv[1]):
        reader.close()
time.sleep = wait
atomic.write_atomically(path, b"new")
print(len(tried), sum(tried) < 1, path.read_text(encoding="utf-8"))
"""
FOLDER = """
from pathlib import Path
from cubital.scene.files.atomic import put_in_place
Path("a").mkdir()
with open("a/read", "w", encoding="utf-8"):
    put_in_place(Path("a"), Path("b"))
"""


@pytest.fixture
def tried(tmp_path: Path, elsewhere: Elsewhere) -> Callable[..., CompletedProcess[str]]:
    return lambda code, *rest: elsewhere("win32", tmp_path, "-c", code, *rest)


def test_a_file_that_somebody_is_reading_is_replaced_when_they_are_done(tried: Elsewhere) -> None:
    done = tried(HELD, "3")
    assert (done.stdout, done.stderr) == ("3 True new\n", "")


def test_one_that_stays_open_stays_as_it_is_and_the_error_says_what_to_close(
    tried: Elsewhere, tmp_path: Path
) -> None:
    done = tried(HELD, "100")
    assert "another program has it open, such as Excel: close it there" in done.stderr
    assert [(path.name, path.read_bytes()) for path in tmp_path.iterdir()] == [
        ("marks.csv", b"old")
    ]


def test_a_folder_is_not_moved_while_a_file_in_it_is_open(tried: Elsewhere) -> None:
    assert "another program has it open" in tried(FOLDER).stderr


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ("win32 has no module fcntl", "import fcntl"),
        ("win32 has no os.getuid", "import os\nos.getuid()"),
        ("cannot import name 'SIGKILL'", "from signal import SIGKILL"),
        ("win32 has no such folder", "import os\nos.listdir('/proc')"),
        ("Windows takes no name such as 'a:b'", "open('a:b', 'w', encoding='utf-8')"),
        ("Windows takes no name such as 'a.'", "import os\nos.mkdir('a.')"),
        ("is a device of Windows", "open('con.txt', 'wb')"),
        ("where case does not count", "import os\nos.mkdir('a')\nos.mkdir('A')"),
        ("the path is too long", "import os\nos.mkdir('a' * 181)"),
        ("it is read-only", "import os\nos.close(os.open('a', 65, 0o400))\nos.unlink('a')"),
        (
            "Windows renames onto nothing",
            "import os\nos.mkdir('a')\nos.mkdir('b')\nos.rename('a', 'b')",
        ),
        ("can't encode character", "open('a', 'w').write('Ł')"),
    ],
)
def test_what_plays_windows_would_notice(said: str, code: str, tried: Elsewhere) -> None:
    ours = f"exec({code!r}, {{'__name__': 'cubital.probe'}})"
    assert said in tried(ours).stderr


def test_a_text_file_of_windows_has_its_line_ends(tried: Elsewhere, tmp_path: Path) -> None:
    assert tried("open('a', 'w').write('one\\ntwo\\n')").returncode == 0
    assert (tmp_path / "a").read_bytes() == b"one\r\ntwo\r\n"

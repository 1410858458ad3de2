"""Run Python as on Windows or macOS, as far as Linux can play that: see `elsewhere`."""

import ast
import functools
import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import mypy
import pytest

STUBS = Path(mypy.__file__).parent / "typeshed" / "stdlib"
MODULES = ("os", "select", "signal", "socket", "sys", "time")
# In the standard library of Python elsewhere than on Windows only, by its documentation.
UNIX_ONLY = ("crypt", "curses", "fcntl", "grp", "nis", "ossaudiodev", "posix", "pty", "pwd",
             "readline", "resource", "spwd", "syslog", "termios", "tty")  # fmt: skip
LINUX_ONLY = ("ossaudiodev", "spwd")
Run = subprocess.CompletedProcess[str]


def _declared(module: str, system: str) -> set[str]:
    """The names that a module of the standard library has on a system, by the types of Python."""
    path = STUBS / f"{module}.pyi"
    path = path if path.is_file() else STUBS / module / "__init__.pyi"
    names: set[str] = set()

    def add(body: list[ast.stmt]) -> None:
        for part in body:
            match part:
                case ast.If():
                    told = compile(ast.Expression(part.test), path, "eval")
                    about = {"platform": system, "version_info": sys.version_info}
                    holds = eval(told, {"sys": type("sys", (), about)})
                    add(part.body if holds else part.orelse)
                case ast.FunctionDef() | ast.ClassDef():
                    names.add(part.name)
                case ast.AnnAssign(target=ast.Name(id=name)):
                    names.add(name)
                case ast.Assign():
                    names.update(one.id for one in part.targets if isinstance(one, ast.Name))
                case ast.Import() | ast.ImportFrom():
                    names.update(one.asname or one.name for one in part.names)

    add(ast.parse(path.read_text(encoding="utf-8")).body)
    return names


@functools.cache
def _lacking(system: str) -> dict[str, list[str] | None]:
    """What a system's Python lacks of Linux's: names by module; None is the whole module."""
    modules = UNIX_ONLY if system == "win32" else LINUX_ONLY
    names = {name: sorted(_declared(name, "linux") - _declared(name, system)) for name in MODULES}
    return names | dict.fromkeys(modules)


@pytest.fixture(scope="session")
def lacking() -> Callable[[str], dict[str, list[str] | None]]:
    """What a system's Python lacks, see `_lacking`."""
    return _lacking


@pytest.fixture(scope="session")
def elsewhere() -> Callable[..., Run]:
    """Run Python in a folder as on another system: ``elsewhere(system, folder, *arguments)``."""

    def run(system: str, drive: Path, *arguments: str, encoding: str = "cp1252") -> Run:
        told = {
            "CUBITAL_SYSTEM": system,
            "CUBITAL_DRIVE": str(drive.resolve()),
            "CUBITAL_LACKING": json.dumps(_lacking(system)),
            "PYTHONPATH": str(Path(__file__).parent / "elsewhere"),
            "PYTHONIOENCODING": encoding if system == "win32" else "utf-8",
            "PYTHONTZPATH": "",  # as on Windows, which has no list of time zones for Python
        }
        return subprocess.run(
            [sys.executable, *arguments],
            cwd=drive,
            env=os.environ | told,
            capture_output=True,
            encoding=told["PYTHONIOENCODING"],
            errors="replace",
            timeout=300,
            check=False,
        )

    return run

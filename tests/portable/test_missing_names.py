"""The course names nothing of Python's that Windows or macOS lack, but where Linux alone runs it.

mypy knows which names a module of the standard library has on which system.
"""

import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

import cubital

PACKAGE = Path(cubital.__file__).parent
MISSING = re.compile(r'^([^:]+):\d+: error: Module has no attribute "(\w+)"', re.MULTILINE)
# What runs learners' code; `running` imports it on Linux alone, and `surviving` asks it there.
LINUX_ALONE = {
    f"marking/cells/{name}.py"
    for name in ("bubblewrap", "confining", "forking", "parent", "unprotected", "watching")
}


@pytest.mark.parametrize("system", ["win32", pytest.param("darwin", marks=pytest.mark.long)])
def test_only_the_sandbox_names_what_another_system_lacks(
    system: str, tmp_path: Path, lacking: Callable[[str], dict[str, list[str] | None]]
) -> None:
    config = tmp_path / "mypy.ini"
    config.write_text("[mypy]\ncheck_untyped_defs = true\n", encoding="utf-8")
    told = ["--platform", system, "--config-file", str(config), "--cache-dir", str(tmp_path)]
    told += ["--ignore-missing-imports", "--follow-imports=silent", str(PACKAGE)]
    done = subprocess.run(
        [sys.executable, "-m", "mypy", *told],
        cwd=PACKAGE.parent,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    names = {name for told in lacking(system).values() for name in told or ()}
    found = {
        Path(where).relative_to("cubital").as_posix()
        for where, name in MISSING.findall(done.stdout)
        if name in names
    }
    assert found, done.stdout + done.stderr  # the sandbox's are there: so mypy looked
    assert found <= LINUX_ALONE, done.stdout

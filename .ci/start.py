"""Make an environment and run the demo or the tests in it. Standard library only.

    python3 .ci/start.py demo [options of cubital demo]
    python3 .ci/start.py test [options of pytest]
    python3 .ci/start.py long [options of pytest]

``test`` runs on every change and takes a quarter of an hour at most; ``long`` runs what takes
longer: the tests marked `long`, and the checks in ``LONG_CHECKS``. It is run before a release.

The environment is made once in ``.venv`` beside this checkout's files, from the versions in
``requirements.lock``, and made again when they change.
"""

import hashlib
import os
import shutil
import subprocess
import sys
import venv
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[1]
ENVIRONMENT = CHECKOUT / ".venv"
LOCK = CHECKOUT / "requirements.lock"
# Two files of tests at a time: with three, on two cores, a page can wait for its kernel so long
# that it gives up. Each file's own stay together and share what they set up, and they go in the
# order of their names, so that the browser's are not the last; the long ones go singly, since a
# file of them may take longer than all others together.
AT_ONCE = ("--numprocesses", "2", "--dist", "loadfile", "--no-loadscope-reorder")
LONG_AT_ONCE = ("--numprocesses", "2", "--dist", "worksteal", "--long", "-m", "long")
LONG_CHECKS: tuple[tuple[str, ...], ...] = (("repeat_published.py",), ("mutants.py",))
# What a test needs on the path -> who ships it.
DEBIAN_PACKAGES = {
    "bwrap": "bubblewrap",
    "chromium": "chromium",
    "firefox-esr": "firefox-esr",
    "node": "nodejs",
}


def main(arguments: list[str]) -> int:
    """Run one of the jobs."""
    if sys.version_info < (3, 11):  # noqa: UP036 - this file also runs on what is too old
        print(f"Cubital needs Python 3.11 or newer; this is {sys.version.split()[0]}.")
        return 2
    if not arguments or arguments[0] not in {"demo", "test", "long"}:
        print(__doc__)
        return 2
    job, *options = arguments
    python = environment("" if job == "demo" else "test")
    if job == "demo":
        return subprocess.call([python, "-m", "cubital", "demo", *options])
    system_packages()
    tests = [python, "-m", "pytest"]
    if job == "long":
        scripts = [
            [python, str(CHECKOUT / ".ci" / script[0]), *script[1:]] for script in LONG_CHECKS
        ]
        return run_all([[*tests, *LONG_AT_ONCE, *options], *scripts])
    tools = Path(python).parent
    lint = [[str(tools / "ruff"), "check", "."], [str(tools / "ruff"), "format", "--check", "."]]
    checks = [[str(tools / "lint-imports")], [str(tools / "mypy")]]
    return run_all([*lint, *checks, [*tests, *AT_ONCE, *options]])


def environment(extra: str) -> str:
    """Make the environment if it is not there as it should be; return its Python."""
    folder = "Scripts" if os.name == "nt" else "bin"
    python = str(ENVIRONMENT / folder / ("python.exe" if os.name == "nt" else "python"))
    wanted = LOCK.read_bytes() + (CHECKOUT / "pyproject.toml").read_bytes() + extra.encode()
    stamp = ENVIRONMENT / "made-from.txt"
    mark = hashlib.sha256(wanted).hexdigest()
    if stamp.is_file() and stamp.read_text() == mark:
        return python
    print("Making the environment in .venv ...", flush=True)
    venv.create(ENVIRONMENT, with_pip=True, clear=True)
    project = f"{CHECKOUT}[{extra}]" if extra else str(CHECKOUT)
    install = [python, "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    subprocess.check_call([*install, "--constraint", str(LOCK), "--editable", project])
    stamp.write_text(mark)
    return python


def system_packages() -> None:
    """Install what tests need of the system where that is allowed; else name it and stop."""
    missing = [package for tool, package in DEBIAN_PACKAGES.items() if not shutil.which(tool)]
    if not missing:
        return
    command = f"apt-get update && apt-get install --yes {' '.join(missing)}"
    if shutil.which("apt-get") and getattr(os, "geteuid", lambda: 1)() == 0:
        print(f"Installing the Debian packages {', '.join(missing)} ...", flush=True)
        quiet = {
            "stdout": subprocess.DEVNULL,
            "env": os.environ | {"DEBIAN_FRONTEND": "noninteractive"},
        }
        subprocess.check_call(["apt-get", "update", "--quiet"], **quiet)
        subprocess.check_call(["apt-get", "install", "--yes", "--quiet", *missing], **quiet)
        return
    sys.exit(
        f"The tests need {', '.join(missing)}. On Debian, run as root:\n  {command}\n"
        "and then this command again."
    )


def run_all(commands: list[list[str]]) -> int:
    """Run commands one after the other; stop at the first that fails."""
    for command in commands:
        print("$", Path(command[0]).name, *command[1:], flush=True)
        code = subprocess.call(command, cwd=CHECKOUT)
        if code:
            return code
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

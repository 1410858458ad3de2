"""Learners work on Linux, macOS and Windows: what they import needs no Unix-only module."""

import subprocess
import sys

# In the standard library of Python on Unix only.
UNIX_ONLY = ["crypt", "fcntl", "grp", "nis", "ossaudiodev", "posix", "pty", "pwd", "resource",
             "spwd", "syslog", "termios"]  # fmt: skip
LEARNERS_SIDE = [
    "cubital.cli",
    "cubital.cli.learner",
    "cubital.cli.refresh",
    "cubital.calc",
    "cubital.explore",
    "cubital.handin.bundle",
    "cubital.items",
    "cubital.refresh.schedule",
    "cubital.study.contents",
    "cubital.study.folders",
    "cubital.study.identity",
    "cubital.study.lab",
    "cubital.study.refreshing",
    "cubital.study.running",
    "cubital.study.serving",
    "cubital.worksheet.fields",
    "cubital.worksheet.handing_in",
]

# Imports modules of ours with every Unix-only module missing for our own files; what well-kept
# libraries do for each system is their affair.
PROBE = """
import builtins, importlib, sys
sys.path.insert(0, "")
unix, name = sys.argv[1].split(","), sys.argv[2]
real = builtins.__import__
def guarded(name, globals=None, *rest, **more):
    ours = (globals or {}).get("__name__", "").startswith("cubital")
    if ours and name.split(".")[0] in unix:
        raise ModuleNotFoundError(f"{globals['__name__']} needs {name}")
    return real(name, globals, *rest, **more)
builtins.__import__ = guarded
for one in name.split(","):
    importlib.import_module(one)
"""


def probe(name, path=None):
    return subprocess.run(
        [sys.executable, "-c", PROBE, ",".join(UNIX_ONLY), name],
        capture_output=True,
        text=True,
        check=False,
        cwd=path,
    )


def test_no_unix_only_module_on_the_learners_side():
    done = probe(",".join(LEARNERS_SIDE))
    assert done.returncode == 0, done.stderr


def test_the_probe_would_notice(tmp_path):
    """A package of our name that needs `fcntl`, to see the probe go red."""
    (tmp_path / "cubital_probe.py").write_text("import fcntl\n")
    done = probe("cubital_probe", tmp_path)
    assert done.returncode == 1
    assert "cubital_probe needs fcntl" in done.stderr

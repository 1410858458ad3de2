"""The command that starts Python inside bubblewrap, and what it can see there; nothing is started.

It sees the system's programs and libraries, Python with its packages, and the course without its
worksheets' solutions, all read-only. Of the folder that Python is installed in it sees what Python
is made of, since that folder can be a home or a workspace too. There is no home, no workspace, no
network and no other process.
"""

import os
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path

from cubital.marking.cells.confining import ROOM
from cubital.tables import course_folder

PROGRAM = "bwrap"
_SYSTEM = ("/usr", "/bin", "/sbin", "/lib", "/lib32", "/lib64", "/libx32", "/nix/store")
_SETTINGS = ("/etc/ld.so.cache", "/etc/alternatives")  # by which libraries are found
_DEVICES = ("/dev/null", "/dev/zero", "/dev/random", "/dev/urandom")
_OF_PYTHON = ("bin", "lib", "lib64", "pyvenv.cfg")  # what Python needs of where it is installed
_PACKAGE = Path(__file__).resolve().parents[2]
# What a root marker needs inside, to close in who runs cells and to end them.
_RIGHTS = ("CAP_SYS_ADMIN", "CAP_SETUID", "CAP_SETGID", "CAP_KILL")


def command(program: str, run: Sequence[str], closed: Iterable[Path], *, nested: bool) -> list[str]:
    """Return the command that runs Python's ``run`` in a sandbox.

    Parameters
    ----------
    program
        Where bubblewrap is.
    run
        What Python is given.
    closed
        Folders that are empty inside, even where they lie within something that is seen.
    nested
        Whether its processes are to make namespaces of their own, with a folder in each; else
        nothing can be written in it.
    """
    root = os.geteuid() == 0
    words = [program, "--die-with-parent", "--new-session", "--hostname", "sandbox"]
    words += ["--unshare-pid", "--unshare-net", "--unshare-ipc", "--unshare-uts"]
    words += ["--unshare-cgroup-try"]
    if root:
        words += ["--cap-drop", "ALL"]
        for right in _RIGHTS:
            words += ["--cap-add", right]
    else:
        words += ["--unshare-user"]
    words += _tree(closed)
    if nested and not root:
        words += ["--proc", "/proc"]  # by which a process without rights founds a namespace
    if nested:
        words += ["--dir", ROOM]
    words += ["--remount-ro", "/", "--chdir", "/", "--", sys.executable, "-P", *run]
    return words


def environment() -> dict[str, str]:
    """Return the whole environment of the process inside; who runs cells has an empty one."""
    told = {
        "PYTHONPATH": os.pathsep.join(_search_path()),
        "PYTHONDONTWRITEBYTECODE": "1",
        "LANG": "C.UTF-8",
        "MPLBACKEND": "Agg",
        # One thread, so that it can be forked.
        "OPENBLAS_NUM_THREADS": "1",
        "OMP_NUM_THREADS": "1",
        "MKL_NUM_THREADS": "1",
    }
    kept = ("LD_LIBRARY_PATH",)
    return {name: os.environ[name] for name in kept if name in os.environ} | told


def _tree(closed: Iterable[Path]) -> list[str]:
    """Return the options that show or hide folders, outer ones before those in them."""
    words: list[str] = []
    for name in _SYSTEM:
        path = Path(name)
        if path.is_symlink():
            words += ["--symlink", str(path.readlink()), name]
        elif path.is_dir():
            words += ["--ro-bind", name, name]
    words += ["--dir", "/etc", "--dir", "/dev"]
    for name in _SETTINGS:
        words += ["--ro-bind-try", name, name]
    for name in _DEVICES:
        words += ["--dev-bind", name, name]
    shown = seen()
    every = [Path(name) for name in _SYSTEM if Path(name).is_dir()] + shown
    hidden = {
        path
        for folder in (*closed, Path(os.path.expanduser("~")), course_folder("exercises"))
        for path in (folder.absolute(), folder.resolve())
        if path.is_dir() and any(path.is_relative_to(other) for other in every)
    }
    parts = [(path, True) for path in {*shown} - hidden] + [(path, False) for path in hidden]
    closing: list[str] = []
    for path, visible in sorted(parts, key=lambda part: len(part[0].parts)):
        name = str(path)
        for parent in [*path.parents][-2::-1]:  # else only root could pass through them
            words += ["--dir", str(parent)]
        words += ["--ro-bind", name, name] if visible else ["--tmpfs", name]
        closing += [] if visible else ["--remount-ro", name]
    return words + closing


def seen() -> list[Path]:
    """Return the folders and files that Python, its packages and the course are."""
    homes = (Path(sys.prefix), Path(sys.base_prefix), Path(sys.executable).resolve().parents[1])
    wanted = [home / name for home in homes for name in _OF_PYTHON]
    wanted += [_PACKAGE, course_folder("assets")]
    wanted += [Path(name) for name in sys.path if Path(name).name.endswith("-packages")]
    both = {path for one in wanted for path in (one.absolute(), one.resolve())}
    return sorted(
        path
        for path in both
        if path.exists() and path != Path("/") and not path.is_relative_to("/usr")
    )


def _search_path() -> list[str]:
    """Return where Python looks for modules inside: as here, as far as it is seen there."""
    places = [str(_PACKAGE.parent)]
    folders = [Path("/usr"), *seen()]
    for name in sys.path:
        path = Path(name)
        if path.is_absolute() and any(path.is_relative_to(folder) for folder in folders):
            places.append(name)
    return list(dict.fromkeys(places))

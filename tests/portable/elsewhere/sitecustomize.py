"""A Python that behaves as on Windows or macOS, as far as Linux can play that.

Python imports this file as it starts, where its folder is on PYTHONPATH, so processes that the
course starts itself have it too. The course's own code finds what the `SYSTEM` has: its `os.name`
and `sys.platform`, no ``/proc``, and none of the names and modules that `LACKING` lists. Libraries
keep theirs, since each has a part for the other systems that cannot run here.

For everybody, in the folder `DRIVE`: a file's name differs from its neighbours' by more than its
case. And for Windows: a name is one that it takes; an open or read-only file is neither deleted nor
replaced; a text file is written in Windows-1252 with carriage returns unless its writer says
otherwise.
"""

import builtins
import importlib
import io
import json
import os
import stat
import sys
from pathlib import PureWindowsPath
from types import ModuleType

SYSTEM = os.environ["CUBITAL_SYSTEM"]
DRIVE = os.environ["CUBITAL_DRIVE"]
LACKING = json.loads(os.environ["CUBITAL_LACKING"])  # names by module; None is all of it
_WINDOWS = SYSTEM == "win32"
TOLD = {("os", "name"): "nt" if _WINDOWS else "posix", ("sys", "platform"): SYSTEM}
LONGEST = 180  # of a path within DRIVE; Windows takes 259 with the drive's own folder before it
_ODD = frozenset('<>:"|?*\\') | {chr(number) for number in range(32)}
_frame = sys._getframe


def _is_ours(names):
    return names.get("__name__", "").partition(".")[0] == "cubital"


def _asks():
    """Return the names of whoever asks a module for something; none if it is Python itself."""
    try:
        return _frame(2).f_globals
    except ValueError:
        return {}


class _AsOnWindows(ModuleType):
    def __getattribute__(self, name):
        found = ModuleType.__getattribute__(self, name)
        if _is_ours(_asks()):
            module = ModuleType.__getattribute__(self, "__name__")
            if name in LACKING[module]:
                raise AttributeError(f"{SYSTEM} has no {module}.{name}")
            return TOLD.get((module, name), found)
        return found


def _import(name, globals=None, locals=None, fromlist=(), level=0):
    if not level and LACKING.get(name, ()) is None and _is_ours(globals or {}):
        raise ModuleNotFoundError(f"{SYSTEM} has no module {name}", name=name)
    return _real["import"](name, globals, locals, fromlist, level)


def _within(path):
    """Return the parts of a path in the drive; none if it lies elsewhere or is no path."""
    if isinstance(path, int):
        return []
    path = os.path.abspath(os.fsdecode(path))
    return path[len(DRIVE) + 1 :].split("/") if path.startswith(f"{DRIVE}/") else []


def _check_name(path):
    parts = _within(path)
    wrong = ""
    for part in parts if _WINDOWS else ():
        if _ODD & set(part) or part[-1:] in {".", " "}:
            wrong = f"Windows takes no name such as {part!r}"
        elif PureWindowsPath(part).is_reserved():
            wrong = f"{part!r} is a device of Windows"
    if _WINDOWS and sum(map(len, parts)) + len(parts) - 1 > LONGEST:
        wrong = "the path is too long for Windows"
    if parts:
        name, folder = parts[-1], os.path.dirname(os.path.abspath(os.fsdecode(path)))
        try:
            there = _real["listdir"](folder)
        except OSError:
            there = []
        if name not in there and name.casefold() in {one.casefold() for one in there}:
            wrong = f"{name!r} is another file's name where case does not count"
    if wrong:
        raise OSError(22, f"{wrong}: {'/'.join(parts)}")


def _check_free(path, *, deleted):
    """Refuse what Windows refuses to take away: what is open, and files that are read-only."""
    if not _WINDOWS or not _within(path):
        return
    whole = os.path.abspath(os.fsdecode(path))
    held = [os.getcwd()]
    for number in _real["listdir"]("/proc/self/fd"):
        try:
            held.append(os.readlink(f"/proc/self/fd/{number}"))
        except OSError:
            continue
    if any(one == whole or one.startswith(f"{whole}/") for one in held if _is_kept(one, whole)):
        raise PermissionError(13, "Windows keeps it: a program has it open", whole)
    if deleted and os.path.isfile(whole) and not os.stat(whole).st_mode & stat.S_IWUSR:
        raise PermissionError(13, "Windows keeps it: it is read-only", whole)


def _is_kept(held, whole):
    """Whether an open thing keeps a path: a file does, and the folder that a program is in."""
    return held == os.getcwd() or not os.path.isdir(held)


def _rename(source, target, **more):
    _check_name(target)
    _check_free(source, deleted=False)
    if _WINDOWS and _within(target) and os.path.lexists(target) and source != target:
        raise FileExistsError(17, "Windows renames onto nothing", target)
    return _real["rename"](source, target, **more)


def _replace(source, target, **more):
    _check_name(target)
    _check_free(source, deleted=False)
    _check_free(target, deleted=True)
    if _WINDOWS and _within(target) and os.path.isdir(target):
        raise PermissionError(13, "Windows replaces no folder", target)
    return _real["replace"](source, target, **more)


def _unlink(path, **more):
    _check_free(path, deleted=True)
    return _real["unlink"](path, **more)


def _rmdir(path, **more):
    _check_free(path, deleted=False)
    return _real["rmdir"](path, **more)


def _mkdir(path, *mode, **more):
    _check_name(path)
    return _real["mkdir"](path, *mode, **more)


def _symlink(source, target, *rest, **more):
    if _WINDOWS and _within(target):
        raise OSError(1314, "Windows lets administrators alone make a link", target)
    return _real["symlink"](source, target, *rest, **more)


def _listdir(path="."):
    if str(path).startswith("/proc") and _is_ours(_frame(1).f_globals):
        raise FileNotFoundError(2, f"{SYSTEM} has no such folder", path)
    return _real["listdir"](path)


def _open(path, flags, *mode, **more):
    if flags & os.O_CREAT:
        _check_name(path)
    if _WINDOWS and _within(path) and os.path.isdir(path):
        raise PermissionError(13, "Windows opens no folder", path)
    return _real["open"](path, flags, *mode, **more)


def _open_file(  # noqa: PLR0917 - as `open` has them
    file, mode="r", buffering=-1, encoding=None, errors=None, newline=None, *rest, **more
):
    if _within(file):
        if set(mode) & set("wax"):
            _check_name(file)
        if _WINDOWS and "b" not in mode:
            encoding = "cp1252" if encoding in {None, "locale"} else encoding
            if newline is None and set(mode) & set("wax"):
                newline = "\r\n"
    return _real["open_file"](file, mode, buffering, encoding, errors, newline, *rest, **more)


_real = {
    "import": builtins.__import__,
    "listdir": os.listdir,
    "open_file": io.open,
    **{name: getattr(os, name) for name in
       ("rename", "replace", "unlink", "rmdir", "mkdir", "symlink", "open")},
}  # fmt: skip
os.rename, os.replace, os.rmdir, os.mkdir = _rename, _replace, _rmdir, _mkdir
os.unlink = os.remove = _unlink
os.symlink, os.open, os.listdir = _symlink, _open, _listdir
io.open = builtins.open = _open_file
builtins.__import__ = _import
importlib._bootstrap._new_module = ModuleType  # it takes that of `sys`, which changes below
for _name in [name for name, lacking in LACKING.items() if lacking is not None]:
    __import__(_name)
    sys.modules[_name].__class__ = _AsOnWindows

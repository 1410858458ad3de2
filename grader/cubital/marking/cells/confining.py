"""What the process that runs one hand-in's cells gives up before the first of them.

Where the system allows it, it stands in namespaces of its own: no other process, no file but the
system's, Python's and the course's, and one small folder, which goes with it.
"""

import ctypes
import os
import resource
import signal
from pathlib import Path

from cubital.marking.cells import seccomp

ROOM = "/hand-in"  # the only folder that can be written
ROOM_BYTES = 16 * 2**20
MEMORY_BYTES = 2**30  # of addresses, Python with numpy and the course included: these take 0.2 GB
_ROOM_FILES = 256
_OPEN_FILES = 64
NOBODY = 65534  # whom a marker that is root becomes here

# <linux/sched.h>, <sys/mount.h>, <linux/prctl.h>, <linux/capability.h>
_NEW_MOUNTS, _NEW_USERS, _NEW_PROCESSES = 0x00020000, 0x10000000, 0x20000000
_READ_ONLY, _NO_SUID, _NO_DEVICES, _NO_PROGRAMS = 1, 2, 4, 8
_PR_SET_PDEATHSIG, _PR_SET_DUMPABLE = 1, 4
_CAPABILITY_VERSION_3 = 0x20080522


def separate() -> None:
    """Have the next child of this process see no other process, and mounts of its own.

    Raises
    ------
    OSError
        The system refuses it.
    """
    user, group = os.getuid(), os.getgid()
    as_root = user == 0
    wanted = _NEW_MOUNTS | _NEW_PROCESSES | (0 if as_root else _NEW_USERS)
    _called("unshare", wanted)
    if not as_root:
        Path("/proc/self/setgroups").write_text("deny")
        Path("/proc/self/uid_map").write_text(f"{user} {user} 1")
        Path("/proc/self/gid_map").write_text(f"{group} {group} 1")


def confine(seconds: int, filter_program: bytes, *, separated: bool) -> None:
    """Give up all that a calculation does not need; afterwards there is no way back.

    Parameters
    ----------
    seconds
        How long this process may compute [s]; the kernel ends it then.
    filter_program
        The system calls that it keeps, see `seccomp.program`.
    separated
        Whether it has mounts of its own, and so a folder to write in.

    Raises
    ------
    OSError
        The system refuses a part of it.
    """
    owner = NOBODY if os.getuid() == 0 else os.getuid()
    if separated:
        _mount(ROOM, f"size={ROOM_BYTES},nr_inodes={_ROOM_FILES},mode=0700,uid={owner}")
        if os.path.isdir("/proc"):
            _mount("/proc", "size=4k,mode=0555", _READ_ONLY)
    _limit(seconds)
    if owner != os.getuid():
        os.setgroups([])
        os.setresgid(NOBODY, NOBODY, NOBODY)
        os.setresuid(NOBODY, NOBODY, NOBODY)
    if separated:
        os.chdir(ROOM)  # which is its new user's
    _drop_capabilities()
    seccomp.prctl(_PR_SET_DUMPABLE, 0)
    seccomp.prctl(_PR_SET_PDEATHSIG, signal.SIGKILL)  # a change of user would have undone it
    seccomp.load(filter_program)


def _limit(seconds: int) -> None:
    for kind, most in (
        (resource.RLIMIT_AS, MEMORY_BYTES),
        (resource.RLIMIT_CPU, seconds),
        (resource.RLIMIT_FSIZE, ROOM_BYTES),
        (resource.RLIMIT_NOFILE, _OPEN_FILES),
        (resource.RLIMIT_NPROC, 0),
        (resource.RLIMIT_CORE, 0),
        (resource.RLIMIT_MEMLOCK, 0),
        (resource.RLIMIT_MSGQUEUE, 0),
    ):
        resource.setrlimit(kind, (most, most))


def _drop_capabilities() -> None:
    """Keep none of the rights that root has; in a namespace of users its founder has them all."""
    header = (ctypes.c_uint32 * 2)(_CAPABILITY_VERSION_3, 0)
    _called("capset", ctypes.byref(header), ctypes.byref((ctypes.c_uint32 * 6)()))


def _mount(place: str, options: str, flags: int = 0) -> None:
    flags |= _NO_SUID | _NO_DEVICES | _NO_PROGRAMS
    kind = b"tmpfs"
    _called("mount", kind, place.encode(), kind, ctypes.c_ulong(flags), options.encode())


def _called(name: str, *given: object) -> None:
    """Call a function of the C library, and raise OSError if it fails."""
    libc = ctypes.CDLL(None, use_errno=True)
    if getattr(libc, name)(*given):
        number = ctypes.get_errno()
        raise OSError(number, f"{name}: {os.strerror(number)}")

"""The system calls that a learner's code has left: those of a calculation, and no others.

A filter is a small program of the kernel's (classic BPF) that looks at each call's number, and at
one argument of the calls that could also reach another process. Here it lets pass what reads,
computes, keeps files in the process's own folder and ends; it refuses to start a process or a
program, to open a socket, to mount, to trace, to send a signal, to lock a file, to enter a
namespace, and whatever a later kernel brings. It is made for one type of processor: its numbers
are those of the kernel's headers, and only the ones of x86-64 were run in the tests.
"""

import ctypes
import errno
import os
import platform
import struct
from collections.abc import Sequence

# The call's numbers on x86-64 and on 64-bit ARM, which has no old forms of some.
_CALLS: dict[str, tuple[int, int | None]] = {
    # files
    "read": (0, 63),
    "write": (1, 64),
    "readv": (19, 65),
    "writev": (20, 66),
    "pread64": (17, 67),
    "pwrite64": (18, 68),
    "lseek": (8, 62),
    "close": (3, 57),
    "close_range": (436, 436),
    "open": (2, None),
    "openat": (257, 56),
    "stat": (4, None),
    "lstat": (6, None),
    "fstat": (5, 80),
    "newfstatat": (262, 79),
    "statx": (332, 291),
    "statfs": (137, 43),
    "fstatfs": (138, 44),
    "access": (21, None),
    "faccessat": (269, 48),
    "faccessat2": (439, 439),
    "readlink": (89, None),
    "readlinkat": (267, 78),
    "getdents64": (217, 61),
    "getcwd": (79, 17),
    "chdir": (80, 49),
    "mkdir": (83, None),
    "mkdirat": (258, 34),
    "rmdir": (84, None),
    "unlink": (87, None),
    "unlinkat": (263, 35),
    "rename": (82, None),
    "renameat": (264, 38),
    "renameat2": (316, 276),
    "symlink": (88, None),
    "symlinkat": (266, 36),
    "truncate": (76, 45),
    "ftruncate": (77, 46),
    "chmod": (90, None),
    "fchmod": (91, 52),
    "umask": (95, 166),
    "fsync": (74, 82),
    "dup": (32, 23),
    "dup2": (33, None),
    "dup3": (292, 24),
    "pipe2": (293, 59),
    "poll": (7, None),
    "ppoll": (271, 73),
    "select": (23, None),
    "pselect6": (270, 72),
    "fadvise64": (221, 223),
    # memory
    "mmap": (9, 222),
    "munmap": (11, 215),
    "mprotect": (10, 226),
    "mremap": (25, 216),
    "madvise": (28, 233),
    "brk": (12, 214),
    "membarrier": (324, 283),
    # the process itself
    "exit": (60, 93),
    "exit_group": (231, 94),
    "rt_sigaction": (13, 134),
    "rt_sigprocmask": (14, 135),
    "rt_sigreturn": (15, 139),
    "sigaltstack": (131, 132),
    "restart_syscall": (219, 128),
    "futex": (202, 98),
    "set_robust_list": (273, 99),
    "rseq": (334, 293),
    "getpid": (39, 172),
    "getppid": (110, 173),
    "gettid": (186, 178),
    "getuid": (102, 174),
    "geteuid": (107, 175),
    "getgid": (104, 176),
    "getegid": (108, 177),
    "uname": (63, 160),
    "sysinfo": (99, 179),
    "getrusage": (98, 165),
    "sched_yield": (24, 124),
    "sched_getaffinity": (204, 123),
    "getcpu": (309, 168),
    # time and chance
    "gettimeofday": (96, 169),
    "clock_gettime": (228, 113),
    "clock_getres": (229, 114),
    "clock_nanosleep": (230, 115),
    "nanosleep": (35, 101),
    "getrandom": (318, 278),
}
# Calls of which some pass: which argument tells, and what it may be. `fcntl` could also name the
# process that gets a signal when a pipe is filled, and lock files that other hand-ins see too;
# `prlimit64` could lower the limits of another process of the same user, and 0 is this one.
# F_DUPFD to F_SETFL, and F_DUPFD_CLOEXEC, of <linux/fcntl.h>.
_IN_PART: dict[str, tuple[tuple[int, int], int, tuple[int, ...]]] = {
    "fcntl": ((72, 25), 1, (0, 1, 2, 3, 4, 1030)),
    "prlimit64": ((302, 261), 0, (0,)),
}
# Answered as on what is no terminal: Python asks that of each file that it opens.
_IOCTL = {"x86_64": 16, "aarch64": 29}
_FIRST_NEW = 403  # calls from here on have one number everywhere; libraries try them, and go on
_ARCHITECTURES = {"x86_64": (0, 0xC000003E), "aarch64": (1, 0xC00000B7)}  # <linux/audit.h>
_X32 = 0x40000000  # x86-64's second set of numbers

# <linux/bpf_common.h>, <linux/seccomp.h>, <linux/prctl.h>
_LOAD, _EQUAL, _AT_LEAST, _RETURN = 0x20, 0x15, 0x35, 0x06
_NUMBER, _ARCHITECTURE, _ARGUMENTS = 0, 4, 16  # where they stand in struct seccomp_data
_ARGUMENT_BYTES = 8  # of which the lower half comes first, and is all that these calls look at
_ALLOW, _ERRNO, _KILL = 0x7FFF0000, 0x00050000, 0x80000000
_PR_SET_NO_NEW_PRIVS, _PR_SET_SECCOMP, _MODE_FILTER = 38, 22, 2


def program(machine: str | None = None) -> bytes:
    """Return the filter for a type of processor, by default this one.

    Raises
    ------
    ValueError
        There is none for it.
    """
    machine = machine or platform.machine()
    if machine not in _ARCHITECTURES:
        known = " and ".join(_ARCHITECTURES)
        raise ValueError(f"there is a filter of system calls for {known}, not for {machine}")
    column, architecture = _ARCHITECTURES[machine]
    numbers = (row[column] for row in _CALLS.values())
    allowed = sorted(number for number in numbers if number is not None)
    steps = [
        (_LOAD, 0, 0, _ARCHITECTURE),
        (_EQUAL, 1, 0, architecture),
        (_RETURN, 0, 0, _KILL),
        (_LOAD, 0, 0, _NUMBER),
        *_refuse_from(_X32, _KILL),
    ]
    for number in allowed:
        steps += [(_EQUAL, 0, 1, number), (_RETURN, 0, 0, _ALLOW)]
    for numbers_of_call, argument, passing in _IN_PART.values():
        part = _let_pass(argument, passing)
        steps += [(_EQUAL, 0, len(part), numbers_of_call[column]), *part]
    steps += [
        (_EQUAL, 0, 1, _IOCTL[machine]),
        (_RETURN, 0, 0, _ERRNO | errno.ENOTTY),
        *_refuse_from(_FIRST_NEW, _ERRNO | errno.ENOSYS),
        (_RETURN, 0, 0, _ERRNO | errno.EPERM),
    ]
    return b"".join(struct.pack("=HBBI", *step) for step in steps)


def _refuse_from(number: int, how: int) -> Sequence[tuple[int, int, int, int]]:
    return (_AT_LEAST, 0, 1, number), (_RETURN, 0, 0, how)


def _let_pass(argument: int, values: Sequence[int]) -> list[tuple[int, int, int, int]]:
    """Return the steps that let a call pass with these values of an argument, and refuse others."""
    steps = [(_LOAD, 0, 0, _ARGUMENTS + _ARGUMENT_BYTES * argument)]
    for value in values:
        steps += [(_EQUAL, 0, 1, value), (_RETURN, 0, 0, _ALLOW)]
    return [*steps, (_RETURN, 0, 0, _ERRNO | errno.EPERM)]


def load(filter_program: bytes) -> None:
    """Put this process under a filter, for good; nothing that it does then gives it more rights.

    Raises
    ------
    OSError
        The kernel does not take it.
    """

    class Program(ctypes.Structure):
        _fields_ = (("length", ctypes.c_ushort), ("filter", ctypes.c_char_p))

    told = Program(len(filter_program) // 8, filter_program)
    prctl(_PR_SET_NO_NEW_PRIVS, 1)
    prctl(_PR_SET_SECCOMP, _MODE_FILTER, ctypes.addressof(told))


def prctl(what: int, first: int, second: int = 0) -> None:
    """Change this process by the system call of that name; a refusal raises OSError."""
    libc = ctypes.CDLL(None, use_errno=True)
    unused = ctypes.c_ulong(0)
    if libc.prctl(what, ctypes.c_ulong(first), ctypes.c_ulong(second), unused, unused):
        number = ctypes.get_errno()
        raise OSError(number, f"prctl {what}: {os.strerror(number)}")

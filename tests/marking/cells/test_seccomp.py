"""The filter of system calls, read as the kernel reads it: instruction by instruction."""

import errno
import struct

import pytest

from cubital.marking.cells import seccomp

ALLOW, KILL, ERRNO = 0x7FFF0000, 0x80000000, 0x00050000
REFUSED, UNKNOWN, NO_TERMINAL = (
    ERRNO | number for number in (errno.EPERM, errno.ENOSYS, errno.ENOTTY)
)
X86, ARM = 0xC000003E, 0xC00000B7  # AUDIT_ARCH_X86_64 and AUDIT_ARCH_AARCH64 of <linux/audit.h>

# Numbers of <asm/unistd_64.h> and, for ARM, <asm-generic/unistd.h>.
NEEDED = {
    "x86_64": {"read": 0, "write": 1, "openat": 257, "mmap": 9, "brk": 12, "exit_group": 231},
    "aarch64": {"read": 63, "write": 64, "openat": 56, "mmap": 222, "brk": 214, "exit_group": 94},
}
DENIED = {
    "x86_64": {
        "fork": 57,
        "vfork": 58,
        "clone": 56,
        "execve": 59,
        "execveat": 322,
        "socket": 41,
        "connect": 42,
        "accept": 43,
        "bind": 49,
        "socketpair": 53,
        "sendmsg": 46,
        "ptrace": 101,
        "process_vm_readv": 310,
        "process_vm_writev": 311,
        "kill": 62,
        "tkill": 200,
        "tgkill": 234,
        "rt_sigqueueinfo": 129,
        "mount": 165,
        "umount2": 166,
        "pivot_root": 155,
        "chroot": 161,
        "unshare": 272,
        "setns": 308,
        "bpf": 321,
        "keyctl": 250,
        "add_key": 248,
        "shmget": 29,
        "memfd_create": 319,
        "userfaultfd": 323,
        "perf_event_open": 298,
        "prctl": 157,
        "seccomp": 317,
        "setuid": 105,
        "setgid": 106,
        "capset": 126,
        "mknod": 133,
        "link": 86,
        "linkat": 265,
        "setxattr": 188,
    },
    "aarch64": {
        "clone": 220,
        "execve": 221,
        "execveat": 281,
        "socket": 198,
        "connect": 203,
        "accept": 202,
        "bind": 200,
        "socketpair": 199,
        "sendmsg": 211,
        "ptrace": 117,
        "process_vm_readv": 270,
        "process_vm_writev": 271,
        "kill": 129,
        "tkill": 130,
        "tgkill": 131,
        "rt_sigqueueinfo": 138,
        "mount": 40,
        "umount2": 39,
        "pivot_root": 41,
        "chroot": 51,
        "unshare": 97,
        "setns": 268,
        "bpf": 280,
        "keyctl": 219,
        "add_key": 217,
        "shmget": 194,
        "memfd_create": 279,
        "userfaultfd": 282,
        "perf_event_open": 241,
        "prctl": 167,
        "seccomp": 277,
        "setuid": 146,
        "setgid": 144,
        "capset": 91,
        "mknodat": 33,
        "linkat": 37,
        "setxattr": 5,
    },
}
# The same on every processor.
NEW = {"clone3": 435, "io_uring_setup": 425, "io_uring_enter": 426, "open_tree": 428}
NEW |= {"move_mount": 429, "fsopen": 430, "pidfd_open": 434, "pidfd_getfd": 438, "later": 900}


def answer(program: bytes, architecture: int, number: int, *given: int) -> int:
    """What the filter answers to a call with these arguments, by the rules of classic BPF."""
    # struct seccomp_data of <linux/seccomp.h>: number, architecture, where, six arguments.
    data = struct.pack("<iIQ6Q", number, architecture, 0, *(*given, 0, 0, 0, 0, 0, 0)[:6])
    steps = list(struct.iter_unpack("=HBBI", program))
    at, held = 0, 0
    while True:
        code, if_so, if_not, operand = steps[at]
        at += 1
        if code == 0x06:  # BPF_RET
            return int(operand)
        if code == 0x20:  # BPF_LD | BPF_W | BPF_ABS, of struct seccomp_data
            (held,) = struct.unpack_from("<I", data, operand)
        elif code == 0x15:  # BPF_JMP | BPF_JEQ
            at += if_so if held == operand else if_not
        elif code == 0x35:  # BPF_JMP | BPF_JGE
            at += if_so if held >= operand else if_not
        else:
            raise ValueError(f"no such instruction: {code:#x}")


MACHINES = [("x86_64", X86, 16), ("aarch64", ARM, 29)]


@pytest.mark.parametrize(("machine", "architecture", "ioctl"), MACHINES)
def test_a_calculation_has_its_calls_and_no_others(
    machine: str, architecture: int, ioctl: int
) -> None:
    program = seccomp.program(machine)
    found = {name: answer(program, architecture, n) for name, n in NEEDED[machine].items()}
    assert set(found.values()) == {ALLOW}, found
    found = {name: answer(program, architecture, n) for name, n in DENIED[machine].items()}
    assert set(found.values()) == {REFUSED}, found
    found = {name: answer(program, architecture, n) for name, n in NEW.items()}
    assert set(found.values()) == {UNKNOWN}, found
    assert answer(program, architecture, ioctl) == NO_TERMINAL


# F_DUPFD, F_GETFD, F_SETFD, F_GETFL, F_SETFL, F_DUPFD_CLOEXEC; then F_GETLK, F_SETLK, F_SETLKW,
# F_SETOWN, F_SETSIG, F_SETOWN_EX, F_OFD_SETLK, F_SETLEASE, F_NOTIFY, F_SETPIPE_SZ, F_ADD_SEALS.
OF_A_DESCRIPTOR = (0, 1, 2, 3, 4, 1030)
OF_OTHERS = (5, 6, 7, 8, 10, 15, 37, 1024, 1026, 1031, 1033)


@pytest.mark.parametrize(
    ("machine", "fcntl", "prlimit"), [("x86_64", 72, 302), ("aarch64", 25, 261)]
)
def test_a_descriptor_names_no_process_to_signal_and_a_limit_is_ones_own(
    machine: str, fcntl: int, prlimit: int
) -> None:
    program, architecture = seccomp.program(machine), {"x86_64": X86, "aarch64": ARM}[machine]
    passed = {answer(program, architecture, fcntl, 3, command) for command in OF_A_DESCRIPTOR}
    assert passed == {ALLOW}
    refused = {answer(program, architecture, fcntl, 3, command) for command in OF_OTHERS}
    assert refused == {REFUSED}
    # The kernel takes command and process from the lower half alone.
    assert answer(program, architecture, fcntl, 3, 2**32 + 8) == REFUSED
    assert answer(program, architecture, prlimit, 0, 7) == ALLOW
    assert {answer(program, architecture, prlimit, pid, 0) for pid in (1, 2, 2**32 + 3)} == {
        REFUSED
    }


@pytest.mark.parametrize(("machine", "architecture", "ioctl"), MACHINES)
def test_calls_by_other_numbers_end_the_process(
    machine: str, architecture: int, ioctl: int
) -> None:
    program = seccomp.program(machine)
    read = NEEDED[machine]["read"]
    others = {X86, ARM, 0x40000003, 0x40000028} - {architecture}  # 32-bit x86 and ARM among them
    assert {answer(program, other, read) for other in others} == {KILL}
    assert answer(program, architecture, 0x40000000 + read) == KILL  # x86-64's second set


def test_there_is_none_for_another_processor() -> None:
    with pytest.raises(ValueError, match="for x86_64 and aarch64, not for riscv64"):
        seccomp.program("riscv64")

"""The sources of cells that attack whoever runs them; `attacks` says what is due for each.

Most try everything of a kind and keep what came of it: their function is right as long as nothing
did, and else gives the loot. What a cell does to forge its own mark stands in `forging`.
"""

# W, HOME and PORT are put in: the workspace, the marker's home, a port that listens on loopback.
TRIES = """
import glob, os, sys, time
loot = []
def attempt(what, *given, **more):
    try:
        loot.append((getattr(what, "__name__", "it"), str(what(*given, **more))[:80]))
    except BaseException:
        pass
def read(path):
    with open(path, "rb") as file:
        return file.read(100)
def write(path, mode="ab"):
    with open(path, mode) as file:
        file.write(b"pass_share = 0.01")
    return path
def ratio(outer_diameter_mm, vein_diameter_mm):
    return str(loot) if loot else outer_diameter_mm / vein_diameter_mm
"""
RIGHT = """
def ratio(outer_diameter_mm, vein_diameter_mm):
    return outer_diameter_mm / vein_diameter_mm
"""

WRITES = """
for name in ("nbgrader_config.py", "bank.toml", "gradebook.db", "gradebook.db-wal", "new.py",
             "sealed/new", "submitted/a-whole/catheter-sizing/answers.json", "results/new.json"):
    attempt(write, os.path.join(W, name))
attempt(write, os.path.join(HOME, ".bashrc"))
attempt(os.rename, os.path.join(W, "roster.csv"), os.path.join(W, "roster"))
attempt(os.remove, os.path.join(W, "local-profile.toml"))
attempt(os.chmod, W, 0o777)
"""
# What it makes it takes away again: it is meant for where it cannot.
WRITES_ELSEWHERE = """
course = os.path.dirname(sys.modules["cubital"].__file__)
def made(path):
    os.mkdir(path)
    os.rmdir(path)
    return path
def opened(path):
    open(path, "ab").close()
    return path
for folder in ("/", "/tmp", "/var/tmp", "/dev/shm", "/dev", "/run", "/etc", "/usr", "/root",
               "/home", "/proc", "/sys", sys.prefix, os.path.dirname(os.__file__), course):
    attempt(made, os.path.join(folder, "folder-of-a-cell"))
attempt(opened, os.path.join(course, "__init__.py"))
attempt(opened, os.__file__)
attempt(os.utime, course)
"""
READS = """
attempt(os.listdir, W)
attempt(os.listdir, os.path.dirname(W))
attempt(os.listdir, HOME)
for name in ("roster.csv", "gradebook.db", "nbgrader_config.py",
             "submitted/a-whole/catheter-sizing/answers.json",
             "source/catheter-sizing/catheter-sizing.ipynb"):
    attempt(read, os.path.join(W, name))
loot += glob.glob(os.path.join(W, "sealed", "*"))
from cubital.tables import course_folder
attempt(os.listdir, str(course_folder("exercises")))
"""
SECRETS = """
import ctypes
loot += list(os.environ)
environ = ctypes.POINTER(ctypes.c_char_p).in_dll(ctypes.CDLL(None), "environ")
loot += [environ[0]] if environ and environ[0] else []
for path in (os.path.join(HOME, "token"), "/etc/passwd", "/etc/hostname", "/etc/resolv.conf",
             "/root/.bashrc", "/proc/1/environ", "/proc/self/environ", "/proc/self/maps",
             "/proc/self/mounts", "/sys/kernel/mm", "/dev/sda", "/dev/mem"):
    attempt(read, path)
for folder in (HOME, "/proc/1", "/proc/self", "/sys", "/var", "/run"):
    attempt(os.listdir, folder)
"""
DETACHES = """
import signal, subprocess, threading
LATER = "import time; time.sleep(1); open(%r, 'w').write('late')" % os.path.join(W, "late")
def daemon():
    if os.fork() == 0:
        os.setsid()
        if os.fork() == 0:
            time.sleep(1)
            write(os.path.join(W, "late"))
        os._exit(0)
    return "forked"
attempt(daemon)
attempt(subprocess.Popen, [sys.executable, "-c", LATER], start_new_session=True)
attempt(os.posix_spawn, sys.executable, [sys.executable, "-c", LATER], {})
os.system("touch by-a-shell")
loot += glob.glob("by-a-shell")
def thread():
    threading.Thread(target=time.sleep, args=(1,)).start()
    return "a thread"
attempt(thread)
import multiprocessing
attempt(lambda: multiprocessing.Pool(2).map(str, [1]))
"""
BOMBS = """
def child():
    pid = os.fork()
    if pid == 0:
        time.sleep(60)
        os._exit(0)
    return pid
for _ in range(10_000):
    attempt(child)
"""
NETWORK = """
import socket, urllib.request
for family in (socket.AF_INET, socket.AF_INET6, socket.AF_UNIX, socket.AF_NETLINK,
               socket.AF_PACKET):
    for kind in (socket.SOCK_STREAM, socket.SOCK_DGRAM, socket.SOCK_RAW):
        attempt(socket.socket, family, kind)
attempt(socket.create_connection, ("127.0.0.1", PORT), 2)
attempt(socket.create_connection, ("192.0.2.1", 80), 2)
attempt(socket.getaddrinfo, "example.org", 80)
attempt(urllib.request.urlopen, "http://127.0.0.1:%d/" % PORT, timeout=2)
attempt(socket.socketpair)
"""
LINKS = """
for name in ("answers", "results.jsonl", "catheter-sizing.ipynb", "out"):
    os.symlink(os.path.join(W, "gradebook.db"), name)
    attempt(write, name)
    attempt(read, name)
os.symlink(W, "folder")
attempt(os.listdir, "folder")
attempt(os.link, os.path.join(W, "gradebook.db"), "linked")
attempt(os.mkfifo, "pipe")
attempt(os.mknod, "device", 0o600 | 0o020000, os.makedev(1, 1))
"""
NOTES = """
places = [".", "/hand-in", "/tmp", "/var/tmp", "/dev/shm", "/run"]
def notes():
    found = [p for place in places for p in glob.glob(os.path.join(place, "note-*"))]
    return [p for p in found if not p.endswith(MINE)]
until = time.monotonic() + 1.5
while time.monotonic() < until:
    for place in places:
        try:
            write(os.path.join(place, MINE), "wb")
        except OSError:
            pass
    loot += notes()
loot = loot[:3]
"""
KILLS = """
import signal
for pid in (os.getppid(), 0, 1, -1, *range(2, 60)):
    for number in (signal.SIGKILL, signal.SIGSTOP, signal.SIGTERM):
        if pid != os.getpid() and (pid or number != signal.SIGTERM):
            attempt(os.kill, pid, number)
attempt(os.killpg, 0, signal.SIGTERM)
attempt(os.pidfd_open, 1)
attempt(os.setpriority, os.PRIO_PROCESS, 1, 5)
"""
# The signal says nothing to who gets it: naming who gets one is what must not be possible.
SIGNALS_BY_PIPE = """
import fcntl, resource, signal
out, into = os.pipe()
for pid in (*range(-60, 0), os.getppid(), *range(1, 60)):
    if pid not in (0, os.getpid()):
        attempt(fcntl.fcntl, out, fcntl.F_SETOWN, pid)
        attempt(resource.prlimit, pid, resource.RLIMIT_CPU)
attempt(fcntl.fcntl, out, fcntl.F_SETSIG, signal.SIGURG)
attempt(fcntl.fcntl, out, fcntl.F_SETPIPE_SZ, 2**20)
with open(os.__file__, "rb") as shared:
    attempt(fcntl.lockf, shared, fcntl.LOCK_SH | fcntl.LOCK_NB)
    attempt(fcntl.fcntl, shared, fcntl.F_SETLEASE, fcntl.F_RDLCK)
"""
CALLS = """
import ctypes, platform
libc = ctypes.CDLL(None, use_errno=True)
assert platform.machine() == "x86_64"  # whose numbers these are
room = ctypes.create_string_buffer(4096)
for name, number, *given in (
    ("ptrace", 101, 0, 0, 0, 0),
    ("clone", 56, 17, 0, 0, 0, 0),
    ("clone3", 435, room, 88),
    ("vfork", 58),
    ("execve", 59, b"/bin/true", 0, 0),
    ("execveat", 322, -100, b"/bin/true", 0, 0, 0),
    ("unshare", 272, 0x10000000),
    ("setns", 308, 3, 0),
    ("mount", 165, b"none", b"/hand-in", b"tmpfs", 0, 0),
    ("umount2", 166, b"/proc", 2),
    ("pivot_root", 155, b".", b"."),
    ("chroot", 161, b"."),
    ("open_tree", 428, -100, b".", 1),
    ("fsopen", 430, b"tmpfs", 0),
    ("move_mount", 429, -100, b".", -100, b"/", 0),
    ("io_uring_setup", 425, 8, room),
    ("memfd_create", 319, b"x", 0),
    ("userfaultfd", 323, 0),
    ("bpf", 321, 0, room, 64),
    ("perf_event_open", 298, room, 0, -1, -1, 0),
    ("keyctl", 250, 0, -3, 0),
    ("add_key", 248, b"user", b"x", b"y", 1, -3),
    ("shmget", 29, 0, 4096, 0o1600),
    ("msgget", 68, 0, 0o1600),
    ("semget", 64, 0, 1, 0o1600),
    ("mq_open", 240, b"x", 0o102, 0o600, 0),
    ("setuid", 105, 0),
    ("prctl", 157, 38, 1, 0, 0, 0),
    ("seccomp", 317, 1, 0, room),
    ("process_vm_readv", 310, 1, room, 1, room, 1, 0),
    ("tgkill", 234, 1, 1, 9),
    ("pidfd_open", 434, 1, 0),
    ("name_to_handle_at", 303, -100, b".", room, room, 0),
    ("fanotify_init", 300, 0, 0),
    ("inotify_init", 253),
    ("timer_create", 222, 1, 0, room),
    ("kexec_load", 246, 0, 0, 0, 0),
    ("landlock", 444, 0, 0, 1),
    ("socketpair", 53, 1, 1, 0, room),
    ("sendmsg", 46, 3, room, 0),
    ("personality", 135, 0x0040000),
):
    words = (ctypes.c_long(one) if isinstance(one, int) else one for one in given)
    if libc.syscall(ctypes.c_long(number), *words) >= 0:
        loot.append(name)
"""
FILLS = """
def filled(folder):
    total = 0
    for number in range(100):
        with open(os.path.join(folder, str(number)), "wb") as file:
            total += file.write(bytes(2**19))
    return total
attempt(filled, ".")
held = sum(os.path.getsize(name) for name in os.listdir("."))
if held > 17_000_000:
    loot.append(held)
for name in os.listdir("."):
    os.remove(name)
def many():
    for number in range(1000):
        open(str(number), "wb").close()
    return number
attempt(many)
"""

# No process, folder or user but its own.
PLACE = """
here = (os.getpid(), os.getppid(), os.getcwd(), os.listdir("."), os.getuid() == os.geteuid() != 0)
if here != (1, 0, "/hand-in", [], True):
    loot.append(here)
"""
PRINTS = """
import os, sys
for _ in range(512):
    os.write(1, bytes(2**20))
    os.write(2, bytes(2**20))
for stream in (sys.stdout, sys.stderr):
    stream.write("x" * 2**24)
"""
HOLDS = "held = bytearray(5 * 10**9)\n"
HOARDS = "import numpy\nheld = []\nwhile True:\n    held.append(numpy.empty(10**7))\n"
FLOODS = """
import os
for descriptor in range(3, 64):
    try:
        for _ in range(1024):
            os.write(descriptor, b'{"item": 1}\\n' * 90_000)
    except OSError:
        pass
"""
# Says of itself what marking decides; the run of the function is never reached.
FORGES = """
import json, os
row = {"item": "own-ratio", "results": [0.4] * 4, "error": ""}
for descriptor in range(3, 64):
    for more in ({"points": 2, "outcome": "right"}, {}):
        try:
            os.write(descriptor, json.dumps(row | more).encode() + b"\\n")
        except OSError:
            pass
"""
MARKS = FORGES.replace(", {})", ",)") + "os._exit(0)\n"

SWALLOWS = """
while True:
    try:
        time.sleep(9)
    except BaseException:
        pass
"""
IGNORES = """
import signal
for number in set(signal.Signals) - {signal.SIGKILL, signal.SIGSTOP}:
    attempt_of = signal.signal(number, signal.SIG_IGN)
"""
MARKS_ITSELF = """
import subprocess
BOOKS = r'''
import os, sqlite3, sys
book = os.path.join(sys.argv[1], "gradebook.db")
assert os.path.exists(book)
db = sqlite3.connect(book, timeout=30)
db.execute("CREATE TABLE IF NOT EXISTS paid (by)")
db.execute("UPDATE grade SET manual_score = 27, needs_manual_grade = 0")
db.commit()
open(os.path.join(sys.argv[1], "booked"), "a").close()
'''
def booked():
    sys.argv = ["", W]
    exec(BOOKS, {})
    return "booked"
attempt(booked)
attempt(subprocess.Popen, [sys.executable, "-c", "import time; time.sleep(1)" + BOOKS, W],
        start_new_session=True)
def detached():
    if os.fork() == 0:
        os.setsid()
        if os.fork() == 0:
            time.sleep(1)
            booked()
        os._exit(0)
    os.wait()
    return "forked"
attempt(detached)
"""
CONFIGURES = """
for name, text in (
    ("nbgrader_config.py", "import os; os.system('touch configured')"),
    ("bank.toml", "[pass_share]\\nsize-ratio = 0.01"),
    ("local-profile.toml", "[sizing]\\nratio_limit = 0.9"),
    ("standard-catheter-sizing.csv", "item,judge"),
):
    def added():
        with open(os.path.join(W, name), "a") as file:
            return file.write(text)
    attempt(added)
    write("mine", "wb")
    attempt(os.replace, "mine", os.path.join(W, name))
"""
READS_SEALS = """
sealed = os.path.join(W, "sealed", "papers", "catheter-sizing", "autumn-1")
for path in (os.path.join(W, "sealed", "catheter-sizing.json"),
             *(os.path.join(sealed, one) for one in ("keys.json", "papers.json", "release.json")),
             *(os.path.join(W, one) for one in ("results.db", "bank.toml", "items/ratio.py"))):
    attempt(read, path)
for who in ("a-whole", "z-whole", "writes"):
    for part in ("answers.json", "catheter-sizing.ipynb"):
        attempt(read, os.path.join(W, "submitted", who, "catheter-sizing", part))
attempt(os.scandir, os.path.join(W, "submitted"))
attempt(os.chdir, sealed)
loot += [name for _, folders, files in os.walk(W) for name in (*folders, *files)]
"""
# What decides on an answer, and whatever belongs to a learner's answers, by the words it has.
SEARCHES = """
import gc
words = ("tolerance", "relative_tolerance", "misconception", "slips")
mine = globals()
def has_key(one):
    return type(one) is dict and one is not mine and (
        {"right", "tolerance"} <= one.keys() or {"seal", "format"} <= one.keys()
        or {"keys", "papers"} <= one.keys())
loot += [str(one)[:80] for one in gc.get_objects() if has_key(one)]
frame = sys._getframe()
while frame:
    loot += [name for name in frame.f_locals if name in words]
    frame = frame.f_back
from cubital.handin.released import sealed, own
loot += [str(one) for one in gc.get_objects() if type(one) in (sealed.Sealed, own.OwnItem)]
attempt(sealed.read_sealed, __import__("pathlib").Path(W), "catheter-sizing", "autumn-1")
"""
KERNEL_KEYS = """
RUNTIME = ".local/share/jupyter/runtime"
attempt(os.listdir, os.path.join(HOME, RUNTIME))
for name in ("kernel-1.json", "jpserver-1.json", "notebook_cookie_secret"):
    attempt(read, os.path.join(HOME, RUNTIME, name))
from jupyter_core.paths import jupyter_runtime_dir
attempt(os.listdir, jupyter_runtime_dir())
"""

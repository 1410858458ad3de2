"""Attacks on whoever runs cells, and the outcome, points and reason that are due for each."""

from typing import NamedTuple

from . import forging, hostile


class Attack(NamedTuple):
    """What a cell does, its source, and the outcome, points and words of the reason due for it."""

    does: str
    source: str
    outcome: str
    points: float
    words: str
    honest: bool = False


def right(does: str, source: str, *, honest: bool = False) -> Attack:
    """A cell whose function is right, whatever else it does."""
    return Attack(does, source, "right", 2, "Right, on your values and on others.", honest)


def wrong(does: str, source: str, words: str) -> Attack:
    """A cell that is worth nothing, and words of the reason that is told."""
    return Attack(does, source, "wrong", 0, words)


def refused(does: str, source: str, words: str) -> Attack:
    """A cell whose function gives what is not a number, and words of the reason."""
    return Attack(does, source, "refused", 0, words)


TOO_LONG = "ran longer than 20 s and were stopped"
NO_FORM = "results are not in the form that is taken"
CELLS = {
    "a-whole": right("an honest function, first of the run", hostile.RIGHT, honest=True),
    "marks": right(
        "sets full marks by hand in the gradebook, itself and by a process in a session of its own",
        hostile.TRIES + hostile.MARKS_ITSELF,
    ),
    "configures": right(
        "adds lines to nbgrader_config.py, bank.toml and local-profile.toml",
        hostile.TRIES + hostile.CONFIGURES,
    ),
    "writes": right(
        "writes, renames and removes files of the workspace and home",
        hostile.TRIES + hostile.WRITES,
    ),
    "writes-elsewhere": right(
        "writes into the system, Python and the course", hostile.TRIES + hostile.WRITES_ELSEWHERE
    ),
    "reads": right(
        "reads the workspace, its folders and its own neighbours", hostile.TRIES + hostile.READS
    ),
    "reads-seals": right(
        "reads sealed keys and seed, and everybody's answers and results",
        hostile.TRIES + hostile.READS_SEALS,
    ),
    "searches-memory": right(
        "looks for keys, tolerances and other papers in its process's memory",
        hostile.TRIES + hostile.SEARCHES,
    ),
    "secrets": right("reads environment, home and system files", hostile.TRIES + hostile.SECRETS),
    "kernel-keys": right(
        "reads the keys of the marker's other kernels", hostile.TRIES + hostile.KERNEL_KEYS
    ),
    "detaches": right(
        "leaves children, daemons and threads behind", hostile.TRIES + hostile.DETACHES
    ),
    "bombs": right("starts 10,000 processes", hostile.TRIES + hostile.BOMBS),
    "network": right(
        "connects outside, by loopback, and by raw sockets", hostile.TRIES + hostile.NETWORK
    ),
    "links": right(
        "makes links to the gradebook, a pipe and a device", hostile.TRIES + hostile.LINKS
    ),
    "note-one": right(
        "leaves notes for another hand-in's cell",
        hostile.TRIES + "MINE = 'note-one'" + hostile.NOTES,
    ),
    "note-two": right(
        "leaves notes for the first one", hostile.TRIES + "MINE = 'note-two'" + hostile.NOTES
    ),
    "kills": right("signals the marker and all processes", hostile.TRIES + hostile.KILLS),
    "signals-by-pipe": right(
        "has the kernel signal others, and lowers their limits",
        hostile.TRIES + hostile.SIGNALS_BY_PIPE,
    ),
    "calls": right(
        "makes forty system calls that a calculation has no need of", hostile.TRIES + hostile.CALLS
    ),
    "fills": right("fills the disk with 50 MB and 1,000 files", hostile.TRIES + hostile.FILLS),
    "looks-around": right(
        "looks for other processes, folders and users", hostile.TRIES + hostile.PLACE
    ),
    "prints": right("prints 1 GB", hostile.PRINTS + hostile.RIGHT),
    "holds": wrong(
        "asks for 5 GB of memory at once",
        hostile.HOLDS + hostile.RIGHT,
        "The code stopped with MemoryError",
    ),
    "hoards": wrong(
        "takes memory until there is none", hostile.HOARDS + hostile.RIGHT, "MemoryError"
    ),
    "floods": wrong("writes 6 GB of results by itself", hostile.RIGHT + hostile.FLOODS, NO_FORM),
    "forges": wrong("writes a result of its own where results leave", hostile.FORGES, "Not right"),
    "forges-marks": wrong(
        "writes points and an outcome where results leave", hostile.MARKS, NO_FORM
    ),
    "loops": wrong("never ends", "while True:\n    pass", TOO_LONG),
    "loops-on": wrong(
        "never ends and catches whatever stops it", "import time" + hostile.SWALLOWS, TOO_LONG
    ),
    "ignores-signals": wrong(
        "never ends and ignores every signal", hostile.IGNORES + "while True:\n    pass", TOO_LONG
    ),
    "leaves": wrong("ends its process quietly", "import os\nos._exit(0)", "was not reached"),
    "leaves-angry": wrong(
        "ends its process with 3", "import os\nos._exit(3)", "ended Python itself"
    ),
    "crashes": wrong(
        "reads at address 0", "import ctypes\nctypes.string_at(0)", "ended Python itself"
    ),
    "overflows": wrong(
        "overflows the stack",
        "import sys\nsys.setrecursionlimit(10**8)\ndef ratio(**_):\n    return ratio(**_)\nratio()",
        "",
    ),
    "commands": wrong(
        "runs a command of the notebook",
        f"%matplotlib inline\n{hostile.RIGHT}",
        "is a command of the workbench",
    ),
    "shells": wrong(
        "runs a shell", f"found = !ls\n{hostile.RIGHT}", "is a command of the workbench"
    ),
    "lacks-a-package": wrong(
        "imports a package that is not there",
        f"import no_such_package\n{hostile.RIGHT}",
        "stopped with ModuleNotFoundError",
    ),
    "scipy": right(
        "imports scipy and draws a figure",
        "import scipy.stats, matplotlib.pyplot as plt\nplt.plot([1, 2])\n" + hostile.RIGHT,
        honest=True,
    ),
    "drops-asserts": wrong(
        "drops every assert and comparison by a transformer of the syntax tree",
        forging.DROPS_ASSERTS,
        "Not right",
    ),
    "replaces-the-shell": wrong(
        "replaces the shell's way to run a cell, and the course's own",
        forging.REPLACES_SHELL,
        "Not right",
    ),
    "patches-sending": wrong(
        "patches what sends results: adds points to them", forging.PATCHES_SENDING, NO_FORM
    ),
    "patches-tracebacks": wrong(
        "patches how errors are shown, and raises one that says to be right",
        forging.PATCHES_TRACEBACKS,
        "stopped with Right",
    ),
    "parses-source": right(
        "looks for the answer in source, history, files and frames",
        hostile.TRIES + forging.PARSES_SOURCE,
    ),
    "patches-builtins": wrong(
        "patches abs, isinstance, float, all and any",
        forging.PATCHES_BUILTINS,
        "ended Python itself",
    ),
    "patches-the-clock": right("patches clocks and chance", forging.PATCHES_CLOCK),
    "negative": wrong(
        "gives the negative of what is right",
        f"{forging.HEAD}    return -{forging.RIGHT_NUMBER}",
        "Not right",
    ),
    "above-all": wrong("gives 1e300", f"{forging.HEAD}    return 1e300", "Not right"),
    "value-then-error": wrong(
        "returns what is right, then raises an error",
        forging.VALUE_THEN_ERROR,
        "stopped with ValueError: too late",
    ),
    "value-after-value": refused(
        "yields what is right, then more",
        f"{forging.HEAD}    yield {forging.RIGHT_NUMBER}\n    yield 0.4",
        "must give a plain number",
    ),
    "terminal-codes": wrong(
        "raises an error with codes for a terminal",
        forging.TERMINAL_CODES,
        "stopped with ValueError",
    ),
    "z-whole": right("an honest function, last of the run", hostile.RIGHT, honest=True),
}


def cell(attack: Attack, workspace: str, home: str, port: int) -> str:
    """The cell of an attack, for these places."""
    return f"W, HOME, PORT = {workspace!r}, {home!r}, {port}\n{attack.source}"

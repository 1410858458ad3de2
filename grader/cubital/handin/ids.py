"""Learner ids: one canonical form, safe as a folder's name on every system.

A learner's folder is called by their id, or by one made of a name of their own. Then the roster's
id stands beside each worksheet that an educator gave out.
"""

import hashlib
import re
import unicodedata
from pathlib import Path

ROSTER_ID_FILE = "roster-id.txt"
_CANONICAL = re.compile(r"[a-z0-9](?:[a-z0-9._-]{0,38}[a-z0-9])?")
_LONGEST_OF_NAME = 30
_LETTERS = str.maketrans(
    dict(zip("łøđðþæœı", ("l", "o", "d", "d", "th", "ae", "oe", "i"), strict=True))
)
_DEVICES = re.compile(r"con|prn|aux|nul|com\d|lpt\d")


def canonical_id(text: str) -> str:
    """Return a learner id in its canonical form: lower case, no outer spaces.

    Raises
    ------
    ValueError
        The id is empty, longer than 40 characters, or holds anything but letters a to z,
        digits, dot, hyphen and underscore between two letters or digits.
    """
    learner = text.strip().lower()
    if is_device(learner):
        raise ValueError(
            f"{text!r:.60} cannot be a learner id: Windows keeps that name for a device, so no "
            "folder can have it; add a letter or a digit"
        )
    if not _CANONICAL.fullmatch(learner) or ".." in learner:
        raise ValueError(
            f"{text!r:.60} cannot be a learner id: use 1 to 40 letters a to z, digits, dots, "
            "hyphens or underscores, as on the roster"
        )
    return learner


def is_device(name: str) -> bool:
    """Tell whether Windows takes a lower-case name, whatever follows its first dot, for a device.

    >>> is_device("con"), is_device("nul.txt"), is_device("connie")
    (True, True, False)
    """
    return _DEVICES.fullmatch(name.partition(".")[0].rstrip()) is not None


def id_of_name(name: str) -> str:
    """Return an id made of a name as people write it, for a folder.

    >>> id_of_name("Maria Schmidt"), id_of_name("Zoë O’Neil-Łoś"), id_of_name("CON")
    ('maria-schmidt', 'zoe-o-neil-los', 'con-1')

    Raises
    ------
    ValueError
        Nothing is written.
    """
    name = " ".join(name.split())
    if not name:
        raise ValueError("no name is written yet: type yours, or any name that you like")
    plain = unicodedata.normalize("NFKD", name.casefold().translate(_LETTERS))
    words = re.findall(
        r"[a-z0-9]+", "".join(one for one in plain if not unicodedata.combining(one))
    )
    made = "-".join(words)[:_LONGEST_OF_NAME].strip("-")
    if not made:  # of letters that have no like among a to z
        made = f"learner-{hashlib.sha256(name.encode()).hexdigest()[:8]}"
    return f"{made}-1" if is_device(made) else made


def answers_as(folder: Path) -> str:
    """Return the id under which somebody answers in a worksheet's folder, within theirs."""
    path = folder / ROSTER_ID_FILE
    told = path.read_text(encoding="utf-8").strip() if path.is_file() else ""
    return canonical_id(told or folder.parent.name)

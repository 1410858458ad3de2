"""Learner ids: one canonical form, safe as a folder's name on every system."""

import re

_CANONICAL = re.compile(r"[a-z0-9](?:[a-z0-9._-]{0,38}[a-z0-9])?")
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

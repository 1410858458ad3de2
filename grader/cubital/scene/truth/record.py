"""A truth as plain data: written as JSON, read again, refused if of another version."""

import json
from collections.abc import Mapping
from typing import Any

from cubital.scene.anatomy.vessels import View

VERSION = 1


def view_of(record: Mapping[str, Any]) -> View:
    """Return how the camera looked on, from a truth."""
    kept = dict(record["picture"])
    return View(**{**kept, "centre_mm": tuple(kept["centre_mm"])})


def written_truth(record: Mapping[str, Any]) -> str:
    """Return a truth as JSON text, the same text for the same truth."""
    return json.dumps(record, allow_nan=False, ensure_ascii=False, separators=(",", ":"))


def read_truth(record: str | Mapping[str, Any]) -> dict[str, Any]:
    """Return a truth from its JSON text or its data; one of another version is refused.

    Examples
    --------
    >>> read_truth('{"version": 7}')
    Traceback (most recent call last):
    ValueError: this truth is of version 7, and only version 1 is known here: make it again
    """
    if isinstance(record, str):
        try:
            record = json.loads(record)
        except json.JSONDecodeError as error:
            raise ValueError(f"this truth is not readable: {error}") from error
    if not isinstance(record, Mapping) or "version" not in record:
        raise ValueError("not a scene-truth record: `version` is missing")
    if record["version"] != VERSION or isinstance(record["version"], bool):
        raise ValueError(
            f"this truth is of version {record['version']}, and only version {VERSION} is known "
            "here: make it again"
        )
    return dict(record)

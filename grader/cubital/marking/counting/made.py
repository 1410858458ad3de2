"""When a release was made, by the educator's clock; no question or paper depends on it."""

from collections.abc import Iterable
from datetime import UTC, datetime
from pathlib import Path

from cubital.handin.files import read_json, write_json
from cubital.handin.released.sealed import folder_of

FILE = "made.json"
FORMAT = "cubital-made/1"


def note_made(workspace: Path, worksheet: str, release: str, now: datetime) -> None:
    """Note when a release was made, once, among what is sealed of it."""
    path = folder_of(workspace, worksheet, release) / FILE
    if not path.exists():
        at = now.astimezone(UTC).isoformat(timespec="seconds")
        write_json(path, {"format": FORMAT, "at": at})


def times_made(workspace: Path, worksheet: str, releases: Iterable[str]) -> dict[str, datetime]:
    """Return when releases were made; one of which that is not known is left out."""
    found = {}
    for name in releases:
        try:
            data = read_json(folder_of(workspace, worksheet, name) / FILE)
            moment = datetime.fromisoformat(data["at"]) if data["format"] == FORMAT else None
        except (OSError, ValueError, KeyError, TypeError):
            continue
        if moment is not None and moment.tzinfo is not None:
            found[name] = moment
    return found

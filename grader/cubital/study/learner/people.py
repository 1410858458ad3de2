"""The people who learn in one workspace: each has a folder, whose id is made from their name."""

from dataclasses import dataclass
from itertools import count
from pathlib import Path

from cubital.handin.files import read_json, write_json
from cubital.handin.ids import canonical_id, id_of_name
from cubital.study import folders

FILE = "learner.json"
FORMAT = "cubital-learner/1"


@dataclass(frozen=True)
class Person:
    """Somebody who learns: their folder, and the name that they gave."""

    folder: Path
    name: str

    @property
    def id(self) -> str:
        """What the folder is called."""
        return self.folder.name


def person(folder: Path) -> Person:
    """Return whose folder it is; without a name of theirs, the folder's."""
    try:
        name = str(read_json(folder / FILE)["name"])
    except (OSError, ValueError, KeyError, TypeError):
        name = folder.name
    return Person(folder, name)


def people(workspace: Path) -> list[Person]:
    """Return everybody who has begun here, by name."""
    found = [person(path) for path in _learners_folders(workspace)]
    return sorted(found, key=lambda one: one.name.casefold())


def begin(workspace: Path, name: str) -> Person:
    """Return the folder of somebody of this name, made and named if there is none yet.

    Raises
    ------
    ValueError
        Nothing is written.
    """
    name = " ".join(name.split())
    wanted = id_of_name(name)
    for one in people(workspace):
        if name.casefold() in {one.name.casefold(), one.id}:
            return one
    taken = {path.name for path in workspace.iterdir()} if workspace.is_dir() else set()
    tried = (wanted if number == 1 else f"{wanted}-{number}" for number in count(1))
    return called(workspace, next(one for one in tried if one not in taken), name)


def called(workspace: Path, learner: str, name: str) -> Person:
    """Make a learner's folder and keep their name in it."""
    folder = folders.learner_folder(workspace, learner)
    if not (folder / FILE).exists():
        write_json(folder / FILE, {"format": FORMAT, "name": name})
    return person(folder)


def _learners_folders(workspace: Path) -> list[Path]:
    if not workspace.is_dir():
        return []
    return [
        path
        for path in workspace.iterdir()
        if (path / folders.LESSONS).is_dir() and _is_id(path.name)
    ]


def _is_id(name: str) -> bool:
    try:
        return canonical_id(name) == name
    except ValueError:
        return False

"""A release: which items, in which version, for how many points, under which policy."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Any

from cubital import __version__, items, tables
from cubital.handin.files import read_json, write_json, write_text
from cubital.handin.released.own import OwnFile, check_sum, read_sources, released_item
from cubital.handin.released.questions import Question
from cubital.items import Item

FILE = "release.json"
FORMAT = "cubital-release/1"
AT_ONCE = "at once"
AFTER_MARKING = "after marking"
_PARTS = ("format", "name", "worksheet", "items", "policy", "feedback")
_ANEW = (
    "Take it anew from the zip that was given out, or use the edition of the course that made it"
)


@dataclass(frozen=True)
class ReleasedItem:
    """One item as released: later versions of the course may change or drop it."""

    version: int
    points: float


@dataclass(frozen=True)
class Release:
    """What all learners of one release share; practice draws its values from the name.

    ``policy`` holds the department's figures, of device and policy, that it was made with.
    ``feedback`` is `AT_ONCE` in a practice release of one's own, else `AFTER_MARKING`. ``pictures``
    names, by item, the pictures that its learners draw one from. ``off`` are the worksheet's items
    that the educator switched off, ``own`` the educator's own; ``sources`` holds the texts of their
    files, by name, and is no part of what makes two releases equal. ``described`` are the items
    whose pictures are those of the described version, with their words. ``attempt`` counts a
    learner's tries at the worksheet; ``edition`` is the version of the course that made the
    release. A ``shared`` practice draws its values from its name alone: all who have it are asked
    the same. ``refreshing`` holds when knowledge is due again by the department's rule, and who
    approved it; no mark follows it, and it is no part of what makes two releases equal.
    """

    name: str
    worksheet: str
    items: Mapping[str, ReleasedItem]
    policy: Mapping[str, Any]
    feedback: str = AFTER_MARKING
    pictures: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    off: tuple[str, ...] = ()
    own: Mapping[str, OwnFile] = field(default_factory=dict)
    described: tuple[str, ...] = ()
    attempt: int = 1
    shared: bool = False
    edition: str = field(default="", compare=False)
    refreshing: Mapping[str, Any] = field(default_factory=dict, compare=False)
    sources: Mapping[str, str] = field(default_factory=dict, compare=False, repr=False)

    def values(self, item: Item, learner: str) -> dict[str, Any]:
        """Draw the values that this learner is asked about."""
        whose = "" if self.shared else learner
        return item.values(self.name, whose, self.policy, self.pictures.get(item.id, ()))

    def question(self, item: Item, learner: str, seal: str = "") -> Question:
        """Return an item as this learner is asked it; ``seal`` fixes what is hidden of its key."""
        values = self.values(item, learner)
        described = item.id in self.described
        key = item.key(values, seal=seal)
        return Question(item.form(values), key, values, described=described)

    def listed(self) -> list[Item]:
        """Return the release's items; one of another version raises with what to do."""
        return [self.item(item_id) for item_id in self.items]

    def known(self) -> list[Item]:
        """Return the release's items as this course knows them, of whatever version."""
        found = []
        for item_id in self.items:
            try:
                found.append(self._defined(item_id))
            except ValueError:  # the course has it no more
                continue
        return found

    def item(self, item_id: str) -> Item:
        """Return an item of this release, of the released version and with the released points."""
        if item_id not in self.items:
            raise ValueError(f"item “{item_id}” is not part of release “{self.name}”")
        item = self._defined(item_id)
        if item.version != self.items[item_id].version:
            raise ValueError(
                f"item “{item_id}” was released in version {self.items[item_id].version}, but "
                f"this course has version {item.version}: use the course that made the release"
            )
        return item

    def _defined(self, item_id: str) -> Item:
        own = self.own.get(item_id)
        item = released_item(item_id, own, self.sources) if own else items.find(item_id)
        points = self.items[item_id].points
        return item if item.points == points else replace(item, points=points)


def new_release(
    name: str,
    worksheet: str,
    *,
    feedback: str = AFTER_MARKING,
    profile: tables.Profile | None = None,
    listed: Sequence[Item] | None = None,
    pictures: Mapping[str, tuple[str, ...]] | None = None,
    attempt: int = 1,
) -> Release:
    """Make a release of a worksheet's present items; it records the department's figures.

    ``listed`` names the items of a worksheet that is made up for one learner.
    """
    profile = profile or tables.profile()
    listed = items.WORKSHEETS[worksheet] if listed is None else listed
    return Release(
        name=name,
        worksheet=worksheet,
        items={i.id: ReleasedItem(i.version, i.points) for i in listed},
        policy=tables.followed(profile),
        feedback=feedback,
        pictures=dict(pictures or {}),
        attempt=attempt,
        edition=__version__,
        refreshing=tables.refreshed(profile),
    )


def write_release(folder: Path, release: Release) -> None:
    """Write ``release.json`` into a worksheet's folder."""
    told = asdict(replace(release, sources={}))
    del told["sources"]
    write_json(folder / FILE, {"format": FORMAT} | told)


def write_own_files(folder: Path, release: Release) -> None:
    """Write the files of a release's own items; one that is not what was released stays out."""
    for row in release.own.values():
        source = release.sources.get(row.file)
        if source is not None and check_sum(source) == row.sha256:
            write_text(folder / row.file, source)


def read_release(folder: Path) -> Release:
    """Read a folder's ``release.json``; a missing, broken or unknown one raises ValueError."""
    path = folder / FILE
    if not path.is_file():
        raise ValueError(f"there is no {FILE} in {folder}: open the worksheet as it was released")
    try:
        data = read_json(path)
        told = _told(data)
        sources = read_sources(folder, told["own"])
    except (OSError, ValueError) as error:
        fault = f"it cannot be opened ({error.strerror})" if isinstance(error, OSError) else error
        raise ValueError(f"{path} cannot be used: {fault}. {_ANEW}") from error
    policy = tables.recorded_figures(data["policy"], path)
    days = data.get("refreshing")
    refreshing = tables.recorded_days(days, path) if days else {}
    return Release(**told, policy=policy, sources=sources, refreshing=refreshing)


def _told(data: Any) -> dict[str, Any]:
    """Return what a release file says of itself; what is of another form raises ValueError."""
    if not isinstance(data, dict):
        raise ValueError("it does not hold a release")
    missing = [part for part in _PARTS if part not in data]
    if missing:
        raise ValueError(f"it lacks “{missing[0]}”")
    if data["format"] != FORMAT:
        raise ValueError(f"its format is {data['format']!r:.60}, not {FORMAT!r}")
    if not isinstance(data["policy"], dict):
        raise ValueError("its “policy” is not a table of figures")
    if not isinstance(data.get("refreshing", {}), dict):
        raise ValueError("its “refreshing” is not a table of days")
    try:
        return {
            "name": str(data["name"]),
            "worksheet": str(data["worksheet"]),
            "items": {
                str(key): ReleasedItem(int(row["version"]), float(row["points"]))
                for key, row in data["items"].items()
            },
            "feedback": str(data["feedback"]),
            "pictures": {str(k): tuple(map(str, v)) for k, v in data.get("pictures", {}).items()},
            "off": tuple(map(str, data.get("off", ()))),
            "own": {
                str(key): OwnFile(**{name: str(value) for name, value in row.items()})
                for key, row in data.get("own", {}).items()
            },
            "described": tuple(map(str, data.get("described", ()))),
            "attempt": int(data.get("attempt", 1)),
            "shared": data.get("shared") is True,
            "edition": str(data.get("edition", "")),
        }
    except (KeyError, TypeError, AttributeError, ValueError, OverflowError) as error:
        raise ValueError("its items, pictures or own questions are not as a release has") from error

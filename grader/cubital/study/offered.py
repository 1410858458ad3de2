"""Worksheets of an educator that a site offers, each as the file that is given out elsewhere."""

from dataclasses import asdict, dataclass
from pathlib import Path

from cubital.handin.files import read_json
from cubital.handin.released.release import Release, read_release
from cubital.study import site_files
from cubital.tables.course import closing, with_worksheets
from cubital.tables.files import course_folder

FILE = "offered.json"  # in the assets of a site
FOLDER = "releases"  # on a site


@dataclass(frozen=True)
class Offered:
    """A released worksheet on a site: which release of which worksheet, and its file there."""

    worksheet: str
    release: str
    file: str

    @property
    def title(self) -> str:
        """What the worksheet is called."""
        titles = {row.worksheet: row.title for row in with_worksheets()}
        return titles.get(self.worksheet, closing().title)

    def is_open(self, learner: Path) -> bool:
        """Tell whether a learner has opened it."""
        try:
            return read_release(learner / self.worksheet).name == self.release
        except ValueError:
            return False


def of_release(release: Release) -> Offered:
    """Return how a site offers a release."""
    name = release.name
    return Offered(release.worksheet, name, f"{FOLDER}/{release.worksheet}-{name}.zip")


def as_data(offers: list[Offered]) -> list[dict[str, str]]:
    """Return offers as plain data, for `offered` to read."""
    return [asdict(one) for one in offers]


def offered() -> list[Offered]:
    """Return what the site offers; nothing where the course runs from no site."""
    path = course_folder("assets") / "site" / FILE
    if not site_files.is_on_site() or not path.is_file():
        return []
    return [Offered(**row) for row in read_json(path)]

"""The papers of a release: what each learner is asked, as plain data, with nothing of the key.

All papers of a release lie in one file beside the worksheet, `cubital.handin.released.packed`, with
what they have in common once. A learner's id, salted, leads to the
number of theirs, which nobody else on the roster has; who is not on it gets one of the spare ones.
What decides on the answers lies in the educator's workspace, see `cubital.handin.released.sealed`.
"""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from cubital.handin.files import read_json, write_json
from cubital.handin.released.packed import OtherFormatError, check_format, packed, unpacked
from cubital.items import Form, form_of

FILE = "papers.json"
FORMAT = "cubital-papers/2"
LARGEST = 60_000_000  # bytes: some ten thousand papers
_FEWEST_SPARE, _SPARE_SHARE = 16, 0.25


@dataclass(frozen=True)
class Seating:
    """Who gets the paper of which number; see `Papers`."""

    salt: str
    seats: Mapping[str, str]
    spare: tuple[str, ...]


@dataclass(frozen=True)
class Papers:
    """The numbered papers of a release, and who has which.

    Attributes
    ----------
    release, worksheet, attempt
        Of which release they are, and which try at the worksheet they are for.
    salt
        What an id is salted with before it is looked up.
    seats
        The paper of each salted id.
    spare
        Those for whoever has no seat.
    forms
        By paper and item, the form as `Form.data` gives it.
    """

    release: str
    worksheet: str
    attempt: int
    salt: str
    seats: Mapping[str, str]
    spare: tuple[str, ...]
    forms: Mapping[str, Mapping[str, Any]]

    def paper_of(self, learner: str) -> str:
        """Return the number of a learner's paper."""
        salted = salted_id(self.salt, learner)
        if salted in self.seats:
            return self.seats[salted]
        return self.spare[int(salted, 16) % len(self.spare)]

    @property
    def seating(self) -> Seating:
        """Who has which paper."""
        return Seating(self.salt, self.seats, self.spare)

    def listed(self, paper: str) -> tuple[str, ...]:
        """Return the items that a paper asks, in their order."""
        return tuple(self.forms[paper])

    def form(self, paper: str, item_id: str) -> Form:
        """Return a question of a paper, or raise ValueError."""
        if item_id not in self.forms[paper]:
            raise ValueError(f"“{item_id}” is not asked in release “{self.release}”")
        return form_of(self.forms[paper][item_id])


def salted_id(salt: str, learner: str) -> str:
    """Return the check sum under which a learner's seat is found."""
    return hashlib.sha256(f"{salt}\0{learner}".encode()).hexdigest()


def seated(seed: str, learners: Iterable[str]) -> Seating:
    """Give each learner a paper of their own, and say which papers are spare.

    Who has which number follows from the seed of the release, and not from the order of the roster.
    """
    salt = hashlib.sha256(f"salt\0{seed}".encode()).hexdigest()
    salted = sorted(salted_id(salt, learner) for learner in learners)
    seats = {one: str(number) for number, one in enumerate(salted, 1)}
    spare = max(_FEWEST_SPARE, round(_SPARE_SHARE * len(seats)))
    return Seating(salt, seats, tuple(str(len(seats) + number) for number in range(1, spare + 1)))


def write_papers(folder: Path, papers: Papers) -> None:
    """Write the papers into a worksheet's folder."""
    write_json(
        folder / FILE,
        {
            "format": FORMAT,
            "release": papers.release,
            "worksheet": papers.worksheet,
            "attempt": papers.attempt,
            "salt": papers.salt,
            "seats": papers.seats,
            "spare": papers.spare,
        }
        | packed(papers.forms),
        indent=None,
    )


def read_papers(folder: Path) -> Papers | None:
    """Read the papers of a worksheet's folder; None where there are none, as in practice.

    Raises
    ------
    ValueError
        The file is broken or of another form.
    """
    path = folder / FILE
    if not path.is_file():
        return None
    status = path.stat()
    return _read(path, status.st_mtime_ns, status.st_size)


@lru_cache(maxsize=4)
def _read(path: Path, _changed: int, _size: int) -> Papers:
    try:
        data = read_json(path, largest=LARGEST)
        check_format(data["format"], FORMAT)
        papers = Papers(
            release=str(data["release"]),
            worksheet=str(data["worksheet"]),
            attempt=int(data["attempt"]),
            salt=str(data["salt"]),
            seats={str(one): str(paper) for one, paper in data["seats"].items()},
            spare=tuple(map(str, data["spare"])),
            forms={paper: dict(forms) for paper, forms in unpacked(data).items()},
        )
        if not papers.spare or not {*papers.spare, *papers.seats.values()} <= set(papers.forms):
            raise ValueError("a paper that somebody has is missing")
    except OtherFormatError as error:
        raise ValueError(
            f"{path} cannot be used: {error}. Use the edition of the course that made the release, "
            "or ask for a release that this edition made"
        ) from error
    except (OSError, KeyError, TypeError, AttributeError, ValueError) as error:
        raise ValueError(
            f"{path} cannot be used: {error}. Take it anew from the zip that was given out"
        ) from error
    return papers

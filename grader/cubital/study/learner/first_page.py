"""The first page: where one stopped, what is due, the way with its worksheets, a file to open."""

import contextlib
import tempfile
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

from cubital.explore.course.navigation import chosen_path, may_skim, next_lesson, worksheet_link
from cubital.forms.form import Block, CourseForm, say
from cubital.handin import passing
from cubital.handin.ids import ROSTER_ID_FILE, canonical_id
from cubital.handin.progress import Progress, keep_progress
from cubital.handin.released.department import Department, department_of
from cubital.items import WORKSHEETS
from cubital.refresh.critical import local_days
from cubital.refresh.due import here_and_now, in_lessons, standings_of
from cubital.refresh.reviews import read_reviews
from cubital.study import folders, refreshing, site_files
from cubital.study.learner import carrying, people, standing
from cubital.study.learner.reviewed import unreviewed
from cubital.study.offered import offered
from cubital.tables import course

_FILE = "Drop the file here, or choose it. Its name ends in .zip."


class FirstPage(CourseForm):
    """Goes on where somebody stopped; the rest of the course is a press away, and quieter."""

    def __init__(self, folder: Path | None = None) -> None:
        self.learner = (folder or Path.cwd()).resolve().parent
        self.given: bytes | None = None
        self.told = ""
        super().__init__(folder)

    def draw(self) -> list[Block]:
        """One thing to do, what is due, the way, the file of an educator."""
        progress = standing.progress_of(self.learner)
        done = [say(f"✓ {self.told}", kind="good")] if self.told else []
        return [
            *done,
            self._go_on(progress),
            self._due(),
            {"kind": "heading", "level": 2, "text": "Your way"},
            *self._way(progress),
            *self._again(),
            *self._offered(),
            {"kind": "heading", "level": 2, "text": "Got a file from your educator?"},
            *self._file(),
        ]

    def _go_on(self, progress: Progress) -> Block:
        following = next_lesson(progress)
        page, title = standing.goes_on(self.learner, progress, following.name if following else "")
        begun = bool(progress.page or progress.finished)
        path = chosen_path(progress)
        done = sum(name in progress.finished for name in path.lessons)
        minutes = {f"{row.name}.ipynb": row.minutes for row in course.lessons()}.get(page)
        time = f", about {minutes} minutes" if minutes else ""
        name = people.person(self.learner).name
        return {
            "kind": "card",
            "soft": True,
            "blocks": [
                {
                    "kind": "heading",
                    "level": 2,
                    "text": f"Go on where you stopped, {name}" if begun else f"Begin here, {name}",
                },
                say(f"{title}{time}. {done} of {len(path.lessons)} lessons finished."),
                {"kind": "link", "words": "Go on" if begun else "Begin", "href": page},
            ],
        }

    def _due(self) -> Block:
        now = here_and_now()
        try:
            local = local_days(self.learner)
            found = standings_of(read_reviews(self.learner, self.learner.name), now, local)
        except ValueError as error:
            return {"kind": "card", "blocks": [say(f"{error}.", kind="care")]}
        due = [one for one in found if one.is_due(now)]
        begun = [one for one in found if one.due is not None]
        if due:
            titles = {row.name: row.title for row in course.lessons()}
            names = dict.fromkeys(titles[one.objective.lesson] for one in due)
            head = f"Knowledge due: {len(due)} of {len(begun)}"
            text = f"From {', '.join(names)}.{_late(sum(one.is_late(now) for one in due))}"
        elif begun:
            head = "No knowledge is due today"
            text = "New questions come in turns; you may take some now."
        else:
            head = "Refresh what you know"
            text = "A few questions over all lessons, for anybody who took them or knows the work."
        buttons = [
            {
                "kind": "button",
                "name": "refresh",
                "value": minutes,
                "words": f"{minutes} minutes",
                "second": True,
            }
            for minutes in (5, 15)
        ]
        list_of_due = {
            "kind": "details",
            "summary": "What is due when",
            "blocks": [in_lessons(found, now, local)],
        }
        listed = [list_of_due] if begun else []
        heading = {"kind": "heading", "level": 2, "text": head}
        return {"kind": "card", "blocks": [heading, say(text), *buttons, *listed]}

    def _way(self, progress: Progress) -> list[Block]:
        on_path = chosen_path(progress).lessons
        following = next_lesson(progress)
        stops = []
        for number, row in enumerate(course.lessons(), 1):
            finished = row.name in progress.finished
            if finished:
                state = "finished"
            elif row.name not in on_path:
                state = "not on your path; open to you"
            else:
                skim = may_skim(progress, row.name)
                state = "both first questions right: you may skim it" if skim else row.about
            stops.append(
                {
                    "sign": "✓" if finished else str(number),
                    "here": following is not None and row.name == following.name,
                    "lines": [
                        [{"text": row.title, "href": f"{row.name}.ipynb"}, {"text": f": {state}"}],
                        *([self._sheet(row.worksheet)] if row.worksheet else []),
                    ],
                    "beside": f"{row.minutes} min",
                }
            )
        last = course.closing()
        about = [{"text": f"{last.title}: {last.about}"}]
        stops.append(
            {
                "sign": "",
                "here": False,
                "lines": [about, self._sheet(last.name)],
                "beside": f"{last.minutes} min",
            }
        )
        decides = say(f"{passing.rule(chosen_path(progress))} Practice counts for nothing.")
        takes = say(_takes(chosen_path(progress)), kind="quiet")
        paths = _paths(progress, department_of(self.learner))
        return [paths, takes, {"kind": "way", "stops": stops}, decides]

    def _again(self) -> list[Block]:
        """Offer new numbers for what was practised."""
        titles = {row.worksheet: row.title for row in course.with_worksheets()}
        titles[course.closing().name] = course.closing().title
        buttons: list[Block] = [
            {"kind": "button", "name": "again", "value": name, "words": title, "second": True}
            for name, title in titles.items()
            if standing.sheet(self.learner, name).practised
        ]
        if not buttons:
            return []
        text = "Your earlier answers are kept, and the questions have new numbers."
        summary = "Practise a worksheet again, with new numbers"
        return [{"kind": "details", "summary": summary, "blocks": [say(text), *buttons]}]

    def _offered(self) -> list[Block]:
        """Offer the worksheets that an educator gave out with the site, but for those opened."""
        buttons: list[Block] = [
            {"kind": "button", "name": "offered", "value": one.file, "words": one.title}
            for one in offered()
            if not one.is_open(self.learner)
        ]
        if not buttons:
            return []
        heading = {"kind": "heading", "level": 2, "text": "From your educator"}
        text = "Your educator gave out these worksheets here. They are marked."
        return [heading, say(text), *buttons]

    def _sheet(self, worksheet: str) -> list[dict[str, str]]:
        words = standing.sheet(self.learner, worksheet).words
        link = {"text": "Worksheet", "href": worksheet_link(worksheet)}
        return [link, {"text": f": {words}"}]

    def _file(self) -> list[Block]:
        asked: list[Block] = []
        if self.given is not None:
            asked = [
                {
                    "kind": "ask",
                    "name": "roster",
                    "label": "Your id on your educator's roster",
                    "words": "Open the worksheet",
                    "value": self._id_from_before(),
                    "note": "Your educator has it; it is often a staff number.",
                },
                {
                    "kind": "button",
                    "name": "no-roster",
                    "words": "I am on no roster",
                    "second": True,
                },
            ]
        return [{"kind": "file", "name": "file", "label": _FILE, "accept": ".zip"}, *asked]

    def _id_from_before(self) -> str:
        for worksheet in WORKSHEETS:
            path = self.learner / worksheet / ROSTER_ID_FILE
            if path.is_file():
                return path.read_text(encoding="utf-8").strip()
        return ""

    def take(self, name: str, value: Any) -> str:
        """Lay out a session to refresh, or open the educator's file under the roster's id."""
        self.told = ""
        doing = {
            "path": self._choose,
            "refresh": self._refresh,
            "offered": self._open_offered,
            "again": self._practise_again,
        }
        if name in doing:
            return doing[name](str(value))
        if name == "no-roster":
            return self._open("")
        return self._open(canonical_id(str(value)), must_be_named=True)

    def _refresh(self, minutes: str) -> str:
        workspace, learner = self.learner.parent, self.learner.name
        if refreshing.lay_out_refresh(workspace, learner, minutes=float(minutes)) is None:
            self.told = "Nothing is due today."
            return self.told
        self.goes_to = f"../{refreshing.WORKSHEET}/{refreshing.WORKSHEET}.ipynb"
        return "Your questions are ready."

    def _practise_again(self, worksheet: str) -> str:
        if not standing.sheet(self.learner, worksheet).practised:
            raise ValueError("this worksheet was not practised yet: open it from the list")
        self.goes_to = worksheet_link(folders.practise_again(self.learner, worksheet).stem)
        return "There are new numbers."

    def _open_offered(self, file: str) -> str:
        chosen = next((one for one in offered() if one.file == file), None)
        if chosen is None:
            raise ValueError("this worksheet is not given out here any more: load the page again")
        return self.take_file("file", site_files.fetched(chosen.file))

    def _choose(self, path: str) -> str:
        known = [one.key for one in course.paths()]
        if path not in known:
            raise ValueError(f"the path is {path!r}: it must be one of {', '.join(known)}")
        progress = keep_progress(self.learner / folders.LESSONS, path=path)
        return f"Path kept: {chosen_path(progress).words}"

    def take_file(self, name: str, data: bytes) -> str:
        """Take one's own file from another computer, or an educator's, with the id if need be."""
        self.told = ""
        if carrying.is_learners_file(data):
            learner, name_there = carrying.owner(data)
            if learner != self.learner.name:
                raise ValueError(
                    f"this is the file of {name_there or learner}, and this is the page of "
                    f"{people.person(self.learner).name}: press “Not you?” above and give it there"
                )
            carrying.take_over(self.learner.parent, data)
            self.told = "Taken over; nothing counts twice."
            return self.told
        self.given = data
        for known in dict.fromkeys((self.learner.name, self._id_from_before())):
            if known and self._is_named(known):
                return self._open("" if known == self.learner.name else known)
        return "Type your id on your educator's roster."

    def _is_named(self, learner: str) -> bool:
        try:
            with _as_file(self.given or b"") as path:
                return folders.names_of_release(path, learner)[1]
        except ValueError as error:
            self.given = None
            raise ValueError(
                "this is no worksheet that an educator gave out: choose the .zip as you got it"
            ) from error

    def _open(self, roster_id: str, *, must_be_named: bool = False) -> str:
        if must_be_named and not self._is_named(roster_id):
            raise ValueError(
                f"the roster of this worksheet does not name “{roster_id}”: type your id as your "
                "educator has it, or press “I am on no roster”"
            )
        own = roster_id in {"", self.learner.name}
        with _as_file(self.given or b"") as path:
            notebook = folders.open_released(self.learner, path, "" if own else roster_id)
        self.given = None
        self.goes_to = worksheet_link(notebook.stem)
        return "The worksheet is open."


def _takes(path: course.Path) -> str:
    """Say how long a path takes, by an estimate."""
    takes = course.minutes_of(path)
    return (
        f"The lessons of this path take about {_hours(takes.lessons)}, its worksheets about "
        f"{_hours(takes.worksheets)} more, or about {_hours(takes.core)} where your educator asks "
        "the core alone. All minutes here are estimates: nobody was timed, and nobody "
        "times you."
    )


def _hours(minutes: int) -> str:
    return f"{minutes // 60} h {minutes % 60} min" if minutes % 60 else f"{minutes // 60} h"


@contextlib.contextmanager
def _as_file(data: bytes) -> Iterator[Path]:
    with tempfile.TemporaryDirectory(prefix="cubital-") as folder:
        path = Path(folder) / "given.zip"
        path.write_bytes(data)
        yield path


def _paths(progress: Progress, department: Department) -> Block:
    """Return the paths to choose from."""
    path, paths = chosen_path(progress), course.paths()
    waiting = unreviewed(path, department, date.today())
    also = " No clinician has reviewed that page yet." if waiting else ""
    return {
        "kind": "radios",
        "name": "path",
        "legend": "What is your work?",
        "options": [[one.key, one.words] for one in paths],
        "value": path.key,
        "says": f"{path.note}{also}",
    }


def _late(number: int) -> str:
    """Say how much of what must be right to pass is late; nothing where none is."""
    if not number:
        return ""
    what = "One question" if number == 1 else f"{number} questions"
    return f" {what} that must be right to pass {'is' if number == 1 else 'are'} late."

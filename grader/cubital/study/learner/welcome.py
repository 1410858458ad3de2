"""The page for somebody of whom nothing is known yet: a name, or one's own file."""

from pathlib import Path
from typing import Any

from cubital.forms.form import Block, CourseForm, say
from cubital.study import folders, site_files
from cubital.study.learner import carrying, people
from cubital.study.learner.finishing import told_of_clearing
from cubital.study.learner.pages import lay_out_all

ON_SITE = (
    "What you enter is kept in this browser alone. A private or incognito window forgets all of it "
    "when it is closed: press “Save my file”, on every page of the course, before you close it."
)
OWN_FILE = "Drop your file here, or choose it. Its name begins with cubital-."


class Welcome(CourseForm):
    """Asks for a name, offers those who began here, and takes a file from another computer."""

    def __init__(self, folder: Path | None = None) -> None:
        self.workspace = (folder or Path.cwd()).resolve().parents[1]
        self.cleared = told_of_clearing()
        super().__init__(folder)

    def draw(self) -> list[Block]:
        """The name, the others, the file."""
        blocks = [say(f"✓ {self.cleared}", kind="good")] if self.cleared else []
        blocks += [say(ON_SITE, kind="quiet")] if site_files.is_on_site() else []
        blocks += [
            {
                "kind": "ask",
                "name": "name",
                "label": "What is your name?",
                "words": "Begin",
                "note": "Any name will do, in any letters. It stays on this computer, and nobody "
                "checks it. An id of your educator's is asked for only with a worksheet of theirs.",
            }
        ]
        others = people.people(self.workspace)
        if others:
            blocks.append({"kind": "heading", "level": 2, "text": "Or go on as"})
            blocks += [
                {
                    "kind": "button",
                    "name": "person",
                    "value": one.id,
                    "words": one.name,
                    "second": True,
                }
                for one in others
            ]
        return [
            *blocks,
            {"kind": "heading", "level": 2, "text": "Did you begin on another computer?"},
            {"kind": "file", "name": "own", "label": OWN_FILE, "accept": ".zip"},
        ]

    def take(self, name: str, value: Any) -> str:
        """Go to the first page of whoever this is."""
        if name == "name":
            return self._go(people.begin(self.workspace, str(value)))
        known = {one.id: one for one in people.people(self.workspace)}
        if value not in known:
            raise ValueError("they are not on this computer any more: type the name")
        return self._go(known[value])

    def take_file(self, name: str, data: bytes) -> str:
        """Take over what somebody has from another computer."""
        return self._go(carrying.take_over(self.workspace, data))

    def _go(self, one: people.Person) -> str:
        lay_out_all(one.folder)
        folders.remember_learner(self.workspace, one.id)
        self.goes_to = f"../../{one.id}/{folders.LESSONS}/{folders.lesson_names()[0]}.ipynb"
        return f"Welcome, {one.name}."

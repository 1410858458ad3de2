"""Finishing on a computer that others use: one file to take along, then nothing is left here."""

import os
from pathlib import Path
from typing import Any

from cubital.forms.form import Block, CourseForm, say
from cubital.study import folders
from cubital.study.learner import carrying, people
from cubital.study.learner.pages import WELCOME

_cleared: list[str] = []  # to be said on the page that follows, in the same kernel


def told_of_clearing() -> str:
    """Return what to say of somebody who was cleared just now, once; else nothing."""
    return _cleared.pop() if _cleared else ""


class Finish(CourseForm):
    """Makes the learner's file, and clears this computer of them once they say so twice."""

    def __init__(self, folder: Path | None = None) -> None:
        self.person = people.person((folder or Path.cwd()).resolve().parent)
        self.asks = False
        super().__init__(folder)

    def draw(self) -> list[Block]:
        """First the file; then, apart from it, the clearing."""
        blocks: list[Block] = [
            {"kind": "heading", "level": 2, "text": "1. Take your file"},
            say(
                "One file holds all that is yours here: how far you are, your answers, the files "
                "that you made to hand in, and what is due to refresh when. On any other computer "
                "with the course, give it to the page that asks for your name, and go on."
            ),
        ]
        if not self.file:
            return [*blocks, {"kind": "button", "name": "make", "words": "Make my file"}]
        blocks += [
            {
                "kind": "download",
                "name": carrying.file_name(self.person.id),
                "words": "Save my file",
                "second": self.asks,
            },
            say(
                "The browser puts it where it puts all files, often Downloads. Move it to a stick "
                "or a folder that only you use.",
                kind="quiet",
            ),
            {"kind": "heading", "level": 2, "text": "2. Clear this computer"},
            say(
                f"All of {self.person.name} is taken off this computer: name, answers, progress. "
                "Close other windows of the course first."
            ),
        ]
        if not self.asks:
            clear = {
                "kind": "button",
                "name": "ask",
                "words": "Clear this computer",
                "second": True,
            }
            return [*blocks, clear | {"second": True}]
        return [
            *blocks,
            say("Have you saved your file? Only it holds your work then.", kind="care"),
            {"kind": "button", "name": "clear", "words": "Yes, it is saved: clear this computer"},
            {"kind": "button", "name": "keep", "words": "No, keep all here", "second": True},
        ]

    def take(self, name: str, value: Any) -> str:
        """Make the file, ask, or clear."""
        if name == "make":
            self.file = carrying.packed(self.person.folder)
            carrying.note_file(self.person.folder)
            return "Your file is made. Save it."
        if name in {"ask", "keep"}:
            self.asks = name == "ask"
            return "Have you saved your file?" if self.asks else "All stays here."
        if name != "clear" or not self.asks or not self.file:
            raise ValueError("make and save your file first")
        if self.file != carrying.packed(self.person.folder):
            self.file = carrying.packed(self.person.folder)
            self.asks = False
            raise ValueError(
                "something was saved since your file was made, so it was made again: save it again"
            )
        os.chdir(self.person.folder.parent)  # a folder that is worked in cannot be taken away
        carrying.clear(self.person.folder)
        _cleared[:] = [f"Nothing of {self.person.name} is left on this computer."]
        self.goes_to = f"../../{WELCOME}/{folders.LESSONS}/{folders.lesson_names()[0]}.ipynb"
        return _cleared[0]

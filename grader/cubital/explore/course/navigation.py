"""The way through the course: its map, the questions before it, and the end of a lesson."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from html import escape
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from cubital.handin.progress import Progress, keep_progress, read_progress
from cubital.tables import course
from cubital.tables.files import script, style

Block = dict[str, Any]


class CourseForm(anywidget.AnyWidget):
    """A form drawn from plain blocks; a subclass says what stands in it and takes choices."""

    _esm = script(Path(__file__).parent / "navigation.js")
    _css = style("course.css")

    title = traitlets.Unicode().tag(sync=True)
    blocks: traitlets.List[Block] = traitlets.List().tag(sync=True)
    spoken = traitlets.Unicode().tag(sync=True)

    def __init__(self, folder: Path | None = None) -> None:
        super().__init__()
        self.folder = folder or Path.cwd()
        self.blocks = self.draw()
        self.on_msg(self._received)

    def draw(self) -> list[Block]:
        """What stands in the form now."""
        raise NotImplementedError

    def take(self, name: str, value: object) -> str:
        """Take what was chosen or pressed; return what to say of it."""
        raise NotImplementedError

    def _received(self, _widget: object, content: Mapping[str, Any], _buffers: object) -> None:
        self.spoken = self.take(content["name"], content["value"])
        self.blocks = self.draw()

    def words(self) -> str:
        """The form as plain text, for paper and for pages without a running kernel."""
        lines = [self.title]
        for block in self.blocks:
            lines.append(str(block.get("text") or block.get("legend") or block.get("caption", "")))
            lines += [" | ".join(cell["text"] for cell in row) for row in block.get("rows", ())]
            lines += [f"( ) {words}" for _, words in block.get("options", ())]
        return "\n".join(line for line in lines if line)

    def _repr_mimebundle_(self, **kwargs: Any) -> tuple[dict[Any, Any], dict[Any, Any]]:
        shown = super()._repr_mimebundle_(**kwargs)
        data, metadata = shown or ({}, {})
        words = self.words()
        html = "<br>".join(escape(line) for line in words.splitlines())
        return {**data, "text/plain": words, "text/html": f"<p>{html}</p>"}, metadata


def chosen_path(progress: Progress) -> course.Path:
    """The learner's path; the usual one where none that can be chosen is kept."""
    return next((p for p in course.paths() if p.key == progress.path), course.paths()[0])


def may_skim(progress: Progress, lesson: str) -> bool:
    """Whether every question before a lesson was answered right."""
    asked = [q.asks for q in course.questions() if q.lesson == lesson]
    return bool(asked) and all(progress.right.get(text) for text in asked)


def state_of(progress: Progress, lesson: str) -> str:
    """What the map says of a lesson."""
    if lesson in progress.finished:
        return f"finished on {progress.finished[lesson]}"
    if lesson not in chosen_path(progress).lessons:
        return "not on your path; open to you"
    if may_skim(progress, lesson):
        return "both questions right: you may skim it and go to its worksheet"
    return "to do"


def next_lesson(progress: Progress, after: str = "") -> course.Lesson | None:
    """The next lesson on the path that is not finished, after a given one if there is one."""
    names = [row.name for row in course.lessons()]
    start = names.index(after) + 1 if after in names else 0
    on_path = chosen_path(progress).lessons
    for row in course.lessons()[start:]:
        if row.name in on_path and row.name not in progress.finished:
            return row
    return None


def worksheet_link(name: str) -> str:
    """Return the address of a worksheet's page, seen from a lesson's."""
    return f"../{name}/{name}.ipynb"


class CourseMap(CourseForm):
    """All lessons and worksheets in order, with what is done; the path is chosen here."""

    title = traitlets.Unicode("The map of the course").tag(sync=True)

    def draw(self) -> list[Block]:
        """Choice of path, then a row for each lesson, and one for what joins them."""
        progress = read_progress(self.folder)
        path = chosen_path(progress)
        rows = [
            [
                {"text": row.title, "href": f"{row.name}.ipynb"},
                {"text": f"{row.about}; {row.minutes} minutes"},
                {"text": "Worksheet", "href": worksheet_link(row.worksheet)},
                {"text": state_of(progress, row.name)},
            ]
            for row in course.lessons()
        ]
        last = course.closing()
        rows.append(
            [
                {"text": last.title},
                {"text": f"{last.about}; {last.minutes} minutes"},
                {"text": "Worksheet", "href": worksheet_link(last.name)},
                {"text": "after the lessons"},
            ]
        )
        done = sum(name in progress.finished for name in path.lessons)
        following = next_lesson(progress)
        ahead = f"Next: {following.title}." if following else "You have finished your path."
        return [
            *_ways(progress),
            {
                "kind": "table",
                "caption": f"{done} of {len(path.lessons)} lessons on your path finished. {ahead}",
                "head": ["Lesson", "What it is about", "Worksheet", "You"],
                "rows": rows,
            },
        ]

    def take(self, name: str, value: object) -> str:
        """Keep the chosen path."""
        known = [path.key for path in course.paths()]
        if name != "path" or value not in known:
            raise ValueError(f"the path is {value!r}: it must be one of {', '.join(known)}")
        progress = keep_progress(self.folder, path=str(value))
        return f"Path kept: {chosen_path(progress).words}"


def _ways(progress: Progress) -> list[Block]:
    """The path, to be chosen where there are several; then the work that has none yet."""
    path, paths = chosen_path(progress), course.paths()
    blocks: list[Block] = []
    kept = next((row for row in course.not_ready() if row.key == progress.path), None)
    if kept:
        text = f"You chose “{kept.words}” before. It is not ready and cannot be chosen any more."
        blocks.append({"kind": "say", "strong": True, "text": text})
    if len(paths) > 1:
        blocks.append(
            {
                "kind": "radios",
                "name": "path",
                "legend": "What is your work?",
                "options": [[p.key, p.words] for p in paths],
                "value": path.key,
                "says": path.note,
            }
        )
    else:
        blocks.append({"kind": "say", "text": f"Your path is “{path.words}”. {path.note}"})
    for row in course.not_ready():
        text = f"Not ready: {row.words}. {row.missing} The path for adult care is what there is."
        blocks.append({"kind": "say", "text": text})
    return blocks


class FirstQuestions(CourseForm):
    """Two questions a lesson, so that an experienced person sees what to skim."""

    title = traitlets.Unicode("What do you know already?").tag(sync=True)

    def __init__(self, folder: Path | None = None) -> None:
        self.chosen: dict[str, str] = {}
        self.shown = False
        super().__init__(folder)

    def draw(self) -> list[Block]:
        """The questions; once asked for, what was right and why."""
        blocks: list[Block] = []
        for number, question in enumerate(course.questions()):
            block: Block = {
                "kind": "radios",
                "name": str(number),
                "legend": f"{number + 1}. {question.asks}",
                "options": [[words, words] for words in mixed(question)],
                "value": self.chosen.get(question.asks, ""),
            }
            if self.shown:
                block["says"] = self._judged(question)
            blocks.append(block)
        blocks.append({"kind": "button", "name": "show", "words": "Show how I did"})
        if self.shown:
            blocks.append({"kind": "say", "strong": True, "text": self._summary()})
        return blocks

    def take(self, name: str, value: object) -> str:
        """Note a choice, or judge all and keep which were right."""
        if name != "show":
            self.chosen[course.questions()[int(name)].asks] = str(value)
            return ""
        self.shown = True
        right = {q.asks: self.chosen.get(q.asks) == q.options[0] for q in course.questions()}
        keep_progress(self.folder, right=right)
        return self._summary()

    def _judged(self, question: course.Question) -> str:
        chosen, right = self.chosen.get(question.asks), question.options[0]
        if chosen == right:
            return f"Right. {question.why}"
        said = "Not answered" if chosen is None else "Not so"
        return f"{said}. The right answer is “{right}”. {question.why}"

    def _summary(self) -> str:
        progress = read_progress(self.folder)
        skim = [row.title for row in course.lessons() if may_skim(progress, row.name)]
        number, of = sum(progress.right.values()), len(course.questions())
        advice = f"You may skim: {', '.join(skim)}." if skim else "Take every lesson on your path."
        return f"{number} of {of} right. {advice} This is no mark; it only helps you to choose."


def mixed(question: course.Question) -> list[str]:
    """A question's options in an order of their own, the same each time."""
    return sorted(question.options, key=lambda words: hashlib.sha256(words.encode()).digest())


class LessonEnd(CourseForm):
    """The end of a lesson: note that it is finished, and the way to the next."""

    title = traitlets.Unicode("The end of this lesson").tag(sync=True)

    def __init__(self, lesson: str, folder: Path | None = None) -> None:
        known = [row.name for row in course.lessons()]
        if lesson not in known:
            raise ValueError(f"the lesson is {lesson!r}: it must be one of {', '.join(known)}")
        self.lesson = lesson
        super().__init__(folder)

    def draw(self) -> list[Block]:
        """A button until it is pressed, and the links onwards."""
        progress = read_progress(self.folder)
        blocks: list[Block] = []
        if self.lesson in progress.finished:
            day = progress.finished[self.lesson]
            blocks.append({"kind": "say", "text": f"Noted as finished on {day}."})
        else:
            words = "I have finished this lesson"
            blocks.append({"kind": "button", "name": "finished", "words": words})
        following = next_lesson(progress, after=self.lesson) or next_lesson(progress)
        onwards = [[{"text": "The map of the course", "href": "00-start-here.ipynb"}]]
        if following and following.name != self.lesson:
            words = f"Next on your path: {following.title}"
            onwards.insert(0, [{"text": words, "href": f"{following.name}.ipynb"}])
        blocks.append({"kind": "table", "caption": "", "head": ["From here"], "rows": onwards})
        return blocks

    def take(self, name: str, value: object) -> str:
        """Note the lesson as finished."""
        if name == "finished":
            keep_progress(self.folder, finished=self.lesson)
        return "Noted as finished."

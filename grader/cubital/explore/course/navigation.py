"""The way through the course: which lesson follows, the questions before it, a lesson's end."""

from __future__ import annotations

import hashlib
from pathlib import Path

import traitlets

from cubital.forms.form import Block, CourseForm, say
from cubital.handin.progress import Progress, keep_progress, read_progress
from cubital.tables import course


def chosen_path(progress: Progress) -> course.Path:
    """The learner's path; the usual one where none that can be chosen is kept."""
    return next((p for p in course.paths() if p.key == progress.path), course.paths()[0])


def may_skim(progress: Progress, lesson: str) -> bool:
    """Whether every question before a lesson was answered right."""
    asked = [q.asks for q in course.questions() if q.lesson == lesson]
    return bool(asked) and all(progress.right.get(text) for text in asked)


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
            blocks.append(say(self._summary(), kind="strong"))
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
        onwards = [[{"text": "The first page", "href": "00-start-here.ipynb"}]]
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

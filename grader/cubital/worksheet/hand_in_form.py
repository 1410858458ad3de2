"""The form at a worksheet's end: what is still open, the file to hand in, whom to give it to."""

from datetime import datetime
from typing import Any

from cubital.forms.following import follow
from cubital.forms.form import Block, CourseForm, say
from cubital.handin.answers import FILE
from cubital.handin.bundle import hand_in
from cubital.handin.made import FOLDER, Made, last_made
from cubital.handin.released.release import AT_ONCE
from cubital.worksheet.handing_in import Standing, standing
from cubital.worksheet.sitting import Sitting

GIVE = (
    "Nobody has it yet. Give the file to whoever gave you this worksheet, in the way they asked "
    "for: on your learning platform, in a shared folder, or by e-mail. Until it is due you may "
    "change answers and make the file again; the last one that they get counts."
)


class HandIn(CourseForm):
    """What is still open, what is in the file, and the button that makes it."""

    def __init__(self, here: Sitting) -> None:
        self.here = here
        self.sure = False
        super().__init__(here.folder)
        follow(here.folder / FILE, self)

    def draw(self) -> list[Block]:
        """What is open, the content of the file, the button, and the file that was made last."""
        now, made = standing(self.here), self._made()
        self.file = made.path.read_bytes() if made else b""
        is_last = made is not None and not made.changed(now.answers)
        button: Block = {
            "kind": "button",
            "name": "make",
            "words": "Make the file again" if is_last else "Make the file to hand in",
            "second": is_last,
        }
        check: Block = {
            "kind": "check",
            "name": "sure",
            "label": "My educator may see how sure I said I was. It never counts.",
            "value": self.sure,
        }
        held = _what_it_holds(now, self.here.learner, sure=self.sure)
        return [*_what_is_open(now), held, check, button, *_what_was_made(now, made, is_last)]

    def take(self, name: str, value: Any) -> str:
        """Let how sure the learner was go along or not, or make the file."""
        if name == "sure":
            self.sure = bool(value)
            return ""
        to = self.here.folder.parent / FOLDER
        path = hand_in(self.here.folder, self.here.learner, to, sure=self.sure)
        return f"The file {path.name} is made. Save it, then give it to your educator."

    def _made(self) -> Made | None:
        release = self.here.release
        folder = self.here.folder.parent / FOLDER
        return last_made(folder, self.here.learner, release.worksheet, release.name)


class NothingToHandIn(CourseForm):
    """In practice there is nothing to hand in."""

    def __init__(self, here: Sitting) -> None:
        self.here = here
        super().__init__(here.folder)
        self.looks = True

    def draw(self) -> list[Block]:
        """What is open, what practice is, and the way back."""
        return [
            *_what_is_open(standing(self.here)),
            say(
                "This is practice: nobody marks it, and there is nothing to hand in. "
                "For new numbers, go to the first page."
            ),
            {
                "kind": "link",
                "words": "To the first page",
                "href": "../lessons/00-start-here.ipynb",
                "second": True,
            },
        ]


def hand_in_form(here: Sitting) -> CourseForm:
    """Return the form at the end of a learner's worksheet."""
    practised = here.release.feedback == AT_ONCE
    return NothingToHandIn(here) if practised else HandIn(here)


def _what_is_open(now: Standing) -> list[Block]:
    blocks = []
    if now.open:
        number = len(now.open)
        verb = "is" if number == 1 else "are"
        blocks.append(say(f"{number} of {now.count} questions {verb} not answered:", kind="strong"))
        blocks.append(
            {"kind": "questions", "questions": [[key, now.titles[key]] for key in now.open]}
        )
    else:
        blocks.append(say(f"✓ All {now.count} questions are answered.", kind="good"))
    if now.partly:
        rows = [[key, f"{now.titles[key]}: {missing}"] for key, missing in now.partly]
        blocks.append(say("Answered, but something is missing:", kind="strong"))
        blocks.append({"kind": "questions", "questions": rows})
    if now.left:
        blocks.append(say("Nobody has to answer:", kind="quiet"))
        blocks.append(
            {"kind": "questions", "questions": [[key, now.titles[key]] for key in now.left]}
        )
    return [*blocks, *(say(line) for line in now.lines)]


def _what_it_holds(now: Standing, learner: str, *, sure: bool) -> Block:
    head = ["Question", "Your last answer", *(["How sure"] if sure else [])]
    rows = [[{"text": text} for text in row[: len(head)]] for row in now.told]
    beside = "" if sure else " and how sure you were"
    return {
        "kind": "details",
        "summary": "What is in the file",
        "blocks": [
            say(
                f"Your id, {learner}; the time at which you make it; this page; and the last "
                f"answer to each question. Your earlier tries{beside} stay with you."
            ),
            {"kind": "table", "caption": "", "head": head, "rows": rows},
        ],
    }


def _what_was_made(now: Standing, made: Made | None, is_last: bool) -> list[Block]:
    if made is None:
        return []
    when = _moment(made.at)
    download: Block = {
        "kind": "download",
        "name": made.path.name,
        "words": f"Save the file of {when}",
        "second": not is_last,
    }
    if is_last:
        return [
            say(f"✓ Made on {when}, with all that is answered now.", kind="good"),
            download,
            say(GIVE),
        ]
    changed = ", ".join(now.titles.get(key, key) for key in made.changed(now.answers))
    told = f"You made the file last on {when}. Since then you changed: {changed}."
    again = "It is not in that file. Make the file again and give that: the last one counts."
    return [say(f"{told} {again}", kind="care"), download]


def _questions(now: Standing, keys: tuple[str, ...]) -> Block:
    return {"kind": "questions", "questions": [[key, now.titles[key]] for key in keys]}


def _moment(at: datetime) -> str:
    local = at.astimezone()
    return f"{local.day} {local:%B %Y at %H:%M}"

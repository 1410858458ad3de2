"""What a page of the course claims, sentence by sentence, for a department to accept or change."""

import functools
import json
import re
from typing import NamedTuple

from cubital import tables
from cubital.tables.files import course_folder

NO_SOURCE = "no source named: common practice, worked out by the course, or a teaching assumption"

_CITED = re.compile(r" ?\[([a-z0-9][a-z0-9, -]*)\](?!\()")
_LINK = re.compile(r"\[([^\]]+)\]\([^)]*\)")
_NUMBER = re.compile(r"\d")
# Words by which a sentence tells somebody what to do or to leave; what is bold or an item of a list
# does so too.
_SAFETY = re.compile(
    r"\b(?:never|stop(?:s|ped)?|do not|must|at once|not used|keep (?:away|out)|feel for a pulse|"
    r"needle out|tourniquet off|hand on|call|report|press|local policy|instructions for use|"
    r"consent|allerg(?:y|ies)|identit(?:y|ies)|before every)\b",
    re.IGNORECASE,
)
_NOT_A_CLAIM = re.compile(
    r"^(?:We (?:will|have)\b|For training\.|Local policy, the device's instructions for use and "
    r"licensed|No clinician has reviewed|Until your department|Predict:|Then move|Move |To \[|"
    r"Now answer|#)|\(\d+ minutes?\)|\?$"
)
_ITEM = re.compile(r"^(?:[-*] |\d+\. |> )")
_END = re.compile(r"(?:(?<=[.?!])|(?<=[.?!][*”\"])|(?<=[.?!]\*\*)) +(?=[A-Z*“\"(])")
_NOT_CLAIMED = {"references", "worksheet", "next", "back", "from-here", "objectives"}


class Claim(NamedTuple):
    """A sentence that states a number, names a source, or tells what is safe.

    ``sources`` are the texts of what the sentence itself cites, with how far each was seen.
    """

    section: str
    words: str
    is_safety: bool
    sources: tuple[str, ...]


@functools.cache
def claims(page: str) -> tuple[Claim, ...]:
    """Return the claims of a page's text, in its order, each once.

    Raises
    ------
    ValueError
        There is no such page; the text names those there are.
    """
    names = [path.stem for path in sorted(course_folder("modules").glob("*.ipynb"))]
    if page not in names:
        raise ValueError(f"there is no page “{page}”; there are: {', '.join(names)}")
    path = course_folder("modules") / f"{page}.ipynb"
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    found: dict[str, Claim] = {}
    section = ""
    for cell in cells:
        text = "".join(cell["source"])
        for heading in re.findall(r"^#+ (.+)$", text, re.MULTILINE):
            section = heading
        if cell["cell_type"] == "markdown" and cell["id"] not in _NOT_CLAIMED:
            for paragraph in filter(_is_no_question, text.split("\n\n")):
                for claim in _of_paragraph(paragraph, section):
                    found.setdefault(claim.words, claim)
    return tuple(found.values())


def _of_paragraph(paragraph: str, section: str) -> list[Claim]:
    found = []
    for part in re.split(r"\n+", paragraph):
        is_item = bool(_ITEM.match(part))
        for sentence in _END.split(_ITEM.sub("", part)):
            cited = _cited(sentence)
            words = _plain(sentence)
            is_safety = is_item or "**" in sentence or bool(_SAFETY.search(words))
            states = bool(_NUMBER.search(words)) or bool(cited)
            if words and (is_safety or states) and not _NOT_A_CLAIM.search(words):
                found.append(Claim(section, words, is_safety, tuple(map(_source, cited))))
    return found


def _is_no_question(paragraph: str) -> bool:
    """Tell whether a paragraph is not the story with a question that a lesson opens with."""
    return not (paragraph.startswith("**") and paragraph.endswith("?**"))


def _plain(sentence: str) -> str:
    """Return a sentence without its marks: of bold and slanted type, links and sources."""
    words = _CITED.sub("", _LINK.sub(r"\1", sentence))
    return re.sub(r"\*+", "", words).strip()


def _cited(text: str) -> list[str]:
    known = tables.bibliography()
    keys = [key for group in _CITED.findall(text) for key in group.split(", ")]
    return [key for key in dict.fromkeys(keys) if key in known]


def _source(key: str) -> str:
    row = tables.bibliography()[key]
    return f"{key}: {row.text} ({_SEEN[row.seen]})"


_SEEN = {
    "read": "read for this course",
    "abstract": "only its abstract read for this course",
    "second-hand": "as quoted by others",
    "memory": "from memory, to be checked before it is quoted",
}

"""A worksheet's page to practise: it says that nobody marks it, and nothing of handing in."""

import json
import re

from cubital.handin.released.stubs import TEXT_STUB

SAID = "**This is practice.** Nobody marks it, and you are told at once whether an answer is right."
_CAUTION = re.compile(r"^> For training\..*$", re.MULTILINE)
_WORDS = (
    (re.compile(r"^(\d+ points?), marked by hand\.", re.MULTILINE), r"\1; nobody marks it here."),
    (re.compile(r"\b(must (?:all )?be right to pass),"), r"\1 where it is marked,"),
    (re.compile(re.escape(TEXT_STUB)), "*In practice your text stays in the box above.*"),
)


def practised(notebook: str) -> str:
    """Return the text of a worksheet's notebook in the words of a practice."""
    content = json.loads(notebook)
    texts = [cell for cell in content["cells"] if cell["cell_type"] == "markdown"]
    for cell in texts:
        words = "".join(cell["source"])
        for pattern, instead in _WORDS:
            words = pattern.sub(instead, words)
        cell["source"] = words
    first = texts[0]
    first["source"] = _CAUTION.sub(lambda caution: f"{caution[0]}\n\n{SAID}", first["source"])
    return json.dumps(content, indent=1, ensure_ascii=False)

"""Have the keys of cases and vignettes signed by clinicians."""

from dataclasses import dataclass
from pathlib import Path

from cubital.handin.files import write_text
from cubital.handin.released.bank import read_bank
from cubital.items import Item
from cubital.records.bank import reviewing


@dataclass(frozen=True)
class ToSign:
    """The cases and vignettes with what each takes for right, and how its key stands."""

    sheets: tuple[reviewing.Sheet, ...]

    def in_words(self) -> str:
        """Say all of it in plain text, to print and sign."""
        return reviewing.text(self.sheets)

    def write_page(self, path: Path) -> None:
        """Write all of it as an HTML page, which holds the answers."""
        write_text(path, reviewing.page(self.sheets))


def keys_to_sign(
    workspace: Path | None = None, *, item: str | None = None, worksheet: str = ""
) -> ToSign:
    """Return what is to be signed of the course or a course folder, a worksheet or a question.

    Raises
    ------
    ValueError
        There is no such item or worksheet, or nothing to sign in what was asked for.
    """
    worksheets = read_bank(workspace).worksheets
    if worksheet and worksheet not in worksheets:
        known = ", ".join(worksheets)
        raise ValueError(f"there is no worksheet “{worksheet}”; there are: {known}")
    listed: list[Item] = [
        one
        for name, asked in worksheets.items()
        if worksheet in {"", name}
        for one in asked
        if item in {None, one.id}
    ]
    if not listed:
        raise ValueError(f"there is no item “{item}”")
    found = tuple(reviewing.sheets(listed))
    if not found:
        raise ValueError("no question that was asked for has a key for clinicians to sign")
    return ToSign(found)

"""A feedback page as its reader sees it: each question's rows, and its pictures."""

from html.parser import HTMLParser
from pathlib import Path


class Parts(HTMLParser):
    """The rows of a feedback page, a label and its words each, by the question's id."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.rows: dict[str, list[list[str]]] = {}
        self.pictures = 0
        self.at = self.tag = ""
        self.feed(path.read_text(encoding="utf-8"))

    def handle_starttag(self, tag: str, attrs: list) -> None:
        """Begin a question, a label or its words."""
        if tag == "section":
            self.at = dict(attrs)["id"]
            self.rows[self.at] = []
        if tag == "dt":
            self.rows[self.at].append(["", ""])
        self.pictures += tag == "img"
        if tag in {"dt", "dd"}:
            self.tag = tag

    def handle_endtag(self, tag: str) -> None:
        """End a label or its words."""
        self.tag = "" if tag in {"dt", "dd"} else self.tag

    def handle_data(self, data: str) -> None:
        """Keep what is read."""
        if self.tag:
            self.rows[self.at][-1][self.tag == "dd"] += data

    def of(self, item: str) -> dict[str, str]:
        """The rows of one question, no label twice."""
        assert len({label for label, _ in self.rows[item]}) == len(self.rows[item])
        return dict(self.rows[item])

    def labels(self) -> dict[str, list[str]]:
        """The labels of each question's rows."""
        return {item: [label for label, _ in rows] for item, rows in self.rows.items()}

"""What a learner predicts in a lesson before they see it: kept for them alone, and never marked."""

from pathlib import Path
from typing import Any

from cubital.handin.files import read_json
from cubital.handin.progress import keep_progress, read_progress
from cubital.study import folders

_LARGEST = 8_000_000
_LONGEST = 200


def predictions_of(notebook: Path) -> dict[str, dict[str, Any]]:
    """Return how each prediction of a page is asked for, by its cell's id."""
    cells = read_json(notebook, largest=_LARGEST)["cells"]
    asked = {cell.get("id"): cell["metadata"].get("cubital", {}).get("predict") for cell in cells}
    return {str(cell): asks for cell, asks in asked.items() if asks}


def keep_prediction(notebook: Path, cell: str, words: str) -> str:
    """Keep what was said at a prediction, or no words if it was only shown; return it.

    Raises
    ------
    ValueError
        The page has no such prediction, or the words are more than anybody says there.
    """
    if cell not in predictions_of(notebook):
        raise ValueError(f"{notebook.name} has no prediction {cell!r:.60}")
    if len(words) > _LONGEST:
        raise ValueError(f"a prediction has up to {_LONGEST} letters, not {len(words)}")
    place = f"{notebook.stem}/{cell}"
    return keep_progress(_lessons(notebook), predicted={place: words}).predicted[place].words


def predicted_on(notebook: Path) -> dict[str, str]:
    """Return what was said at each prediction of a page; nothing where that cannot be read."""
    try:
        kept = read_progress(_lessons(notebook)).predicted
    except (ValueError, OSError):
        return {}  # what is wrong with the file is said where something is kept in it
    on_page = f"{notebook.stem}/"
    return {
        place.removeprefix(on_page): said.words
        for place, said in kept.items()
        if place.startswith(on_page)
    }


def _lessons(notebook: Path) -> Path:
    return notebook.resolve().parents[1] / folders.LESSONS

"""What serves as check values in tests describes another device, and stands nowhere else."""

import json
import re
from pathlib import Path

import pytest

from cubital import items, tables
from cubital.handin.released.release import new_release

CHECKOUT = Path(__file__).parents[1]
GENERATED = {"docs", "fitted"}
TEXTS = [
    *sorted(CHECKOUT.glob("modules/*.ipynb")),
    *sorted(CHECKOUT.glob("exercises/source/*/*.ipynb")),
    *sorted(CHECKOUT.glob("grader/cubital/items/*/*.py")),
    *sorted(CHECKOUT.glob("grader/cubital/explore/*/*.py")),
    *sorted(CHECKOUT.glob("assets/*.*")),
    *sorted(path for path in CHECKOUT.glob("assets/*/*.*") if path.parent.name not in GENERATED),
    CHECKOUT / "README.md",
]
# Depth reached, working distance with its window, light, run and charge time, stored pictures.
CHECK_VALUES = {
    "depth_reach_mm": 10,
    "working_distance_mm": 300,
    "window_mm": 25,
    "stored_pictures": 200,
    "run_time_h": 2,
    "charge_time_h": 4,
}
CHECK_LIGHTS_LM = (6, 10)
AS_WORDS = re.compile(
    r"\b10(?:\.0)? mm deep\b"
    r"|depths?_mm=\([^)]*\b10(?:\.0)?\b"
    r"|\b30(?:\.0)? cm\b"
    r"|\b300 mm (?:from|away|above)\b"
    r"|\b(?:6|10)(?:\.0)? lm\b"
    r"|\b200 (?:stored )?pictures\b"
)


def words_of(path):
    """Return the text of a file, of a notebook that of its cells."""
    text = path.read_text(encoding="utf-8")
    if path.suffix != ".ipynb":
        return text
    return "\n\n".join("".join(cell["source"]) for cell in json.loads(text)["cells"])


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: path.name)
def test_no_check_value_stands_in_what_learners_and_educators_read(path):
    assert AS_WORDS.findall(words_of(path)) == []


@pytest.mark.parametrize("learner", range(20))
def test_no_question_is_drawn_with_a_check_value(learner):
    for worksheet in items.WORKSHEETS:
        release = new_release("spring", worksheet)
        for item in release.listed():
            if item.needs != "truth":
                question = item.ask(release.values(item, f"learner-{learner}"))
                assert AS_WORDS.findall(question) == [], item.id


def test_the_courses_own_device_has_other_figures():
    profile = tables.profile()
    for name, value in CHECK_VALUES.items():
        assert getattr(profile, name) != value
    assert profile.light_output_lm not in CHECK_LIGHTS_LM

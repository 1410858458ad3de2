"""DEVELOPERS.md names every drawer of the package, in the words of the drawer itself."""

import ast
import re
from pathlib import Path

CHECKOUT = Path(__file__).parents[1]
PACKAGE = CHECKOUT / "grader" / "cubital"
PAGE = (CHECKOUT / "DEVELOPERS.md").read_text(encoding="utf-8")
TOPICS = set(re.findall(r"^\| `(\w+)` \| .+ \| \d0, `[\w-]+` \|$", PAGE, re.M))
LIST = PAGE.partition("| drawer |")[2].partition("\n\n")[0]
TOLD = dict(re.findall(r"^\| `([\w/]+)/` \| (.+) \|$", LIST, re.M))
BY_TOPIC = ("calc", "explore", "items")


def _drawers() -> dict[str, str]:
    """Return the first paragraph of each folder of the package, but the package's own."""
    found = {}
    for init in PACKAGE.rglob("__init__.py"):
        words = ast.get_docstring(ast.parse(init.read_text(encoding="utf-8"))) or ""
        name = init.parent.relative_to(PACKAGE).as_posix()
        found[name] = " ".join(words.partition("\n\n")[0].split())
    found.pop(".")
    return found


def test_every_drawer_that_is_no_topics_is_on_the_page_in_its_own_words():
    topics = {f"{layer}/{topic}" for layer in BY_TOPIC for topic in TOPICS}
    assert {name: words for name, words in _drawers().items() if name not in topics} == TOLD


def test_the_words_of_topics_are_the_folders_of_figures_and_questions():
    for layer in ("explore", "items"):
        folders = {path.name for path in (PACKAGE / layer).iterdir() if path.is_dir()}
        assert folders >= TOPICS
    assert len(TOPICS) == 8


def test_every_folder_of_code_says_what_lives_there():
    folders = {path.parent for path in PACKAGE.rglob("*.py")}
    assert {path for path in folders if not (path / "__init__.py").is_file()} == set()
    assert all(_drawers().values())


def test_every_place_that_the_page_names_is_there():
    questions = PAGE.partition("| what is to change |")[2].partition("One topic has")[0]
    places = re.findall(r"`([\w.]+(?:/[\w<>.]+)*/?)`", questions)
    assert len(places) > 15
    roots = (CHECKOUT, PACKAGE)
    for place in places:
        filled = place.replace("<topic>", "light")
        assert any((root / filled).exists() for root in roots), place

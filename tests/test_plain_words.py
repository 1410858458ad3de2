"""No text that a reader of a page may meet holds a word of the machine beneath it.

Looked through are the texts in scripts, in Python's messages, in templates, lessons and worksheets,
also those that only a fault brings up. `tests/browser/everywhere` reads what a browser shows.
"""

import ast
import json
import re
import tomllib
from pathlib import Path

import pytest

from cubital import tables

from .plain import machine_words

PACKAGE = Path(tables.__file__).resolve().parents[1]
ASSETS = tables.course_folder("assets")
SCRIPTS = sorted([*PACKAGE.rglob("*.js"), *(ASSETS / "scripts").glob("*.js")])
OF_THE_WORKBENCH = "workbench"  # a folder whose readers asked for notebooks
# What is said to who reads a page. What the educator's own steps say of a hand-in's notebook, in
# `marking` and `educator`, is left out: they work in the workbench.
SPOKEN = ("forms", "worksheet", "refresh", "study", "explore", "items", "handin", "records", "cli")
PYTHON = sorted(
    path
    for folder in (*SPOKEN, "marking/feedback")
    for path in (PACKAGE / folder).rglob("*.py")
    if OF_THE_WORKBENCH not in path.parts and path.name != "ways.py"  # JupyterLab's own names
)
TEMPLATES = sorted(PACKAGE.rglob("*.j2"))
PAGES = sorted(
    path
    for part, under in (("modules", "*.ipynb"), ("exercises", "source/*/*.ipynb"))
    for path in tables.course_folder(part).glob(under)
)
_NOBODY_READS = {"docs", "fitted", "site"}
TABLES = sorted(path for path in ASSETS.rglob("*.toml") if path.parent.name not in _NOBODY_READS)
_TOKEN = re.compile(
    r"//[^\n]*|/\*.*?\*/"  # comments
    r"|\"(?:\\.|[^\"\\\n])*\"|'(?:\\.|[^'\\\n])*'|`(?:\\.|[^`\\])*`",
    re.DOTALL,
)


def is_text(words):
    """Whether a string is something to be read: a name of the program has no space in it."""
    return " " in words.strip() or bool(re.match(r"[A-Z][a-z]", words))


def texts_of_script(source):
    found = [m[0] for m in _TOKEN.finditer(source) if m[0][0] in "\"'`"]
    inner = [re.sub(r"\$\{[^}]*\}", "…", words[1:-1]) for words in found]
    return [words for words in inner if is_text(words)]


def texts_of_python(source):
    tree = ast.parse(source)
    described = {
        id(node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }
    return [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and id(node) not in described
        and is_text(node.value)
    ]


def texts_of_table(value):
    if isinstance(value, str):
        return [value]
    values = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return [text for inner in values for text in texts_of_table(inner)]


def in_all(texts):
    return [found for text in texts for found in machine_words(text)]


def named(path):
    return path.relative_to(PACKAGE.parents[1]).as_posix()


@pytest.mark.parametrize("path", SCRIPTS, ids=named)
def test_a_script_says_none(path):
    if OF_THE_WORKBENCH not in path.parts:
        assert in_all(texts_of_script(path.read_text(encoding="utf-8"))) == []


def test_the_texts_of_scripts_are_found():
    texts = [t for path in SCRIPTS for t in texts_of_script(path.read_text(encoding="utf-8"))]
    assert "The page could not be made ready." in texts
    assert "Something that belongs here could not be shown." in texts
    assert "Help" in texts


@pytest.mark.parametrize("folder", [*SPOKEN, "marking/feedback"])
def test_a_message_of_python_says_none(folder):
    paths = [path for path in PYTHON if (PACKAGE / folder) in path.parents]
    assert paths
    texts = [(named(p), t) for p in paths for t in texts_of_python(p.read_text(encoding="utf-8"))]
    assert [(path, found) for path, text in texts for found in machine_words(text)] == []


@pytest.mark.parametrize("path", TEMPLATES, ids=named)
def test_a_template_says_none(path):
    text = re.sub(r"\{[%{#].*?[%}#]\}", " ", path.read_text(encoding="utf-8"), flags=re.DOTALL)
    assert machine_words(text) == []


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.stem)
def test_a_page_of_the_course_says_none(path):
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    texts = ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown"]
    assert in_all(texts) == []


def test_no_table_of_the_course_says_one():
    found = [t for path in TABLES for t in texts_of_table(tomllib.loads(path.read_text("utf-8")))]
    assert in_all(found) == []


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("Blood with fewer red cells absorbs less", 0),
        ("kept in answers.json", 0),
        ("Run all cells of the Notebook", 2),
        ("the kernel, a widget, a traceback, JSON", 4),
    ],
)
def test_blood_has_cells_and_files_have_endings(text, number):
    assert len(machine_words(text)) == number

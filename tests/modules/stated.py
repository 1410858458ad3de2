"""Numbers that a lesson states, held against what the package computes.

A lesson's test has a table: cell id -> {words in that cell: the numbers in them, computed}.
"""

import re

NUMBER = re.compile(r"\d[\d,]*(?:\.\d+)?")
NOT_A_CLAIM = re.compile(
    r"\b(?:14|16|17|18|20|22|24|26) gauge\b"  # the name of a catheter
    r"|\(\d+ minutes?\)|about \d\d minutes"  # how long the lesson takes; summed elsewhere
    r"|\[[a-z0-9, -]+\](?!\()"  # a key of the bibliography
    r"|^\d\. "  # the number of a step
    r"|`[^`]*`|\]\([^)]*\)",  # a command, a link
    re.MULTILINE,
)


def words_of(lesson):
    """The text of each Markdown cell, on one line."""
    return {
        cell.id: re.sub(r"\s+", " ", cell.source)
        for cell in lesson.cells
        if cell.cell_type == "markdown"
    }


def pairs(stated):
    """Every cell with each of its statements, to run one test each."""
    return [(cell, words) for cell, rows in stated.items() for words in rows]


def is_written_as(text, value):
    """Whether the written number is the value, rounded to the digits that are written."""
    digits = len(text.partition(".")[2])
    return abs(float(text.replace(",", "")) - value) <= 0.5 * 10**-digits + 1e-9


def assert_written(words, stated, computed):
    """Hold the numbers in a statement against the computed ones."""
    assert stated in words
    written = NUMBER.findall(stated)
    assert len(written) == len(computed), (written, computed)
    for text, value in zip(written, computed, strict=True):
        assert is_written_as(text, value), (stated, text, value)


def unchecked(lesson, stated):
    """The text of each cell that still has a number in it when all statements are taken out."""
    found = {}
    for cell in lesson.cells:
        if cell.cell_type != "markdown":
            continue
        left = re.sub(r"(?<!\n)\n(?!\n|- |\d\. )", " ", cell.source)
        for words in sorted(stated.get(cell.id, ()), key=len, reverse=True):
            left = left.replace(words, "")
        left = NOT_A_CLAIM.sub("", left)
        if re.search(r"\d", left):
            found[cell.id] = left
    return found

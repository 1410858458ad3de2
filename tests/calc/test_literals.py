"""Numbers in the calculations are data, named conversions, or explained."""

import ast
import re
from pathlib import Path

import pytest

from cubital import calc

FILES = sorted(Path(calc.__path__[0]).rglob("*.py"))
PLAIN = {0, 1, 2, 0.5}


def placed(tree: ast.AST) -> set[int]:
    """Return the nodes of whole numbers that are an index, a power or the end of a range."""
    found = set()
    for node in ast.walk(tree):
        match node:
            case (
                ast.Subscript(slice=ast.Constant(int()) as number)
                | ast.BinOp(op=ast.Pow(), right=ast.Constant(int()) as number)
                | ast.BinOp(op=ast.Pow(), right=ast.UnaryOp(operand=ast.Constant(int()) as number))
                | ast.Call(func=ast.Name("range"), args=[ast.Constant(int()) as number])
            ):
                found.add(id(number))
    return found


def unexplained(source: str) -> list[str]:
    """Return the numbers outside 0, 1, 2 and 0.5 on lines that no comment explains.

    An index, a power and the end of a range explain themselves.
    """
    lines = source.splitlines()
    found = []
    tree = ast.parse(source)
    plain = placed(tree)
    for node in ast.walk(tree):
        is_number = isinstance(node, ast.Constant) and type(node.value) in (int, float, complex)
        if not is_number or node.value in PLAIN or id(node) in plain:
            continue
        line, above = lines[node.lineno - 1], lines[node.lineno - 2].strip()
        if not re.search(r"#\s*\S", line[node.end_col_offset :]) and not above.startswith("#"):
            found.append(f"{node.lineno}: {line.strip()}")
    return found


def unnamed(source: str) -> list[str]:
    """Return the numbers that are not the whole value of a constant in capitals."""
    tree = ast.parse(source)
    named = {
        id(node.value)
        for node in tree.body
        if isinstance(node, ast.Assign) and node.targets[0].id.isupper()
    }
    return [
        f"{node.lineno}: {node.value}"
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and type(node.value) in (int, float)
        and node.value not in PLAIN
        and id(node) not in named
    ]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_every_number_is_plain_or_explained(path):
    source = path.read_text(encoding="utf-8")
    assert (unnamed if path.name == "units.py" else unexplained)(source) == []


def test_a_bare_number_is_found():
    assert unexplained("x = 1\ny = 3.7 * x\n") == ["2: y = 3.7 * x"]
    assert unexplained("x = 1\ny = 3.7 * x  # 3.7: why\n") == []
    assert unexplained("y = x[3] ** 4 / z**-5\n") == []
    assert unexplained("y = 3 * x[3] ** 4\n") == ["1: y = 3 * x[3] ** 4"]
    assert unnamed("MM_PER_CM = 10\n\n\ndef f(x):\n    return 25.4 * x\n") == ["5: 25.4"]

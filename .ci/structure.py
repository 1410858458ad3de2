"""Measure how the package is laid out, to compare two states of it.

    .venv/bin/python .ci/structure.py

Prints lines and modules, the folders with the most files, the imports between folders, circles
among modules, and how many modules of ours the marker takes hold of. Imports are read by grimp.
"""

from collections import Counter
from pathlib import Path

import grimp

PACKAGE = "cubital"
CHECKOUT = Path(__file__).resolve().parents[1]
MARKER = ("cubital.marking.marks.marker", "cubital.marking.marker")
PARTS = ("grader/cubital", "tests", "assets", ".ci")


def folder_of(module: str, packages: set[str]) -> str:
    """Return the package that a module lies in; a package stands for itself."""
    return module if module in packages else module.rpartition(".")[0]


def circles(arrows: dict[str, set[str]]) -> list[list[str]]:
    """Return the groups of nodes that reach each other."""
    reached: dict[str, set[str]] = {}
    for start in arrows:
        seen: set[str] = set()
        todo = [start]
        while todo:
            for following in arrows.get(todo.pop(), set()) - seen:
                seen.add(following)
                todo.append(following)
        reached[start] = seen
    groups = {
        tuple(sorted(b for b in reached[a] if a in reached.get(b, set())))
        for a in arrows
        if a in reached[a]
    }
    return sorted(list(group) for group in groups)


def main() -> None:
    """Print the measures."""
    graph = grimp.build_graph(PACKAGE)
    packages = {module for module in graph.modules if graph.find_children(module)}
    arrows = {module: graph.find_modules_directly_imported_by(module) for module in graph.modules}
    between = {
        (folder_of(one, packages), folder_of(other, packages))
        for one, others in arrows.items()
        for other in others
    }
    between = {(one, other) for one, other in between if one != other}
    sources = sorted((CHECKOUT / "grader").rglob("*.py"))
    lines = sum(len(path.read_text(encoding="utf-8").splitlines()) for path in sources)
    print(f"modules {len(sources)}, lines {lines}")
    print(f"imports between folders: {len(between)}, of modules {sum(map(len, arrows.values()))}")
    print(f"circles: {circles(arrows) or 'none'}")
    marker = next(name for name in MARKER if name in graph.modules)
    print(f"{marker} imports {len(arrows[marker])} modules of ours")
    for part in PARTS:
        files = Counter(
            path.parent.relative_to(CHECKOUT).as_posix()
            for path in (CHECKOUT / part).rglob("*")
            if path.is_file() and "__pycache__" not in path.parts
        )
        listed = ", ".join(f"{folder} {count}" for folder, count in files.most_common(4))
        print(f"most files in {part}: {listed}")


if __name__ == "__main__":
    main()

"""Write the page of all calculations, by topic, from their docstrings and signatures.

    .venv/bin/python .ci/api_page.py

Writes ``assets/docs/api.md`` and its check sum into ``assets/docs/generated.toml``. The same code
gives the same page, so a test can tell when it is stale.
"""

import importlib
import inspect
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import generated

from cubital import calc, tables
from cubital.calc.shared.quantities import written

CHECKOUT = Path(__file__).resolve().parents[1]
DOCS = CHECKOUT / "assets" / "docs"
PAGE = DOCS / "api.md"
COMMAND = ".venv/bin/python .ci/api_page.py"

HEADING = re.compile(r"^(\w+)\n-{3,}\n", re.MULTILINE)
UNIT = re.compile(r"\s*\[([^\[\]]+)\]")
EQUATION = re.compile(r"`[^`]*(?:=|~|<|>|/)[^`]*`")

INTRODUCTION = f"""# Calculations, by topic

Every public function of `cubital.calc`, as `from cubital import calc` gives it. Arguments after
`*` go by name; arrays broadcast where an argument takes a number or an array. A unit stands in
brackets, `-` where there is none; before it stand the symbol of the equations and the range that
the argument must lie in, both from `assets/quantities.csv`. Range of validity, what a model leaves
out, and an example are in each docstring: `help(calc.french_size)`. Sources are at the end, with
how far each was opened.

For training. Local policy, the device's instructions for use and licensed practice decide.

This page is generated: `{COMMAND}`.
"""


def sections(doc: str) -> dict[str, str]:
    """Split a docstring into its head and its named sections."""
    parts = HEADING.split(doc)
    return {"Head": parts[0]} | dict(zip(parts[1::2], parts[2::2], strict=True))


def entries(section: str) -> list[tuple[str, str]]:
    """Return the names of a Parameters or Returns section with their descriptions."""
    found = re.split(r"^(?=\S)", section, flags=re.MULTILINE)
    pairs = (entry.partition("\n")[::2] for entry in found if entry.strip())
    return [(name.partition(" : ")[0].strip(), flat(text)) for name, text in pairs]


def flat(text: str) -> str:
    """Return a text on one line."""
    return " ".join(text.split())


def signature(function: Callable[..., Any]) -> str:
    """Return a function's name and arguments with their defaults, without types."""
    bare = inspect.signature(function)
    names = [one.replace(annotation=one.empty) for one in bare.parameters.values()]
    return f"{function.__name__}{inspect.Signature(names)}"


def equation(part: dict[str, str]) -> str:
    """Return the equation of a docstring: after its summary, else in its notes."""
    _, _, rest = part["Head"].partition("\n\n")
    if EQUATION.search(flat(rest)):
        return flat(rest)
    return ", ".join(EQUATION.findall(flat(part.get("Notes", ""))))


def symbol_and_range(name: str) -> str:
    """Return what the table of quantities says of an argument, or nothing."""
    limit = tables.limits().get(name)
    if limit is None:
        return ""
    symbol = f", {limit.symbol.replace('*', chr(92) + '*')}" if limit.symbol else ""
    return f"{symbol}, {written(limit.low)} to {written(limit.high)}"


def function_entry(function: Callable[..., Any]) -> str:
    """Return the entry of one function."""
    part = sections(inspect.getdoc(function) or "")
    summary = flat(part["Head"].partition("\n\n")[0])
    lines = [f"### `{signature(function)}`", "", summary, "", equation(part), ""]
    for name, text in entries(part.get("Parameters", "")):
        units = ", ".join(UNIT.findall(text))
        lines.append(f"- `{name}`{symbol_and_range(name)} [{units}]: {UNIT.sub('', text)}")
    lines += [f"- returns: {text}" for _, text in entries(part.get("Returns", ""))]
    keys = re.split(r"[,\s]+", part.get("References", "").strip())
    lines += ["", "Sources: " + ", ".join(f"[{key}](#{key})" for key in keys), ""]
    return "\n".join(lines)


def type_entry(kind: type) -> str:
    """Return the line of one type of result, with its fields."""
    about = flat((inspect.getdoc(kind) or "").partition("\n\n")[0])
    names = getattr(kind, "_fields", None) or getattr(kind, "__dataclass_fields__", ())
    fields = ", ".join(f"`{name}`" for name in names)
    return f"- `{kind.__name__}`: {about}" + (f" Fields: {fields}.\n" if fields else "\n")


def topic_entry(name: str, members: list[Any]) -> str:
    """Return one topic: its functions, and the types that they return."""
    title = flat((importlib.import_module(name).__doc__ or "").partition("\n\n")[0])
    kinds = [type_entry(one) for one in members if inspect.isclass(one)]
    functions = [function_entry(one) for one in members if inspect.isroutine(one)]
    results = "\n" + "".join(kinds) if kinds else ""
    return f"## {name.rpartition('.')[2]}\n\n{title}\n{results}\n" + "\n".join(functions)


def source_entries(text: str) -> str:
    """Return the sources that a text links to, one a line."""
    known = tables.bibliography()
    lines = []
    for key in sorted(set(re.findall(r"\]\(#([\w-]+)\)", text))):
        row = known[key]
        doi = f" doi:{row.doi}" if row.doi else ""
        lines.append(f'- <a id="{key}"></a>**{key}** ({row.year}; {row.seen}): {row.text}{doi}\n')
    return "## Sources\n\n" + "".join(lines)


def page() -> str:
    """Return the whole page."""
    topics: dict[str, list[Any]] = {}
    for name in sorted(calc.__all__):
        member = getattr(calc, name)
        if inspect.isclass(member) or inspect.isroutine(member):
            topics.setdefault(member.__module__, []).append(member)
    ours = {name: members for name, members in topics.items() if name.startswith(calc.__name__)}
    links = ", ".join("[{0}](#{0})".format(name.rpartition(".")[2]) for name in sorted(ours))
    body = "\n".join(topic_entry(name, members) for name, members in sorted(ours.items()))
    whole = f"{INTRODUCTION}\nTopics: {links}\n\n{body}\n{source_entries(body)}"
    return whole.rstrip() + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8", newline="\n")
    generated.record(COMMAND, [PAGE], folder=DOCS)

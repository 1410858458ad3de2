"""Write down what the course computes and shows, so that two states of its code can be compared.

    .venv/bin/python .ci/digests.py write FILE [items] [figures] [scenes] [cohort]
    .venv/bin/python .ci/digests.py compare BEFORE AFTER

Of every item: what fifty learners are asked and offered, and how their right answer, each slip and
ten wrong answers are judged. Of every figure: its numbers, words and drawing at its defaults and
corners. Of the scenes: the bytes and the truth of a pool. Of an invented cohort: marks, feedback
and report. Numbers count with twelve significant digits. One line holds the check sum of one of
these, so that `compare` can name what differs; it ends with 1 if anything does. Some minutes.
"""

# ruff: noqa: PLC0415 - each part imports what it needs

import hashlib
import itertools
import json
import re
import sys
import tempfile
from calendar import month_name
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

LEARNERS = tuple(f"learner-{number:02d}" for number in range(50))
DIGITS = 12
MOST_CORNERS = 32
PICTURES = 8  # of each kind of picture
FACTORS = (0.001, 0.01, 0.1, 0.37, 0.83, 1.19, 2.6, 7.0, 100.0, 1000.0)
TEXTS = ("", " ", "a", "12 mm", "no idea", "{}", "34", "-1", "1e400", "two words")
DATE = re.compile(rf"\d{{4}}-\d\d-\d\d|\d{{1,2}} (?:{'|'.join(month_name[1:])}) \d{{4}}")
TIME = re.compile(r"\d\d:\d\d(?::\d\d(?:\.\d+)?)?(?:Z|\+00:00)?")
NUMBER = re.compile(r"[-+]?\d+\.\d+(?:e[-+]?\d+)?")
Lines = Iterator[tuple[str, Any]]


def plain(value: Any) -> Any:  # noqa: PLR0911 - one line a type
    """Return a value as what JSON holds, with numbers rounded to the digits that count."""
    if isinstance(value, np.ndarray):
        return [str(value.dtype), list(value.shape), plain(value.tolist())]
    if isinstance(value, np.generic):
        return plain(value.item())
    if isinstance(value, int | float) and not isinstance(value, bool):
        return f"{value:.{DIGITS}g}"  # 650 and 650.0 are one number
    if isinstance(value, bytes):
        return hashlib.sha256(value).hexdigest()
    if isinstance(value, Mapping):
        return {str(key): plain(one) for key, one in value.items()}
    if hasattr(value, "_asdict"):
        return plain(value._asdict())
    if hasattr(value, "__dataclass_fields__"):
        return {name: plain(getattr(value, name)) for name in value.__dataclass_fields__}
    if isinstance(value, set | frozenset):
        return sorted(map(str, value))
    if isinstance(value, list | tuple):
        return [plain(one) for one in value]
    return value if isinstance(value, str | int | bool | None) else repr(value)


def check_sum(value: Any) -> str:
    """Return the check sum of a value."""
    text = json.dumps(plain(value), sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


# -------------------------------------------------------------------------------------- items


def items_lines() -> Lines:
    """Yield what learners are asked, and how their answers are judged, item by item."""
    from cubital import items
    from cubital.handin.released import pictures
    from cubital.handin.released.release import new_release

    for worksheet, listed in items.WORKSHEETS.items():
        jobs, truths = _pool(pictures.wanted(listed))
        release = new_release("digest", worksheet, pictures=pictures.assigned(listed, jobs))
        for item in listed:
            parts = (item.id, item.title, item.points, item.section, item.version, item.critical)
            yield f"item {item.id}", (*parts, item.minutes, item.kind)
            for learner in LEARNERS:
                values = release.values(item, learner)
                truth = truths.get(values.get("picture", ""))
                if item.kind == "trials":
                    truth = {name: truths[name] for name in values["trials"]}
                shown = (values, item.ask(values), item.form(values).offered)
                told = (
                    item.right_in_words(values, truth),
                    item.tolerance_in_words(values),
                    item.mistakes(values),
                    item.route_to(values),
                )
                judged = [_judged(item, values, truth, typed) for typed in _typed(item, values)]
                if truth is not None:
                    judged += [_judged(item, values, truth, a) for a in _seen(item, values, truth)]
                yield f"item {item.id} {learner}", (shown, told, judged)


def _pool(wanted: Mapping[str, int]) -> tuple[Sequence[Any], dict[str, Any]]:
    from cubital.scene.files import planning, rendering

    few = {
        kind: count if kind.startswith(planning.TRIAL) else min(count, PICTURES)
        for kind, count in wanted.items()
    }
    if not few:
        return (), {}
    jobs = planning.planned(few, seed=7)
    return jobs, {job.name: rendering.rendered(job).truth["truth"] for job in jobs}


def _typed(item: Any, values: Mapping[str, Any]) -> list[Any]:  # noqa: PLR0911 - by kind
    kind = item.kind
    if kind in {"number", "code"}:
        right = item.answer(values)
        slips = [slip.value(values) for slip in item.slips]
        numbers = [right, *(n for n in slips if n is not None), *(right * f for f in FACTORS)]
        if kind == "code":
            return [[number] for number in numbers]
        typed = [item.as_typed(number, figures) for number in numbers for figures in (10, 3)]
        return [*typed, *TEXTS]
    if kind == "expression":
        return [item.solution(values), *item.slip_answers(values).values(), *TEXTS]
    if kind == "choice":
        return [*(option.key for option in item.options(values)), *TEXTS[:3]]
    if kind == "decision":
        right = item.solution(values)
        halves = [{name: chosen} for name, chosen in right.items()]
        return [right, *item.slip_answers(values).values(), *halves, {}, {"way": "no-such"}]
    if kind == "order":
        right = item.solution(values)
        turned = [right[n:] + right[:n] for n in range(len(right))]
        return [right, *item.slip_answers(values).values(), *turned, right[:-1], right[::-1]]
    if kind == "table":
        right = item.solution(values)
        columns = [column.key for column in item.columns(values)]
        same = [dict.fromkeys(right, column) for column in columns]
        fewer = [dict(list(right.items())[:n]) for n in range(len(right))]
        return [right, *item.slip_answers(values).values(), *same, *fewer]
    if kind == "text":
        return list(TEXTS)
    if kind == "trials":
        said = [{str(n): one.key for n in range(1, 13)} for one in item.options]
        return [*({"said": one, "way": None} for one in said), {}, {"said": {"99": "x"}}]
    marks = [[40 * n, 30 * n] for n in range(10)]
    if kind == "place":
        return [marks[:n] for n in range(10)] + [[[-1, 0]], [[0, 1e9]], "x"]
    return [
        {"what": option.key, "frame": frame, "mark": mark}
        for option in item.options(values)
        for frame, mark in ((None, None), (3, None), (20, [100, 100]), (39, [9999, 0]))
    ]


def _seen(item: Any, values: Mapping[str, Any], truth: Mapping[str, Any]) -> list[Any]:
    if item.kind == "place":
        right = item.solution(values, truth)
        return [right, right[1:], [*right, [3, 3]]]
    right = item.solution(values, truth)
    if item.kind == "trials":
        return [right, *item.slip_answers(values, truth).values()]
    return [right, right | {"frame": None}, right | {"mark": None}]


def _judged(item: Any, values: Mapping[str, Any], truth: Any, typed: Any) -> Any:
    try:
        answer = item.read(typed, values)
        if item.kind == "code":
            return [item.judge_results([values], answer["results"]), item.in_words(values, answer)]
        if truth is not None:
            return [item.judge(values, answer, truth), item.in_words(values, answer)]
        return [answer, item.judge(values, answer), item.in_words(values, answer)]
    except Exception as error:  # the error is what is compared
        return [type(error).__name__, str(error)]


# ------------------------------------------------------------------------------------ figures


def figures_lines() -> Lines:
    """Yield what each figure shows at its defaults, at its corners, and one control at a time."""
    from cubital.explore.kit.catalogue import every_explorer

    for explorer in every_explorer():
        figure = explorer()
        yield f"figure {explorer.__name__}", (figure.title, figure.controls, figure.notice)
        for number, state in enumerate(_states(figure)):
            picture = figure.compute(state)
            parts = (picture.numbers, picture.readings, picture.alt, picture.spoken)
            drawn = (NUMBER.sub(_rounded, picture.svg), picture.frame)
            yield f"figure {explorer.__name__} {number}", (state, parts, drawn)


def _rounded(found: re.Match[str]) -> str:
    return f"{float(found[0]):.{DIGITS}g}"


def _states(figure: Any) -> list[dict[str, Any]]:
    start = figure.state()
    ends: dict[str, list[Any]] = {}
    for control in figure.controls:
        options = control.get("options")
        ends[control["name"]] = (
            [value for value, _ in options] if options else [control["low"], control["high"]]
        )
    single = [start | {name: value} for name, values in ends.items() for value in values]
    all_ends = itertools.product(*ends.values())
    corners = [start | dict(zip(ends, values, strict=True)) for values in all_ends]
    return [start, *single, *corners[:: max(1, len(corners) // MOST_CORNERS)]]


# ------------------------------------------------------------------------------------- scenes


def scenes_lines() -> Lines:
    """Yield the pictures of a small pool and what is true of them."""
    from cubital.scene.files import planning, rendering

    for seed in (7, 11):
        for job in planning.planned(dict.fromkeys(planning.kinds(), 2), seed=seed):
            found = rendering.rendered(job)
            yield f"scene {seed} {job.kind} {job.name}", (found.frames.tobytes(), found.truth)


# ------------------------------------------------------------------------------------- cohort


def cohort_lines() -> Lines:
    """Yield marks, feedback and report of the invented cohort, without times and folders."""
    from cubital.demo.run import run

    with tempfile.TemporaryDirectory() as folder:
        workspace = Path(folder) / "demo"
        run(workspace, learners=24, seed=1)
        for path in sorted((workspace / "report").rglob("*")):
            if path.suffix in {".html", ".csv", ".json"}:
                yield f"cohort {path.relative_to(workspace)}", _timeless(path, folder)
        for path in sorted((workspace / "feedback").rglob("*.html")):
            yield f"cohort {path.relative_to(workspace)}", _timeless(path, folder)


def _timeless(path: Path, folder: str) -> str:
    text = path.read_text(encoding="utf-8").replace(folder, "")
    return TIME.sub("TIME", DATE.sub("DATE", text))


PARTS = {
    "items": items_lines,
    "figures": figures_lines,
    "scenes": scenes_lines,
    "cohort": cohort_lines,
}


def write(path: Path, parts: Sequence[str]) -> None:
    """Write the check sums of the named parts, or of all."""
    unknown = [part for part in parts if part not in PARTS]
    if unknown:
        sys.exit(f"There is no {', '.join(unknown)}: choose of {', '.join(PARTS)}.")
    with path.open("w", encoding="utf-8") as file:
        for part in parts or PARTS:
            for name, value in PARTS[part]():
                file.write(f"{check_sum(value)} {name}\n")


def compare(before: Path, after: Path) -> int:
    """Print what differs between two files and return 1, or 0 if nothing does."""
    one, other = (
        {
            name: value
            for value, name in (line.split(" ", 1) for line in path.read_text("utf-8").splitlines())
        }
        for path in (before, after)
    )
    different = [name for name in {**one, **other} if one.get(name) != other.get(name)]
    for name in different:
        here = "differs" if name in one and name in other else "is in one alone"
        print(f"{name}: {here}")
    print(f"{len(one)} before, {len(other)} after, {len(different)} differ")
    return 1 if different else 0


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["write", path, *parts]:
            write(Path(path), parts)
        case ["compare", before, after]:
            sys.exit(compare(Path(before), Path(after)))
        case _:
            sys.exit(__doc__)

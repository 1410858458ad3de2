"""What lessons, figures and questions come to, as plain data; on wish without numba and processes.

    python tests/browser_python.py FOLDER JSON

``bare`` takes from Python what a browser's lacks: numba, processes and threads. What is asked for
is written to ``found.json`` in the folder: of ``lessons`` which cells raise, and from which on
scipy is loaded; of ``figures`` the numbers, words and frames of their states, and what their
buttons compute; of ``questions`` what a learner is asked, and how right answers and slips are
judged, on pictures rendered here.
"""

import dataclasses
import hashlib
import importlib.abc
import json
import os
import sys
import threading
from collections.abc import Mapping
from pathlib import Path

LACKING = {"numba", "llvmlite", "_multiprocessing", "concurrent.futures.process"}
LEARNER = "learner-001"
RELEASE = "in-a-browser"


class Absent(importlib.abc.MetaPathFinder):
    """Finds nothing of what a browser's Python lacks."""

    def find_spec(self, name, path, target=None):
        if name in LACKING:
            raise ModuleNotFoundError(f"No module named {name!r}", name=name)


def be_bare():
    """Take away what a browser's Python lacks."""

    def refuse(thread):
        raise RuntimeError("can't start new thread")

    sys.meta_path.insert(0, Absent())
    threading.Thread.start = refuse


def plain(value):
    """Return numbers and words as JSON keeps them, pictures as their digest."""
    import numpy as np  # noqa: PLC0415 - after what is taken away

    if isinstance(value, np.ndarray) and value.dtype == np.uint8:
        return hashlib.sha256(value.tobytes()).hexdigest()
    if isinstance(value, np.ndarray | np.generic):
        value = value.tolist()
    if dataclasses.is_dataclass(value):
        value = {field.name: getattr(value, field.name) for field in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple | set | frozenset):
        found = [plain(one) for one in value]
        return sorted(found) if isinstance(value, set | frozenset) else found
    return value if isinstance(value, str | int | float | None) else type(value).__name__


def run_lesson(lesson):
    """Run a lesson's cells; return what each that fails says, and whether scipy is loaded since."""
    cells = json.loads(Path(lesson).read_text(encoding="utf-8"))["cells"]
    names, found = {}, {}
    for cell in cells:
        if cell["cell_type"] == "code":
            try:
                exec("".join(cell["source"]), names)
            except Exception as fault:
                found[cell["id"]] = repr(fault)
    return {"failing": found, "scipy": "scipy" in sys.modules}


def states(figure):
    """Return the figure's first state, and those with each control at either end."""
    found = [figure.state()]
    for control in figure.controls:
        options = [value for value, _ in control.get("options", [])]
        ends = options or [control["low"], control["high"]]
        found += [{**found[0], control["name"]: end} for end in ends]
    return found


def shown(explorer):
    """Return what a figure shows in each of its states, and what its button computes."""
    figure, found = explorer(), []
    for state in states(figure):
        picture = explorer.compute(state)
        found.append([plain(part) for part in (picture.numbers, picture.alt, picture.frame)])
    if not figure.action:
        return {"states": found}
    figure.act(lambda done, of: None)
    return {"states": found, "run": plain(figure.run._asdict())}


def asked(names, folder):
    """Return what a learner is asked of some questions, and how answers are judged."""
    from cubital import items  # noqa: PLC0415
    from cubital.handin.released import pictures  # noqa: PLC0415
    from cubital.handin.released.release import AT_ONCE, new_release, write_release  # noqa: PLC0415
    from cubital.study.practice_pictures import few_pictures, render_practice  # noqa: PLC0415

    found = {}
    for worksheet, listed in items.WORKSHEETS.items():
        own = [item for item in listed if item.id in names]
        if not own:
            continue
        place = folder / worksheet
        release = new_release(RELEASE, worksheet, listed=own, feedback=AT_ONCE)
        release = dataclasses.replace(release, pictures=few_pictures(release))
        write_release(place, release)
        render_practice(place)
        for item in own:
            question = release.question(item, LEARNER)
            form, key = question.form, question.key
            truth = form.truth(pictures.truths(place)) if item.id in release.pictures else None
            typed = {"": item.solution(question.values, truth)}
            typed |= item.slip_answers(question.values, truth)
            found[item.id] = {
                "values": plain(question.values),
                "form": plain(form.parts()),
                "truth": plain(truth),
                "pictures": [plain(pictures.recorded(place, form, name)) for name in form.pictures]
                if truth is not None
                else [],
                "judged": {
                    slip: plain(key.judge(form, form.read(one), truth))
                    for slip, one in typed.items()
                },
            }
    return found


def main(folder, wanted):
    """Write what is asked for."""
    if wanted.get("bare"):
        be_bare()
    os.chdir(folder)
    from cubital.explore.kit.catalogue import every_explorer  # noqa: PLC0415

    found = {
        "lessons": {lesson: run_lesson(lesson) for lesson in wanted.get("lessons", ())},
        "figures": {
            explorer.__name__: shown(explorer)
            for explorer in every_explorer()
            if explorer.__name__ in wanted.get("figures", ())
        },
        "questions": asked(wanted.get("questions", ()), folder),
        "loaded": sorted(LACKING & set(sys.modules)),
    }
    (folder / "found.json").write_text(json.dumps(found), encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]).resolve(), json.loads(sys.argv[2]))

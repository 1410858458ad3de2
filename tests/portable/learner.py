"""A learner opens a worksheet in the workbench, answers in two processes, and hands in by the page.

``learner.py HANDOUT FOLDER ITEM TYPED``: run by the tests as on another system.
"""

import os
import subprocess
import sys
from pathlib import Path

import nbformat

from cubital.handin.files import write_json
from cubital.handin.released.release import read_release
from cubital.study import folders, serving, ways
from cubital.study.lab import Lab
from cubital.study.workbench import runner as workbench
from cubital.worksheet.sitting import sitting

LEARNER = "ann"


def open_worksheet(handout: str, workspace: Path) -> Path:
    """Serve the learner's folder and run the worksheet's page; return its notebook."""
    opened = folders.lay_out(workspace, LEARNER, handout)
    state = workspace / ".lab" / LEARNER
    as_root = {"ServerApp": {"allow_root": True}}  # who only the system below can tell it is
    write_json(workspace / "as-root" / "jupyter_server_config.json", as_root)
    os.environ["JUPYTER_CONFIG_PATH"] = str(workspace / "as-root")
    with serving.ended_by_signals(), serving.only_one(state) as alone:
        assert alone
        server = Lab(opened.folder, state, way=ways.WORKBENCH)
        said: list[str] = []
        runner = workbench.Runner(server, [opened.notebook], said.append)
        with server:
            runner.run(opened.notebook)
            with serving.only_one(state) as again:
                assert not again
            another = Lab(opened.folder, state)
            another.join()
            workbench.run_if_new(another, opened.notebook)
        assert not said, said
    return opened.notebook


def main(handout: str, workspace: Path, item: str, typed: str) -> None:
    notebook = open_worksheet(handout, workspace)
    outputs = [
        output
        for cell in nbformat.read(notebook, as_version=4).cells
        for output in cell.get("outputs", [])
    ]
    assert len(outputs) >= len(read_release(notebook.parent).items), outputs
    assert not [output for output in outputs if output.output_type == "error"], outputs
    save = "import sys; from pathlib import Path; from cubital.worksheet.sitting import sitting; "
    save += "sitting(Path(sys.argv[1])).store.save(*sys.argv[2:])"
    both = [
        subprocess.Popen([sys.executable, "-c", save, str(notebook.parent), item, answer])
        for answer in ("7 Fr", typed)
    ]
    assert [one.wait() for one in both] == [0, 0]
    here = sitting(notebook.parent).store
    assert len(here.read().items[item]) == 2
    here.save(item, typed)


if __name__ == "__main__":
    main(sys.argv[1], Path(sys.argv[2]), *sys.argv[3:])

"""The educator's commands start without what takes a second to load and is not used."""

import json
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

FORMATS = ["rfc3987_syntax", "rfc3986_validator", "isoduration", "webcolors"]
LOADED = """
import json, sys
import cubital.educator.mark, cubital.educator.report
print(json.dumps([*sys.modules]))
"""


def told(code: str) -> str:
    return subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    ).stdout.strip()


@pytest.fixture(scope="module")
def loaded() -> set[str]:
    """What is loaded when the modules of marking and report are."""
    return set(json.loads(told(LOADED)))


def test_marking_loads_no_library_of_formats(loaded: set[str]) -> None:
    assert "jsonschema" in loaded
    assert not {*FORMATS, "lark", "arrow"} & loaded


def test_marking_loads_nbgraders_gradebook_and_neither_its_servers_nor_its_steps(
    loaded: set[str],
) -> None:
    assert {"nbgrader.api", "nbgrader.coursedir"} <= loaded
    assert not {"jupyter_server", "nbconvert", "nbgrader.apps"} & loaded


def test_marking_alone_loads_neither_what_asks_a_network_nor_what_packs_nor_what_writes_pages() -> (
    None
):
    code = "import json, sys; import cubital.educator.mark; print(json.dumps([*sys.modules]))"
    marking = set(json.loads(told(code)))
    assert {"nbgrader.api", "nbgrader.auth.jupyterhub", "cubital.marking.marks.writer"} <= marking
    assert not {"requests", "setuptools", "jinja2", "cubital.records.report"} & marking


def test_pages_of_feedback_are_made_without_nbgraders_steps() -> None:
    code = "import json, sys; import cubital.educator.feedback; print(json.dumps([*sys.modules]))"
    returning = set(json.loads(told(code)))
    assert {"jinja2", "cubital.marking.feedback.making"} <= returning
    assert not {"nbconvert", "nbgrader.converters", "bs4", "matplotlib"} & returning


def test_nbgrader_unpacks_and_asks_the_hub_by_the_libraries_themselves(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "packed.zip", "w") as packed:
        packed.writestr("a.txt", "A")
    (tmp_path / "there").mkdir()
    code = (
        "import cubital.marking.marks; from nbgrader import utils\n"
        f"utils.unzip({str(tmp_path / 'packed.zip')!r}, {str(tmp_path / 'there')!r})\n"
        "from nbgrader.auth import jupyterhub\n"
        "try: jupyterhub.requests.request('GET', 'nowhere')\n"
        "except ValueError as error: print(type(error).__module__, type(error).__name__)"
    )
    assert told(code) == "requests.exceptions MissingSchema"
    assert (tmp_path / "there" / "a.txt").read_text() == "A"


@pytest.mark.parametrize("name", [*FORMATS, "requests", "setuptools.archive_util"])
def test_what_is_left_out_is_left_to_others(name: str) -> None:
    assert told(f"import cubital.marking.marks, {name}; print({name}.__name__)") == name


def test_nbgraders_package_is_whole_for_whoever_asks_it() -> None:
    code = "import cubital.marking.marks, nbgrader; print(nbgrader.{})"
    assert told(code.format("__version__")) == told("import nbgrader; print(nbgrader.__version__)")
    assert "nbgrader" in told(code.format("_jupyter_server_extension_points()"))
    whole = "from nbgrader.apps import NbGraderApp; print(NbGraderApp.version)"
    assert told(f"import cubital.marking.marks; {whole}") == told(whole)


def test_a_course_folders_settings_load_none_of_nbgraders_steps() -> None:
    code = (
        "import sys; from cubital import tables; from cubital.marking.cohort.course import Course\n"
        "print(Course(tables.course_folder('exercises')).config.GenerateFeedback.exporter_class,"
        " 'nbconvert' in sys.modules)"
    )
    assert told(code) == "cubital.marking.feedback.exporting.PageExporter False"

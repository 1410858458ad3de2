"""The educator's commands start without what takes a second to load and is not used."""

import json
import subprocess
import sys

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


@pytest.mark.parametrize("name", FORMATS)
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
        "print(len(Course(tables.course_folder('exercises')).config.GenerateFeedback.preprocessors)"
        ", 'nbconvert' in sys.modules)"
    )
    assert told(code) == "2 False"


def test_the_page_of_feedback_extends_nbgraders_own_template() -> None:
    code = (
        "from cubital.marking.feedback.converting import templates\n"
        "from nbgrader.server_extensions.formgrader.handlers import template_path\n"
        "print(templates()[1] == template_path)"
    )
    assert told(code) == "True"

"""What the page asks of its kernel, in a process of its own, as a kernel is."""

import json
import subprocess
import sys

import pytest

from cubital.study import folders

ASK = """
import json, os, sys
from cubital.study import page_kernel
for page in sys.argv[1:]:
    told = page_kernel.open_page(page, known=False).data
    print(json.dumps(told | {"folder": os.path.basename(os.getcwd())}))
"""


@pytest.fixture
def asked(tmp_path):
    """Open pages of a learner's folder one after the other, in one process."""
    opened = folders.lay_out(tmp_path, "ada.alder", "40-catheter-sizing")

    def ask(*pages):
        done = subprocess.run(
            [sys.executable, "-c", ASK, *pages],
            cwd=opened.folder,
            capture_output=True,
            text=True,
            check=True,
        )
        return [json.loads(line) for line in done.stdout.splitlines()]

    ask.notebook = opened.notebook
    return ask


def test_each_page_has_its_own_folder_and_all_have_one_process(asked):
    lesson, worksheet, again = asked(
        "lessons/40-catheter-sizing.ipynb",
        "catheter-sizing/catheter-sizing.ipynb",
        "lessons/40-catheter-sizing.ipynb",
    )
    assert [row["folder"] for row in (lesson, worksheet, again)] == [
        "lessons",
        "catheter-sizing",
        "lessons",
    ]
    assert lesson["process"] == worksheet["process"] == again["process"]
    assert not lesson["restored"]
    assert lesson["reviewed"] == worksheet["reviewed"] == ["No clinician has reviewed this yet."]


def test_another_process_tells_so(asked):
    page = "lessons/40-catheter-sizing.ipynb"
    assert asked(page)[0]["process"] != asked(page)[0]["process"]


def test_a_changed_page_is_put_back_when_it_is_opened(asked):
    notebook = json.loads(asked.notebook.read_text(encoding="utf-8"))
    notebook["cells"] = notebook["cells"][1:]
    asked.notebook.write_text(json.dumps(notebook), encoding="utf-8")
    first, second = asked(*["lessons/40-catheter-sizing.ipynb"] * 2)
    assert (first["restored"], second["restored"]) == (True, False)


PREDICT = """
import sys
from cubital.study import page_kernel
page = sys.argv[1]
print(page_kernel.predict(page, "drip-rate", "40 drops/min").data)
print(page_kernel.open_page(page, known=False).data["predicted"])
"""


def test_what_is_predicted_is_kept_and_told_when_the_page_is_opened(asked):
    done = subprocess.run(
        [sys.executable, "-c", PREDICT, "lessons/40-catheter-sizing.ipynb"],
        cwd=asked.notebook.parents[1],
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.splitlines() == [
        "{'kept': '40 drops/min'}",
        "{'drip-rate': '40 drops/min'}",
    ]


def test_the_pages_own_module_loads_no_question_and_no_pictures():
    code = "import sys, cubital.study.page_kernel\nprint(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = set(done.stdout.split())
    assert "cubital.handin.progress" in loaded
    assert not {"cubital.items.worksheets", "PIL", "scipy", "pint"} & loaded

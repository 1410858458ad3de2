"""The server of the page: JupyterLab's own, started without what it loads and never asks for."""

import subprocess
import sys

ASKED = """
import sys
from cubital.study.server import main
sys.argv = ["jupyter-lab", "--version"]
try:
    main()
except SystemExit as end:
    print(end.code or 0, *sorted({"jupyterlab", "jsonschema", "rfc3987_syntax"} & set(sys.modules)))
"""


def test_it_is_jupyterlab_without_the_grammar_that_takes_a_second_to_load():
    done = subprocess.run(
        [sys.executable, "-c", ASKED], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.splitlines()[-1] == "0 jsonschema jupyterlab"

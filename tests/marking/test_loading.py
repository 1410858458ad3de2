"""The educator's commands start without what takes a second to load and is not used."""

import subprocess
import sys

LOADED = """
import sys
import cubital.educator.mark, cubital.educator.report
print("jsonschema" in sys.modules, {"rfc3987_syntax", "lark"} & sys.modules.keys())
import rfc3987_syntax
"""


def test_marking_loads_no_grammar_of_addresses_and_leaves_it_to_others() -> None:
    done = subprocess.run(
        [sys.executable, "-c", LOADED], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "True set()"

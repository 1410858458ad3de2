"""The same tests run alike each time, by themselves as well as beside all others."""

import subprocess
import sys
from pathlib import Path

from hypothesis import settings

SCRIPT = Path(__file__).parents[2] / ".ci" / "repeat_published.py"


def test_property_tests_try_the_same_examples_each_run_and_heed_no_clock():
    chosen = settings()
    assert chosen.derandomize
    assert chosen.deadline is None
    assert chosen.database is None


def test_a_run_in_another_order_that_fails_ends_all_and_names_its_seed(tmp_path):
    depends = "seen = []\n" + "".join(
        f"def test_{n}():\n    seen.append({n})\n    assert seen == list(range({n + 1}))\n"
        for n in range(9)
    )
    (tmp_path / "test_in_order.py").write_text(depends)
    command = [
        sys.executable,
        str(SCRIPT),
        "--times",
        "9",
        "--first",
        "5",
        "--folder",
        str(tmp_path),
    ]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "Seed 5 failed" in done.stdout
    assert "seed 9" not in done.stdout

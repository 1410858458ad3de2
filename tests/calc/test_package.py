"""The package of calculations: every name from its topic, and light to import."""

import subprocess
import sys
from types import ModuleType

import pytest

from cubital import calc

HEAVY = {"scipy", "numba", "pandas", "statsmodels", "matplotlib", "IPython", "nbgrader"}


def printed(code):
    """Run lines of Python in a new process and return what they print."""
    command = [sys.executable, "-c", code]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout.strip()


@pytest.mark.parametrize("topic", calc.TOPICS)
def test_every_name_comes_from_the_module_of_its_topic(topic):
    for name in calc.TOPICS[topic]:
        member = getattr(calc, name)
        assert not isinstance(member, ModuleType)
        assert member.__module__ == f"cubital.calc.{topic}"
        assert member is getattr(sys.modules[member.__module__], name)


def test_every_name_is_listed_once_and_shown():
    names = [name for names in calc.TOPICS.values() for name in names]
    assert len(set(names)) == len(names)
    assert sorted(names) == calc.__all__
    assert set(names) <= set(dir(calc))


def test_no_function_is_called_as_a_drawer():
    drawers = {topic.partition(".")[0] for topic in calc.TOPICS}
    assert not drawers & set(calc.__all__)


def test_importing_the_package_and_all_its_topics_imports_nothing_heavy():
    code = "import sys\nfrom cubital.calc import *\nprint(*sys.modules)"
    imported = {name.partition(".")[0] for name in printed(code).split()}
    assert "numpy" in imported
    assert HEAVY & imported == set()


def test_a_topic_is_imported_on_first_use_only():
    code = "import sys; from cubital import calc; {}; print('cubital.calc.%s' in sys.modules)"
    code %= "sizing.catheter"
    assert printed(code.format("pass")) == "False"
    assert printed(code.format("calc.french_size")) == "True"


def test_an_unknown_name_raises():
    with pytest.raises(AttributeError, match="has no attribute 'needle_colour'"):
        calc.needle_colour  # noqa: B018

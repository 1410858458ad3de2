"""The examples of scenes and what they are made of."""

import doctest
import importlib
import pkgutil

import pytest

from cubital import scene

MODULES = [found.name for found in pkgutil.walk_packages(scene.__path__, "cubital.scene.")]


@pytest.mark.parametrize("name", MODULES)
def test_examples_are_true(name):
    module = importlib.import_module(name)
    failed, _ = doctest.testmod(module)
    assert failed == 0

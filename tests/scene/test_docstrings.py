"""The examples of scenes and what they are made of."""

import doctest
import importlib
import pkgutil

import pytest

from cubital import scene

MODULES = [found.name for found in pkgutil.iter_modules(scene.__path__)]


@pytest.mark.parametrize("name", MODULES)
def test_examples_are_true(name):
    module = importlib.import_module(f"cubital.scene.{name}")
    failed, _ = doctest.testmod(module)
    assert failed == 0

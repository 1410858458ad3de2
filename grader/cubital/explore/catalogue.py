"""All the lessons' interactive figures."""

from __future__ import annotations

import importlib
import pkgutil

from cubital import explore
from cubital.explore.explorer import Explorer


def every_explorer() -> list[type[Explorer]]:
    """Return every explorer that a module of this package defines, by module and then name."""
    names = [found.name for found in pkgutil.iter_modules(explore.__path__)]
    modules = [importlib.import_module(f"cubital.explore.{name}") for name in names]
    return [
        value
        for module in modules
        for _, value in sorted(vars(module).items())
        if isinstance(value, type)
        and issubclass(value, Explorer)
        and value.inputs
        and value.__module__ == module.__name__
    ]

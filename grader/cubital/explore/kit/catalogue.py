"""All the lessons' interactive figures."""

from __future__ import annotations

import importlib
import pkgutil

from cubital import explore
from cubital.explore.kit.explorer import Explorer


def every_explorer() -> list[type[Explorer]]:
    """Return every explorer of every drawer, by module and then name."""
    found = pkgutil.walk_packages(explore.__path__, f"{explore.__name__}.")
    modules = [importlib.import_module(one.name) for one in found]
    return [
        value
        for module in modules
        for _, value in sorted(vars(module).items())
        if isinstance(value, type)
        and issubclass(value, Explorer)
        and value.inputs
        and value.__module__ == module.__name__
    ]

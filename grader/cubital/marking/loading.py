"""What libraries load by the way and no step asks for, left out so that the steps start sooner."""

import importlib
import importlib.util
import sys
from functools import partial
from types import ModuleType
from typing import Any

from cubital.handin.loading import without_formats

_NBGRADER = "nbgrader"
# What nbgrader asks the hub by, and unpacks what its exchange collected by: the functions it calls.
_TRANSFER = {
    "requests": ("request",),
    "setuptools.archive_util": ("unpack_archive", "unpack_tarfile", "unpack_zipfile"),
}


def leave_out() -> None:
    """Leave all of it out; the drawers that load nbgrader call this before they do."""
    without_formats()
    _without_servers()
    _without_transfer()


def _without_servers() -> None:
    """Have nbgrader's modules load without its extensions of the Jupyter server.

    These are what its package itself holds, and they load most of Jupyter. Whoever asks the package
    for something else of its own gets it: then it is loaded as a whole.
    """
    spec = importlib.util.find_spec(_NBGRADER) if _NBGRADER not in sys.modules else None
    if spec is None or spec.loader is None:
        return
    package, loader = importlib.util.module_from_spec(spec), spec.loader
    sys.modules[_NBGRADER] = package
    package.__dict__["__version__"] = importlib.import_module(f"{_NBGRADER}._version").__version__

    def whole(name: str) -> Any:
        if _is_module(package, name):  # it is imported next
            raise AttributeError(name)
        del package.__dict__["__getattr__"]
        loader.exec_module(package)
        return getattr(package, name)

    package.__dict__["__getattr__"] = whole


def _is_module(package: ModuleType, name: str) -> bool:
    return importlib.util.find_spec(f"{package.__name__}.{name}") is not None


def _without_transfer() -> None:
    """Load what nbgrader's gradebook is made of without what its exchange needs.

    nbgrader gets functions that load the library when they are called, and nobody else does.
    """
    left_out = {name: calls for name, calls in _TRANSFER.items() if name not in sys.modules}
    for name, calls in left_out.items():
        sys.modules[name] = _loaded_when_called(name, calls)
    try:
        importlib.import_module(f"{_NBGRADER}.auth")
        importlib.import_module(f"{_NBGRADER}.utils")
    finally:
        for name in left_out:
            del sys.modules[name]


def _loaded_when_called(name: str, calls: tuple[str, ...]) -> ModuleType:
    module = ModuleType(name)
    for call in calls:
        setattr(module, call, partial(_call, name, call))
    return module


def _call(name: str, call: str, /, *told: Any, **named: Any) -> Any:
    return getattr(importlib.import_module(name), call)(*told, **named)

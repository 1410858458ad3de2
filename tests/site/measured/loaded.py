"""Which files of a library Python has loaded."""

import sys


def files(imports: str, library: str) -> list[str]:
    """Run imports; return the library's files that are loaded then, by their paths in it."""
    exec(imports, {})
    found = {getattr(module, "__file__", None) or "" for module in [*sys.modules.values()]}
    inside = [path.partition("/site-packages/")[2] for path in found]
    return [path for path in inside if path.startswith(f"{library}/")]

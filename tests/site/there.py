"""The Python that a site carries, asked from a test: the same function runs there and here."""

import gzip
import json
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

_FOLDER = Path(__file__).parent


@contextmanager
def started(site: Path, *more: str) -> Iterator[Callable[..., Any]]:
    """Start a site's Python; gives a function that calls one there of a module in `measured`.

    Its module imports only what the site has; arguments and what comes are plain JSON data.

    Parameters
    ----------
    more
        Libraries that a page loads later, where it needs them.
    """
    node = shutil.which("node") or shutil.which("nodejs")
    assert node, "these tests need the Debian package nodejs"
    with (
        _laid_out(site / "python") as python,
        subprocess.Popen(
            [node, str(_FOLDER / "in_node.mjs"), str(site), str(python), str(_FOLDER), *more],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        ) as process,
    ):

        def call(function: Callable[..., Any], *given: Any) -> Any:
            asked = {
                "module": ".".join(function.__module__.split(".")[-2:]),
                "call": function.__name__,
                "given": json.dumps(given),
            }
            assert process.stdin is not None
            assert process.stdout is not None
            process.stdin.write(json.dumps(asked) + "\n")
            process.stdin.flush()
            reply = json.loads(process.stdout.readline())
            if "failed" in reply:
                raise AssertionError(f"{function.__name__}{given} there:\n{reply['failed']}")
            return json.loads(reply["came"])

        try:
            yield call
        finally:
            process.stdin.close()
            process.wait()


@contextmanager
def _laid_out(python: Path) -> Iterator[Path]:
    """Unpack what a page's worker unpacks as it arrives."""
    with tempfile.TemporaryDirectory() as name:
        for path in python.iterdir():
            if path.name.startswith("pyodide.asm."):
                unpacked = Path(name, path.name.removesuffix(".bin"))
                unpacked.write_bytes(gzip.decompress(path.read_bytes()))
            else:
                Path(name, path.name).symlink_to(path)
        yield Path(name)


def here(function: Callable[..., Any], *given: Any) -> Any:
    """Call a function here; what comes is made plain as what comes from there is."""
    return json.loads(json.dumps(function(*given)))


def differences(one: Any, other: Any, *, within: float = 0.0, at: str = "") -> Iterator[str]:
    """Yield where two plain values differ and how.

    Parameters
    ----------
    within
        How far two numbers may differ, of the larger one; 0 for not at all.
    """
    if isinstance(one, float) and isinstance(other, float):
        if one != other and not abs(one - other) <= within * max(abs(one), abs(other)):
            yield f"{at}: {one!r} here and {other!r} there"
    elif isinstance(one, dict) and isinstance(other, dict) and one.keys() == other.keys():
        for key in one:
            yield from differences(one[key], other[key], within=within, at=f"{at}.{key}")
    elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        for number, (a, b) in enumerate(zip(one, other, strict=True)):
            yield from differences(a, b, within=within, at=f"{at}[{number}]")
    elif one != other or type(one) is not type(other):
        yield f"{at}: {one!r} here and {other!r} there"

"""The server's files, of which a notebook that is still being run is given out when it is done.

So the page's own parts can load while the notebook's cells run: neither waits for the other.
"""

import asyncio
from pathlib import Path
from typing import Any

from jupyter_server.services.contents.largefilemanager import AsyncLargeFileManager

MARK = ".being-run"  # beside a notebook that is being run, after its name
_LOOK_SECONDS = 0.02


def mark_of(notebook: Path) -> Path:
    """Return the file that stands beside a notebook while it is being run."""
    return notebook.with_name(f"{notebook.name}{MARK}")


class PatientContents(AsyncLargeFileManager):
    """Give a notebook out whole: with what its cells show, once they have run."""

    async def get(self, path: str, content: bool = True, *args: Any, **kwargs: Any) -> Any:
        """Wait while the notebook is being run, then answer as usual."""
        mark = mark_of(Path(self.root_dir) / path.strip("/"))
        while mark.exists():
            await asyncio.sleep(_LOOK_SECONDS)
        return await super().get(path, content, *args, **kwargs)

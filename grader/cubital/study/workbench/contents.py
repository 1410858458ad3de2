"""The server's files, of which a notebook that has not run yet is given out when it has.

So the page's own parts can load while the notebook's cells run: neither waits for the other. A
page that nobody has opened before is run because it is asked for here.
"""

import asyncio
from pathlib import Path
from typing import Any

from jupyter_server.services.contents.largefilemanager import AsyncLargeFileManager
from tornado.web import HTTPError
from traitlets import Unicode

from cubital.study.workbench.pages import Pages

_LOOK_SECONDS = 0.02


class PatientContents(AsyncLargeFileManager):
    """Give a notebook out whole: with what its cells show, once they have run."""

    pages_folder = Unicode(help="Where the command says which pages are to be run.").tag(
        config=True
    )

    async def get(self, path: str, content: bool = True, *args: Any, **kwargs: Any) -> Any:
        """Ask for a notebook that is to be run and wait for it, then answer as usual.

        Raises
        ------
        HTTPError
            The notebook could not be run: 503 with the reason; to ask again tries again.
        """
        if content and path.endswith(".ipynb"):
            await self._until_run(Path(self.root_dir) / path.strip("/"))
        return await super().get(path, content, *args, **kwargs)

    async def _until_run(self, notebook: Path) -> None:
        pages = Pages(Path(self.pages_folder), Path(self.root_dir))
        if not pages.is_to_run(notebook):
            return
        pages.want(notebook)
        while pages.is_to_run(notebook):
            reason = pages.failure(notebook)
            if reason is not None:
                raise HTTPError(
                    503,
                    f"{notebook.stem} could not be made ready: {reason}. Reload this page to try "
                    f"again; if that does not help, stop cubital in its window and give the "
                    f"command: cubital open {notebook.stem}",
                )
            await asyncio.sleep(_LOOK_SECONDS)

"""A JupyterLab of the course's own, on this computer only, with settings of its own."""

import json
import os
import secrets
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Callable
from pathlib import Path
from typing import Any, Self

from cubital.handin.files import read_json, write_json, write_text
from cubital.study.ways import PAGE, WAYS, Way

_START_SECONDS = 60
_TOKEN_BYTES = 24  # 32 letters of base 64
_FOLDERS = ("config", "data", "runtime", "settings", "workspaces")


class Lab:
    """A running JupyterLab whose root is a workspace's folder, or one within.

    Its settings, signatures and run-time files lie in ``state``, so that it neither reads nor
    changes the user's own JupyterLab. ``meanwhile`` is done while it starts.
    """

    def __init__(
        self,
        root: Path,
        state: Path,
        *,
        port: int | None = None,
        way: Way = PAGE,
        meanwhile: Callable[[], object] = lambda: None,
    ) -> None:
        self.root = root.resolve()
        self.state = state.resolve()
        self.way = way
        self._meanwhile = meanwhile
        self.port = port or _free_port()
        self.token = secrets.token_urlsafe(_TOKEN_BYTES)
        self._process: subprocess.Popen | None = None

    @property
    def data_folder(self) -> Path:
        """Where the server keeps its signatures of trusted notebooks."""
        return self.state / "data"

    @property
    def runtime_folder(self) -> Path:
        """Where the server writes its kernels' connection files."""
        return self.state / "runtime"

    @property
    def pages_folder(self) -> Path:
        """Where the command and the server tell each other which pages are to be run."""
        return self.state / "pages"

    @property
    def tickets_folder(self) -> Path:
        """Where tickets lie until they are used."""
        return self.state / "tickets"

    def url_for_browser(self, notebook: Path, kernel: str = "") -> str:
        """Return a notebook's address with a ticket, for a command line that others can read."""
        ticket = secrets.token_urlsafe(_TOKEN_BYTES)
        (self.tickets_folder / ticket).touch()
        return self.url(notebook, kernel).replace(self.token, ticket)

    def url(self, notebook: Path, kernel: str = "") -> str:
        """Return the address that shows a notebook; a page may be given a kernel to run in."""
        path = urllib.parse.quote(notebook.resolve().relative_to(self.root).as_posix())
        given = f"kernel={kernel}&" if kernel else ""
        return f"http://127.0.0.1:{self.port}/{self.way.address(path)}{given}token={self.token}"

    def tell_address(self) -> None:
        """Let a later command for the same folder find this server."""
        there = {"port": self.port, "token": self.token, "way": self.way.name}
        write_json(self._address_file, there)

    def join(self) -> None:
        """Take over the address of the server that another command runs from this folder."""
        try:
            there = read_json(self._address_file)
            self.port, self.token = int(there["port"]), str(there["token"])
            self.way = WAYS[there["way"]]
        except (OSError, ValueError, KeyError, TypeError) as error:
            raise RuntimeError(
                "the course is just being started or ended in another window: give the command "
                "again in a moment"
            ) from error

    @property
    def _address_file(self) -> Path:
        return self.state / "address.json"

    def __enter__(self) -> Self:
        """Start the server and wait until it answers."""
        self._end_forgotten()
        self._write_settings()
        self.log = self.state / "server.log"
        command = [
            sys.executable,
            "-m",
            "cubital.study.server",
            "--no-browser",
            "--ServerApp.ip=127.0.0.1",
            f"--ServerApp.port={self.port}",
            "--ServerApp.port_retries=0",
            f"--ServerApp.root_dir={self.root}",
            "--ServerApp.kernel_websocket_connection_class=cubital.study.connection.PromptConnection",
            "--ServerApp.identity_provider_class=cubital.study.identity.TicketIdentity",
            f"--TicketIdentity.tickets_folder={self.tickets_folder}",
            f"--LabApp.extra_labextensions_path={self.state / 'labextensions'}",
            "--LabApp.news_url=None",
            "--ServerApp.terminals_enabled=False",
            *self.way.arguments(self.state),
        ]
        if getattr(os, "geteuid", lambda: 1)() == 0:
            command.append("--allow-root")
        with self.log.open("wb") as log:
            self._process = subprocess.Popen(
                command,
                env=self._environment(),
                stdout=log,
                stderr=log,
                stdin=subprocess.DEVNULL,
                start_new_session=True,  # Ctrl-C and a closed terminal are the command's to hear of
            )
        try:
            self._meanwhile()
            self._wait()
            self.tell_address()
        except BaseException:
            self.stop()
            raise
        return self

    def __exit__(self, *_error: object) -> None:
        """Stop the server and its kernels."""
        self.stop()

    def stop(self) -> None:
        """Stop the server, by force if it does not go."""
        if self._process is None:
            return
        self._address_file.unlink(missing_ok=True)
        self._process.terminate()
        try:
            self._process.wait(timeout=15)
        except BaseException as error:  # it does not go, or somebody is out of patience
            self._process.kill()
            self._process.wait()
            if not isinstance(error, subprocess.TimeoutExpired):
                raise

    def is_running(self) -> bool:
        """Whether the server is still there."""
        return self._process is not None and self._process.poll() is None

    def request(self, method: str, path: str, body: Any = None) -> Any:
        """Ask the server's own API; the answer as JSON data."""
        request = urllib.request.Request(
            f"http://127.0.0.1:{self.port}/api/{path}",
            method=method,
            data=None if body is None else json.dumps(body).encode(),
            headers={
                "Authorization": f"token {self.token}",
                "Content-Type": "application/json",
            },
        )
        opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
        with opener.open(request, timeout=30) as response:
            text = response.read()
        return json.loads(text) if text else None

    def _end_forgotten(self) -> None:
        """End a server that was left here when its command was killed: it would still write."""
        mine = self.port, self.token, self.way
        try:
            self.join()
            self.request("POST", "shutdown")
            end = time.monotonic() + _START_SECONDS
            while time.monotonic() < end:
                self.request("GET", "status")
                time.sleep(0.1)
        except (OSError, RuntimeError):
            pass  # there is none, or it has gone
        self._address_file.unlink(missing_ok=True)
        self.port, self.token, self.way = mine

    def _environment(self) -> dict[str, str]:
        return os.environ | {
            "JUPYTER_CONFIG_DIR": str(self.state / "config"),
            "JUPYTER_DATA_DIR": str(self.data_folder),
            "JUPYTER_RUNTIME_DIR": str(self.runtime_folder),
            "JUPYTERLAB_SETTINGS_DIR": str(self.state / "settings"),
            "JUPYTERLAB_WORKSPACES_DIR": str(self.state / "workspaces"),
            "JUPYTER_TOKEN": self.token,
            "PYTHONSAFEPATH": "1",
        }

    def _write_settings(self) -> None:
        for folder in ("tickets", "labextensions"):
            shutil.rmtree(self.state / folder, ignore_errors=True)
        for folder in (*_FOLDERS, "tickets", "labextensions"):
            (self.state / folder).mkdir(parents=True, exist_ok=True)
        self.way.extensions(self.state / "labextensions")
        write_text(self.state / "config" / "custom" / "custom.css", self.way.style)
        left_out = {"disabledExtensions": dict.fromkeys(self.way.left_out(), True)}
        write_json(self.state / "config" / "labconfig" / "page_config.json", left_out)
        parts = dict.fromkeys(self.way.server_left_out, False)
        server = {"ServerApp": {"jpserver_extensions": parts}}
        write_json(self.state / "config" / "jupyter_server_config.json", server)
        for name, settings in self.way.settings.items():
            write_json(self.state / "settings" / f"{name}.jupyterlab-settings", settings)

    def _wait(self) -> None:
        """Wait until the server answers, or say what its log says."""
        end = time.monotonic() + _START_SECONDS
        while time.monotonic() < end and self._process.poll() is None:
            try:
                self.request("GET", "status")
            except (urllib.error.URLError, ConnectionError, TimeoutError):
                time.sleep(0.1)
            else:
                return
        lines = self.log.read_text(encoding="utf-8", errors="replace").splitlines()
        tail = "\n".join(lines[-10:])
        raise RuntimeError(f"JupyterLab did not start on port {self.port}. Its last words:\n{tail}")


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]

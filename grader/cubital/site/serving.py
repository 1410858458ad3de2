"""A site tried on this computer: a plain file server that sends the headers a site asks for."""

import contextlib
import functools
import http.server
import threading
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import ClassVar

# All that a page of a site loads comes from the site. 'wasm-unsafe-eval' lets a browser run
# WebAssembly; a figure's own script, and the worker that runs Python, are made from a blob.
POLICY = (
    "default-src 'none'; "
    "script-src 'self' blob: 'wasm-unsafe-eval'; "
    "worker-src 'self' blob:; "
    "connect-src 'self' data:; "
    "img-src 'self' data: blob:; "
    "font-src 'self' data:; "
    "style-src 'self' 'unsafe-inline'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'self'; object-src 'none'"
)
HEADERS: Mapping[str, str] = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-cache",  # a browser asks whether a file changed, and takes its own if not
}
TYPES: Mapping[str, str] = {
    ".ipynb": "application/json",
    ".js": "text/javascript",
    ".json": "application/json",
    ".mjs": "text/javascript",
    ".wasm": "application/wasm",
    ".whl": "application/zip",
    ".woff": "font/woff",
    ".woff2": "font/woff2",
    ".zip": "application/zip",
}


class _Files(http.server.SimpleHTTPRequestHandler):
    extensions_map: ClassVar[dict[str, str]] = {
        **http.server.SimpleHTTPRequestHandler.extensions_map,
        **TYPES,
    }
    protocol_version = "HTTP/1.1"

    def end_headers(self) -> None:
        for name, value in HEADERS.items():
            self.send_header(name, value)
        super().end_headers()

    def log_message(self, *_said: object) -> None:
        pass


@contextlib.contextmanager
def served(folder: Path, port: int = 0) -> Iterator[str]:
    """Serve a site to this computer alone; the address of its first page."""
    handler = functools.partial(_Files, directory=str(folder))
    with http.server.ThreadingHTTPServer(("127.0.0.1", port), handler) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        try:
            yield f"http://127.0.0.1:{server.server_port}/"
        finally:
            server.shutdown()
            thread.join()


def wait() -> None:
    """Stay until Ctrl + C."""
    with contextlib.suppress(KeyboardInterrupt):
        threading.Event().wait()
    print("\nStopped.")

"""A site tried on this computer: a plain file server that sends the headers a site asks for."""

import contextlib
import functools
import http.server
import sys
import threading
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, ClassVar

# All that a page of a site loads comes from the site: what each part of the policy is for.
DIRECTIVES: Mapping[str, str] = {
    "default-src 'none'": "nothing is loaded but what is named here",
    "script-src 'self' blob: 'wasm-unsafe-eval'": "scripts of the site; blob: for a figure's own "
    "script, which comes out of the course's archive; 'wasm-unsafe-eval' lets the browser run "
    "WebAssembly, and allows no eval of scripts",
    "worker-src 'self' blob:": "Python runs in a worker, beside the page",
    "connect-src 'self' data:": "files are asked of the site alone: with this the browser sends "
    "nothing to any other address",
    "img-src 'self' data: blob:": "simulated pictures are made in the page",
    "font-src 'self' data:": "fonts of the site",
    "style-src 'self' 'unsafe-inline'": "figures and JupyterLab set styles of their own",
    "base-uri 'none'": "no script can turn the page's addresses elsewhere",
    "form-action 'none'": "no form sends anything",
    "frame-ancestors 'self'": "which other pages may show the course in a frame",
    "object-src 'none'": "no plug-ins",
}
POLICY = "; ".join(DIRECTIVES)
HEADERS: Mapping[str, str] = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-cache",
}
WHY: Mapping[str, str] = {
    "Content-Security-Policy": "the browser itself keeps the course to its own address",
    "X-Content-Type-Options": "a file is taken for nothing else than the server calls it",
    "Referrer-Policy": "a link that leads elsewhere does not tell from which page",
    "Cache-Control": "a browser asks whether a file changed, and takes its own copy if not, so "
    "that nobody works with half of an earlier edition",
}
# Every ending that a file of a site has.
TYPES: Mapping[str, str] = {
    ".bin": "application/octet-stream",
    ".css": "text/css",
    ".eot": "application/vnd.ms-fontobject",
    ".html": "text/html",
    ".ipynb": "application/json",
    ".js": "text/javascript",
    ".json": "application/json",
    ".svg": "image/svg+xml",
    ".ttf": "font/ttf",
    ".txt": "text/plain",
    ".woff": "font/woff",
    ".woff2": "font/woff2",
    ".zip": "application/zip",
}

# What a server had better compress on the way; archives and fonts are compressed already. A page of
# HTML is compressed by most without being told.
SMALLER = (TYPES[".css"], TYPES[".js"], TYPES[".json"])


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


class _Server(http.server.ThreadingHTTPServer):
    def handle_error(self, request: Any, client_address: Any) -> None:
        """Say nothing of a browser that has what it wants, or was closed."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(request, client_address)


@contextlib.contextmanager
def served(folder: Path, port: int = 0) -> Iterator[str]:
    """Serve a site to this computer alone; the address of its first page."""
    handler = functools.partial(_Files, directory=str(folder))
    with _Server(("127.0.0.1", port), handler) as server:
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

"""What happens to a page's kernel, its connection and its files, done for real."""

import contextlib
import os
import resource
import select
import signal
import socket
import threading
from pathlib import Path

KEPT = "sessionStorage.getItem('cubital-kernel')"


def kernel_of(page):
    """The id of the kernel that a page runs in."""
    return page.evaluate(KEPT)


def process_of(page):
    """The process of a page's kernel, by the connection file that it was started with."""
    name = f"kernel-{kernel_of(page)}.json"
    for folder in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError):
            if name.encode() in (folder / "cmdline").read_bytes():
                return int(folder.name)
    raise AssertionError(f"no process runs {name}")


def kill(server, page):
    """End the kernel's process at once, as a system does that is out of memory."""
    os.kill(process_of(page), signal.SIGKILL)


def restart(server, page):
    """Restart the kernel from elsewhere, such as another window of JupyterLab."""
    server.request("POST", f"kernels/{kernel_of(page)}/restart")


def end(server, page):
    """End the kernel for good from elsewhere."""
    server.request("DELETE", f"kernels/{kernel_of(page)}")


@contextlib.contextmanager
def paused(server, page):
    """Stop the kernel's process for a while, as a busy or sleeping computer does."""
    process = process_of(page)
    os.kill(process, signal.SIGSTOP)
    try:
        yield
    finally:
        os.kill(process, signal.SIGCONT)


@contextlib.contextmanager
def offline(server, page):
    """Cut the browser off the network by its own switch."""
    page.context.set_offline(True)
    try:
        yield
    finally:
        page.context.set_offline(False)


@contextlib.contextmanager
def full_disk(server, page):
    """Let the kernel write no byte more to any file."""
    process = process_of(page)
    before = resource.prlimit(process, resource.RLIMIT_FSIZE)
    resource.prlimit(process, resource.RLIMIT_FSIZE, (0, before[1]))
    try:
        yield
    finally:
        resource.prlimit(process, resource.RLIMIT_FSIZE, before)


class Proxy:
    """A way to a server that can be closed, with all that is on it, and opened again."""

    def __init__(self, to):
        self.to = to
        self._pairs = []
        self._listening = socket.create_server(("127.0.0.1", 0))
        self.port = self._listening.getsockname()[1]
        self.is_open = True
        self._threads = []
        self._begin(self._accept)

    def _begin(self, work, *told):
        self._threads.append(threading.Thread(target=work, args=told, daemon=True))
        self._threads[-1].start()

    def _accept(self):
        with contextlib.suppress(OSError):
            while True:
                one, _ = self._listening.accept()
                if not self.is_open:
                    one.close()
                    continue
                try:
                    other = socket.create_connection(("127.0.0.1", self.to))
                except OSError:
                    one.close()
                    raise
                self._pairs.append((one, other))
                self._begin(self._carry, one, other)

    @staticmethod
    def _carry(one, other):
        with one, other, contextlib.suppress(OSError, ValueError):
            while True:
                for ready in select.select([one, other], [], [])[0]:
                    data = ready.recv(1 << 16)
                    if not data:
                        return
                    (other if ready is one else one).sendall(data)

    def cut(self):
        """Close all connections, and take no new one."""
        self.is_open = False
        for pair in self._pairs:
            for each in pair:
                with contextlib.suppress(OSError):
                    each.shutdown(socket.SHUT_RDWR)
        self._pairs.clear()

    def mend(self):
        """Take connections again."""
        self.is_open = True

    def close(self):
        """End for good."""
        with contextlib.suppress(OSError):
            self._listening.shutdown(socket.SHUT_RDWR)  # so that nothing waits for the next
        self.cut()
        for thread in self._threads:
            thread.join()
        self._listening.close()


def starve(server, page):
    """Give the kernel no more memory than it has now, as on a computer that is full."""
    process = process_of(page)
    has = int(Path(f"/proc/{process}/statm").read_text().split()[0]) * resource.getpagesize()
    _, most = resource.prlimit(process, resource.RLIMIT_AS)
    resource.prlimit(process, resource.RLIMIT_AS, (has, most))

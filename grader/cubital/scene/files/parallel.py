"""Pictures rendered in several processes at once; a browser's Python has only one."""

import multiprocessing
import os
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, ProcessPoolExecutor, wait
from itertools import islice
from multiprocessing import connection
from typing import TypeVar

AHEAD = 2  # jobs given out to each process: it never waits, and memory stays flat
Job = TypeVar("Job")


def in_parallel(work: Callable[[Job], None], jobs: list[Job], processes: int) -> Iterator[None]:
    """Do jobs in processes of their own, giving out no more than are soon begun."""
    queue = iter(jobs)
    executor = ProcessPoolExecutor(
        processes, mp_context=multiprocessing.get_context("spawn"), initializer=start_helper
    )
    try:
        given = {executor.submit(work, job) for job in islice(queue, AHEAD * processes)}
        while given:
            done, given = wait(given, return_when=FIRST_COMPLETED)
            for future in done:
                future.result()
                yield
            given |= {executor.submit(work, job) for job in islice(queue, len(done))}
    finally:
        executor.shutdown(cancel_futures=True)


def start_helper() -> None:
    """Let a process end with the one that started it, even if that is killed."""
    parent = multiprocessing.parent_process()

    def follow() -> None:
        connection.wait([parent.sentinel])
        os._exit(1)

    threading.Thread(target=follow, daemon=True).start()

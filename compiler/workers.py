"""Processes that work for this one: started once they pay off, ended with the run."""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
import threading
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from typing import TypeVar

Share = TypeVar("Share")
Result = TypeVar("Result")


class EndedOutsideError(Exception):
    """A worker was ended from outside, perhaps for want of memory."""


def can_copy() -> bool:
    """Whether a copy of this process can be started at once; else a new one has to load all."""
    return sys.platform == "linux" and threading.active_count() == 1


def spread(
    work: Callable[[Share], Result], shares: Iterable[Share], workers: int
) -> list[Result]:
    """Does each share of a work in one of some processes; the results in the order of shares.

    Raises:
        EndedOutsideError: when a worker did not live to tell.
        Exception: what the work raises, of the first share that raises anything.
    """
    context = multiprocessing.get_context("fork" if can_copy() else "spawn")
    pool = ProcessPoolExecutor(workers, context, live_no_longer_than_the_run)
    try:
        with uninterrupted():
            waiting = [pool.submit(work, share) for share in shares]
        return [share.result() for share in waiting]
    except BrokenProcessPool:
        raise EndedOutsideError from None
    finally:
        # waits: a pool left alone complains when the run ends at the same moment
        pool.shutdown(wait=True, cancel_futures=True)


@contextmanager
def uninterrupted() -> Iterator[None]:
    """Processes started inside ignore Ctrl-C: it is the run's, which decides about them."""
    mask = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, mask)


def live_no_longer_than_the_run() -> None:
    """Ends this worker when the run that started it is killed."""
    run = multiprocessing.parent_process()
    assert run

    def watch() -> None:
        run.join()
        os._exit(1)

    threading.Thread(target=watch, daemon=True).start()

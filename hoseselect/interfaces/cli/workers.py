"""A pure function on several processors at once: the same results, in the same order."""

from __future__ import annotations

import os
import signal
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import ExitStack, contextmanager
from functools import partial
from itertools import chain, islice
from multiprocessing import get_context
from multiprocessing.connection import Connection
from threading import Thread
from typing import Any, TypeVar

from hoseselect.knowledge.errors import InputError

Item = TypeVar("Item")
Result = TypeVar("Result")

MOST = 61
"""Workers that the library takes on every system."""


def processors() -> int:
    """Return how many processors this process may use, at most as many as workers are taken."""
    if hasattr(os, "sched_getaffinity"):
        return min(MOST, len(os.sched_getaffinity(0)))
    return min(MOST, os.cpu_count() or 1)


@contextmanager
def on_workers(
    count: int,
) -> Iterator[Callable[[Callable[[Item], Result], Iterable[Item]], Iterator[Result]]]:
    """Give what maps a function over items in processes of their own; none outlives the context.

    Parameters
    ----------
    count : of processes; 1 = in this one. A single item is worked on in this process anyway
    """
    with ExitStack() as stack:
        yield partial(_mapped, min(count, MOST), stack)


def _mapped(
    count: int,
    stack: ExitStack,
    function: Callable[[Item], Result],
    items: Iterable[Item],
) -> Iterator[Result]:
    """Yield the result of each item in its order; few items and results are held at a time.

    Raises
    ------
    InputError
        when a worker dies.
    """
    rest = iter(items)
    first = list(islice(rest, 2))
    if count == 1 or len(first) < 2:
        yield from map(function, chain(first, rest))
        return
    pool = stack.enter_context(_pool(count, function))
    waiting: deque[Future[Result]] = deque()
    try:
        for item in chain(first, rest):
            with _undisturbed():
                waiting.append(pool.submit(_work, item))
            if len(waiting) > count:
                yield waiting.popleft().result()
        while waiting:
            yield waiting.popleft().result()
    except (BrokenProcessPool, BrokenPipeError):
        found = "a worker that was ended, perhaps for want of memory"
        raise InputError("--workers", found, "fewer workers, such as --workers 1") from None
    finally:
        waiting.clear()  # each holds the fault, which holds this frame and what it reads from


@contextmanager
def _pool(count: int, function: Callable[[Any], Any]) -> Iterator[ProcessPoolExecutor]:
    """Give workers that have a function; whatever ends the context early ends them at once.

    Each holds one end of a pipe. When the other end closes, be it that this process is killed, the
    worker leaves.
    """
    context = get_context("spawn")
    held_by_them, held = context.Pipe(duplex=False)
    given = (held_by_them, function)
    pool = ProcessPoolExecutor(count, context, initializer=_begin, initargs=given)
    try:
        yield pool
    except BaseException:
        held.close()
        raise
    finally:
        pool.shutdown(cancel_futures=True)
        held.close()
        held_by_them.close()


@contextmanager
def _undisturbed() -> Iterator[None]:
    """Hold back what asks to end while a worker begins, in this process and in the worker."""
    if not ENDING:
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, ENDING)
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


ENDING = (
    {signal.SIGINT, signal.SIGTERM, signal.SIGHUP} if hasattr(signal, "pthread_sigmask") else set()
)
_own: dict[str, Callable[[Any], Any]] = {}
"""The function of this worker."""


def _begin(held: Connection, function: Callable[[Any], Any]) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the process that gave the work sees to it
    if ENDING:
        signal.pthread_sigmask(signal.SIG_UNBLOCK, ENDING)
    _own["function"] = function
    Thread(target=_leave_with_parent, args=(held,), daemon=True).start()


def _leave_with_parent(held: Connection) -> None:
    held.poll(None)
    os._exit(1)


def _work(item: Any) -> Any:
    return _own["function"](item)

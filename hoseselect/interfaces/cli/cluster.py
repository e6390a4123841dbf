"""A pure function on the workers of a Dask scheduler: the same results, in the same order."""

from __future__ import annotations

import asyncio
import logging
import pickle
import platform
import warnings
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import CancelledError
from contextlib import contextmanager
from functools import partial
from importlib import import_module
from threading import local
from typing import Any, TypeVar
from uuid import uuid4

from hoseselect.knowledge.errors import InputError

Item = TypeVar("Item")
Result = TypeVar("Result")

OPTION = "--scheduler"
NEEDED = "pip install 'hoseselect[cluster]', here and on every worker"
WITHIN = 5.0
"""Seconds in which a scheduler must answer."""

LOOK, PATIENCE = 2.0, 30.0
"""Seconds after which workers are looked for, and how long there may be none."""

A_HEAD = 2
"""Items that wait for each thread of a worker, so that none is idle."""


@contextmanager
def on_cluster(
    address: str,
) -> Iterator[Callable[[Callable[[Item], Result], Iterable[Item]], Iterator[Result]]]:
    """Give what maps a function over items on the workers of a scheduler.

    A worker that ends costs nothing but time: what it had not handed over is worked out by
    another. Each result is taken once, in the order of the items.

    Parameters
    ----------
    address : of the scheduler, such as "tcp://127.0.0.1:8786"

    Raises
    ------
    InputError
        when no scheduler answers there, or its workers have other versions than this process.
    """
    try:
        library, config = import_module("distributed"), import_module("dask").config
    except ImportError:
        raise InputError(OPTION, "no library for it here", NEEDED) from None
    logging.getLogger("distributed").setLevel(logging.CRITICAL)  # what goes wrong is told once
    _refuse_no_scheduler(library, address)
    quiet = {"distributed.admin.large-graph-warning-threshold": "1GB"}
    with config.set(quiet), warnings.catch_warnings():
        warnings.simplefilter("ignore")  # versions are compared below
        client = library.Client(address, timeout=WITHIN, set_as_default=False)
    try:
        yield partial(_mapped, client)
    finally:
        client.close()


def _refuse_no_scheduler(library: Any, address: str) -> None:
    """Refuse an address at which no scheduler answers."""

    async def asked() -> Any:
        comm = await library.connect(address, timeout=WITHIN)
        try:
            await comm.write({"op": "identity", "reply": True})
            return (await comm.read())["type"]
        finally:
            comm.abort()

    try:
        kind = asyncio.run(asyncio.wait_for(asked(), WITHIN))
    except Exception as error:
        why = "" if isinstance(error, OSError | TimeoutError) else f": {error}"
        found = f"no scheduler that answers at {address!a}{ascii(why)[1:-1]}"
        raise InputError(OPTION, found, "the address of one, such as tcp://host:8786") from None
    if kind != "Scheduler":
        found = f"{address!a}, a {ascii(kind)[1:-1].lower()}"
        raise InputError(OPTION, found, "the address of a scheduler")


def _mapped(
    client: Any, function: Callable[[Item], Result], items: Iterable[Item]
) -> Iterator[Result]:
    """Yield the result of each item in its order; few items and results are held at a time.

    Raises
    ------
    InputError
        when a worker has other versions, none is left, or the scheduler is gone.
    """
    with _told_of_the_cluster():
        # A task and no scattered value: it is made anew where the worker that holds it ends.
        held = client.submit(bytes, pickle.dumps(function), pure=False)
        own = partial(client.submit, _work, held, uuid4().hex, versions(), pure=False)
        waiting: deque[Any] = deque()
        try:
            most = A_HEAD * max(1, sum(client.nthreads().values()))
            for item in items:
                waiting.append(own(item))
                if len(waiting) > most:
                    yield _result(client, waiting.popleft())
            while waiting:
                yield _result(client, waiting.popleft())
        finally:
            waiting.clear()


@contextmanager
def _told_of_the_cluster() -> Iterator[None]:
    """Turn what goes wrong with the cluster, and not with the work, into one sentence."""
    lost = import_module("distributed").KilledWorker
    try:
        yield
    except lost:
        found = "workers that were ended one after the other, perhaps for want of memory"
        raise InputError(OPTION, found, "workers with more memory") from None
    except (CancelledError, EOFError, ConnectionError, OSError) as error:
        if isinstance(error, OSError) and error.errno is not None:
            raise  # of a file that is written
        raise InputError(OPTION, "a scheduler that is gone", "one that stays") from None


def _result(client: Any, future: Any) -> Any:
    """Return a result; while none comes, look whether there are workers.

    Raises
    ------
    InputError
        when there is none for long.
    """
    alone = 0.0
    while True:
        try:
            return future.result(timeout=LOOK)
        except TimeoutError:
            alone = 0.0 if client.nthreads() else alone + LOOK
            if alone >= PATIENCE:
                found = "a scheduler without workers"
                raise InputError(OPTION, found, "dask worker ADDRESS, on each machine") from None


def versions() -> dict[str, str]:
    """Return the versions on which an answer rests, byte for byte."""
    import numpy

    import hoseselect

    python = ".".join(platform.python_version_tuple()[:2])
    return {"hoseselect": hoseselect.__version__, "numpy": numpy.__version__, "Python": python}


_own = local()
"""The function of this thread of a worker, by the name under which it was sent."""


def _work(held: bytes, name: str, wanted: dict[str, str], item: Any) -> Any:
    """Return the result of one item, on a worker.

    Raises
    ------
    InputError
        when it has other versions than whoever asks.
    """
    for package, own in versions().items():
        if own != wanted.get(package):
            found = f"a worker with {package} {own}"
            raise InputError(OPTION, found, f"{package} {wanted.get(package)}, as here")
    if getattr(_own, "name", "") != name:
        _own.name, _own.function = name, pickle.loads(held)
    return _own.function(item)

"""`hoseselect page`: the local page for the counter and the bench."""

from __future__ import annotations

import os
import socket
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import typer

from hoseselect.interfaces.cli.job_input import CATALOG
from hoseselect.knowledge.errors import InputError

HELP = """Serve the counter and the bench as a page on this machine, for its browser alone.

With --lan a phone or another till on the same network may see it too, by a link with a key.
The page needs no internet. Stop it with Ctrl-C.

Examples:

  hoseselect page --open

  hoseselect page --lan --port 8080
"""
LOOPBACK, ANYWHERE = "127.0.0.1", "0.0.0.0"
PORT = 8137
"""Usual port; common practice, no source: any free one does."""
MISSING = "pip install 'hoseselect[page]'"
EVERYBODY = (
    "Everybody on this network who has the link can see the jobs and change the catalogue."
    " The link goes over the network unencrypted: use a network of your own alone."
)


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("page", help=HELP)(page)


def page(
    port: int = typer.Option(PORT, "--port", min=0, max=65535, help="Port; 0 = any free one."),
    open_it: bool = typer.Option(False, "--open", help="Open it in the browser."),
    lan: bool = typer.Option(False, "--lan", help="Let others on the network see it, with a key."),
    workers: int = typer.Option(
        0, "--workers", min=0, max=64, help="Processes that answer; 0 = one for each core, up to 4."
    ),
    catalog: str | None = CATALOG,
) -> None:
    """Serve the page."""
    try:
        import uvicorn

        from hoseselect.interfaces.page import application
        from hoseselect.interfaces.page.access import Access, on_the_network
        from hoseselect.interfaces.page.shop import Shop
    except ModuleNotFoundError as error:
        raise InputError("page", f"no {error.name}, which the page needs", MISSING) from None
    Shop(catalog).catalogue  # noqa: B018  what cannot be used is said before anything is served
    access = on_the_network(own_addresses()) if lan else Access()
    address = ANYWHERE if lan else LOOPBACK
    port = free_port(address, port)
    link = f"http://{LOOPBACK}:{port}/"
    if lan:
        link = _told_to_network(access.hosts, access.key, port)
    os.environ[application.HOSTS] = ",".join(access.hosts)
    os.environ[application.KEY] = access.key
    os.environ[application.CATALOG] = catalog or ""

    def tell() -> None:
        sys.stdout.write(f"{link}\n")
        sys.stdout.flush()
        if open_it:
            import webbrowser

            webbrowser.open(link)

    with told_once_it_answers(port, tell):
        uvicorn.run(
            "hoseselect.interfaces.page.application:of_environment",
            factory=True,
            host=address,
            port=port,
            log_level="warning",
            server_header=False,
            workers=workers or min(os.cpu_count() or 1, MOST_WORKERS),
            timeout_graceful_shutdown=2,
        )


MOST_WORKERS = 4


def free_port(address: str, port: int) -> int:
    """Return a port that is free: the one that is wanted, or any for 0.

    Raises
    ------
    InputError
        when it is taken or may not be used.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as trial:
        trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind((address, port))
        except OSError as error:
            found = f"{port}, which cannot be used ({error.strerror})"
            raise InputError("--port", found, "another port, or 0 for any free one") from None
        return int(trial.getsockname()[1])


@contextmanager
def told_once_it_answers(port: int, tell: Callable[[], None]) -> Iterator[None]:
    """Tell once somebody answers on a port of this machine: a link before that leads nowhere.

    Nothing is told where what is served here ends before it answered.
    """
    ended = threading.Event()

    def wait() -> None:
        while not ended.wait(BETWEEN_TRIALS):
            try:
                socket.create_connection((LOOPBACK, port), timeout=1).close()
            except OSError:
                continue
            tell()
            return

    waiting = threading.Thread(target=wait, daemon=True)
    waiting.start()
    try:
        yield
    finally:
        ended.set()
        waiting.join()


BETWEEN_TRIALS = 0.02
"""Time between two trials whether the page answers [s]; our own choice."""


def own_addresses() -> tuple[str, ...]:
    """Return the addresses of this machine on its networks, the loopback one left out."""
    found = {info[4][0] for info in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)}
    probe = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
    try:
        probe.connect((NOWHERE, 9))  # sends nothing: it only asks which way would be taken
        found.add(probe.getsockname()[0])
    except OSError:
        pass
    finally:
        probe.close()
    return tuple(sorted(str(one) for one in found if not str(one).startswith("127.")))


NOWHERE = "192.0.2.1"
"""An address for documentation (RFC 5737), where nobody is."""


def _told_to_network(hosts: tuple[str, ...], key: str, port: int) -> str:
    """Say who can see the page, show the square for a phone, and return the link."""
    from hoseselect.interfaces.paper.square import Square

    others = [host for host in hosts if host not in {"localhost", LOOPBACK, "[::1]"}]
    link = f"http://{others[0] if others else LOOPBACK}:{port}/?key={key}"
    sys.stderr.write(f"{EVERYBODY}\n")
    sys.stdout.write(Square(link).terminal())
    return link

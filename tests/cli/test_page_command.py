"""`page` before it serves: what is missing or taken is said, and who will see it."""

from __future__ import annotations

import os
import re
import socket
import subprocess
import sys
import urllib.request
from pathlib import Path
from typing import Any

import pytest

from hoseselect.interfaces.cli import page

from .conftest import Command

SERVED = "hoseselect.interfaces.page.application:of_environment"


@pytest.fixture
def served(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, Any]]:
    """What the server is asked to serve, in place of serving it."""
    import uvicorn

    asked: list[dict[str, Any]] = []

    def run(name: str, **more: Any) -> None:
        asked.append({"name": name, **more})
        with socket.create_server((more["host"], more["port"])) as listening:
            listening.accept()[0].close()

    monkeypatch.setattr(uvicorn, "run", run)
    for name in ("HOSTS", "KEY", "CATALOG"):  # what the command leaves for its processes
        monkeypatch.setenv(f"HOSESELECT_PAGE_{name}", "")
    return asked


def test_without_the_extra_it_says_how_to_get_it(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "uvicorn", None)
    told = command("page")
    assert (told.code, told.out) == (2, "")
    assert "pip install 'hoseselect[page]'" in told.err


def test_on_this_machine_alone_unless_told_otherwise(
    command: Command, served: list[dict[str, Any]]
) -> None:
    told = command("page", "--port", "0", "--workers", "3")
    assert re.fullmatch(r"http://127\.0\.0\.1:\d+/\n", told.out)
    (asked,) = served
    assert (asked["name"], asked["host"], asked["workers"]) == (SERVED, "127.0.0.1", 3)
    assert f":{asked['port']}/" in told.out


@pytest.mark.parametrize("workers", ["1", "2"])
def test_the_link_leads_somewhere_from_the_moment_it_is_told(tmp_path: Path, workers: str) -> None:
    environment = {**os.environ, "HOSESELECT_BOOK": "off", "XDG_CONFIG_HOME": str(tmp_path)}
    words = [sys.executable, "-m", "hoseselect", "page", "--port", "0", "--workers", workers]
    with subprocess.Popen(words, env=environment, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        try:
            with urllib.request.urlopen(process.stdout.readline().strip(), timeout=60) as answer:
                assert answer.status == 200
        finally:
            process.terminate()


def test_no_link_is_told_of_what_never_answered(
    command: Command, served: list[dict[str, Any]], monkeypatch: pytest.MonkeyPatch
) -> None:
    import uvicorn

    monkeypatch.setattr(uvicorn, "run", lambda name, **more: served.append({"name": name, **more}))
    told = command("page", "--port", "0")
    assert (told.out, len(served)) == ("", 1)


def test_the_browser_is_opened_once_the_page_answers(
    command: Command, served: list[dict[str, Any]], monkeypatch: pytest.MonkeyPatch
) -> None:
    import webbrowser

    opened: list[str] = []
    monkeypatch.setattr(webbrowser, "open", opened.append)
    told = command("page", "--port", "0", "--open")
    assert opened == [told.out.strip()]
    assert len(served) == 1


def test_on_the_network_with_a_warning_a_key_and_a_square(
    command: Command, served: list[dict[str, Any]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(page, "own_addresses", lambda: ("192.0.2.7",))
    told = command("page", "--lan", "--port", "0")
    assert "Everybody on this network" in told.err
    link = told.out.splitlines()[-1]
    assert re.fullmatch(r"http://192\.0\.2\.7:\d+/\?key=[\w-]{20,}", link)
    assert served[0]["host"] == "0.0.0.0"
    assert read_square(told.out.splitlines()[:-1]) == link
    again = command("page", "--lan", "--port", "0").out.splitlines()[-1]
    assert again.partition("key=")[2] != link.partition("key=")[2]


def read_square(rows: list[str]) -> str:
    """Return what a scanner reads of a square of half blocks."""
    import numpy as np
    import zxingcpp

    upper = {"█": 255, "▀": 255, "▄": 0, " ": 0}
    lower = {"█": 255, "▀": 0, "▄": 255, " ": 0}
    dots = [[kind[letter] for letter in row] for row in rows for kind in (upper, lower)]
    picture = np.kron(np.array(dots, dtype=np.uint8), np.ones((8, 8), dtype=np.uint8))
    (found,) = zxingcpp.read_barcodes(picture)
    text: str = found.text
    return text


def test_a_port_that_is_taken(command: Command, served: list[dict[str, Any]]) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        told = command("page", "--port", str(taken.getsockname()[1]))
    assert (told.code, told.out, served) == (2, "", [])
    assert told.err.startswith("--port: found")


def test_a_catalogue_that_cannot_be_used_is_said_before_anything_is_served(
    command: Command, served: list[dict[str, Any]]
) -> None:
    told = command("page", "--catalog", "/nowhere", "--port", "0")
    assert (told.code, told.out, served) == (2, "", [])
    assert "/nowhere" in told.err

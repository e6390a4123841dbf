"""Six customers at a terminal, answering as people do: what is asked, what is taken, how soon.

What they say stands in customers.csv, question by question, as it was said.
"""

from __future__ import annotations

import csv
import os
import pty
import re
import select
import subprocess
import sys
import time
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

import pytest

HERE = Path(__file__).parent
with (HERE / "customers.csv").open(encoding="utf-8", newline="") as stream:
    SAID = [(row["customer"], row["asked"], row["reply"]) for row in csv.DictReader(stream)]
CUSTOMERS = {name: [row[1:] for row in rows] for name, rows in groupby(SAID, lambda row: row[0])}
MOST_REPLIES = 12
FIRST_LINES = 12
PROMPT = "> "
PATIENCE = 60.0  # s, of a machine that does other work as well
VERDICTS = re.compile(r"^(?:USE|USE IF|NO|NOT YET|STOP)(?: |$)")
KEYS = "q quit\n"


@dataclass(frozen=True)
class Conversation:
    """What a terminal showed before each reply, and after the last one.

    Parameters
    ----------
    questions : up to each prompt
    answer : after the last reply
    code : exit code
    waited : processor time between a reply and what followed it, all together [s]
    """

    questions: tuple[str, ...]
    answer: str
    code: int
    waited: float


def processor_time(process: int) -> float:
    """Return the processor time that a running process has used [s]."""
    fields = Path(f"/proc/{process}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def read_until(terminal: int, words: str) -> str:
    """Return what a terminal shows up to some words, or to its end."""
    shown, until = "", time.monotonic() + PATIENCE
    while not shown.endswith(words) or not words:
        ready, _, _ = select.select([terminal], [], [], until - time.monotonic())
        assert ready, f"nothing more after: {shown[-200:]!r}"
        try:
            piece = os.read(terminal, 65536).decode()
        except OSError:  # the other side has closed
            piece = ""
        if not piece:
            break
        shown += piece.replace("\r\n", "\n")
    return shown


def quit_at(terminal: int) -> str:
    """Return what a terminal shows after `q`: pressed again until somebody listens to keys.

    What is typed before the terminal listens to single keys is lost, as at any terminal.
    """
    until, shown = time.monotonic() + PATIENCE, ""
    while time.monotonic() < until:
        if not shown.strip("q"):
            os.write(terminal, b"q")
        if select.select([terminal], [], [], 0.2)[0]:
            try:
                piece = os.read(terminal, 65536).decode()
            except OSError:  # the other side has closed
                return shown
            if not piece:
                return shown
            shown += piece.replace("\r\n", "\n")
    raise AssertionError("nobody listens to keys")


def talk(replies: list[str]) -> Conversation:
    """Return the conversation of a customer with `hoseselect ask` at a terminal."""
    ours, theirs = pty.openpty()
    environment = {**os.environ, "HOSESELECT_TODAY": "2026-01-15", "TERM": "dumb", "COLUMNS": "80"}
    done = subprocess.Popen(
        [sys.executable, "-m", "hoseselect", "ask"],
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        env=environment,
        cwd=HERE.parents[1],
    )
    os.close(theirs)
    questions, started = [], 0.0
    for reply in replies:
        questions.append(read_until(ours, PROMPT))
        started = started or processor_time(done.pid)
        os.write(ours, f"{reply}\n".encode())
    answer = read_until(ours, KEYS)
    rest = quit_at(ours)
    assert "To add or change an answer: hoseselect ask" in rest
    ended = os.waitid(os.P_PID, done.pid, os.WEXITED | os.WNOWAIT)
    assert ended is not None
    waited = processor_time(done.pid) - started
    os.close(ours)
    return Conversation(tuple(questions), answer, done.wait(PATIENCE), waited)


@pytest.mark.skipif(sys.platform != "linux", reason="reads the processor time of another process")
@pytest.mark.parametrize("customer", CUSTOMERS)
def test_a_customer_is_understood_and_answered(customer: str) -> None:
    said = CUSTOMERS[customer]
    assert len([reply for _, reply in said if reply not in {"?", "<"}]) <= MOST_REPLIES
    heard = talk([reply for _, reply in said])
    for (asked, _), shown in zip(said, heard.questions, strict=True):
        assert asked in shown
        assert "Not understood" not in shown
    assert "Not understood" not in heard.answer
    first = heard.answer.splitlines()[1 : 1 + FIRST_LINES]  # after the reply itself
    assert any(VERDICTS.match(line) for line in first), heard.answer[:900]
    assert heard.code in {0, 1}


def test_the_customers_ask_for_six_lines() -> None:
    assert len(CUSTOMERS) == 6
    assert all(len(said) >= 7 for said in CUSTOMERS.values())

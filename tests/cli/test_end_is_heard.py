"""Who asks to end with Ctrl-C is heard, also while something is put away, where no fault counts."""

from __future__ import annotations

import os
import subprocess
import sys

PROGRAM = """
import os, signal, sys, time
from hoseselect.interfaces.cli import main

signal.signal(signal.SIGINT, signal.default_int_handler)  # a job in the background ignores it

class PutAway:
    def __del__(self):
        os.kill(os.getpid(), signal.SIGINT)
        for _ in range(1000):  # the fault is raised in here, where nobody can catch it
            time.sleep(0.001)

def work(names):
    def command():
        held = PutAway()
        del held
        time.sleep(5)
        print("went on")
    return command

main.application = work
sys.argv = ["hoseselect", "demo"]
main.run()
"""


def test_an_end_that_is_asked_for_while_something_is_put_away_is_heard() -> None:
    where = os.pathsep.join(map(os.path.abspath, sys.path))
    environment = {**os.environ, "PYTHONPATH": where}
    words = [sys.executable, "-c", PROGRAM]
    run = subprocess.run(
        words, check=False, env=environment, capture_output=True, text=True, timeout=60
    )
    assert run.returncode != 0
    assert run.stdout == ""

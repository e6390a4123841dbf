"""`hoseselect demo`: three worked jobs, one for each kind of user."""

from __future__ import annotations

import typer

from hoseselect.interfaces.cli.common import HEIGHT, Screen, write_json
from hoseselect.interfaces.cli.job_input import FULL
from hoseselect.interfaces.in_use import catalogue_in_use

HELP = """Show three worked jobs on the built-in, invented catalogue: a hose for the counter, a cut
for the bench, and a job that must be stopped."""


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("demo", help=HELP)(demo)


def demo(
    full: bool = FULL,
    json: bool = typer.Option(False, "--json", help="Write the three answers as JSON."),
) -> None:
    """Show three worked jobs."""
    from hoseselect.application.demo import demo_jobs
    from hoseselect.application.pick import pick_hose

    catalogue = catalogue_in_use(None)
    worked = [(words, pick_hose(job, catalogue)) for words, job in demo_jobs()]
    if json:
        write_json([{"for": words, "answer": answer.as_json()} for words, answer in worked])
        return

    from hoseselect.interfaces.cli.first_screen import first_screen
    from hoseselect.interfaces.cli.show_answer import show_answer

    console = Screen()
    for number, (words, answer) in enumerate(worked, start=1):
        if number > 1:
            console.line("")
        console.heading(f"--- Demo {number} of {len(worked)}: {words}")
        console.line("")
        if full:
            show_answer(answer, "mm")
            continue
        for row in first_screen(answer.summary, "mm", console.width, HEIGHT - HEADING):
            console.line(row)


HEADING = 4
"""Lines before each of them."""

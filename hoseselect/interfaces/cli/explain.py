"""`hoseselect explain`: what a code means, with figures and where they come from."""

from __future__ import annotations

import typer

from hoseselect.interfaces.cli.common import Screen, write_json

HELP = """Explain a rule, service, stop, fluid, polymer, marking, source, figure or the job file.

Examples:

  hoseselect explain bend-radius

  hoseselect explain EPDM

  hoseselect explain job --json   (the JSON Schema of a job file)

Without a code, all codes are listed.
"""


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("explain", help=HELP)(explain)


def explain(
    code: str = typer.Argument("", help="Code or name to explain."),
    json: bool = typer.Option(False, "--json", help="Write JSON."),
) -> None:
    """Explain a code."""
    from hoseselect.application.explain import explain_code

    page = explain_code(code)
    if json:
        write_json(page.as_json())
        return
    console = Screen()
    console.heading(page.title)
    for paragraph in page.paragraphs:
        console.item(paragraph.strip(), len(paragraph) - len(paragraph.lstrip()))
    for section, lines in page.sections:
        if lines:
            console.heading(section)
        for line in lines:
            console.item(line)

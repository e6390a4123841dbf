"""What the house promises of its commands: each stands in README and in the list, and is loaded."""

from __future__ import annotations

import ast
import re
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path

import pytest
import typer

from hoseselect.interfaces.cli.main import COMMANDS, application

ROOT = Path(__file__).parents[2]
CLI = ROOT / "hoseselect" / "interfaces" / "cli"
ROW = re.compile(r"^\| `hoseselect ([\w-]+)", re.MULTILINE)


def shown(readme: str) -> list[str]:
    """Return the commands of the table of README."""
    return ROW.findall(readme)


def registering(folder: Path) -> list[str]:
    """Return the modules of a folder that add a command: those with a function `register`."""
    return sorted(
        path.stem
        for path in folder.glob("*.py")
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef) and node.name == "register"
    )


def differing(listed: Sequence[str], readme: str, folder: Path) -> list[str]:
    """Return how list of commands, table of README and modules differ."""
    faults = [f"{name}: twice in COMMANDS" for name in set(listed) if listed.count(name) > 1]
    for name in sorted({*listed, *shown(readme), *registering(folder)}):
        faults += [f"{name}: not in COMMANDS"] if name not in listed else []
        faults += [f"{name}: not in README"] if name not in shown(readme) else []
        faults += [f"{name}: no module registers it"] if name not in registering(folder) else []
    return faults


def added(name: str) -> set[str]:
    """Return the commands and groups that the module of a command adds."""
    made = typer.Typer()
    import_module(f"hoseselect.interfaces.cli.{name}").register(made)
    names = {command.name for command in made.registered_commands}
    return {str(name) for name in names | {group.name for group in made.registered_groups}}


def test_list_readme_and_modules_have_the_same_commands() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert differing(COMMANDS, readme, CLI) == []


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_is_loaded_by_the_module_of_its_name(name: str) -> None:
    assert added(name) == {name}
    loaded = application((name,))
    assert len(loaded.registered_commands) + len(loaded.registered_groups) == 1


def test_the_guard_of_commands_sees_planted_ones(tmp_path: Path) -> None:
    for name, source in {
        "pick": "def register(app): ...",
        "hidden": "def register(app): ...",
        "common": "def other(): ...",
    }.items():
        (tmp_path / f"{name}.py").write_text(source, encoding="utf-8")
    readme = "| `hoseselect pick JOB` | x |\n| `hoseselect ghost` | x |\n"
    assert differing(("pick", "pick", "gone"), readme, tmp_path) == [
        "pick: twice in COMMANDS",
        "ghost: not in COMMANDS",
        "ghost: no module registers it",
        "gone: not in README",
        "gone: no module registers it",
        "hidden: not in COMMANDS",
        "hidden: not in README",
    ]
    assert differing(("pick",), readme.splitlines()[0], tmp_path)[0].startswith("hidden")

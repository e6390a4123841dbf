"""What the house promises of its rooms: no circle of imports, use cases only, no file of others."""

from __future__ import annotations

import ast
import re
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "hoseselect"
FACES = "hoseselect.interfaces"
USE_CASES = "hoseselect.application"
CIRCLES = {
    frozenset({"hoseselect.answer.answer", f"hoseselect.answer.{name}"})
    for name in ("ask_next", "assumptions", "details", "hose_answer", "safety")
}
"""Circles that still stand. A circle that is gone must leave this list; none may be added."""
NOT_REACHED = {f"{USE_CASES}.explain_figures"}
"""Modules among the use cases that no face calls. One that is gone must leave this list."""
PLACE = re.compile(r"__file__|importlib[. ](?:import )?resources|__path__|find_spec")
BESIDE = re.compile(r'[A-Z_]+ = Path\(__file__\)\.(?:with_name\("\w[\w.]*"\)|parent / "\w[\w.]*")')
BUILT_IN = "hoseselect/catalogue/locate.py"
"""The one module that looks outside of its room: for the built-in catalogue, which has none."""


def modules(package: Path) -> dict[str, Path]:
    """Return the modules of a package by their full names."""
    found = {}
    for path in sorted(package.rglob("*.py")):
        parts = path.relative_to(package.parent).with_suffix("").parts
        found[".".join(parts).removesuffix(".__init__")] = path
    return found


def import_graph(package: Path) -> dict[str, set[str]]:
    """Return what each module imports of its own package, late imports too.

    The package itself is left out: it is loaded before any of its modules, and loads its public
    names late.
    """
    known = modules(package)
    graph: dict[str, set[str]] = {}
    for name, path in known.items():
        wanted = graph[name] = set()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                wanted |= {alias.name for alias in node.names} & set(known)
            elif isinstance(node, ast.ImportFrom):
                for alias in node.names:
                    full = f"{node.module}.{alias.name}"
                    wanted |= {full if full in known else str(node.module)} & set(known)
        wanted -= {package.name, name}
    return graph


@cache
def own_graph() -> dict[str, set[str]]:
    """Return what each module of the package imports of it."""
    return import_graph(PACKAGE)


def circles(graph: dict[str, set[str]]) -> set[frozenset[str]]:
    """Return circles of imports, one after the other until none is left."""
    left = {name: set(wanted) for name, wanted in graph.items()}
    found = set()
    while True:
        try:
            tuple(TopologicalSorter(left).static_order())
        except CycleError as error:
            circle = error.args[1]  # each name is imported by the one behind it
            found.add(frozenset(circle))
            left[circle[1]].discard(circle[0])
        else:
            return found


def not_reached(graph: dict[str, set[str]], face: str = "hoseselect") -> set[str]:
    """Return the modules among the use cases that neither an interface nor the face imports."""
    reached: set[str] = set()
    for name, wanted in graph.items():
        if name == face or name.startswith(FACES):
            reached |= wanted
    return {name for name in graph if name.startswith(f"{USE_CASES}.")} - reached


def foreign_paths(package: Path) -> list[str]:
    """Return the lines that make a path other than that of a file or folder beside a module."""
    return [
        f"{path.relative_to(package.parent)}:{number}"
        for path in modules(package).values()
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1)
        if PLACE.search(line) and not BESIDE.fullmatch(line)
    ]


def planted(folder: Path, sources: dict[str, str]) -> Path:
    """Write a package with some modules and return it."""
    package = folder / "hoseselect"
    for place, source in sources.items():
        path = package / place
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(source, encoding="utf-8")
    return package


def test_no_modules_import_one_another_in_a_circle() -> None:
    assert circles(own_graph()) == CIRCLES


def test_the_circle_guard_sees_a_planted_circle(tmp_path: Path) -> None:
    package = planted(
        tmp_path,
        {
            "rules/one.py": "from hoseselect.rules.two import x",
            "rules/two.py": "def late():\n    from hoseselect.rules import three",
            "rules/three.py": "import hoseselect.rules.one",
            "rules/four.py": "from hoseselect.rules.one import x",
        },
    )
    expected = frozenset({f"hoseselect.rules.{name}" for name in ("one", "two", "three")})
    assert circles(import_graph(package)) == {expected}
    (package / "rules/three.py").write_text("import hoseselect", encoding="utf-8")
    assert circles(import_graph(package)) == set()


def test_application_holds_nothing_but_what_a_face_calls() -> None:
    assert not_reached(own_graph()) == NOT_REACHED


def test_the_guard_of_use_cases_sees_a_planted_module(tmp_path: Path) -> None:
    package = planted(
        tmp_path,
        {
            "__init__.py": "from hoseselect.application.cut import cut",
            "application/pick.py": "from hoseselect.application.rank import rank",
            "application/cut.py": "",
            "application/rank.py": "",
            "interfaces/cli/pick.py": "if x:\n    from hoseselect.application.pick import pick",
        },
    )
    assert not_reached(import_graph(package)) == {"hoseselect.application.rank"}


def test_no_room_opens_a_file_of_another_by_its_path() -> None:
    odd = {place.partition(":")[0] for place in foreign_paths(PACKAGE)}
    assert odd == {BUILT_IN}


@pytest.mark.parametrize(
    "line",
    [
        "X = Path(__file__).parents[1] / 'knowledge' / 'tables'",
        'X = Path(__file__).parent / "tables" / ".." / ".." / "knowledge"',
        'X = Path(__file__).with_name("..")',
        "X = Path(__file__).resolve().parent.parent",
        "    return open(Path(__file__).parents[2] / name)",
        'X = Path(hoseselect.__file__).parent / "knowledge"',
        "from importlib.resources import files",
        "from importlib import resources",
    ],
)
def test_the_guard_of_paths_sees_a_planted_path(tmp_path: Path, line: str) -> None:
    assert len(foreign_paths(planted(tmp_path, {"rules/planted.py": line}))) == 1


@pytest.mark.parametrize(
    "line",
    [
        'LIMITS = Path(__file__).with_name("limits.csv")',
        'TABLES = Path(__file__).parent / "tables"',
        "X = Path(folder).parent.parent / 'x'",
    ],
)
def test_the_guard_of_paths_lets_a_file_beside_the_module_pass(tmp_path: Path, line: str) -> None:
    assert foreign_paths(planted(tmp_path, {"rules/planted.py": line})) == []

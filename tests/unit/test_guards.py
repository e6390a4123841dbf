"""What the house promises of its own modules: imports, size, cold start. Each guard can fail."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "hoseselect"
LAYERS = (
    *("knowledge", "files", "quantities", "domain", "mechanics", "judging", "rules", "catalogue"),
    *("intake", "settings", "rolls", "cutplan", "photo", "answer", "book", "application"),
    "interfaces",
)
HEAVY = ("pandas", "pint", "scipy", "fluids", "rich", "CoolProp", "hoseselect.mechanics.rod")
"""Of our own the bent shapes: they are worked out where a route is free."""
MOST_LINES = 400
USUAL_LINES = 250
USUAL_SHARE = 0.9
PICK = ("pick", "-s", "PCV hose", "-n", "13 mm", "--measured", "300 mm", "--json")


def imports(source: str) -> Iterator[tuple[int, str]]:
    """Yield line and full name of every import, wherever it stands, of a module's source."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"line {node.lineno}: relative import"
            yield from ((node.lineno, f"{node.module}.{alias.name}") for alias in node.names)


def upward_imports(package: Path) -> list[str]:
    """Return the imports that point up: from a layer to one above it."""
    found = []
    for path in sorted(package.rglob("*.py")):
        own = path.relative_to(package).parts[0]
        if own not in LAYERS:
            continue
        for line, name in imports(path.read_text(encoding="utf-8")):
            parts = name.split(".")
            if parts[0] != package.name or len(parts) == 1 or parts[1] not in LAYERS:
                continue
            if LAYERS.index(parts[1]) > LAYERS.index(own):
                found.append(f"{path.relative_to(package)}:{line}: {own} imports {parts[1]}")
    return found


def past_the_face(package: Path, room: str = "mechanics.rod") -> list[str]:
    """Return the imports from outside a room that reach past its face, the package itself."""
    folder = package / room.replace(".", "/")
    inside = f"{package.name}.{room}."
    face = ast.parse((folder / "__init__.py").read_text(encoding="utf-8"))
    names = {alias.asname or alias.name for node in ast.walk(face)
             if isinstance(node, ast.ImportFrom) for alias in node.names}  # fmt: skip
    return [
        f"{path.relative_to(package)}:{line}: {name}"
        for path in sorted(package.rglob("*.py"))
        if not path.is_relative_to(folder)
        for line, name in imports(path.read_text(encoding="utf-8"))
        if name.startswith(inside) and name.removeprefix(inside) not in names
    ]


def too_long(package: Path) -> list[str]:
    """Return the modules above the size that is never passed."""
    return [f"{path.name}: {n} lines" for path, n in _lines(package) if n > MOST_LINES]


def share_of_usual_size(package: Path) -> float:
    """Return which share of the modules is within the usual size."""
    counts = [n for _, n in _lines(package)]
    return sum(n <= USUAL_LINES for n in counts) / len(counts)


def _lines(package: Path) -> list[tuple[Path, int]]:
    return [
        (path, len(path.read_text(encoding="utf-8").splitlines()))
        for path in sorted(package.rglob("*.py"))
    ]


def loaded_by(code: str) -> set[str]:
    """Return the heavy packages that a fresh interpreter has loaded after some code."""
    report = "import sys; print(*sorted(sys.modules))"
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\n{report}"],
        capture_output=True,
        text=True,
        check=False,
        cwd=PACKAGE.parent,
    )
    assert done.returncode == 0, done.stderr
    return set(done.stdout.splitlines()[-1].split()) & set(HEAVY)


def after_command(*arguments: str) -> str:
    """Return code that runs the command line and goes on."""
    return (
        "import sys\n"
        "from hoseselect.interfaces.cli.main import run\n"
        f"sys.argv = ['hoseselect', *{arguments!r}]\n"
        "try:\n    run()\nexcept SystemExit as end:\n    assert end.code in (0, 1), end.code\n"
    )


def planted(folder: Path, place: str, source: str) -> Path:
    """Write a package with one module and return it."""
    package = folder / "hoseselect"
    path = package / place
    path.parent.mkdir(parents=True)
    path.write_text(source, encoding="utf-8")
    return package


def test_imports_point_down_only() -> None:
    assert upward_imports(PACKAGE) == []


def test_every_folder_is_a_layer() -> None:
    folders = {path.parent.relative_to(PACKAGE).parts[0] for path in PACKAGE.glob("*/**/*.py")}
    assert folders == set(LAYERS)


@pytest.mark.parametrize(
    "line",
    [
        "from hoseselect.application.pick import pick_hose",
        "import hoseselect.interfaces.cli.main",
        "from hoseselect import catalogue",
        "def late():\n    from hoseselect.catalogue.read import read_catalogue",
    ],
)
def test_the_layer_guard_sees_a_planted_import(tmp_path: Path, line: str) -> None:
    package = planted(tmp_path, "rules/planted.py", line)
    assert len(upward_imports(package)) == 1


def test_the_layer_guard_lets_an_import_downwards_pass(tmp_path: Path) -> None:
    package = planted(tmp_path, "rules/planted.py", "from hoseselect.knowledge.load import table")
    assert upward_imports(package) == []


def test_the_rod_is_entered_by_its_face_only() -> None:
    assert past_the_face(PACKAGE) == []


@pytest.mark.parametrize(
    ("line", "faults"),
    [
        ("from hoseselect.mechanics.rod import solve_many", 0),
        ("from hoseselect.mechanics.rod.many import solve_many", 1),
        ("import hoseselect.mechanics.rod.many", 1),
        ("def late():\n    from hoseselect.mechanics.rod import newton", 1),
    ],
)
def test_the_face_guard_sees_what_reaches_past_it(tmp_path: Path, line: str, faults: int) -> None:
    package = planted(tmp_path, "cutplan/planted.py", line)
    face = package / "mechanics" / "rod" / "__init__.py"
    face.parent.mkdir(parents=True)
    face.write_text("from hoseselect.mechanics.rod.many import solve_many\n", encoding="utf-8")
    assert len(past_the_face(package)) == faults


def test_no_module_is_longer_than_a_module_may_be() -> None:
    assert too_long(PACKAGE) == []


def test_nine_modules_in_ten_are_of_usual_size() -> None:
    assert share_of_usual_size(PACKAGE) >= USUAL_SHARE


def test_the_size_guards_see_a_planted_giant(tmp_path: Path) -> None:
    package = planted(tmp_path, "rules/planted.py", "x = 1\n" * (MOST_LINES + 1))
    assert too_long(package) == [f"planted.py: {MOST_LINES + 1} lines"]
    assert share_of_usual_size(package) == 0.0


def test_pick_loads_nothing_heavy() -> None:
    assert loaded_by(after_command(*PICK)) == set()


def test_pick_on_the_screen_loads_only_the_screen() -> None:
    assert loaded_by(after_command(*PICK[:-1])) <= {"rich"}


def test_the_cold_start_guard_sees_a_planted_import() -> None:
    assert "rich" in loaded_by("import rich\n" + after_command(*PICK))

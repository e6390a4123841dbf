"""What is declared is imported, and what is imported is declared. Each guard can fail."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections.abc import Collection, Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TOOLS = ("mkdocs-material", "mypy", "pandas-stubs", "pytest-xdist", "ruff", "scipy-stubs")
TOOLS += ("hoseselect", "python-multipart")
"""What is needed and not imported: it is run, read by the check of types, or used by another."""

PARTS = {"pydantic_core": "pydantic", "starlette": "fastapi", "anyio": "fastapi"}
"""What comes with another package, of the very version that it needs."""

UNDER_ANOTHER_NAME = {
    "coolprop": "CoolProp",
    "pyelastica": "elastica",
    "pillow": "PIL",
    "zxing-cpp": "zxingcpp",
}
OWN = ("hoseselect", "tests")


def third_party(source: str, beside: Collection[str] = ()) -> Iterator[str]:
    """Yield the packages that a module imports, wherever and by whichever way.

    Parameters
    ----------
    source : of the module
    beside : modules that lie beside each other in the same folder
    """
    for node in ast.walk(ast.parse(source)):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module]
        elif isinstance(node, ast.Call) and node.args and _called(node) in LATE:
            first = node.args[0]
            if isinstance(first, ast.Constant) and isinstance(first.value, str):
                names = [first.value]
        for name in names:
            top = name.partition(".")[0]
            if top not in sys.stdlib_module_names and top not in OWN and top not in beside:
                yield PARTS.get(top, top)


LATE = ("import_module", "importorskip", "__import__")


def _called(node: ast.Call) -> str:
    function = node.func
    return function.attr if isinstance(function, ast.Attribute) else getattr(function, "id", "")


@cache
def imported(folder: Path) -> frozenset[str]:
    """Return the packages that the modules of a folder import."""
    paths = sorted(folder.rglob("*.py"))
    beside = {path.stem for path in paths}
    return frozenset(
        name for path in paths for name in third_party(path.read_text(encoding="utf-8"), beside)
    )


def package_name(requirement: str) -> str:
    """Return the name by which a requirement is imported."""
    match = re.match(r"[A-Za-z0-9._-]+", requirement)
    assert match is not None, requirement
    name = match[0].lower()
    return UNDER_ANOTHER_NAME.get(name, name.replace("-", "_"))


def faults(
    declared: Iterable[str], found: frozenset[str], *, others: Iterable[str] = ()
) -> tuple[set[str], set[str]]:
    """Return what is declared and not imported, and what is imported and not declared."""
    names = {package_name(one) for one in declared if not one.startswith(TOOLS)}
    known = names | {package_name(one) for one in others}
    return names - found, found - known


def project() -> Mapping[str, list[str]]:
    entries = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = entries["optional-dependencies"]
    needed = [one for name in SHIPPED for one in extras[name]]
    return {"runtime": [*entries["dependencies"], *needed], **extras}


SHIPPED = ("cluster", "page", "parquet")
"""Extras that the package itself imports."""


def test_every_dependency_is_imported_and_every_import_declared() -> None:
    declared = project()
    found = imported(ROOT / "hoseselect")
    assert faults(declared["runtime"], found) == (set(), set())


def test_the_tests_declare_what_they_import_and_no_more() -> None:
    declared = project()
    kinds = ("test", "independent", "browser", "fuzz", "mutation")
    extra = [one for kind in kinds for one in declared[kind]]
    found = imported(ROOT / "tests")
    assert faults(extra, found, others=declared["runtime"]) == (set(), set())


def test_the_site_of_the_documentation_declares_what_it_imports_and_no_more() -> None:
    declared = project()
    found = imported(ROOT / "docs")
    assert faults(declared["docs"], found, others=declared["runtime"]) == (set(), set())


def test_every_dependency_has_a_lower_bound() -> None:
    needed = [*project()["runtime"], *project()["docs"]]
    loose = [one for one in needed if not re.search(r">=\d", one)]
    assert loose == []


@pytest.mark.parametrize(
    "source",
    [
        "import planted",
        "from planted.part import thing",
        "def late():\n    from planted import thing",
        "importlib.import_module('planted.part')",
        "planted = pytest.importorskip('planted')",
    ],
)
def test_the_guard_sees_an_import_that_is_not_declared(tmp_path: Path, source: str) -> None:
    (tmp_path / "module.py").write_text(source, encoding="utf-8")
    assert faults(["numpy>=1"], imported(tmp_path)) == ({"numpy"}, {"planted"})


def test_the_guard_sees_a_dependency_that_nobody_imports() -> None:
    found = imported(ROOT / "hoseselect")
    assert faults([*project()["runtime"], "fluids>=1.0"], found) == ({"fluids"}, set())

"""Nothing in the package that only tests reach, and no figure that nothing reads.

Reach is read off the source: from the commands, the rules and the pages along names and imports.
A method counts as reached when its class is and something reached uses an attribute of its name.
"""

from __future__ import annotations

import ast
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import pytest

from hoseselect.knowledge.load import read_table

PACKAGE = Path(__file__).parents[2] / "hoseselect"
ROOTS = ("", "__main__", "interfaces.cli.", "interfaces.pages.", "rules.")
"""Modules that are started or loaded by name; a dot at the end stands for all in the room."""
ENTRIES = ("register", "run")
STARTED = re.compile(r"hoseselect(\.\w+)+:\w+")
"""Module and name of what a server starts by its name."""
LONG_ENOUGH = 8
"""Letters with which a text that is put together must begin to name a figure."""
PLAIN_DECORATORS = {"property", "cached_property", "staticmethod", "classmethod"}
DATA_BASES = {"NamedTuple", "Protocol", "TypedDict", "Enum", "StrEnum", "IntEnum", "Exception"}

Place = tuple[str, str]


@dataclass
class Module:
    """What a module defines, imports and does when it is loaded."""

    defined: dict[str, list[ast.AST]] = field(default_factory=dict)
    bound: dict[str, str] = field(default_factory=dict)
    loading: list[ast.AST] = field(default_factory=list)


def named(node: ast.AST) -> list[str]:
    """Return the names that a statement of a module defines."""
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        return [node.name]
    if isinstance(node, ast.AnnAssign):
        return [node.target.id] if isinstance(node.target, ast.Name) else []
    if isinstance(node, ast.Assign):
        stored = (part for target in node.targets for part in ast.walk(target))
        return [part.id for part in stored if isinstance(part, ast.Name)]
    return []


def imported(node: ast.AST) -> Iterator[tuple[str, str]]:
    """Yield name and full name of what an import binds."""
    if isinstance(node, ast.ImportFrom):
        yield from ((a.asname or a.name, f"{node.module}.{a.name}") for a in node.names)
    elif isinstance(node, ast.Import):
        yield from ((a.asname or a.name.partition(".")[0], a.name) for a in node.names)


def promised() -> Iterator[str]:
    """Yield the attributes that the tutorial for engineers uses: a promise to them."""
    page = (PACKAGE.parent / "docs" / "tutorials" / "python.md").read_text(encoding="utf-8")
    for block in page.split("```python\n")[1:]:
        for node in ast.walk(ast.parse(block.partition("```")[0])):
            if isinstance(node, ast.Attribute):
                yield node.attr


def shown(package: Path) -> set[str]:
    """Return the attributes that the templates of a package use."""
    texts = (path.read_text(encoding="utf-8") for path in package.rglob("templates/*.html"))
    return {name for text in texts for name in re.findall(r"\.(\w+)", text)}


@cache
def parsed(source: str) -> ast.Module:
    """Return the tree of a module, made once; a copy of the package has few of its own."""
    return ast.parse(source)


@pytest.fixture(scope="module", autouse=True)
def forgotten() -> Iterator[None]:
    """Keep the trees no longer than they are asked for."""
    yield
    parsed.cache_clear()


def read_modules(package: Path) -> dict[str, Module]:
    """Return every module of a package by its full name."""
    found = {}
    for path in sorted(package.rglob("*.py")):
        parts = (package.name, *path.relative_to(package).with_suffix("").parts)
        module = Module()
        tree = parsed(path.read_text(encoding="utf-8"))
        for node in tree.body:
            for name in named(node):
                module.defined.setdefault(name, []).append(node)
            if not named(node):
                module.loading.append(node)
        for node in ast.walk(tree):
            module.bound |= imported(node)
        found[".".join(part for part in parts if part != "__init__")] = module
    return found


def local_names(node: ast.AST) -> set[str]:
    """Return the arguments and variables of a function: they hide names of the module."""
    if not isinstance(node, ast.FunctionDef):
        return set()
    parts = list(ast.walk(node))
    arguments = {part.arg for part in parts if isinstance(part, ast.arg)}
    return arguments | {
        part.id for part in parts if isinstance(part, ast.Name) and isinstance(part.ctx, ast.Store)
    }


class Reach:
    """What is reached from the roots, followed until nothing new is found."""

    def __init__(self, modules: dict[str, Module], attributes: set[str]) -> None:
        self.modules = modules
        self.loaded: set[str] = set()
        self.reached: set[Place] = set()
        self.methods: dict[tuple[str, str, str], ast.FunctionDef] = {}
        self.walked: set[tuple[str, str, str]] = set()
        self.attributes = attributes | set(promised())
        for name, module in modules.items():
            own = name.partition(".")[2]
            if any(own == root or (root.endswith(".") and own.startswith(root)) for root in ROOTS):
                self.load(name)
                for entry in ENTRIES:
                    if entry in module.defined:
                        self.reach(name, entry)
        while self.follow_methods():
            pass

    def load(self, name: str) -> None:
        """Load a module and the packages it lies in."""
        outer = name.rpartition(".")[0]
        if outer:
            self.load(outer)
        if name not in self.modules or name in self.loaded:
            return
        self.loaded.add(name)
        for node in self.modules[name].loading:
            self.walk(name, node)
        for defined, nodes in self.modules[name].defined.items():
            dunder = defined.startswith("__") and defined != "__all__"
            if dunder or any(self.registered(name, node) for node in nodes):
                self.reach(name, defined)

    def registered(self, module: str, node: ast.AST) -> bool:
        """Whether a decorator of the package itself takes a definition in."""
        found, own = self.modules[module], module.partition(".")[0]
        names = [
            part.id
            for decorator in getattr(node, "decorator_list", ())
            for part in ast.walk(decorator)
            if isinstance(part, ast.Name)
        ]
        return any(
            name in found.defined or found.bound.get(name, "").startswith(f"{own}.")
            for name in names
        )

    def reach(self, module: str, name: str) -> None:
        """Reach a name of a module, or what it stands for there."""
        whole = f"{module}.{name}"
        face = self.modules.get(module, Module())
        if whole in self.modules and name not in face.bound | face.defined:
            self.load(whole)
            return
        if module not in self.modules or (module, name) in self.reached:
            return
        self.load(module)
        found = self.modules[module]
        if name not in found.defined:
            if name in found.bound:
                self.reach(*_split(found.bound[name]))
            return
        self.reached.add((module, name))
        for node in found.defined[name]:
            if isinstance(node, ast.ClassDef):
                self.enter_class(module, node)
            else:
                self.walk(module, node)

    def enter_class(self, module: str, node: ast.ClassDef) -> None:
        """Reach what a class does when it is made; keep its methods until they are asked for."""
        for part in (*node.bases, *node.keywords, *node.decorator_list):
            self.walk(module, part)
        bound = self.modules[module]
        names = [part.id for base in node.bases for part in ast.walk(base)
                 if isinstance(part, ast.Name)]  # fmt: skip
        outside = {name for name in names if name not in bound.defined}
        foreign = any(
            not bound.bound.get(name, "").startswith(f"{module.partition('.')[0]}.")
            for name in outside - DATA_BASES
            if name in bound.bound
        )
        for part in node.body:
            if not isinstance(part, ast.FunctionDef):
                self.walk(module, part)
                continue
            decorators = {getattr(d, "id", "") for d in part.decorator_list}
            if foreign or part.name.startswith("__") or decorators - PLAIN_DECORATORS:
                self.walk(module, part)
            else:
                self.methods[module, node.name, part.name] = part

    def follow_methods(self) -> bool:
        """Walk the methods whose names are used by now; say whether there was one."""
        new = [key for key in self.methods.keys() - self.walked if key[2] in self.attributes]
        for key in new:
            self.walked.add(key)
            self.walk(key[0], self.methods[key])
        return bool(new)

    def walk(self, module: str, top: ast.AST) -> None:
        """Follow every name, attribute and import below a node."""
        bound = self.modules[module].bound
        own = local_names(top)
        for node in ast.walk(top):
            for _, target in imported(node):
                self.load(target)
                self.load(target.rpartition(".")[0])
            if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load) and node.id not in own:
                if node.id in self.modules[module].defined:
                    self.reach(module, node.id)
                elif node.id in bound:
                    self.reach(*_split(bound[node.id]))
            elif isinstance(node, ast.Constant) and STARTED.fullmatch(str(node.value)):
                self.reach(*str(node.value).split(":"))
            elif isinstance(node, ast.Attribute):
                self.attributes.add(node.attr)
                if isinstance(node.value, ast.Name) and node.value.id in bound:
                    self.reach(bound[node.value.id], node.attr)


def _split(name: str) -> tuple[str, str]:
    module, _, last = name.rpartition(".")
    return module, last


def unreached(package: Path) -> list[str]:
    """Return every definition and method of a package that no command reaches."""
    modules = read_modules(package)
    reach = Reach(modules, shown(package))
    names = [
        f"{module}.{name}"
        for module, found in modules.items()
        for name in found.defined
        if name != "__all__" and (module, name) not in reach.reached
    ]
    methods = [".".join(key) for key in reach.methods.keys() - reach.walked]
    return sorted(names + methods)


def texts(package: Path) -> tuple[set[str], list[str]]:
    """Return every text in a package's code, and the beginnings of texts that are put together."""
    whole, begun = set(), []
    for path in sorted(package.rglob("*.py")):
        for node in ast.walk(parsed(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                whole.add(node.value)
            elif isinstance(node, ast.JoinedStr) and isinstance(node.values[0], ast.Constant):
                begun.append(str(node.values[0].value))
    return whole, [text for text in begun if text.endswith("-") and len(text) >= LONG_ENOUGH]


def unread_tables(package: Path) -> list[str]:
    """Return the shipped tables that the code never names."""
    whole, _ = texts(package)
    shipped = (package / "knowledge" / "tables").glob("*.csv")
    return sorted(path.stem for path in shipped if path.stem not in whole)


def unread_figures(package: Path) -> list[str]:
    """Return the limits and constants that neither the code nor a group of services names."""
    whole, begun = texts(package)
    folder = package / "knowledge" / "tables"
    whole |= {row["limit"] for row in read_table(folder / "group_limits.csv")}
    return [
        f"{name}: {row[heading]}"
        for name, heading in (("limits", "limit"), ("formula_constants", "constant"))
        for row in read_table(folder / f"{name}.csv")
        if row[heading] not in whole and not row[heading].startswith(tuple(begun))
    ]


@pytest.fixture
def copied(tmp_path: Path) -> Path:
    """Return a copy of the package to plant a fault in."""
    return Path(shutil.copytree(PACKAGE, tmp_path / "hoseselect"))


def test_everything_in_the_package_is_reached_from_a_command() -> None:
    assert unreached(PACKAGE) == []


PLANTED = (
    ("mechanics/fit.py", "def planted() -> None:\n    planted()\n", "mechanics.fit.planted"),
    ("mechanics/fit.py", "PLANTED = 1.0\n", "mechanics.fit.PLANTED"),
    ("knowledge/load.py", "class Planted:\n    pass\n", "knowledge.load.Planted"),
    (
        "mechanics/rod/window.py",
        "    def planted(self) -> bool:\n        return True\n",
        "mechanics.rod.window.Window.planted",
    ),
    ("mechanics/rod/planted.py", "SMALL = 1\n", "mechanics.rod.planted.SMALL"),
)


def test_the_reach_guard_sees_what_nothing_calls_and_a_call_taken_away(copied: Path) -> None:
    for place, fault, _ in PLANTED:
        with (copied / place).open("a", encoding="utf-8") as stream:
            stream.write(f"\n{fault}")
    path = copied / "rules" / "heat.py"
    text = path.read_text(encoding="utf-8")
    call = "arrhenius_factor(types.activation_energy[None, :], tested_at=steady, used_at=rated)"
    assert call in text
    path.write_text(text.replace(call, "steady / rated"), encoding="utf-8")
    heat_life = ("JOULES", "_kelvin", "arrhenius_factor")
    assert unreached(copied) == sorted(
        [f"hoseselect.{name}" for _, _, name in PLANTED]
        + [f"hoseselect.mechanics.heat_life.{name}" for name in heat_life]
    )


def test_every_table_and_every_figure_is_read() -> None:
    assert unread_tables(PACKAGE) == []
    assert unread_figures(PACKAGE) == []


def test_the_guard_of_figures_sees_planted_ones(copied: Path) -> None:
    folder = copied / "knowledge" / "tables"
    (folder / "planted_table.csv").write_text("name,source_id,locator,status\n", encoding="utf-8")
    for name, row in (
        ("limits", "planted-limit,1,mm,nothing,common-practice,-,common-practice\n"),
        ("formula_constants", "planted-constant,1,-,from-memory,-,from-memory\n"),
    ):
        with (folder / f"{name}.csv").open("a", encoding="utf-8") as stream:
            stream.write(row)
    assert unread_tables(copied) == ["planted_table"]
    assert unread_figures(copied) == [
        "limits: planted-limit",
        "formula_constants: planted-constant",
    ]

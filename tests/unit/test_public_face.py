"""The names that the package promises to those who import it, and what importing it costs."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import hoseselect
from hoseselect.interfaces.pages.python_page import python_page

ROOT = Path(__file__).parents[2]
NAMES = [
    *("Answer", "Catalogue", "Finding", "HoseselectError", "InputError", "Job", "Verdict"),
    *("answer_many", "check", "cut", "pick", "read_catalogue", "read_job"),
]
REPORT = "import sys; print(*sorted(sys.modules))"
JOB = {
    "service": "washer",
    "nipples": {"outside_diameter": "8 mm", "engagement": "20 mm"},
    "route": {"measured": "300 mm"},
}


def loaded_by(code: str) -> set[str]:
    """Return the modules that are no part of Python which a fresh interpreter loads for a code."""
    runs = [
        subprocess.run(
            [sys.executable, "-c", f"{line}\n{REPORT}"],
            capture_output=True,
            text=True,
            check=True,
            cwd=ROOT,
        ).stdout.split()
        for line in ("", code)
    ]
    own = {name for name in set(runs[1]) - set(runs[0]) if not name.startswith("_")}
    return {name for name in own if name.partition(".")[0] not in sys.stdlib_module_names}


def seen_by_type_checkers() -> dict[str, str]:
    """Return the public names as a type checker sees them, with the places they come from."""
    tree = ast.parse(Path(hoseselect.__file__).read_text(encoding="utf-8"))
    block = next(node for node in tree.body if isinstance(node, ast.If))
    return {
        alias.asname or alias.name: f"{node.module}:{alias.name}"
        for node in block.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }


def test_the_public_names_are_these() -> None:
    assert hoseselect.__all__ == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_a_public_name_is_loaded_from_where_type_checkers_see_it(name: str) -> None:
    module, _, own_name = seen_by_type_checkers()[name].partition(":")
    assert getattr(hoseselect, name) is getattr(sys.modules[module], own_name)


def test_type_checkers_see_no_other_name() -> None:
    assert sorted(seen_by_type_checkers()) == sorted(NAMES)
    assert (Path(hoseselect.__file__).parent / "py.typed").is_file()


def test_the_face_lists_its_names() -> None:
    assert set(NAMES) <= set(dir(hoseselect))
    told = [line[3:] for line in python_page().splitlines() if line.startswith("## ")]
    assert told == sorted(NAMES)


def test_a_name_that_is_not_there_is_refused() -> None:
    with pytest.raises(AttributeError, match="pick_hose"):
        hoseselect.pick_hose  # type: ignore[attr-defined]  # noqa: B018


def test_importing_the_package_loads_nothing_else() -> None:
    assert loaded_by("import hoseselect") == {"hoseselect"}
    assert loaded_by("import hoseselect; dir(hoseselect)") == {"hoseselect"}


def test_the_guard_of_the_import_sees_a_planted_name() -> None:
    assert "hoseselect.domain.verdict" in loaded_by("from hoseselect import Verdict")
    assert "numpy" in loaded_by("from hoseselect import Catalogue")


def test_the_catalogue_in_use_is_the_one_of_the_command_line(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    shelf = ROOT / "tests" / "scenarios" / "shelf"
    monkeypatch.setenv("HOSESELECT_CATALOG", str(shelf))
    assert hoseselect.read_catalogue().folder == shelf
    assert hoseselect.read_catalogue(str(shelf)).folder == shelf
    monkeypatch.setenv("HOSESELECT_CATALOG", str(shelf / "nowhere"))
    with pytest.raises(hoseselect.HoseselectError, match="nowhere"):
        hoseselect.read_catalogue()


def test_pick_check_and_cut_say_the_same_of_a_hose() -> None:
    catalogue, job = hoseselect.read_catalogue(), hoseselect.read_job(JOB)
    hose = hoseselect.pick(job, catalogue).hoses[0]
    checked = hoseselect.check(hose.hose, job, catalogue).hoses[0]
    assert (checked.verdict, checked.decided_by) == (hose.verdict, hose.decided_by)
    planned = hoseselect.cut(hose.hose, job, catalogue)
    assert planned.plan == (hose.cut if hose.verdict.suits else None)

"""Which catalogue folder to use: option, environment, configuration file, built-in."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import hoseselect
from hoseselect.files.settings_file import (
    place_of,
    settings_entries,
    settings_file,
    settings_text,
)
from hoseselect.knowledge.errors import CatalogueError, InputError

VARIABLE = "HOSESELECT_CATALOG"
"""Environment variable that names a catalogue folder."""

PACKAGE = Path(hoseselect.__file__).parent

BUILT_IN = (PACKAGE / "catalog", PACKAGE.parent / "catalog")
"""The copy inside the installed package, then the one of a checkout."""


def find_catalogue(option: str | None, environment: Mapping[str, str]) -> Path:
    """Return the catalogue folder: option, environment variable, configuration file, built-in.

    Parameters
    ----------
    option : folder named on the command line, None or "" when none is
    environment : environment variables

    Raises
    ------
    CatalogueError
        when the first one that is named is no folder, the configuration file cannot be read, or
        no catalogue is named and the built-in one is missing.
    """
    if option:
        return folder_named(option, "--catalog")
    if environment.get(VARIABLE):
        return folder_named(environment[VARIABLE], VARIABLE)
    configured = configured_folder()
    if configured:
        return folder_named(configured, str(settings_file()))
    for folder in BUILT_IN:
        if folder.is_dir():
            return folder
    raise CatalogueError("built-in catalogue", "no folder", f"{BUILT_IN[0]}")


def catalogue_name(folder: Path) -> str:
    """Return how an answer names the catalogue that it was given by."""
    return BUILT_IN_NAME if folder in BUILT_IN else str(folder)


BUILT_IN_NAME = "built-in, invented: nothing in it can be bought"


def folder_named(name: str, place: str) -> Path:
    """Return a folder that somebody named.

    Raises
    ------
    CatalogueError
        when it is no folder.
    """
    wanted = "a folder with hose_types.csv and hose_sizes.csv"
    shown = name if len(name) <= LONGEST_SHOWN else f"{name[:LONGEST_SHOWN]}..."
    try:
        folder = Path(name).expanduser()
        if not folder.is_dir():
            found = f"'{shown}', a file" if folder.exists() else f"'{shown}', which is not there"
            raise CatalogueError(place, found, wanted)
        next(folder.iterdir(), None)
    except (OSError, RuntimeError, ValueError):  # no such user, a name too long, no permission
        raise CatalogueError(place, f"'{shown}', which cannot be opened", wanted) from None
    return folder


LONGEST_SHOWN = 200
"""Letters of the name of a folder in a complaint."""


def configured_folder() -> str:
    """Return the folder named by key `catalog` of the configuration file, "" for none.

    A path that is not absolute counts from the folder of the configuration file.

    Raises
    ------
    CatalogueError
        when the file is no TOML in UTF-8, or `catalog` is no text.
    """
    path = settings_file()
    try:
        text = settings_text(path)
        name = settings_entries(path, text).get("catalog", "") if text else ""
    except InputError as error:
        raise CatalogueError(error.place, error.found, error.expected) from None
    if not isinstance(name, str):
        place = f"{place_of(path, text, 'catalog')}: catalog"
        raise CatalogueError(place, repr(name), "the name of a folder in quotes")
    try:
        return str(path.parent / Path(name).expanduser()) if name else ""
    except RuntimeError:  # the home of a user that is not known
        found = f"'{name[:LONGEST_SHOWN]}', which cannot be opened"
        raise CatalogueError(f"{path}: catalog", found, "the name of a folder") from None

"""The settings in use, and one of them changed: the file is written whole or not at all."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from hoseselect.files.settings_file import settings_entries, settings_text
from hoseselect.knowledge.errors import InputError
from hoseselect.settings.settings import MEANINGS, Settings


def settings_of(path: Path) -> Settings:
    """Return what stands in a file of settings; what holds without one where there is none.

    Raises
    ------
    InputError
        when it cannot be read, or something in it cannot be used.
    """
    text = settings_text(path)
    if not text:
        return Settings()
    from hoseselect.settings.form import read_settings

    return read_settings(settings_entries(path, text), path, text)


def typed_settings(path: Path) -> dict[str, Any]:
    """Return what stands in a file of settings as it was typed.

    Raises
    ------
    InputError
        when it is no TOML.
    """
    return settings_entries(path, settings_text(path))


def set_one(path: Path, key: str, value: str) -> None:
    """Set one value; what else stands in the file stays as it is, remarks too.

    Raises
    ------
    InputError
        when there is no such key, the value cannot be used, names no folder of a catalogue, or the
        file cannot be written.
    """
    from hoseselect.settings.form import read_settings

    _refuse_unknown(key)
    made = read_settings({key: value}, Path())
    if made.catalog:
        from hoseselect.catalogue.locate import folder_named

        folder_named(str(path.parent / Path(made.catalog).expanduser()), key)
    _rewrite(path, key, value)


def unset(path: Path, key: str) -> None:
    """Take one value away.

    Raises
    ------
    InputError
        when there is no such key, or the file cannot be written.
    """
    if key not in typed_settings(path):
        _refuse_unknown(key)
        return
    _rewrite(path, key, None)


def _refuse_unknown(key: str) -> None:
    if key not in MEANINGS:
        raise InputError(ascii(key)[1:-1], "no setting", f"one of {', '.join(MEANINGS)}")


def _rewrite(path: Path, key: str, value: str | None) -> None:
    import tomlkit

    from hoseselect.files.open_file import reason_of
    from hoseselect.files.write_files import write_files

    text = settings_text(path)
    settings_entries(path, text)  # what is no TOML is never written over
    document = tomlkit.parse(text)
    if value is None:
        del document[key]
    else:
        document[key] = value
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(str(path.parent), reason_of(error), "a folder") from None
    write_files({path: tomlkit.dumps(document)})

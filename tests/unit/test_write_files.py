"""Files and folders written whole or not at all, whatever happens meanwhile."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path
from typing import Any

import pytest

from hoseselect.files import folder as folders
from hoseselect.files.folder import changed_folder, exchanged, sole_use
from hoseselect.files.write_files import DRAFT, STALE, drafts, write_files
from hoseselect.knowledge.errors import InputError

ROOT = Path(__file__).parents[2]


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def started(code: str, *arguments: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", code, *arguments],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def test_files_are_written_with_the_rights_of_any_file(tmp_path: Path) -> None:
    one, two, plain = tmp_path / "one", tmp_path / "two", tmp_path / "plain"
    plain.touch()
    two.touch()
    two.chmod(0o640)
    write_files({one: "ü", two: b"\xff"})
    assert (one.read_text(encoding="utf-8"), two.read_bytes()) == ("ü", b"\xff")
    assert one.stat().st_mode == plain.stat().st_mode
    assert two.stat().st_mode & 0o777 == 0o640
    assert names(tmp_path) == ["one", "plain", "two"]


def test_of_several_files_all_are_written_or_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    old, new, last = tmp_path / "old", tmp_path / "new", tmp_path / "last"
    old.write_text("as before")
    plain = Path.replace

    def fails_at_the_last(self: Path, target: Path) -> Path:
        if target == last:
            raise OSError(28, "No space left on device")
        return plain(self, target)

    monkeypatch.setattr(Path, "replace", fails_at_the_last)
    with pytest.raises(InputError, match="no space left on device"):
        write_files({old: "other", new: "new", last: "last"})
    assert names(tmp_path) == ["old"]
    assert old.read_text() == "as before"


def test_what_is_outdated_goes_with_the_new_files_or_comes_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, page = tmp_path / "file", tmp_path / "page"
    file.write_text("as before")
    page.write_text("as before")
    with monkeypatch.context() as patch:
        patch.setattr(Path, "replace", _refused(Path.replace, file))
        with pytest.raises(InputError, match="no space left on device"):
            write_files({file: "new"}, outdated=[page])
    assert [path.read_text() for path in (file, page)] == ["as before"] * 2
    write_files({file: "new"}, outdated=[page])
    assert (names(tmp_path), file.read_text()) == (["file"], "new")


def _refused(plain: Any, place: Path) -> Any:
    """Return what renames drafts to all places but one, and to that one only what stood there."""

    def replace(self: Path, target: Path) -> Path:
        if target == place and self.read_text() != "as before":
            raise OSError(28, "No space left on device")
        return plain(self, target)  # type: ignore[no-any-return]

    return replace


@pytest.mark.skipif(sys.platform == "win32", reason="no such calls")
def test_a_kill_at_any_moment_leaves_no_old_file_beside_a_new_one(tmp_path: Path) -> None:
    """The run is killed at its first system call that changes a name, then at its second ..."""
    code = (
        "import os, signal, sys\n"
        "from pathlib import Path\n"
        "from hoseselect.files.write_files import write_files\n"
        "home = Path(sys.argv[1])\n"
        "def killing(plain, left):\n"
        "    def call(*given, **named):\n"
        "        left[0] -= 1\n"
        "        if not left[0]:\n"
        "            os.kill(os.getpid(), signal.SIGKILL)\n"
        "        return plain(*given, **named)\n"
        "    return call\n"
        "for moment in range(1, 50):\n"
        "    place = home / str(moment)\n"
        "    place.mkdir()\n"
        "    for name in ('list', 'labels', 'page'):\n"
        "        (place / name).write_text('old')\n"
        "    child = os.fork()\n"
        "    if not child:\n"
        "        left = [moment]\n"
        "        Path.replace = killing(Path.replace, left)\n"
        "        Path.unlink = killing(Path.unlink, left)\n"
        "        files = {place / name: 'new' for name in ('list', 'labels')}\n"
        "        write_files(files, outdated=[place / 'page'])\n"
        "        os._exit(0)\n"
        "    if not os.waitpid(child, 0)[1]:\n"
        "        break\n"
    )
    out, err = started(code, str(tmp_path)).communicate()
    assert (out, err) == ("", "")
    found = [
        {path.name: path.read_text() for path in sorted(folder.iterdir()) if path.name[0] != "."}
        for folder in sorted(tmp_path.iterdir(), key=lambda folder: int(folder.name))
    ]
    assert len(found) > 4
    assert found[-1] == {"list": "new", "labels": "new"}
    assert [files for files in found if len(set(files.values())) != 1] == []
    assert [files for files in found if "list" not in files] == []


@pytest.mark.skipif(sys.platform == "win32", reason="no such limit")
def test_a_disk_that_is_full_gives_one_sentence(tmp_path: Path) -> None:
    code = (
        "import resource, sys\n"
        "from pathlib import Path\n"
        "from hoseselect.files.write_files import write_files\n"
        "from hoseselect.knowledge.errors import InputError\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))\n"
        "try:\n    write_files({Path(sys.argv[1]): b'x' * 5000})\n"
        "except InputError as error:\n    print(error)\n"
    )
    out, err = started(code, str(tmp_path / "file")).communicate()
    place = tmp_path / "file"
    assert out == f"{place}: found file too large; expected a file that can be written\n"
    assert err == ""
    assert names(tmp_path) == []


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("nowhere/file", "no folder"),
        ("folder", "a folder"),
        ("read", "a file that was read for it"),
        ("link", "a file that was read for it"),
        ("x" * 300, "name too long"),
        ("nul\0", "a file that cannot be read"),
    ],
)
def test_a_place_that_cannot_be_written(tmp_path: Path, name: str, words: str) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "read").write_text("as before")
    (tmp_path / "link").symlink_to(tmp_path / "read")
    before = names(tmp_path)
    with pytest.raises(InputError, match=words):
        write_files({tmp_path / "fine": "", tmp_path / name: ""}, [tmp_path / "read"])
    assert names(tmp_path) == before
    assert (tmp_path / "read").read_text() == "as before"


def test_a_long_name_is_a_name(tmp_path: Path) -> None:
    write_files({tmp_path / ("x" * 250): "text"})
    assert names(tmp_path) == ["x" * 250]


@pytest.mark.skipif(sys.platform == "win32", reason="no such files")
def test_a_device_is_not_replaced_by_a_file(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for path in (tmp_path / "pipe", Path("/dev/null")):
        with pytest.raises(InputError, match="a device or a pipe"):
            write_files({path: "text"})
        assert not path.is_file()


def test_drafts_of_killed_runs_are_swept_and_those_of_others_are_not(tmp_path: Path) -> None:
    old, fresh, other = (
        tmp_path / f".{name}{DRAFT}" for name in ("file.a", "file.b", "another.file.a")
    )
    for path in (old, fresh, other):
        path.touch()
    for path in (old, other):
        os.utime(path, (time.time() - 2 * STALE,) * 2)
    write_files({tmp_path / "file": "text"})
    assert names(tmp_path) == sorted([other.name, fresh.name, "file"])


@pytest.mark.skipif(sys.platform == "win32", reason="no such signals")
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_run_that_is_asked_to_end_leaves_nothing_behind(tmp_path: Path, number: int) -> None:
    code = (
        "import signal, sys, time\n"
        "from pathlib import Path\n"
        "from hoseselect.files.write_files import drafts\n"
        f"signal.signal({int(number)}, signal.SIG_DFL)\n"  # whoever runs this may ignore it
        "with drafts([Path(sys.argv[1])]) as (draft,):\n"
        "    print('ready', flush=True)\n"
        "    time.sleep(60)\n"
    )
    run = started(code, str(tmp_path / "file"))
    assert run.stdout is not None
    assert run.stdout.readline() == "ready\n"
    assert len(names(tmp_path)) == 1
    run.send_signal(number)
    run.communicate()
    assert run.returncode == 128 + number
    assert names(tmp_path) == []


def test_the_handlers_of_signals_are_put_back(tmp_path: Path) -> None:
    before = signal.getsignal(signal.SIGTERM)
    with drafts([tmp_path / "file"]):
        assert signal.getsignal(signal.SIGTERM) != before
    assert signal.getsignal(signal.SIGTERM) == before


# Folders


def test_there_is_never_a_moment_without_the_folder(tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    folder.mkdir()
    (folder / "file").write_text("0")
    (tmp_path / "other").mkdir()
    if not exchanged(tmp_path / "other", folder):
        pytest.skip("this system cannot exchange two folders in one step")
    assert exchanged(tmp_path / "other", folder)
    stop = threading.Event()
    missing = []

    def watch() -> None:
        while not stop.is_set():
            try:
                (folder / "file").read_text()
            except FileNotFoundError:
                missing.append(1)

    watcher = threading.Thread(target=watch)
    watcher.start()
    for number in range(100):
        with changed_folder(folder) as copy:
            (copy.path / "file").write_text(str(number))
    stop.set()
    watcher.join()
    assert missing == []
    assert (folder / "file").read_text() == "99"
    assert names(tmp_path) == ["other", "shop"]


def test_a_folder_that_a_killed_run_had_moved_aside_comes_back(tmp_path: Path) -> None:
    aside = tmp_path / f".shop-abc{DRAFT}" / folders.OLD
    aside.mkdir(parents=True)
    (aside / "file").write_text("as before")
    (tmp_path / f".shop-def{DRAFT}" / folders.NEW).mkdir(parents=True)
    with sole_use(tmp_path / "shop"):
        assert (tmp_path / "shop" / "file").read_text() == "as before"
    assert names(tmp_path) == [".shop.lock", "shop"]


def test_who_waits_too_long_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(folders, "PATIENCE", 0.1)
    with sole_use(tmp_path / "shop"):
        told = []

        def other() -> None:
            with (
                pytest.raises(InputError, match="another run is changing"),
                sole_use(tmp_path / "shop"),
            ):
                pass
            told.append(1)

        thread = threading.Thread(target=other)
        thread.start()
        thread.join()
    assert told == [1]


def test_of_several_imports_at_once_none_loses_its_rows(tmp_path: Path) -> None:
    (tmp_path / "mapping.toml").write_text(
        '[columns]\nhose_type = {heading = "Type"}\nliner = {heading = "Liner"}\n'
        'bore = {heading = "ID", unit = "mm"}\noutside_diameter = {heading = "OD", unit = "mm"}\n',
        encoding="utf-8",
    )
    code = (
        "import sys\n"
        "from pathlib import Path\n"
        "from hoseselect.application.import_catalogue import import_catalogue\n"
        "home, name = Path(sys.argv[1]), sys.argv[2]\n"
        "done = import_catalogue(home / name, home / 'mapping.toml', home / 'shop')\n"
        "sys.exit(0 if done.written else 3)\n"
    )
    runs = []
    for number in range(4):
        text = f"Type,Liner,ID,OD\nA{number},EPDM,9.5,16.5\n"
        (tmp_path / f"{number}.csv").write_text(text, encoding="utf-8")
        runs.append(started(code, str(tmp_path), f"{number}.csv"))
    for run in runs:
        _, err = run.communicate()
        assert run.returncode == 0, err
    kept = (tmp_path / "shop" / "hose_sizes.csv").read_text(encoding="utf-8").splitlines()[1:]
    assert sorted(line.partition(",")[0] for line in kept) == [f"A{n}-9.5" for n in range(4)]

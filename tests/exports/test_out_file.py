"""A file that is whole in its place, or not there."""

from __future__ import annotations

import hashlib
import os
import stat
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from readbell.exports import out_file
from readbell.exports.out_file import OutFile
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture(params=["without a name", "under another name"], autouse=True)
def written(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """Both ways in which a file comes to be, whatever this system has."""
    way: str = request.param
    if way == "under another name":
        monkeypatch.setattr(out_file, "nameless_flag", lambda: 0)
    return way


def test_what_was_written_stands_there_and_is_its_owners_alone(tmp_path: Path) -> None:
    """With the digest of its very bytes."""
    place = tmp_path / "out.csv"
    with OutFile(place) as out:
        for _ in range(3):
            out.write("é" * 40_000)
            out.write(b"\xff")
        assert not place.exists()
    made = place.read_bytes()
    assert made == (("é" * 40_000).encode() + b"\xff") * 3
    assert out.digest == hashlib.sha256(made).hexdigest()
    assert stat.S_IMODE(place.stat().st_mode) == 0o600
    assert place.stat().st_nlink == 1
    assert [each.name for each in tmp_path.iterdir()] == ["out.csv"]


def test_what_fails_on_the_way_leaves_nothing(tmp_path: Path) -> None:
    """Half a file would be taken for a whole one."""
    with pytest.raises(TypeError), OutFile(tmp_path / "out.csv") as out:
        out.write("".join(["x" * 100_000, 0]))  # type: ignore[list-item]  # the failure
    assert list(tmp_path.iterdir()) == []


def test_what_stands_there_already_is_never_overwritten(tmp_path: Path) -> None:
    """Neither before the work nor after it."""
    place = tmp_path / "out.csv"
    place.write_text("theirs")
    with pytest.raises(WrongFileError, match="something stands there already"):
        OutFile(place)
    other = tmp_path / "other.csv"
    out = OutFile(other)
    out.write("ours")
    other.write_text("theirs")
    with pytest.raises(WrongFileError, match="name another place"), out:
        pass
    assert other.read_text() == "theirs"
    assert sorted(each.name for each in tmp_path.iterdir()) == ["other.csv", "out.csv"]


def test_what_a_killed_program_left_is_begun_anew(tmp_path: Path) -> None:
    """It was never in its place."""
    (tmp_path / ".out.csv.unfinished").write_text("half")
    with OutFile(tmp_path / "out.csv") as out:
        out.write("whole")
    assert (tmp_path / "out.csv").read_text() == "whole"


def test_a_program_that_is_killed_on_the_way_leaves_no_file(tmp_path: Path, written: str) -> None:
    """Where files without a name are known, not even half of one under another name."""
    flag = "" if written == "without a name" else "out_file.nameless_flag = lambda: 0\n"
    program = (
        "import os, pathlib, signal, sys\n"
        "from readbell.exports import out_file\n"
        f"{flag}"
        "with out_file.OutFile(pathlib.Path(sys.argv[1])) as out:\n"
        "    out.write('x' * 100_000)\n"
        "    os.kill(os.getpid(), signal.SIGKILL)\n"
    )
    subprocess.run([sys.executable, "-c", program, str(tmp_path / "out.csv")], check=False)
    assert not (tmp_path / "out.csv").exists()
    if written == "without a name" and hasattr(os, "O_TMPFILE"):
        assert list(tmp_path.iterdir()) == []


def test_a_file_system_without_links_gets_the_file_by_a_move(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Some cards and shares know none, and no files without a name either."""
    monkeypatch.setattr(out_file, "nameless_flag", lambda: 0)

    def knows_none(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr("pathlib.Path.hardlink_to", knows_none)
    with OutFile(tmp_path / "out.csv") as out:
        out.write("whole")
    assert [each.read_text() for each in tmp_path.iterdir()] == ["whole"]


def test_a_folder_that_is_not_there_is_named_in_one_sentence(tmp_path: Path) -> None:
    """What, where, what to do."""
    with pytest.raises(WrongFileError) as refused:
        OutFile(tmp_path / "none" / "out.csv")
    folder = tmp_path / "none"
    said = f"{folder}: there is no such folder: make it first, or name another place"
    assert str(refused.value) == said


def test_a_full_disk_is_said_and_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Wherever it is met."""

    def full(*_: object) -> int:
        raise OSError(28, "No space left on device")

    out = OutFile(tmp_path / "o")
    monkeypatch.setattr(os, "write", full)
    with pytest.raises(WrongFileError, match="No space left"), out:
        out.write("x" * 100_000)
    assert list(tmp_path.iterdir()) == []

"""An erasing and an archive, checked without this program: with SQLite, SHA-256 and JSON alone.

Nothing of the product reads a file here. The chain is the one described for the record: each hash
is SHA-256 over the hash before it (32 zero bytes first) and the UTF-8 bytes of the event (FIPS 180-4,
by way of hashlib); the files are SQLite 3 (by way of sqlite3, another build of it than the product's).
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING, Any

import pytest

from cli.conftest import command, own_folders  # noqa: F401  # fixtures
from cli.past_bay import ADA, BEA, SECRETS, PastBay

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command

WHY = ("--by", "op-1", "--reason", "the quarter is over")


def rows(path: Path, question: str) -> list[Any]:
    """Return what a plain SQLite finds in the file."""
    with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as opened:
        return opened.execute(question).fetchall()


def end_of_chain(path: Path) -> str:
    """Work every hash out, and return the last one."""
    before = bytes(32)
    for body, hashed in rows(path, "SELECT body, hash FROM event ORDER BY seq"):
        before = hashlib.sha256(before + body.encode()).digest()
        assert before == hashed
    return before.hex()


@pytest.fixture
def files(tmp_path: Path, command: Command) -> tuple[Path, Path]:  # noqa: F811
    """Archive a quarter, then forget one person; return the journal and the archive."""
    journal, archive = PastBay().put(tmp_path / "bay.journal"), tmp_path / "q1.archive"
    at = (*WHY, "--journal", journal)
    assert command("archive", "--through", "2026-03-29", "--out", archive, *at).status == 0
    assert command("erase", "--patient", ADA, *at, "--for-ever").status == 0
    return journal, archive


def test_both_chains_are_whole_and_the_one_is_the_beginning_of_the_other(
    files: tuple[Path, Path],
) -> None:
    """Whoever has the archive can prove that nothing of it was changed in the journal since."""
    journal, archive = files
    end_of_chain(journal)
    kept = rows(archive, "SELECT seq, body, hash FROM event ORDER BY seq")
    assert rows(journal, "SELECT seq, body, hash FROM event ORDER BY seq")[: len(kept)] == kept
    assert end_of_chain(archive) == kept[-1][2].hex()


def test_what_was_erased_leaves_neither_text_nor_salt(files: tuple[Path, Path]) -> None:
    """A digest without its salt cannot be tried out on every short ID."""
    journal, archive = files
    (erased,) = (
        json.loads(body)["event"]["keys"]
        for (body,) in rows(journal, "SELECT body FROM event")
        if json.loads(body)["kind"] == "record-erased"
    )
    left = {key: (salt, value) for key, salt, value in rows(journal, "SELECT * FROM private")}
    assert {left[key] for key in erased} == {("", None)}
    assert all(value is not None for key, (_, value) in left.items() if key not in erased)
    then = {key: value for key, _, value in rows(archive, "SELECT * FROM private")}
    assert {then[key] for key in erased} == set(SECRETS)


def test_no_byte_of_it_is_in_the_file_and_the_others_are(files: tuple[Path, Path]) -> None:
    """Looked for as a thief would: without any database."""
    journal, archive = files
    found = b"".join(each.read_bytes() for each in journal.parent.glob(f"{journal.name}*"))
    assert not [each for each in SECRETS if each.encode() in found]
    assert BEA.encode() in found
    assert all(each.encode() in archive.read_bytes() for each in SECRETS)

"""A shift on a real terminal and a locked journal: from the passphrase to the signed day sheet."""

from __future__ import annotations

import os
import subprocess
from typing import TYPE_CHECKING

import pytest

from board_program.bench import A_STROKE_OF_ITS_OWN
from board_program.conftest import LOT, OPERATOR, on_bench
from patience import PATIENCE_SECONDS
from readbell.cli.passphrase import FILE
from readbell.journal.continuation import continuations_of
from readbell.journal.locked import is_locked

if TYPE_CHECKING:
    from pathlib import Path

    from board_program.conftest import Place

PASSPHRASE = "seven lamps in a long row"  # noqa: S105  # it opens what a test has made
PERSON = "P-Quillfeather"


@pytest.fixture
def key(tmp_path: Path) -> Path:
    """A file of its owner alone, for what runs without a terminal."""
    path = tmp_path / "passphrase"
    path.write_text(PASSPHRASE, encoding="utf-8")
    path.chmod(0o600)
    return path


def run(place: Place, key: Path, *words: str) -> str:
    """Run another command on the locked journal; it has to be well."""
    done = subprocess.run(
        [*place.program, *words, "--journal", str(place.journal)],
        env={**os.environ, **place.environment, FILE: str(key)},
        capture_output=True,
        text=True,
        check=False,
        timeout=PATIENCE_SECONDS,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_a_shift_from_the_passphrase_to_the_signed_day_sheet(place: Place, key: Path) -> None:
    """The checks lead, the closing names what runs, and no name is anywhere in plain."""
    place.write_settings('mask_identifiers = false\n[policy]\nshifts = "on"\n')
    place.prepare(persons=(PERSON,))
    run(place, key, "lock", "--lost-is-lost")

    bench = place.board(size=(80, 24), until=("Passphrase of",))
    bench.type_line(PASSPHRASE)
    bench.until_seen("[Shift]", "opening checks", "no shift open")
    assert PASSPHRASE not in bytes(bench.output).decode(errors="replace")
    bench.scan_for(OPERATOR, "acts")
    bench.go("Sound")
    bench.press_for("f3", "The alarm rings")
    bench.press_for("f8", "Alarm tested: heard.")
    bench.go("Lots")
    bench.scan_for(LOT, "F3 opens it")
    bench.press_for("f3", "stands open at the bench")
    bench.go("Shift")
    bench.press_for("f3", "+ light to read by fine.")
    bench.press_for("f2", "Shift 1 is open.", "Shift 1 is open since")

    bench.press_for("f9", "Nothing runs.")
    bench.scan_for(PERSON, "Open one pouch")
    bench.scan_for("C01", "labelled for")
    bench.press("f9")
    bench.go("Shift")
    bench.until_seen("! still running: C01")
    bench.press_for("f6", "Why the shift ends all the same")
    bench.give("the next shift reads it\r")
    bench.until_seen("the next shift reads it")
    bench.press_for("f2", "Shift 1 closed with still running: C01.")
    bench.pause(A_STROKE_OF_ITS_OWN)
    bench.press("f9")
    bench.until_seen("C01")
    bench.press("f9")
    bench.go("Shift")
    bench.press_for("f5", "Day sheet of shift 1 signed")
    bench.leave()

    sheet = run(place, key, "daysheet", "--shift", "1")
    assert "still running" in sheet
    assert f"by {OPERATOR}" in sheet.split("signed ")[-1]
    assert PERSON not in sheet
    beside = [
        each for each in place.journal.parent.iterdir() if PERSON.encode() in each.read_bytes()
    ]
    assert beside == []


def test_a_locked_journal_that_is_taken_away_is_gone_on_beside_it_and_names_nobody(
    place: Place, key: Path
) -> None:
    """Under the same passphrase: killed meanwhile, the next start joins what was done."""
    place.prepare(*on_bench("C01", persons=(PERSON,)), persons=(PERSON,))
    run(place, key, "lock", "--lost-is-lost")
    bench = place.board("--quiet", until=("Passphrase of",))
    bench.type_line(PASSPHRASE)
    bench.until(lambda: "WAIT OVER" in bench.row_of("C01"))
    away = place.journal.with_name("away")
    place.journal.rename(away)
    bench.scan_for("C01", "[Withdraw the swab]")
    bench.press_for("f3", "ok C01  Withdraw the swab: done.", "NOT SAVED")
    (beside,) = continuations_of(place.journal, ())
    assert is_locked(beside)
    bench.process.kill()
    bench.wait()
    in_plain = [
        each.name
        for each in place.folder.rglob("*")
        if each.is_file() and PERSON.encode() in each.read_bytes()
    ]
    assert in_plain == []

    away.rename(place.journal)
    again = place.board("--quiet", until=("Passphrase of",))
    again.type_line(PASSPHRASE)
    again.until_seen("did not end cleanly")
    again.scan_for("C01", "[Drops onto the well]")
    assert not beside.exists()

"""`operator`: who works here, by commands while no board runs; a PIN is typed and never shown."""

from __future__ import annotations

import io
import json
import sys
from typing import TYPE_CHECKING

import pytest

from cli.conftest import NASAL

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import BayProcess, Command, Start


@pytest.fixture
def journal(start_bay: Start, tmp_path: Path) -> Path:
    """A bay with one operator and one assay, closed again."""
    path = tmp_path / "bay.journal"
    bay = start_bay(path, "--quiet")
    bay.must(do="register-operator", id="op-1")
    bay.must(do="adopt-assay", by="op-1", assay=NASAL, instructions="v1")
    bay.end_of_input()
    assert bay.wait() == 0
    return path


def decide(tmp_path: Path, sign_in: str) -> None:
    """Have the settings of the site decide how people sign in."""
    folder = tmp_path / "CONFIG" / "readbell"
    folder.mkdir(parents=True)
    (folder / "settings.toml").write_text(f'[policy]\nsign_in = "{sign_in}"\n', encoding="utf-8")


def taken_up(start_bay: Start, journal: Path) -> None:
    """Open the bay once, so that what the settings decide is on record."""
    bay = start_bay(journal, "--quiet")
    bay.end_of_input()
    assert bay.wait() == 0


def typed(monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    """Have these lines stand on standard input."""
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{each}\n" for each in lines)))


def test_an_operator_is_added_with_roles_cleared_and_listed(
    command: Command, journal: Path
) -> None:
    """Each command says what became of it; the list is one object an operator."""
    added = command(
        "operator", "add", "op-2", "--by", "op-1", "--roles", "tester,reader", "--journal", journal
    )
    assert (added.status, added.err) == (0, "")
    assert "op-2 is now tester, reader." in added.out
    cleared = command(
        "operator", "clear", "op-2", NASAL, "--until", "2027-01-31", "--vision-checked",
        "2026-01-02", "--by", "op-1", "--journal", journal, "--json",
    )  # fmt: skip
    assert json.loads(cleared.out)["accepted"]
    listed = command("operator", "list", "--journal", journal, "--json")
    first, second = [json.loads(each) for each in listed.out.splitlines()]
    assert first["roles"] == ["tester", "reader", "supervisor"]
    assert second == {
        "operator": "op-2",
        "roles": ["tester", "reader"],
        "retired": False,
        "signed_in": False,
        "pin": False,
        "locked_out": False,
        "cleared": [
            {"assay": NASAL, "until": "2027-01-31", "vision_checked": "2026-01-02"},
        ],
    }
    in_words = command("operator", "list", "--journal", journal)
    assert f"op-2; tester, reader; {NASAL} to 2027-01-31, vision 2026-01-02" in in_words.out


def test_roles_are_changed_and_somebody_leaves(command: Command, journal: Path) -> None:
    """Their line stays, marked; a role that is none is refused with those there are."""
    command("operator", "add", "op-2", "--by", "op-1", "--journal", journal)
    wrong = command("operator", "roles", "op-2", "boss", "--by", "op-1", "--journal", journal)
    assert wrong.status == 2
    assert "use 'tester', 'reader' or 'supervisor'" in wrong.err
    command("operator", "roles", "op-2", "reader", "--by", "op-1", "--journal", journal)
    gone = command("operator", "retire", "op-2", "--by", "op-1", "--journal", journal)
    assert "op-2 works here no more" in gone.out
    listed = command("operator", "list", "--journal", journal, "--json").out.splitlines()
    assert json.loads(listed[1])["retired"]
    no_day = command(
        "operator", "clear", "op-1", NASAL, "--until", "soon", "--by", "op-1", "--journal", journal
    )
    assert no_day.status == 2
    assert "write a day that exists" in no_day.err


def test_a_pin_is_read_from_standard_input_and_stands_nowhere(
    command: Command, journal: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Not in the words, not in the journal."""
    typed(monkeypatch, "40719")
    done = command("operator", "pin", "op-1", "--journal", journal)
    assert (done.status, done.err) == (0, "")
    assert "op-1 has a new PIN" in done.out
    beside = journal.with_name("bay.journal.pins")
    assert beside.stat().st_mode & 0o777 == 0o600
    assert b"40719" not in journal.read_bytes() + beside.read_bytes() + done.out.encode()
    typed(monkeypatch, "12")
    refused = command("operator", "pin", "op-1", "--journal", journal)
    assert refused.status == 2
    assert "choose 4 to 12 digits" in refused.err


def test_where_people_sign_in_whoever_decides_signs_in_first(
    command: Command,
    journal: Path,
    start_bay: Start,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """By the PIN, where one is asked for; without one the act says what is missing."""
    decide(tmp_path, "pin")
    taken_up(start_bay, journal)
    refused = command("operator", "add", "op-2", "--by", "op-1", "--journal", journal)
    assert (refused.status, "not signed in" in refused.out) == (2, True)
    typed(monkeypatch, "4071")
    command("operator", "pin", "op-1", "--journal", journal)
    typed(monkeypatch, "4071", "9037")
    added = command("operator", "add", "op-2", "--by", "op-1", "--journal", journal)
    assert added.status == 0
    assert "op-1 signed in with a PIN." in added.out
    typed(monkeypatch, "4071", "9037")
    assert command("operator", "pin", "op-2", "--by", "op-1", "--journal", journal).status == 0
    typed(monkeypatch, "4070")
    wrong = command("operator", "unlock", "op-2", "--by", "op-1", "--journal", journal)
    assert wrong.status == 2
    assert "not the PIN of op-1" in wrong.out


def test_where_a_badge_signs_in_a_command_names_who_decides(
    command: Command, journal: Path, start_bay: Start, tmp_path: Path
) -> None:
    """Whoever has the computer's account has the badge as good as in hand."""
    decide(tmp_path, "badge")
    taken_up(start_bay, journal)
    assert command("operator", "add", "op-2", "--by", "op-1", "--journal", journal).status == 0
    unlocked = command("operator", "unlock", "op-2", "--by", "op-1", "--journal", journal)
    assert "op-2 may sign in again" in unlocked.out


def test_a_bay_that_has_something_running_is_left_alone(
    command: Command, journal: Path, start_bay: Start
) -> None:
    """Nobody would hear what falls due while the command has it."""
    bay: BayProcess = start_bay(journal, "--quiet")
    bay.must(do="receive-lot", by="op-1", number="L-1", assay=NASAL, expires="2099-12-31")
    bay.must(do="register-person", by="op-1", id="P-1")
    bay.must(do="label", by="op-1", cartridge="C1", person="P-1", lot="L-1")
    bay.end_of_input()
    assert bay.wait() == 0
    refused = command("operator", "add", "op-2", "--by", "op-1", "--journal", journal)
    assert refused.status == 2
    assert "1 running: open the board and do it there" in refused.err


def test_a_backup_takes_the_pins_along_and_a_restore_brings_them_back(
    command: Command, journal: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In a file of their own beside the copy, its owner's alone."""
    typed(monkeypatch, "4071")
    command("operator", "pin", "op-1", "--journal", journal)
    copy = tmp_path / "copy"
    out = command("backup", "--journal", journal, "--to", copy)
    assert f"{copy}.pins: the hashes of the PINs" in out.out
    again = tmp_path / "again.journal"
    back = command("restore", "--from", copy, "--journal", again)
    assert "the PINs are back as well" in back.out
    kept = again.with_name("again.journal.pins")
    assert kept.read_bytes() == journal.with_name("bay.journal.pins").read_bytes()
    assert kept.stat().st_mode & 0o777 == 0o600


def test_what_is_held_is_asked_for_in_a_line(start_bay: Start, tmp_path: Path) -> None:
    """Of a bay without a screen."""
    bay = start_bay(tmp_path / "bay.journal", "--quiet")
    bay.say({"do": "held"})
    while (said := bay.line())["news"] != "held":
        pass
    assert said["says"] == "Nothing is held for review."
    bay.end_of_input()
    assert bay.wait() == 0


def test_other_commands_sign_in_too_where_people_have_to(
    command: Command,
    journal: Path,
    start_bay: Start,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Receiving a box, for one."""
    typed(monkeypatch, "4071")
    command("operator", "pin", "op-1", "--journal", journal)
    decide(tmp_path, "pin")
    taken_up(start_bay, journal)
    typed(monkeypatch, "4071")
    held = command("lot", "hold", "L-1", "--by", "op-1", "--journal", journal)
    assert "op-1 signed in with a PIN." in held.out
    assert "Lot L-1 was never received here." in held.out

"""`trace`: the whole story in its order, for those who may see it, and that they looked is on record."""

from __future__ import annotations

import json
import stat
from typing import TYPE_CHECKING, Any

import pytest

from cli.conftest import OPERATOR, PERSON
from cli.past_bay import ADA, BEA, PastBay
from readbell.core.keeping.events import TraceOf, TraceOpened
from readbell.core.staff.events import Opened, RecordOpened
from readbell.journal.openings import openings_beside

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command, Reading, Start


@pytest.fixture
def journal(tmp_path: Path) -> Path:
    """A bay with roles whose work lies back: op-1 is a supervisor, op-2 is none."""
    return PastBay(roles=True).put(tmp_path / "bay.journal")


def entries(command: Command, journal: Path, *arguments: str) -> list[dict[str, Any]]:
    """Return the story as a program gets it."""
    done = command("trace", *arguments, "--journal", journal, "--json")
    assert (done.status, done.err) == (0, "")
    return [json.loads(each) for each in done.out.splitlines()]


def looks_in(events: list[Any]) -> list[RecordOpened | TraceOpened]:
    """Return who looked into the record."""
    return [each for each in events if isinstance(each, (RecordOpened, TraceOpened))]


def test_a_patient_has_everything_in_order_and_nobody_elses(
    command: Command, journal: Path, events_in: Reading
) -> None:
    """Each event once, with who did it, and what was seen, not only what it meant."""
    told = entries(command, journal, "--patient", ADA, "--by", "op-1")

    assert [each["event"] for each in told] == sorted({each["event"] for each in told})
    kinds = [each["kind"] for each in told]
    assert kinds[0] == "person-registered"
    assert kinds.count("cartridge-labelled") == 2
    assert (kinds.count("cartridge-read"), kinds[-1]) == (1, "record-opened")
    read = told[kinds.index("cartridge-read")]
    assert read["by"] == ["op-1"]
    assert read["cartridge"] == "C2"
    assert read["fields"]["bands"]["control"] is True
    assert read["at"] == "2026-03-29T01:11:20.000+00:00"
    assert read["says"].startswith("C2  read: - NEGATIVE")
    assert not any(each["cartridge"] == "C3" for each in told)
    (looked,) = looks_in(events_in(journal))
    assert isinstance(looked, RecordOpened)
    assert (looked.what, looked.since) == (Opened.TRACE, None)


def test_text_says_the_same_and_cautions(command: Command, journal: Path) -> None:
    """A person reads it from above to below."""
    done = command("trace", "--cartridge", "C2", "--by", "op-1", "--journal", journal)
    lines = done.out.splitlines()
    assert lines[0] == (
        "2026-03-29 00:53:20+00:00  C2  labelled for P-001 from lot L-100, a repeat of C1.  [op-1]"
    )
    assert any("Seen: control line present, SARS-CoV-2 antigen absent." in each for each in lines)
    assert "a negative does not exclude infection" in lines[-1]


@pytest.mark.parametrize(
    ("arguments", "of", "about", "has"),
    [
        (("--cartridge", "C2"), TraceOf.CARTRIDGE, "id-C2", "cartridge-read"),
        (("--cartridge", "id-C2"), TraceOf.CARTRIDGE, "id-C2", "cartridge-read"),
        (("--cartridge", "C2", "--day", "2026-03-29"), TraceOf.CARTRIDGE, "id-C2", "step-done"),
        (("--lot", "L-100"), TraceOf.LOT, "L-100", "lot-received"),
        (("--operator", "op-2"), TraceOf.OPERATOR, None, "operator-registered"),
        (("--day", "2026-03-29"), TraceOf.DAY, "2026-03-29", "bay-founded"),
        (("--lot", "L-100", "--day", "2026-03-29"), TraceOf.LOT, "L-100", "cartridge-read"),
    ],
)
def test_what_can_be_traced_beside_a_person(
    command: Command,
    journal: Path,
    events_in: Reading,
    arguments: tuple[str, ...],
    of: TraceOf,
    about: str | None,
    has: str,
) -> None:
    """And each look is an event."""
    told = entries(command, journal, *arguments, "--by", "op-1")
    assert has in [each["kind"] for each in told]
    (looked,) = looks_in(events_in(journal))
    assert isinstance(looked, TraceOpened)
    assert looked.of is of
    assert about is None or looked.about == about


def test_a_day_is_nothing_but_that_day(command: Command, journal: Path) -> None:
    """In the site's own time."""
    asked = ("trace", "--lot", "L-100", "--day", "2026-03-30", "--by", "op-1", "--journal", journal)
    assert command(*asked, "--json").out == ""
    assert command(*asked).out.startswith("Nothing of that is on record.")


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--patient", "P-9", "--by", "op-1"), "Nobody with this ID is registered here"),
        (("--cartridge", "C9", "--by", "op-1"), "No cartridge C9"),
        (("--cartridge", "C2", "--day", "2026-03-30", "--by", "op-1"), "No cartridge C2 of"),
        (("--lot", "L-9", "--by", "op-1"), "Lot L-9 was never received here"),
        (("--operator", "op-9", "--by", "op-1"), "No operator op-9 is registered here"),
        (("--day", "soon", "--by", "op-1"), "--day: 'soon' is no day"),
        (("--patient", ADA, "--by", "op-9"), "No operator op-9 is registered here"),
        (("--patient", ADA), "say who looks: --by OPERATOR; it is recorded"),
        (("--by", "op-1"), "name one of --patient"),
        (("--patient", ADA, "--lot", "L-100", "--by", "op-1"), "name one of --patient"),
        (("--patient", ADA, "--everything", "--by", "op-1"), "--everything goes with"),
        (("--lot", "L-100", "--out", "x", "--by", "op-1"), "--everything goes with"),
        (("--operator", "op-1", "--by", "op-2"), "Only a supervisor may do that here"),
    ],
)
def test_what_cannot_be_told_is_said_in_one_sentence(
    command: Command, journal: Path, arguments: tuple[str, ...], says: str
) -> None:
    """Exit 2, and nothing of the story."""
    done = command("trace", *arguments, "--journal", journal)
    assert (done.status, done.out) == (2, "")
    assert says in done.err
    assert len(done.err.splitlines()) == 1


def test_while_a_program_runs_the_bay_a_look_is_noted_beside_and_entered_at_its_end(
    command: Command, journal: Path, start_bay: Start, events_in: Reading
) -> None:
    """Read-only, as `watch` is; and nobody looks unseen."""
    bay = start_bay(journal, "--quiet")
    bay.must(do="register-person", by="op-1", id="P-3")

    told = entries(command, journal, "--patient", ADA, "--by", "op-1")
    assert told[0]["kind"] == "person-registered"
    beside = openings_beside(journal)
    assert len(beside.read_bytes().splitlines()) == 1
    assert stat.S_IMODE(beside.stat().st_mode) == 0o600
    assert ADA.encode() not in beside.read_bytes()
    assert not looks_in(events_in(journal))

    bay.end_of_input()
    assert bay.wait() == 0
    (looked,) = looks_in(events_in(journal))
    assert isinstance(looked, RecordOpened)
    assert looked.what is Opened.TRACE
    assert not list(beside.parent.glob(f"{beside.name}*"))


def test_a_look_after_a_kill_is_entered_at_the_next_start(
    command: Command, journal: Path, start_bay: Start, events_in: Reading
) -> None:
    """The bay that ran then may never have ended."""
    bay = start_bay(journal, "--quiet")
    bay.must(do="register-person", by="op-1", id="P-3")
    entries(command, journal, "--lot", "L-100", "--by", "op-1")
    bay.kill()
    assert not looks_in(events_in(journal))
    again = start_bay(journal, "--quiet")
    again.must(do="register-person", by="op-1", id="P-4")
    assert len(looks_in(events_in(journal))) == 1


def test_a_look_that_cannot_be_noted_is_not_taken(
    command: Command, journal: Path, start_bay: Start
) -> None:
    """Whoever cannot leave a trace sees none."""
    bay = start_bay(journal, "--quiet")
    bay.must(do="register-person", by="op-1", id="P-3")
    openings_beside(journal).mkdir()
    done = command("trace", "--patient", ADA, "--by", "op-1", "--journal", journal)
    assert (done.status, done.out) == (2, "")
    assert "a look that cannot be noted is not taken" in done.err
    bay.kill()


def test_a_rehearsal_is_looked_at_by_anybody_and_says_what_it_is(
    command: Command, tmp_path: Path, scenario: Path
) -> None:
    """Nobody in it is real, and nothing is noted in it."""
    journal = tmp_path / "practice.journal"
    command("rehearse", scenario, "--unattended", "--journal", journal)
    before = journal.read_bytes()
    done = command("trace", "--patient", "P-001", "--journal", journal)
    assert done.status == 0
    assert done.out.splitlines()[0] == "OF A REHEARSAL: nobody in it is real."
    assert {each["mode"] for each in entries(command, journal, "--lot", "L-100")} == {"rehearsal"}
    assert journal.read_bytes() == before


def test_an_archive_is_looked_at_and_stays_as_it_is(
    command: Command, journal: Path, tmp_path: Path
) -> None:
    """Judged by the roles in it; it takes no note, for it takes no event."""
    target = tmp_path / "q1.archive"
    at = ("--through", "2026-03-29", "--by", "op-1", "--reason", "r", "--journal", journal)
    assert command("archive", *at, "--out", target).status == 0
    before = target.read_bytes()
    assert entries(command, target, "--patient", ADA, "--by", "op-1")
    assert command("trace", "--operator", "op-1", "--by", "op-2", "--journal", target).status == 2
    assert target.read_bytes() == before


def test_all_that_is_kept_of_one_person_names_nobody_else(
    command: Command, journal: Path, tmp_path: Path, events_in: Reading
) -> None:
    """Two files, of their owner alone; operators by number, others not at all."""
    folder = tmp_path / "for-ada"
    arguments = ("trace", "--patient", ADA, "--everything", "--out", folder, "--by", "op-1")

    done = command(*arguments, "--journal", journal)
    again = command(*arguments, "--journal", journal)

    assert (done.status, again.status) == (0, 2)
    assert "something stands there already" in again.err
    text = (folder / "record.txt").read_text(encoding="utf-8")
    found = json.loads((folder / "record.json").read_text(encoding="utf-8"))
    for each in (text, json.dumps(found)):
        assert "Ada Example" in each
        assert "she fainted" in each
        assert "operator 1" in each
        assert not any(other in each for other in (BEA, "Bea", "Exemplar", "op-1", "op-2", "C3"))
    assert [each["cartridge"] for each in found["cartridges"]] == ["C1", "C2"]
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert {stat.S_IMODE(each.stat().st_mode) for each in folder.iterdir()} == {0o600}
    first, second = looks_in(events_in(journal))
    assert isinstance(first, RecordOpened)
    assert first.what is Opened.EXPORT
    assert second.at > first.at


def test_a_person_who_was_erased_has_no_story_and_the_others_do(
    command: Command, journal: Path
) -> None:
    """Where a name stood it says erased."""
    erased = command(
        *("erase", "--patient", ADA, "--by", "op-1", "--reason", "asked", "--for-ever"),
        *("--journal", journal),
    )
    assert erased.status == 0
    assert command("trace", "--patient", ADA, "--by", "op-1", "--journal", journal).status == 2
    told = command("trace", "--day", "2026-03-29", "--by", "op-1", "--journal", journal)
    assert told.status == 0
    assert "Person erased registered." in told.out
    assert "C2  labelled for erased from lot L-100" in told.out
    assert "In words: erased." in told.out
    lot = entries(command, journal, "--lot", "L-100", "--by", "op-1")
    assert any("for erased" in each["says"] for each in lot)
    assert command("verify", "--journal", journal).status == 0


def test_a_tester_sees_the_running_day_and_is_told_that_there_may_be_more(
    command: Command, tmp_path: Path, start_bay: Start
) -> None:
    """A supervisor sees all of it, and is told nothing of the kind."""
    journal = tmp_path / "bay.journal"
    bay = start_bay(journal, "--quiet")
    bay.prepare()
    bay.must(do="register-operator", id="op-2", by=OPERATOR)
    bay.must(do="set-roles", by=OPERATOR, operator="op-2", roles=["tester"])
    bay.must(do="void", by=OPERATOR, cartridge="C1", reason="dropped")
    bay.end_of_input()
    assert bay.wait() == 0
    at = ("--journal", journal)

    own = command("trace", "--patient", PERSON, "--by", "op-2", *at)
    whole = command("trace", "--patient", PERSON, "--by", OPERATOR, *at)

    assert (own.status, whole.status) == (0, 0)
    assert "void: it was dropped" in own.out
    assert "What is older is for a supervisor to see." in own.out
    assert "for a supervisor" not in whole.out


def test_a_near_miss_is_told_in_words_and_a_program_has_its_codes(
    command: Command, tmp_path: Path
) -> None:
    """What was entered is kept as a program wrote it, and read by people as they speak."""
    journal = tmp_path / "practice.journal"
    file = "demo_scenarios/interrupted_reader.toml"
    assert command("rehearse", file, "--unattended", "--journal", journal).status == 0
    about = ("--cartridge", "C1")
    (line,) = (
        each
        for each in command("trace", *about, "--journal", journal).out.splitlines()
        if "near miss" in each
    )
    assert (
        "  C1  near miss: tried to read it, refused: another cartridge was scanned. Seen: " in line
    )
    assert "Given: scanned C2, person HQ-0651.  [HQ-S01]" in line
    assert "{" not in line
    (kept,) = (each for each in entries(command, journal, *about) if each["kind"] == "act-refused")
    assert (kept["fields"]["act"], kept["fields"]["code"]) == ("read", "wrong-cartridge")
    assert json.loads(kept["fields"]["entered"])["scanned"] == "C2"
    assert kept["says"] in line

"""`tell` and `slip`: what is to be told, that it was, and the page that is handed over."""

from __future__ import annotations

import io
import json
import stat
import sys
from typing import TYPE_CHECKING, Any

import pypdf
import pytest

from cli.conftest import NASAL
from noon import where_it_is_noon
from readbell.core.results.telling import Channel, Hearer, ResultTold
from readbell.settings.places import settings_file

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import BayProcess, Command, Reading, Start

STEPS = {
    "label": "2026-01-05T10:00:00",
    "buffer": "2026-01-05T10:00:00",
    "collect": "2026-01-05T10:00:00",
    "extract": "2026-01-05T10:01:00",
    "withdraw": "2026-01-05T10:02:30",
    "apply": "2026-01-05T10:03:00",
}


def enter(bay: BayProcess, label: str, person: str, test: str) -> None:
    """Enter a run from paper: a whole result without waiting for one."""
    bay.must(
        do="enter-paper",
        by="op-1",
        operator="op-1",
        witness="op-2",
        cartridge=label,
        person=person,
        lot="L-1",
        steps=STEPS,
        read="2026-01-05T10:20:00",
        give_or_take=1,
        control=True,
        test=test,
    )


def settle(text: str) -> None:
    """Write the settings of the site."""
    settings_file().parent.mkdir(parents=True, exist_ok=True)
    settings_file().write_text(text, encoding="utf-8")


@pytest.fixture
def journal(start_bay: Start, tmp_path: Path) -> Path:
    """A party of two was run on paper: P-1 positive, P-2 negative."""
    settle(
        "[[policy.notices]]\n"
        f'assay = "{NASAL}"\noffice = "health office"\nhours = 24\nnegatives = false\n'
    )
    path = tmp_path / "bay.journal"
    site = ("--name", "Harrow Quay", "--timezone", where_it_is_noon())
    bay = start_bay(path, "--quiet", *site)
    bay.must(do="register-operator", id="op-1")
    bay.must(do="register-operator", id="op-2", by="op-1")
    bay.must(do="adopt-assay", by="op-1", assay=NASAL, instructions="v1")
    bay.must(do="receive-lot", by="op-1", number="L-1", assay=NASAL, expires="2099-12-31", units=20)
    bay.must(do="register-party", by="op-1", id="car 12", persons=["P-1", "P-2"])
    bay.must(do="register-person", by="op-1", id="P-3")
    enter(bay, "K1", "P-1", "faint")
    enter(bay, "K2", "P-2", "absent")
    bay.say({"do": "to-tell"})
    said = [bay.line()["says"] for _ in range(3)]
    assert [each.split()[1] for each in said] == ["notify", "+", "-"]
    bay.end_of_input()
    assert bay.wait() == 0
    return path


def listed(command: Command, journal: Path) -> list[dict[str, Any]]:
    """The worklist as a program gets it."""
    done = command("tell", "--list", "--journal", journal, "--json")
    assert (done.status, done.err) == (0, "")
    return [json.loads(each) for each in done.out.splitlines()]


def text(file: Path) -> list[str]:
    """What each page of a PDF says."""
    return [page.extract_text() for page in pypdf.PdfReader(file).pages]


def test_the_worklist_shrinks_as_people_are_told(
    command: Command, journal: Path, events_in: Reading
) -> None:
    """An overdue notice first, then the positive; each telling takes a line away."""
    found = listed(command, journal)
    assert [(each["cartridge"], each["urgency"]) for each in found] == [
        ("K1", "notice"),
        ("K1", "positive"),
        ("K2", "negative"),
    ]
    assert found[0]["overdue"] is True
    assert found[0]["office"] == "health office"
    assert found[1]["person"] == "P-1"

    at = ("--by", "op-1", "--journal", journal)
    for whom, how in (("office", "message"), ("person", "phone")):
        done = command("tell", found[0]["id"], "--to", whom, "--how", how, *at)
        assert (done.status, done.err) == (0, "")

    assert [each["cartridge"] for each in listed(command, journal)] == ["K2"]
    told = [each for each in events_in(journal) if isinstance(each, ResultTold)]
    assert [(each.to, each.how) for each in told] == [
        (Hearer.OFFICE, Channel.MESSAGE),
        (Hearer.PERSON, Channel.PHONE),
    ]
    words = command("tell", "--list", "--journal", journal).out
    assert words.startswith("K2  - NEGATIVE  P-2.")


def test_what_may_not_be_told_is_refused_in_one_sentence(command: Command, journal: Path) -> None:
    """And nothing is noted."""
    asked = {
        ("--to", "guardian", "--how", "phone", "--by", "op-1"): "does not let a parent",
        ("--to", "person", "--how", "phone", "--by", "op-1", "--person", "P-2"): "not this person",
        ("--to", "person", "--how", "phone", "--by", "op-9"): "No operator op-9",
        ("--to", "aunt", "--how", "phone", "--by", "op-1"): "to = 'aunt': use 'person'",
        ("--to", "person", "--how", "phone"): "--by: missing",
    }
    key = listed(command, journal)[1]["id"]
    for more, why in asked.items():
        done = command("tell", key, *more, "--journal", journal)
        assert done.status == 2, more
        assert why in done.out + done.err

    assert len(listed(command, journal)) == 3


def test_a_partys_slips_are_pages_of_one_file_or_files_of_their_own(
    command: Command, journal: Path, tmp_path: Path
) -> None:
    """Nobody's result on another's, and no ID in the name of a file."""
    one = tmp_path / "slips.pdf"
    done = command("slip", "--party", "car 12", "--pdf", one, "--journal", journal)
    assert (done.status, done.out.strip(), done.err) == (0, str(one), "")
    first, second = text(one)
    assert "P-1" in first
    assert "POSITIVE" in first
    assert "P-1" not in second
    assert "POSITIVE" not in second
    assert stat.S_IMODE(one.stat().st_mode) == 0o600

    each = command("slip", "--party", "car 12", "--folder", tmp_path, "--journal", journal)
    assert each.status == 0
    files = sorted(tmp_path.glob("slip-*.pdf"))
    assert [file.name for file in files] == ["slip-K1.pdf", "slip-K2.pdf"]
    assert [len(text(file)) for file in files] == [1, 1]
    again = command("slip", "--party", "car 12", "--folder", tmp_path, "--journal", journal)
    assert again.status == 2
    assert "name another file" in again.err


def test_a_slip_in_plain_text_turns_the_page_between_two_people(
    command: Command, journal: Path
) -> None:
    """For a printer that knows nothing else."""
    done = command("slip", "--party", "car 12", "--journal", journal)

    first, second = done.out.split("\f")
    assert "Patient ID: P-1" in first
    assert "Respiratory" in first or "antigen" in first
    assert "Patient ID: P-2" in second
    assert "does not exclude an infection" in second
    assert command("slip", "--person", "P-1", "--journal", journal).out == first


def test_a_slip_that_is_handed_over_is_noted_as_told(
    command: Command, journal: Path, events_in: Reading
) -> None:
    """Where somebody says that they do so."""
    done = command("slip", "--person", "P-1", "--by", "op-2", "--journal", journal)

    assert done.status == 0
    assert "the person told on paper" in done.out
    (told,) = [each for each in events_in(journal) if isinstance(each, ResultTold)]
    assert told.how is Channel.SLIP


def test_a_slip_is_whole_or_not_there(command: Command, journal: Path, tmp_path: Path) -> None:
    """Where its handing over is refused, or one of several files stands there already."""
    file = tmp_path / "slip.pdf"
    refused = command("slip", "K1", "--by", "op-9", "--pdf", file, "--journal", journal)
    assert refused.status == 2
    assert "No slip was made" in refused.err
    assert not file.exists()
    shown = command("slip", "K1", "--by", "op-9", "--journal", journal)
    assert "POSITIVE" not in shown.out

    (tmp_path / "slip-K2.pdf").write_bytes(b"kept")
    some = command("slip", "--party", "car 12", "--folder", tmp_path, "--journal", journal)
    assert some.status == 2
    assert "slip-K2.pdf" in some.err
    assert [each.read_bytes() for each in tmp_path.glob("slip-*.pdf")] == [b"kept"]


def test_nothing_is_noted_as_handed_over_that_could_not_be_written(
    command: Command, journal: Path, tmp_path: Path, events_in: Reading
) -> None:
    """The page stands there before anybody is said to have it."""
    (tmp_path / "slip-K2.pdf").write_bytes(b"kept")
    some = command(
        "slip", "--party", "car 12", "--by", "op-2", "--folder", tmp_path, "--journal", journal
    )

    assert some.status == 2
    assert not any(isinstance(each, ResultTold) for each in events_in(journal))


def test_of_whom_there_is_no_slip_is_said_and_why(command: Command, journal: Path) -> None:
    """Exit 2, and nothing is written."""
    asked = {
        (): "say whose slips",
        ("K1", "--today"): "say whose slips",
        ("C9",): "no patient's cartridge is called that",
        ("--person", "P-9"): "nobody with this ID",
        ("--party", "car 1"): "no party is called that",
        ("--person", "P-3"): "nothing was run",
        ("--person", "P-1", "--to", "guardian"): "on no slip",
    }
    for more, why in asked.items():
        done = command("slip", *more, "--journal", journal)
        assert (done.status, done.out) == (2, ""), more
        assert why in done.err
    assert command("slip", "K1", "--journal", journal).status == 0
    assert command("slip", "--today", "--journal", journal).status == 2


def test_a_name_without_letters_at_hand_is_printed_as_text_alone(
    command: Command, journal: Path, tmp_path: Path
) -> None:
    """The sentence says what to do; with a font that has them they are drawn."""
    settle('[slip]\nheading = "王"\nlanguage = "zh"\n')
    file = tmp_path / "slip.pdf"
    done = command("slip", "--person", "P-1", "--pdf", file, "--journal", journal)

    assert done.status == 2
    assert "cannot be drawn" in done.err
    assert "fonts in settings.toml" in done.err
    assert not file.exists()
    assert "王" in command("slip", "--person", "P-1", "--journal", journal).out
    settle('fonts = ["none.ttf"]\n')
    done = command("slip", "--person", "P-1", "--pdf", file, "--journal", journal)
    assert "none.ttf: no TrueType font" in done.err


def test_without_the_extra_a_slip_is_text_alone(
    command: Command, journal: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One sentence says what to install, and nothing is written."""
    monkeypatch.setitem(sys.modules, "reportlab.pdfbase.ttfonts", None)
    file = tmp_path / "slip.pdf"
    done = command("slip", "K1", "--pdf", file, "--journal", journal)

    assert done.status == 2
    assert "pip install 'readbell[paper]'" in done.err
    assert not file.exists()
    assert command("slip", "K1", "--journal", journal).status == 0


def test_a_site_says_what_stands_on_its_slips(command: Command, journal: Path) -> None:
    """In its own words; a word that there is not is refused by name."""
    settle(
        '[slip]\nheading = "Quay House"\ntext = """Hut 4 is open.\n\nRing before."""\n'
        'footer = "Form 7"\nlanguage = "de"\n[slip.words]\npositive = "POSITIV"\n'
    )
    said = command("slip", "--person", "P-1", "--journal", journal).out
    assert said.startswith("Quay House\n")
    for words in ("POSITIV\n", "Hut 4 is open.\nRing before.", "Form 7"):
        assert words in said

    settle('[slip.words]\npositiv = "POSITIV"\n')
    done = command("slip", "--person", "P-1", "--journal", journal)
    assert done.status == 2
    assert "slip.words.positiv" in done.err


def test_practice_is_marked_on_its_slips(command: Command, scenario: Path, tmp_path: Path) -> None:
    """A rehearsal's journal stays a rehearsal's for ever."""
    kept = tmp_path / "practice.journal"
    assert command("rehearse", scenario, "--unattended", "--journal", kept).status == 0

    done = command("slip", "C1", "--journal", kept)

    assert done.status == 0
    assert done.out.count("REHEARSAL: practice, of no patient.") == 2
    assert "POSITIVE" in done.out
    assert "Put on the test: 2026-03-29 00:4" in done.out
    first, second = command("tell", "--list", "--journal", kept).out.splitlines()
    assert first == "REHEARSAL: practice, of no patient."
    assert "POSITIVE" in second
    assert listed(command, kept)[0]["rehearsal"] is True


def test_whoever_asks_for_more_than_the_running_shift_shows_that_they_are_it(
    command: Command, journal: Path, start_bay: Start, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Anybody could name the supervisor, and be shown every patient who waits."""

    def typed(pin: str) -> None:
        monkeypatch.setattr(sys, "stdin", io.StringIO(f"{pin}\n"))

    bay = start_bay(journal, "--quiet")
    bay.must(do="set-roles", by="op-1", operator="op-2", roles=["tester"])
    bay.must(do="set-pin", by="op-1", operator="op-1", pin="4071")
    bay.end_of_input()
    assert bay.wait() == 0
    settle('[policy]\nsign_in = "pin"\n')
    bay = start_bay(journal, "--quiet")
    bay.end_of_input()
    assert bay.wait() == 0
    asked = ("tell", "--list", "--journal", journal)
    everybody = command(*asked).out

    typed("4071")
    right = command(*asked, "--by", "op-1")
    assert (right.status, right.err) == (0, "")
    assert right.out.startswith(everybody)
    typed("4070")
    wrong = command(*asked, "--by", "op-1")
    assert (wrong.status, wrong.out) == (2, "")
    assert "not the PIN of op-1" in wrong.err
    for who, why in (("op-9", "No operator op-9 is registered here"), ("op-2", "has no PIN")):
        refused = command(*asked, "--by", who)
        assert (refused.status, refused.out) == (2, "")
        assert why in refused.err


def test_while_the_bay_is_at_work_nobody_is_shown_more_for_a_name(
    command: Command, journal: Path, start_bay: Start
) -> None:
    """Signing in is for the program that writes the record."""
    settle('[policy]\nsign_in = "pin"\n')
    bay = start_bay(journal, "--quiet")
    bay.must(do="set-pin", by="op-1", operator="op-1", pin="4071")
    bay.must(do="sign-in", by="op-1", pin="4071")
    bay.must(do="set-roles", by="op-1", operator="op-2", roles=["tester"])
    asked = ("tell", "--list", "--journal", journal)
    said = command(*asked, "--by", "op-1")
    assert (said.status, said.out) == (0, command(*asked).out)
    assert said.err == "op-1 cannot sign in here while the bay is at work: of the running shift:\n"

"""A label that came again: what is noted of a device is never noted of another with its name."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from cli.conftest import QUICK_ASSAY
from readbell.core.results.telling import ResultTold
from readbell.core.review.events import ReadingReleased, ResultWithdrawn
from readbell.settings.places import settings_file

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import BayProcess, Command, Reading, Start


def a_shift(bay: BayProcess, person: str, reader: str = "op-1") -> None:
    """Run C1 for somebody in a shift of its own."""
    bay.must(do="open-shift", by="op-1")
    bay.must(do="register-person", by="op-1", id=person)
    bay.must(do="label", by="op-1", cartridge="C1", person=person, lot="L-1")
    bay.heard.clear()
    bay.must(do="step", by="op-1", cartridge="C1", step="apply")
    bay.until_alarm()
    bay.must(do="read", by=reader, cartridge="C1", control=True, test="faint")
    bay.must(do="close-shift", by="op-1")


@pytest.fixture
def bay(start_bay: Start, tmp_path: Path) -> BayProcess:
    """A bay that works in shifts, in which op-2 is no reader."""
    folder = tmp_path / "CONFIG" / "readbell" / "assays"
    folder.mkdir(parents=True)
    # Open for long enough to be read on a busy computer.
    assay = QUICK_ASSAY.replace('closes = "0:00.800"', 'closes = "1:00"')
    (folder / "quick.toml").write_text(assay, encoding="utf-8")
    settings_file().write_text('[policy]\nshifts = "on"\n', encoding="utf-8")
    made = start_bay(tmp_path / "bay.journal", "--quiet")
    made.must(do="register-operator", id="op-1")
    made.must(do="register-operator", id="op-2", by="op-1")
    made.must(do="set-roles", by="op-1", operator="op-2", roles=["tester"])
    made.must(do="adopt-assay", assay="quick", instructions="v1", by="op-1")
    made.must(do="receive-lot", number="L-1", assay="quick", expires="2099-12-31", by="op-1")
    return made


@pytest.fixture
def journal(bay: BayProcess, tmp_path: Path) -> Path:
    """Two people were tested in two shifts, each on a C1; neither was told."""
    a_shift(bay, "P-1")
    a_shift(bay, "P-2")
    bay.end_of_input()
    assert bay.wait() == 0
    return tmp_path / "bay.journal"


def ids(command: Command, journal: Path) -> dict[str, str]:
    """By person, the opaque id of what they are to be told of."""
    said = command("tell", "--list", "--json", "--journal", journal).out.splitlines()
    return {each["person"]: each["id"] for each in map(json.loads, said)}


def test_a_label_that_two_people_wait_for_is_told_of_neither(
    command: Command, journal: Path, events_in: Reading
) -> None:
    """The last one was taken for it, and whoever was meant was never told."""
    known = ids(command, journal)
    asked = ("tell", "C1", "--to", "person", "--how", "phone", "--by", "op-1")
    said = command(*asked, "--journal", journal)
    assert (said.status, said.out) == (2, "")
    assert said.err.count("\n") == 1
    for each in ("C1: 2 devices bear this label", *known, *known.values(), "--person"):
        assert each in said.err
    assert not [each for each in events_in(journal) if isinstance(each, ResultTold)]

    assert command(*asked, "--person", "P-1", "--journal", journal).status == 0
    told = [each for each in events_in(journal) if isinstance(each, ResultTold)]
    assert [each.cartridge for each in told] == [known["P-1"]]


def test_what_the_person_reads_back_is_held_against_the_device_that_is_meant(
    command: Command, journal: Path
) -> None:
    """Nobody's ID makes somebody else's result theirs."""
    said = command(
        *("tell", "C1", "--to", "person", "--how", "phone", "--by", "op-1"),
        *("--person", "P-3", "--journal", journal),
    )
    assert said.status == 2
    assert "not this person's" in said.out


def test_a_slip_is_made_of_no_label_that_two_people_wait_for(
    command: Command, journal: Path
) -> None:
    """It would be handed to whoever stands there."""
    said = command("slip", "C1", "--journal", journal)
    assert (said.status, said.out) == (2, "")
    assert "2 devices bear this label" in said.err
    one = command("slip", ids(command, journal)["P-1"], "--journal", journal)
    assert (one.status, "Patient ID: P-1" in one.out) == (0, True)


def test_no_result_is_taken_back_by_a_label_that_two_devices_bore(
    command: Command, journal: Path, events_in: Reading
) -> None:
    """It cannot be given back, and the other one would go on counting."""
    asked = ("--reason", "other", "--why", "w", "--by", "op-1", "--journal", journal)
    said = command("review", "withdraw", "C1", *asked)
    assert (said.status, said.out) == (2, "")
    assert "2 devices bear this label" in said.err
    known = ids(command, journal)
    assert command("review", "withdraw", known["P-1"], *asked).status == 0
    (back,) = [each for each in events_in(journal) if isinstance(each, ResultWithdrawn)]
    assert back.cartridge == known["P-1"]


def test_the_one_reading_that_is_held_is_meant_though_a_later_device_bears_its_label(
    command: Command, bay: BayProcess, tmp_path: Path, events_in: Reading
) -> None:
    """The list named C1 and the answer was that C1 is not held."""
    journal = tmp_path / "bay.journal"
    a_shift(bay, "P-1", reader="op-2")
    a_shift(bay, "P-2")
    bay.end_of_input()
    assert bay.wait() == 0
    (held,) = command("review", "list", "--json", "--journal", journal).out.splitlines()
    asked = ("--why", "seen", "--by", "op-1", "--journal", journal)
    assert command("review", "release", "C1", *asked).status == 0
    (released,) = [each for each in events_in(journal) if isinstance(each, ReadingReleased)]
    assert released.cartridge == json.loads(held)["id"]


def test_a_story_says_that_its_label_was_borne_by_others_too(
    command: Command, journal: Path
) -> None:
    """The story of the last one may be of somebody else; the others are a word away."""
    known = ids(command, journal)
    asked = ("trace", "--by", "op-1", "--journal", journal, "--cartridge")
    last = command(*asked, "C1")
    assert last.status == 0
    assert "labelled for P-2" in last.out
    assert last.err.startswith(f"C1: this is {known['P-2']} (begun ")
    assert f"others bore that label: {known['P-1']} (begun " in last.err
    first = command(*asked, known["P-1"])
    assert (first.status, first.err) == (0, "")
    assert "labelled for P-1" in first.out
    unknown = command(*asked, "C9")
    assert unknown.err == "No cartridge C9 is on record here: check the label\n"

"""`lot`: boxes and lots seen to while no board runs, for people and for programs."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from cli.conftest import NASAL

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command, Start

GTIN = "38425876095074"
CODE = f"01{GTIN}1760123110L-777"
"""Good to the end of 2060: within the fifty years that two digits can tell."""


@pytest.fixture
def journal(start_bay: Start, tmp_path: Path) -> Path:
    """A bay with one operator, one assay and one lot, closed again."""
    path = tmp_path / "bay.journal"
    bay = start_bay(path, "--quiet")
    bay.must(do="register-operator", id="op-1")
    bay.must(do="adopt-assay", by="op-1", assay=NASAL, instructions="v1")
    bay.must(do="receive-lot", by="op-1", number="L-1", assay=NASAL, expires="2099-12-31", units=20)
    bay.must(do="register-person", by="op-1", id="P-1")
    bay.must(do="label", by="op-1", cartridge="C1", person="P-1", lot="L-1")
    bay.end_of_input()
    assert bay.wait() == 0
    return path


def listed(command: Command, journal: Path) -> dict[str, dict[str, Any]]:
    """Every lot as a program gets it, by its number."""
    done = command("lot", "list", "--journal", journal, "--json")
    assert (done.status, done.err) == (0, "")
    return {each["lot"]: each for each in map(json.loads, done.out.splitlines())}


def test_lots_are_listed_in_words_and_for_a_program(command: Command, journal: Path) -> None:
    """State, last day, what is left, control samples."""
    done = command("lot", "list", "--journal", journal)
    assert "L-1" in done.out
    assert "in store" in done.out
    assert "19 of 20" in done.out
    found = listed(command, journal)["L-1"]

    assert (found["assay"], found["left"], found["used"], found["on_hold"]) == (NASAL, 19, 1, False)
    assert (found["expires"], found["held_for"], found["samples"]) == ("2099-12-31", None, "-")


def test_a_box_is_received_by_its_code(command: Command, journal: Path) -> None:
    """The second time nobody has to say which assay it is for."""
    at = ("--by", "op-1", "--journal", journal)
    first = command("lot", "receive", "--scan", CODE, "--units", "9", "--assay", NASAL, *at)
    again = command("lot", "receive", "--scan", CODE, "--units", "1", *at, "--json")

    assert f"Lot L-777 received: good to 2060-12-31, 9 units, for {NASAL}." in first.out
    assert json.loads(again.out)["accepted"] is True
    assert listed(command, journal)["L-777"]["units"] == 10


def test_a_recall_holds_and_lists_and_a_release_ends_it(command: Command, journal: Path) -> None:
    """One command; what was tested with it is named, and nothing is deleted."""
    at = ("--by", "op-1", "--journal", journal)
    recalled = command("lot", "recall", "L-1", "--words", "notice 7", *at)
    assert recalled.status == 0
    assert "1 person was tested with it: C1." in recalled.out
    who = recalled.out.splitlines()[-1].split()
    assert (who[:2], who[-3:]) == (["P-1", "C1"], ["no", "outcome", "yet"])
    assert listed(command, journal)["L-1"]["held_for"] == "recalled"
    wrong = command("lot", "release", "L-1", "--reason", "investigated", *at)
    assert wrong.status == 2
    assert "This lot was recalled." in wrong.out
    assert command("lot", "release", "L-1", "--reason", "recall-withdrawn", *at).status == 0

    assert listed(command, journal)["L-1"]["state"] == "in store"


def test_whom_a_recall_concerns_is_listed_for_a_program(command: Command, journal: Path) -> None:
    """One object each, after the one that says what became of the recall."""
    at = ("--by", "op-1", "--journal", journal)
    done = command("lot", "recall", "L-1", "--json", *at)
    said, *tested = map(json.loads, done.out.splitlines())
    assert said["accepted"] is True
    (each,) = tested
    assert (each["person"], each["cartridge"], each["on_paper"]) == ("P-1", "C1", False)
    assert each["outcome"] is None
    refused = command("lot", "recall", "L-404", *at)
    assert refused.status == 2
    assert "P-1" not in refused.out


def test_units_are_written_off_counted_and_held(command: Command, journal: Path) -> None:
    """Each leaves its figure in the list."""
    at = ("--by", "op-1", "--journal", journal)
    lost = command("lot", "loss", "L-1", "--units", "2", "--reason", "damaged", *at)
    counted = command("lot", "count", "L-1", "15", *at)
    held = command("lot", "hold", "L-1", *at)

    assert "2 written off, damaged. 17 left." in lost.out
    assert "15 counted, 2 fewer than on record" in counted.out
    assert held.status == 0
    found = listed(command, journal)["L-1"]
    assert (found["lost"], found["left"], found["on_hold"]) == (2, 15, True)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (("receive", "--scan", "0138425876095079"), "The check digit of 38425876095079 is wrong"),
        (("receive", "--number", "L-9", "--expires", "2027-02-31"), "write a day that exists"),
        (("receive", "--number", "L-9"), "needs expires, or scan"),
        (("loss", "L-1", "--units", "2", "--reason", "eaten"), "use 'damaged'"),
    ],
)
def test_what_is_wrong_is_said_in_one_sentence(
    command: Command, journal: Path, given: tuple[str, ...], words: str
) -> None:
    """Where, what, and what to do; the exit status says so, too."""
    done = command("lot", *given, "--by", "op-1", "--journal", journal)

    assert done.status == 2
    assert words in done.err
    assert done.out == ""


def test_a_stranger_and_a_journal_that_is_none(command: Command, journal: Path) -> None:
    """Nothing is made in passing."""
    done = command("lot", "hold", "L-1", "--by", "op-9", "--journal", journal)
    assert (done.status, "No operator op-9" in done.out) == (2, True)
    nowhere = journal.with_name("none.journal")
    for given in (("list",), ("hold", "L-1", "--by", "op-1")):
        refused = command("lot", *given, "--journal", nowhere)
        assert refused.status == 2
        assert "there is no journal" in refused.err
    assert not nowhere.exists()


def test_a_lot_that_was_entered_wrongly_is_corrected(command: Command, journal: Path) -> None:
    """A past day is said to be meant; both days stand in the list, and what was begun is named."""
    at = ("--by", "op-1", "--journal", journal)
    why = ("--words", "a year misread")
    slip = command("lot", "correct", "L-1", "--expires", "2020-01-31", *why, *at)
    assert slip.status == 2
    assert "That day is past, so this lot would give no more cartridges." in slip.out
    done = command("lot", "correct", "L-1", "--expires", "2020-01-31", "--past", *why, *at)
    assert done.status == 0
    assert "good to 2020-01-31, not to 2099-12-31. That day is past" in done.out
    assert "Begun after it: C1. Their results wait for a supervisor." in done.out

    found = listed(command, journal)["L-1"]
    assert (found["expires"], found["state"]) == ("2020-01-31", "EXPIRED")
    (correction,) = found["corrections"]
    del correction["at"]
    assert correction == {
        "by": "op-1",
        "expires": "2020-01-31",
        "expires_before": "2099-12-31",
        "assay": NASAL,
        "assay_before": NASAL,
    }
    told = command("trace", "--lot", "L-1", *at).out
    assert "good to 2020-01-31, not to 2099-12-31" in told
    assert "a year misread" in told
    nothing = command("lot", "correct", "L-1", *why, *at)
    assert (nothing.status, "say expires, assay or scan" in nothing.err) == (2, True)

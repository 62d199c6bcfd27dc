"""Three who come together, from their badges to their results, on the real program."""

from __future__ import annotations

from typing import TYPE_CHECKING

import clocks_ahead
from board_program.conftest import PERSONS, developing
from readbell.core.board.events import ActRefused
from readbell.core.cartridge.events import CartridgeRead, EarlyPositiveSeen, How
from readbell.core.cartridge.stage import Stage
from readbell.core.reading.interpretation import Outcome

if TYPE_CHECKING:
    from board_program.bench import Bench
    from board_program.conftest import Place

LABELS = ("C01", "C02", "C03")
FAINT, EARLY, INVALID = LABELS


def begin(bench: Bench, person: str, label: str) -> None:
    """Open one pouch at this person's turn, and do what comes before the wait; no key is pressed."""
    bench.scan_for(person, f"{person}   lot", "Only now: open one pouch")
    bench.scan_for(label, f"ok {label}  labelled for {person}")
    bench.scan_for(label, "Swab into the buffer]")
    bench.press_for("f3", "3 steps in one act")


def drops(bench: Bench, label: str) -> None:
    """Squeeze the swab out and let the drops fall."""
    bench.scan_for(label, "Done up to", "[Withdraw the swab]")
    bench.press_for("f3", f"ok {label}", "Withdraw the swab")
    bench.scan_for(label, "[Drops onto the well]")
    bench.press_for("f3", "opens in")
    bench.until(lambda: label in bench.answer and "drops" in bench.answer.lower())


def test_a_party_of_three_is_run_from_their_badges_to_their_results(place: Place) -> None:
    """A faint positive, an early one confirmed in its window, an invalid and its repeat."""
    place.write_assay(opens="10:00")
    place.prepare()
    ahead = place.folder / "ahead"
    bench = place.board("--quiet", program=clocks_ahead.program(ahead))
    bench.press_for("f2", "Scan each person in the order of swabbing")
    bench.scan(*PERSONS)  # all in one breath
    bench.until_seen("3: P-0414. Read it back.")
    bench.press_for("f2", "Entered. First: P-0412.", "to begin: P-····, then 2 more")
    for person, label in zip(PERSONS, LABELS, strict=True):
        begin(bench, person, label)
    for label in (FAINT, INVALID, EARLY):
        drops(bench, label)

    bench.scan_for(EARLY, "F4 for an early look")
    bench.press_for("f4", "Background clear, flow at the control line?")
    bench.press("up")
    bench.press("up")
    bench.press("up")
    bench.until_seen("POSITIVE")
    bench.scan_for(PERSONS[1], f"same person as on {EARLY}")
    bench.press("f4")
    bench.until(lambda: "e+" in bench.row_of(EARLY))

    clocks_ahead.put_ahead(ahead, 10 * 60)
    for label in LABELS:
        bench.until(lambda label=label: "READ NOW" in bench.row_of(label))  # type: ignore[misc]
    bench.scan(FAINT)
    bench.until_seen("Control line C", "Test line T")
    bench.press("up")
    bench.press_for("up", "POSITIVE")
    bench.scan_for(PERSONS[0], f"same person as on {FAINT}")
    bench.press("f5")
    bench.until(lambda: bench.answer.startswith(f"ok {FAINT}  read: + POSITIVE"))

    bench.scan(INVALID)
    bench.until_seen("Control line C", "Test line T")
    bench.press("down")
    bench.press_for("down", "INVALID")
    bench.scan_for(PERSONS[2], f"same person as on {INVALID}")
    bench.press("f5")
    bench.until(lambda: bench.answer.startswith(f"ok {INVALID}  read: x INVALID. Repeat"))

    bench.scan(EARLY)
    bench.until_seen("Control line C", "Test line T")
    bench.press("up")
    bench.press("up")
    bench.press_for("up", "POSITIVE")
    bench.scan_for(PERSONS[1], f"same person as on {EARLY}")
    bench.press("f5")
    bench.until(lambda: bench.answer.startswith(f"ok {EARLY}  read: + POSITIVE"))

    bench.scan_for(PERSONS[2], "A repeat is due.")
    bench.press_for("f2", "Only now: open one pouch")
    bench.scan_for("C04", f"ok C04  labelled for {PERSONS[2]}", "a repeat of")
    bench.press_for("ctrl+q", "1 running", "C04")
    bench.press("escape")
    bench.leave()
    assert bench.wait() == 0

    verified = place.run("verify")
    assert verified.returncode == 0, verified.stdout + verified.stderr
    looked = place.run("watch", "--once")
    assert "C04  P-0414  labelled" in looked.stdout
    outcomes = {label: place.cartridge(label).outcome for label in LABELS}
    assert outcomes == {
        FAINT: Outcome.POSITIVE,
        EARLY: Outcome.POSITIVE,
        INVALID: Outcome.INVALID,
    }
    events = place.events()
    early = [each for each in events if isinstance(each, EarlyPositiveSeen)]
    assert [each.cartridge for each in early] == [place.cartridge(EARLY).id]
    readings = {each.cartridge: each for each in events if isinstance(each, CartridgeRead)}
    assert [str(each.strength) for each in readings[place.cartridge(FAINT).id].bands.lines] == [
        "faint"
    ]
    assert [str(each.strength) for each in readings[place.cartridge(EARLY).id].bands.lines] == [
        "clear"
    ]
    assert readings[place.cartridge(INVALID).id].bands.control is False
    repeat = place.cartridge("C04")
    assert repeat.labelled.repeat_of == place.cartridge(INVALID).id
    assert not [each for each in events if isinstance(each, ActRefused)]
    # A burst was known for what it was; three letters may roll off a quick hand as fast.
    assert {each.identified.person for each in readings.values()} == {How.SCANNED}


def test_a_smear_is_an_outcome_of_its_own_with_its_reason(place: Place) -> None:
    """What cannot be read is not guessed at: invalid, with why, and a fresh one is told."""
    developing(place, "C01")
    bench = place.board("--quiet")
    bench.until(lambda: "READ NOW" in bench.row_of("C01"))
    bench.scan_for("C01", "Control line C", "Test line T")
    bench.press_for("f6", "Why it cannot be read", "smear")
    bench.press("down")
    bench.press_for("down", "INVALID")
    bench.press("f5")
    bench.until(lambda: bench.answer.startswith("no") and "Still open" in bench.answer)
    bench.scan_for("P-0412", "same person as on C01")
    bench.press("f5")
    bench.until(lambda: bench.answer.startswith("ok C01  read: x INVALID. Repeat"))
    bench.leave()

    cartridge = place.cartridge("C01")
    assert (cartridge.stage, cartridge.outcome) == (Stage.READ, Outcome.INVALID)
    (reading,) = (each for each in place.events() if isinstance(each, CartridgeRead))
    assert str(reading.bands.unreadable) == "smear"


def test_the_wrong_person_and_the_wrong_strip_are_refused_at_a_reading(place: Place) -> None:
    """No scan saves an outcome, and each near miss stands in the record."""
    developing(place, "C01", "C02")
    bench = place.board("--quiet")
    bench.until(lambda: "READ NOW" in bench.row_of("C02"))
    bench.scan_for("C01", "Control line C", "Test line T")
    bench.press("up")
    bench.press_for("down", "NEGATIVE")
    bench.scan_for("P-0413", "C01 is not this person's. Nothing saved.")
    bench.scan_for("C02", "What was scanned is C02, not C01. Nothing saved.")
    bench.scan_for("P-9999", "C01 is not this person's. Nothing saved.")
    bench.scan("P-0412P-0413")
    bench.until(lambda: bench.answer.startswith("no"))
    bench.press("f5")
    bench.until(lambda: "Still open: Control line C" in bench.answer)
    assert not [each for each in place.events() if isinstance(each, CartridgeRead)]
    assert len([each for each in place.events() if isinstance(each, ActRefused)]) >= 3

    bench.scan_for("P-0412", "same person as on C01")
    bench.press("up")
    bench.press_for("down", "NEGATIVE")
    bench.press("f5")
    bench.until(lambda: bench.answer.startswith("ok C01  read: - NEGATIVE"))
    assert place.cartridge("C01").outcome is Outcome.NEGATIVE

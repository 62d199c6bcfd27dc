"""The whole work by lines, for a screen reader, a log, or a terminal that can show no board."""

from __future__ import annotations

import re
import signal
import subprocess
from typing import TYPE_CHECKING

import pytest

from board_program.conftest import PERSONS, developing
from patience import PATIENCE_SECONDS
from readbell.core.board.events import Ending, ProgramStopped
from readbell.core.cartridge.events import CartridgeRead, StepDone, StepTakenBack
from readbell.core.reading.interpretation import Outcome

if TYPE_CHECKING:
    from board_program.conftest import Place
    from board_program.plain_lines import PlainLines


def last_ending(place: Place) -> Ending | None:
    """How the program says it ended."""
    last = place.events()[-1]
    return last.why if isinstance(last, ProgramStopped) else None


def refused(lines: PlainLines, text: str, words: str) -> str:
    """Type a line, and return the one line that refuses it."""
    said = lines.ask(text, words)
    (no,) = [each for each in said if each.startswith("no  ")]
    assert words in no
    assert no.endswith(".")
    return no


def test_a_person_is_run_from_start_to_result_by_lines(place: Place) -> None:
    """No cursor moves and nothing is drawn: one thing a line, in the order in which it is done."""
    place.prepare()
    lines = place.lines("--quiet")
    assert sum("Back after" in each for each in lines.said) == 1
    lines.ask(".start", "0 on the list.")
    lines.ask("P-0412", "1 on the list. Scan the next, or say .start when all are here.")
    lines.ask(".start", "Turn of P-0412.")
    lines.ask(".start", "ok  C01  labelled for P-0412 from lot L-204.")
    lines.ask("C01", "Say .done, or scan C01 again")
    lines.ask(".done", "3 steps in one act.")
    lines.until_said("WAIT OVER. Withdraw the swab.")
    lines.ask("C01", "C01: Withdraw the swab. Squeeze it out.")
    lines.ask(".done", "ok  C01  Withdraw the swab: done.")
    lines.ask("c01", "C01: Drops onto the well. Let 4 drops fall.")
    lines.ask(".done", "ok  C01  Drops onto the well: done. Read it from ")
    lines.until_said("READ NOW until ")
    lines.ask(".board", "C01  P-0412  read-window  closes in ")
    lines.ask(".read", "Test line T: not answered.")
    lines.ask(".control present", "Control line C: present.")
    lines.ask(".T faint", "It would be + POSITIVE.")
    lines.ask("P-0412", "P-0412: same person as on C01.")
    lines.ask(".read", "ok  C01  read: + POSITIVE")
    lines.ask(".board", "Nothing runs.")
    lines.ask(".leave", "Say .leave again to leave, .back to stay.")
    lines.ask(".back", "Work goes on.")
    lines.ask(".leave", "Say .leave again to leave, .back to stay.")
    lines.say(".leave")
    assert lines.wait() == 0

    assert last_ending(place) is Ending.LEFT
    assert place.cartridge("C01").outcome is Outcome.POSITIVE
    (reading,) = (each for each in place.events() if isinstance(each, CartridgeRead))
    assert [str(each.strength) for each in reading.bands.lines] == ["faint"]
    assert not any("\x1b" in each or "\a" in each for each in lines.said)


def test_a_press_that_was_a_mistake_is_taken_back_by_words(place: Place) -> None:
    """And the step is done again, once it is; the record has all three."""
    place.prepare()
    lines = place.lines("--quiet")
    lines.ask(".start", "0 on the list.")
    lines.ask("P-0412", "1 on the list. Scan the next, or say .start when all are here.")
    lines.ask(".start", "Turn of P-0412.")
    lines.ask(".start", "ok  C01  labelled for P-0412 from lot L-204.")
    lines.ask(".choose C01", "Chosen: C01.")
    refused(lines, ".takeback", "Of C01 nothing but the label is confirmed")
    lines.ask("C01", "Say .done, or scan C01 again")
    lines.ask(".done", "3 steps in one act.")
    lines.ask(".takeback", "C01: take back ")
    lines.ask(".takeback", "Choose why with Up and Down first.")
    lines.ask(".reason pressed-too-early", "Why: pressed too early.")
    lines.ask(".takeback", "taken back, pressed too early. Confirm them once they are done.")
    lines.ask("C01", "Say .done, or scan C01 again")
    lines.ask(".done", "3 steps in one act.")
    lines.ask(".leave", "Say .leave again to leave, .back to stay.")
    lines.say(".leave")
    assert lines.wait() == 0
    events = [each for each in place.events() if isinstance(each, (StepDone, StepTakenBack))]
    assert [type(each) for each in events] == [*[StepDone] * 3, StepTakenBack, *[StepDone] * 3]


def test_each_refusal_is_one_line(place: Place) -> None:
    """What is so, why, what to do; and the same question stands as before."""
    place.write_assay(least="5:00", opens="10:00", early_from="5:00")
    place.prepare(persons=PERSONS)
    lines = place.lines("--quiet")
    refused(lines, "nonsense", '"nonsense" is nothing we know.')
    refused(lines, ".nonsense", '".nonsense" is no word known here. .help lists them.')
    refused(lines, ".control present", 'Nothing called "control" is asked now.')
    refused(lines, "P-0412P-0413", "That was two labels at once. Scan one.")
    lines.ask("P-0412", "Turn of P-0412.")
    refused(lines, "P-0499", "looks like another person's ID")
    lines.ask("C01", "ok  C01  labelled")
    lines.ask("P-0413", "Turn of P-0413.")
    refused(lines, "C01", "C01 is taken already.")
    lines.ask(".back", "Nothing was saved.")
    lines.ask("C01", "Say .done")
    refused(lines, "P-0413", "C01 is not this person's. Nothing saved.")
    lines.ask(".done", "3 steps in one act.")
    lines.ask("C01", "C01: Withdraw the swab.")
    # However long this machine took for the two lines.
    assert re.search(r"C01 has been in buffer \d:\d\d", refused(lines, ".done", "in buffer"))
    refused(lines, ".until apply", "Say .until and one of: withdraw.")
    refused(lines, b"P-\xff\xfe".decode("latin-1"), "nothing we know")
    for spoiled in (b"P-\xff\x80", b"\x1b[31mP-0412", b"P-0412\x07"):
        before = len(lines.said)
        lines.say(spoiled)
        answer = lines.until_said("no  ", before)
        assert "Nothing was taken" in answer
    lines.ask(".void", "Void C01. Scan it itself")
    refused(lines, ".void", "Scan C01 itself first.")
    refused(lines, "C02", "What was scanned is C02, not C01.")
    lines.ask("C01", "C01 it is. Why?")
    refused(lines, ".void", "Choose why")
    refused(lines, ".reason because", "Say .reason and one of: ")
    lines.ask(".reason dropped", "Why: ")
    lines.ask(".void", "ok  C01 ")
    lines.end_of_input()
    assert lines.wait() == 0
    assert not any("\x1b" in each or "\a" in each for each in lines.said)
    assert last_ending(place) is Ending.END_OF_INPUT


def test_rooms_are_gone_through_by_lines(place: Place) -> None:
    """A new operator, a new box, an alarm that nothing here can ring."""
    place.prepare()
    lines = place.lines("--quiet")
    lines.ask(".rooms", "Room: lots.")
    lines.ask(".start", "A new box. Answer line by line")
    lines.ask("L-205", "Lot number: scan the box: L-205.")
    refused(lines, "31.12.2099", '"31.12.2099" is no day.')
    lines.ask("2099-11-30", "2099-11-30.")
    lines.ask("10", "Units in the box: 10.")
    lines.ask(".start", "ok  Lot L-205 received: good to 2099-11-30, 10 units, for ")
    lines.ask(".next", "Room: operators.")
    lines.ask(".start", "A new operator.")
    lines.ask("op-7", "op-7")
    lines.ask(".start", "ok  Operator op-7 registered.")
    lines.ask(".next", "Room: assays.")
    lines.ask(".next", "Room: sound.")
    refused(lines, ".done", "Nothing here can ring. Watch the board.")
    lines.say(".rooms")
    lines.ask("L-205", "ok  Lot L-205 stands open at the bench.")
    lines.ask("op-7", "ok  op-7 acts now.")
    lines.ask(".help", "A negative does not exclude infection.")
    lines.process.send_signal(signal.SIGTERM)
    assert lines.wait() == 0
    assert last_ending(place) is Ending.SIGNAL
    assert place.kept().open_lot == "L-205"


def test_work_begins_with_the_alarm_in_words_that_can_be_typed(place: Place) -> None:
    """Whoever works by lines has no F3 to press; and nothing here has a bell: that is said."""
    place.prepare()
    place.write_settings(f'bell = false\nsound_command = ["{place.program[0]}", "-c", "pass"]\n')
    lines = place.lines()
    told = lines.until_said("Work begins with the alarm.")
    assert ".done rings it" in told
    assert "F3" not in told
    lines.ask(".done", "The alarm rings.")
    lines.ask(".heard", "ok  Alarm tested: heard.")
    lines.say(".rooms")
    lines.ask("P-0412", "no  ")


def test_output_that_nobody_reads_any_more_ends_no_bay(place: Place) -> None:
    """`| head` has gone; what is typed is still taken, and alarms ring past the pipe."""
    place.prepare(persons=PERSONS)
    process = subprocess.Popen(
        [*place.program, *place.board_words, "--plain", "--quiet"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=place.whole_environment,
    )
    assert process.stdout is not None
    assert b"Back after" in process.stdout.readline()
    process.stdout.close()
    process.stdout = None
    _, complaints = process.communicate(b"P-0412\nC01\nC01\n.done\n", timeout=PATIENCE_SECONDS)

    assert process.returncode == 0
    assert complaints == b""
    assert last_ending(place) is Ending.END_OF_INPUT
    assert place.cartridge("C01").last_mark.step == "extract"


def test_no_input_at_all_is_a_clean_end(place: Place) -> None:
    """Started by a timer or a service it must not hang, and not look like a crash."""
    place.prepare()
    done = subprocess.run(
        [*place.program, *place.board_words, "--plain"],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        env=place.whole_environment,
        check=False,
        timeout=PATIENCE_SECONDS,
    )
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.decode().rstrip().endswith("Work is laid down: there is no more input.")


def test_a_board_without_a_terminal_says_so_in_one_sentence(place: Place) -> None:
    """A pipe shows no board; the sentence names what to do instead."""
    place.prepare()
    before = place.events()
    done = subprocess.run(
        [*place.program, *place.board_words],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        env=place.whole_environment,
        check=False,
        timeout=PATIENCE_SECONDS,
    )
    assert done.returncode == 2
    assert done.stdout == b""
    assert done.stderr.decode().count("\n") == 1
    assert "--plain" in done.stderr.decode()
    assert place.events() == before


@pytest.mark.parametrize("save", [".read", ".save"])
def test_a_negative_is_saved_by_either_word(place: Place, save: str) -> None:
    """And by neither before everything was answered, the person's ID too."""
    developing(place, "C01")
    lines = place.lines("--quiet")
    lines.until(lambda: any("READ NOW" in each or "read-window" in each for each in lines.said))
    lines.ask("C01", "Test line T: not answered.")
    lines.ask(".control present", "Control line C: present.")
    lines.ask(".antigen absent", "It would be - NEGATIVE.")
    refused(lines, save, "Still open: Patient ID")
    refused(lines, "P-0413", "C01 is not this person's.")
    lines.ask("P-0412", "same person as on C01")
    lines.ask(".control present", "Control line C: present.")
    lines.ask(".antigen absent", "It would be - NEGATIVE.")
    lines.ask(save, "ok  C01  read: - NEGATIVE")

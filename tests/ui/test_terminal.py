"""What is asked of a terminal, and what the board survives on it. All on real ones."""

from __future__ import annotations

import json
import os
import re
import signal
import sys
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from patience import PATIENCE_SECONDS
from readbell.ui.keyboard import MIXED
from ui.terminal_for_tests import Terminal

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    Run = Callable[..., "BoardOnTerminal"]

PROGRAM = str(Path(__file__).with_name("board_for_tests.py"))
HERE = {"PYTHONPATH": os.pathsep.join(path for path in sys.path if path)}
SECRET = "Quillfeather"  # noqa: S105  # a person, not a password


class BoardOnTerminal(Terminal):
    """The board of these tests, and its notes of what it was given."""

    def __init__(
        self, notes: Path, *words: str, size: tuple[int, int] = (80, 24), **environment: str
    ) -> None:
        self._notes = notes
        super().__init__(
            [sys.executable, PROGRAM, str(notes), *words],
            size=size,
            environment={**HERE, **environment},
        )

    def notes(self, *kinds: str) -> list[list[str]]:
        """Return what it has noted of these kinds, all if none are named."""
        text = self._notes.read_text("utf-8") if self._notes.exists() else ""
        whole = text[: text.rfind("\n") + 1].splitlines()
        notes: list[list[str]] = [json.loads(each) for each in whole]
        return [note for note in notes if not kinds or note[0] in kinds]

    def until_noted(self, *notes: list[str], kinds: tuple[str, ...]) -> None:
        """Read on until its notes of `kinds` are `notes` and no others."""
        self.until(lambda: len(self.notes(*kinds)) >= len(notes))
        assert self.notes(*kinds) == list(notes)

    def is_behind(self) -> bool:
        """Say whether the terminal is full, and ten ticks have gone by without a beat."""
        return self.is_full() and all(
            kind == "tick" for kind, *_ in self.notes("beat", "tick")[-10:]
        )

    def beats(self) -> list[float]:
        """Return when it has beaten, in seconds of the wall clock."""
        return [float(each[1]) for each in self.notes("beat")]

    def ending(self) -> str:
        """Return how it said it ended."""
        ((_, ending),) = self.notes("ended")
        return ending


@pytest.fixture
def run(tmp_path: Path) -> Iterator[Run]:
    """Start boards, and end them."""
    boards: list[BoardOnTerminal] = []

    def start(*words: str, size: tuple[int, int] = (80, 24), **environment: str) -> BoardOnTerminal:
        notes = tmp_path / f"notes-{len(boards)}"
        boards.append(BoardOnTerminal(notes, *words, size=size, **environment))
        if not {"rows", "colours"} & {*words}:
            boards[-1].until_seen("beats ")
        return boards[-1]

    yield start
    for board in boards:
        board.close()


GIVEN = ("scan", "key", "fault", "click")


def test_six_scans_in_one_read_are_six_scans(run: Run) -> None:
    """A field of the library made one ID of them, six times."""
    board = run()
    board.give("".join(f"S00{number}-ABC\r" for number in range(6)))
    scans = [["scan", f"S00{number}-ABC", "scanned"] for number in range(6)]
    board.until_noted(*scans, kinds=GIVEN)


def test_what_was_read_at_once_is_one_scan_however_long_its_letters_take(run: Run) -> None:
    """A busy computer was held up between two of them, and the label counted as typed by hand."""
    board = run("halting")
    board.give("S001-ABC\r")
    board.until_noted(["scan", "S001-ABC", "scanned"], kinds=GIVEN)


def test_scans_stay_apart_while_the_painter_is_slow(run: Run) -> None:
    """Two of six were wrong here, with no error: the redraw came between letters and Enter."""
    board = run("slow", "fast")
    scans = [f"S00{number}-ABC" for number in range(6)]
    taken = 0
    # What came with a gap, as this machine held somebody up, may be refused: then once more.
    while taken < len(scans):
        before = len(board.notes("scan", "fault"))
        board.give_slowly("".join(f"{each}\r" for each in scans), 0.005)
        board.until(lambda before=before: len(board.notes("scan", "fault")) >= before + len(scans))  # type: ignore[misc]
        notes = board.notes("scan", "fault")[before:]
        refused = [number for number, note in enumerate(notes) if note[:2] == ["fault", MIXED]]
        found = [note[1] for number, note in enumerate(notes) if number not in refused]
        assert found == [each for number, each in enumerate(scans) if number not in refused]
        taken = len(found)


def test_every_byte_of_the_upper_half_is_survived(run: Run) -> None:
    """One such byte from a scanner of another country ended the program."""
    board = run()
    for first in range(0x80, 0x100, 32):
        board.give(b"".join(bytes([byte]) + b"M\r" for byte in range(first, first + 32)))
    # Bytes C2 to F4 begin a letter of several bytes, and an M is no second one.
    board.until(lambda: len(board.notes("fault")) == 0x80)
    board.press("f5")
    board.until_seen("key read")
    assert len(board.notes(*GIVEN)) == 0x81


def test_keys_of_the_library_do_nothing_and_ours_do(run: Run) -> None:
    """Its palette, its screenshot, its copy, its quit: none is there."""
    board = run()
    for name in ("ctrl+c", "ctrl+p", "ctrl+z", "enter", "f5", "f8", "escape", "up"):
        board.press(name)
    keys = [["key", key] for key in ("read", "heard", "back", "up")]
    board.until_noted(*keys, kinds=GIVEN)
    assert b"\x1b]52" not in board.output
    board.press("ctrl+q")
    assert board.wait() == 0
    assert "hand" in board.ending()


def test_a_key_out_of_a_scan_presses_nothing(run: Run) -> None:
    """A label may hold F5 and Enter; the record takes no outcome from a label."""
    board = run()
    board.give("P-04\x1b[15~12\r\x1b[15~\x1b[24~\r")
    board.until(lambda: len(board.notes(*GIVEN)) >= 2)
    board.press("f2")
    board.until_seen("key start")
    assert [note[0] for note in board.notes("scan", "key")] == ["key"]


def test_a_click_is_told_with_its_cell(run: Run) -> None:
    """It chooses a row and nothing more; movement is not even asked for."""
    board = run()
    board.give("\x1b[<0;12;5M\x1b[<0;12;5m\x1b[<35;1;1M")
    board.until_noted(["click", "11", "4"], kinds=GIVEN)
    assert b"\x1b[?1003h" not in board.output


def test_pastes_are_whole_or_refused(run: Run) -> None:
    """Three lines became the first of them."""
    board = run()
    board.give("\x1b[200~P-0412\x1b[201~\x1b[200~A\rB\rC\x1b[201~")
    board.until(lambda: len(board.notes(*GIVEN)) == 2)
    assert board.notes("scan") == [["scan", "P-0412", "typed"]]
    assert board.notes("fault")[0][1].startswith("3 lines")
    board.give("\x1b[200~P-0413")  # and no end
    board.until_seen("scan P-0413 typed")


def test_the_smallest_window_and_back(run: Run) -> None:
    """Somebody drags its corner; nothing is to die of that."""
    board = run()
    board.resize(20, 8)
    board.until_seen("20x8 beats")
    board.resize(1, 1)
    board.resize(100, 30)
    board.until_seen("100x30 beats")
    board.give("P-0412\r")
    board.until_seen("scan P-0412 scanned")


def test_another_size_is_found_though_no_word_of_it_comes(run: Run) -> None:
    """Linux says so before it has the new size, and who asks at once is told the old one."""
    board = run("deaf")
    board.until_seen("80x24 beats")
    board.resize(100, 30)
    board.until_seen("100x30 beats")


def test_a_window_that_is_as_large_as_before_is_painted_anew(run: Run) -> None:
    """Made small and large again faster than the board looked, its picture is torn all the same."""
    board = run()
    board.give("P-0412\r")
    board.until_seen("scan P-0412 scanned")
    board.resize(80, 24)  # forgets the picture, and is no other size
    board.send(signal.SIGWINCH)
    board.until_seen("scan P-0412 scanned")


def test_a_terminal_that_reads_nothing_stops_the_beat_and_nothing_else(run: Run) -> None:
    """Someone marked text in the window. The bay hears no beat and rings; then all goes on."""
    board = run("rows", "fast", "beats", "ticks", size=(200, 60))
    board.until(lambda: len(board.notes("beat")) > 3)
    board.unread_until(board.is_behind)
    beats = len(board.notes("beat"))
    board.give("P-0412\r")
    board.unread_until(lambda: board.notes("scan") == [["scan", "P-0412", "scanned"]])
    assert len(board.notes("beat")) == beats
    board.until(lambda: len(board.notes("beat")) > beats + 3)


def test_a_terminal_that_reads_nothing_does_not_keep_the_board_from_ending(run: Run) -> None:
    """Otherwise only a kill would help, and the clean mark would be missing."""
    board = run("rows", "fast", "beats", "ticks", size=(200, 60))
    board.until(lambda: len(board.notes("beat")) > 3)
    board.unread_until(board.is_behind)
    board.send(signal.SIGTERM)
    board.unread_until(lambda: bool(board.notes("ended")))
    assert "signal" in board.ending()


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_told_to_end_it_leaves_and_gives_the_terminal_back(
    run: Run, number: signal.Signals
) -> None:
    """The library left it raw, and nothing that was to be done last was done."""
    board = run()
    assert board.is_raw()
    board.send(number)
    assert board.wait() == 0
    assert "signal" in board.ending()
    assert b"\x1b[?1049l" in board.output


def test_told_to_end_before_its_first_picture_it_ends(run: Run) -> None:
    """A window closed at once, or a computer that goes down while it starts."""
    board = run("colours")
    board.until(lambda: b"\x1b[?1049h" in board.output)
    board.send(signal.SIGTERM)
    assert board.wait() == 0
    assert "signal" in board.ending()


def test_when_its_window_is_closed_it_ends(run: Run) -> None:
    """It would have run on unseen, with a whole processor to itself."""
    board = run()
    board.hang_up()
    assert board.process.wait(PATIENCE_SECONDS) == 0
    assert "signal" in board.ending() or "input-ended" in board.ending()


def test_stopped_and_continued_it_reads_each_key_once(run: Run) -> None:
    """The library began to read a second time, and each reader got half of a scan."""
    board = run()
    for _ in range(2):
        board.send(signal.SIGTSTP)  # ignored
        board.send(signal.SIGSTOP)
        board.send(signal.SIGCONT)
    board.until(lambda: board.output.count(b"\x1b[?1049h") >= 2)
    for number in range(20):
        board.give(f"S{number:03}-ABC\r")
    scans = [f"S{number:03}-ABC" for number in range(20)]
    board.until(lambda: len(board.notes("scan", "fault")) >= 20)
    assert [note[1] for note in board.notes("scan", "fault")] == scans


def test_a_crash_says_where_and_nothing_about_anybody(run: Run) -> None:
    """The library prints every variable, people included, and then reports success."""
    board = run()
    board.give("RAISE\r")
    assert board.wait() == 3
    assert "Crashed" in board.ending()
    assert "builtins.ValueError" in board.ending()
    assert "ui/board_for_tests.py:" in board.ending()
    assert SECRET.encode() not in board.output
    assert b"\x1b[?1049l" in board.output


COLOURS = {
    "full": ({"COLORTERM": "truecolor"}, r"[34]8;2;\d+;\d+;\d+"),
    "full-256": ({"TERM": "xterm-256color"}, r"[34]8;5;\d+"),
    "16": ({"TERM": "linux", "COLORTERM": "truecolor"}, r"(3|4|9|10)[0-7]"),
    "none": ({"NO_COLOR": "1", "COLORTERM": "truecolor"}, None),
}


@pytest.mark.parametrize("name", COLOURS)
def test_the_terminal_gets_the_colours_it_has_and_no_others(run: Run, name: str) -> None:
    """The library sends full colours to all, and greys where none are wanted."""
    environment, allowed = COLOURS[name]
    board = run("colours", name.partition("-")[0], size=(40, 40), **environment)
    board.until_seen("drill-fill")
    board.press("ctrl+q")
    board.wait()
    looks = {code.decode() for code in re.findall(rb"\x1b\[([\d;]*)m", bytes(board.output))}
    left = {re.sub(allowed, "", look) if allowed else look for look in looks}
    assert {part for look in left for part in look.split(";")} <= {"", "0", "1", "7"}
    assert len(looks) > (3 if allowed is None else 10)


def test_a_screen_of_countdowns_costs_few_bytes(run: Run) -> None:
    """A slow line carries it: forty rows, each with another number at each tick."""
    board = run("rows", "beats", size=(120, 40))
    board.until(lambda: len(board.beats()) >= 2)
    beats = len(board.beats())
    board.read_all()
    first = len(board.output)
    board.until(lambda: len(board.beats()) >= beats + 4)
    board.read_all()
    # Counted before the first reading and after the last: not more pictures lie between them.
    pictures = len(board.beats()) - beats + 1
    spent = (len(board.output) - first) / pictures
    assert 0 < spent < 2500, f"{spent} bytes a second"


def test_it_beats_on_whole_seconds(run: Run) -> None:
    """All countdowns change together, with the clock in the corner."""
    board = run("beats")
    # Four in a row, some time: a machine that is busy holds it up now and then.
    board.until(lambda: any(map(on_whole_seconds, in_a_row(board.beats(), 4))))


def in_a_row(instants: list[float], times: int) -> list[list[float]]:
    """Return each stretch of so many `instants`."""
    return [instants[first : first + times] for first in range(len(instants) - times + 1)]


def on_whole_seconds(instants: list[float]) -> bool:
    """Say whether each of `instants` is that of a whole second, and none is left out."""
    seconds = [round(each) for each in instants]
    near = all(abs(each - second) < 0.3 for each, second in zip(instants, seconds, strict=True))
    return near and all(later == earlier + 1 for earlier, later in pairwise(seconds))

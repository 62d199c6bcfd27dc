"""The terminal goes, stops reading, shrinks, is of another kind, or sends rubbish; a thread fails.

Through all of it the alarms ring, people who were entered stay entered, the next scan
is taken, and the journal is whole.
"""

from __future__ import annotations

import signal
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from board_program.bench import Bench
from readbell.core.board.events import Ending, ProgramStarted, ProgramStopped
from torture.alarmed import Alarmed, enter_two, told_of, trying, until_ended, wall
from torture.trial import Ground, Trial, Tried

if TYPE_CHECKING:
    import random
    from collections.abc import Callable, Iterator, Mapping, Sequence

    Harm = Callable[[Bench, random.Random, Callable[[], bool]], None]

BEFORE, AFTER = ("P-0001", "P-0002"), ("P-0003", "P-0004")
"""Who is entered before the harm, and who after it."""
SIZES = ((1, 1), (3, 200), (500, 2), (1, 60), (80, 24), (20, 5), (200, 60))
UNFINISHED = (
    b"\x1b", b"\x1b[", b"\x1b[1;", b"\x1b[<0;1", b"\x1b]0;a title", b"\x1bP1$r", b"\x1b_G",
    b"\x1b[200~P-9999", b"\x1b[200", b"\x1bO", b"\x1b[1;5", b"\xf0\x9f", b"\xc3", b"\xe2\x80",
)  # fmt: skip
ENTERED = b"\x1b[?1049h"
"""Written by each board that begins."""
BREAKABLE = """
import sys, threading
from readbell.cli.main import main
from readbell.hand.given import Scanned
from readbell.ui import board_screen, driver, front, writer

broken = threading.Event()
take = board_screen.BoardScreen.take

def look(screen, given):
    if isinstance(given, Scanned) and given.text == "X-FATAL":
        broken.set()
    take(screen, given)

board_screen.BoardScreen.take = look

def breaking(owner, name):
    sound = getattr(owner, name)

    def once(*given):
        if broken.is_set():
            broken.clear()
            raise LookupError("P-0001")
        return sound(*given)

    setattr(owner, name, once)

breaking({owner}, {name!r})
sys.exit(main(sys.argv[1:]))
"""
NOBODYS = """
import fcntl, os, signal, sys, termios
signal.signal(signal.SIGHUP, signal.SIG_IGN)
fcntl.ioctl(0, termios.TIOCNOTTY)
signal.signal(signal.SIGHUP, signal.SIG_DFL)
os.execv(sys.argv[1], sys.argv[1:])
"""
"""Starts a program on a terminal that is nobody's own: when it goes, no signal says so."""
FAULTS = {
    "the painter": ("board_screen.BoardScreen", "lines"),
    "what shows the scan line": ("board_screen.BoardScreen", "typed"),
    "the thread that reads the keys": ("driver.BoardDriver", "_read"),
    "the thread that writes the picture": ("writer.Writer", "_put"),
    "the thread of the hand": ("front.Front", "_scene"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One kind of harm to a terminal, and what the board is started with."""

    what: str
    harm: Harm
    times: int = 1
    """How often it is tried when there is time."""
    alarms: int = 6
    environment: Mapping[str, str] = field(default_factory=dict)
    program: Sequence[str] = ()
    shows: Sequence[str] = (" Scan ",)
    in_short: bool = False
    enter_after: Callable[[Bench, str, str], None] = enter_two


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way in which a board comes to its end."""

    end: Callable[[Bench], None]
    why: set[Ending]
    """What its clean mark may say."""
    program: Sequence[str] = ()


def suffer(ground: Ground, case: Case) -> Tried:
    """Open a board, do the harm to it until the last alarm was heard, and see what is left."""
    tried = Tried(what=case.what)
    late: list[float] = []
    chance = ground.chance(case.what)
    last = ground.times(long=case.alarms, short=1) - 1
    for _ in range(ground.times(long=case.times, short=1)):
        with trying(tried):
            place = Alarmed(ground, last + 1)
            try:
                since = wall()
                bench = place.board(
                    environment=case.environment, program=case.program, until=case.shows
                )
                enter_two(bench, *BEFORE)
                case.harm(bench, chance, lambda place=place: place.was_heard(last))  # type: ignore[misc]
                late += place.judge_alarms(tried, since)
                case.enter_after(bench, *AFTER)
                bench.send(signal.SIGTERM)
                until_ended(bench, tried)
                place.judge_journal(tried, *BEFORE, *AFTER, why=Ending.SIGNAL)
            finally:
                place.close()
    tried.note = told_of(late)
    return tried


def nothing(bench: Bench, _: random.Random, is_over: Callable[[], bool]) -> None:
    """Only look on."""
    while not is_over():
        bench.pause(0.2)
    bench.until_seen("READ NOW")


def only_plain_signs(bench: Bench, chance: random.Random, is_over: Callable[[], bool]) -> None:
    """Look on where a sign that is not plain would fall into pieces."""
    nothing(bench, chance, is_over)
    assert bench.picture.isascii(), bench.picture


def stop_reading(bench: Bench, _: random.Random, is_over: Callable[[], bool]) -> None:
    """Read nothing; what is typed meanwhile is taken."""
    bench.unread_until(is_over)


def resize(bench: Bench, chance: random.Random, is_over: Callable[[], bool]) -> None:
    """Make the window of any size, also of one cell, and then as large as it was."""
    while True:
        # At least once: a window that is only made as large as it is tells nobody of it.
        for size in (SIZES[0], *chance.sample(SIZES, 3)):
            bench.resize(*size)
            bench.pause(0.1)
        if is_over():
            break
    bench.resize(120, 40)
    bench.until_seen(" Scan ")


def send_each_byte(bench: Bench, _: random.Random, is_over: Callable[[], bool]) -> None:
    """Send the bytes one by one, some as a hand would and all as a scanner would."""
    while True:
        for byte in range(0x100):
            bench.give(bytes([byte]))
            bench.pause(0.005 if byte % 16 else 0.1)
            if byte == 0x11:  # the page that asks whether to leave
                bench.press("escape")
        bench.pause(0.2)
        bench.give(bytes(range(0x100)) + b"\r")
        back_to_the_board(bench)
        if is_over():
            return


def send_unfinished(bench: Bench, chance: random.Random, is_over: Callable[[], bool]) -> None:
    """Send the beginning of a code that never ends, then something that must be taken."""
    while True:
        for code in (*UNFINISHED, chance.randbytes(40).replace(b"\x1b", b"")):
            bench.give(code)
            bench.pause(0.7)
        back_to_the_board(bench)
        if is_over():
            return


def back_to_the_board(bench: Bench) -> None:
    """Leave whatever rubbish led to: rub out what stands there, close what is open."""
    for _ in range(6):
        bench.press("escape")
    bench.until_seen("Scan a cartridge, a person, a box or a badge")


def break_it(bench: Bench, _: random.Random, is_over: Callable[[], bool]) -> None:
    """Let something in the program fail, and wait."""
    bench.scan("X-FATAL")
    while not is_over():
        bench.pause(0.2)
    back_to_the_board(bench)
    bench.until_it_has_settled()  # keys that came between two boards would be nobody's


def break_the_painter_twice(bench: Bench, _: random.Random, is_over: Callable[[], bool]) -> None:
    """After the second time the bay goes on in plain lines; people are entered there as well."""
    bench.scan("X-FATAL")
    bench.until(lambda: bench.output.count(ENTERED) > 1)
    bench.until_seen(" Scan ")
    bench.scan("X-FATAL")
    bench.until_seen("The board failed twice.", "Ready. .help lists the words.")
    while not is_over():
        bench.pause(0.2)


def enter_two_in_lines(bench: Bench, first: str, second: str) -> None:
    """Enter two people where no board is left."""
    for line, words in (
        (".start", "Scan each person"),
        (first, f"1: {first}."),
        (second, f"2: {second}."),
        (".start", f"Entered. First: {first}."),
    ):
        bench.type_line(line)
        bench.until_seen(words)


def fault(what: str) -> Case:
    """Return the case of one thread that fails."""
    owner, name = FAULTS[what]
    program = BREAKABLE.format(owner=owner, name=name)
    return Case(
        what=f"a fault in {what}",
        harm=break_it,
        alarms=2,
        times=3,
        program=(sys.executable, "-c", program),
    )


def kind(what: str, **environment: str) -> Case:
    """Return the case of one kind of terminal."""
    return Case(
        what=f"a terminal of another kind: {what}",
        harm=nothing,
        alarms=2,
        environment=environment,
    )


CASES = (
    Case(
        what="a terminal that stops reading for 30 s",
        harm=stop_reading,
        times=3,
        alarms=7,
        in_short=True,
    ),
    Case(
        what="windows of 1x1, 3x200, 500x2 and others, and back",
        harm=resize,
        times=3,
        in_short=True,
    ),
    Case(
        what="each byte there is, alone and in one burst",
        harm=send_each_byte,
        times=3,
        in_short=True,
    ),
    Case(what="codes that begin and never end", harm=send_unfinished, times=3),
    kind("dumb", TERM="dumb"),
    kind("linux", TERM="linux"),
    kind("none said", TERM=""),
    kind("no colour", NO_COLOR="1"),
    replace(
        kind("not UTF-8", LC_ALL="C", PYTHONUTF8="0", PYTHONCOERCECLOCALE="0"),
        harm=only_plain_signs,
    ),
    *(fault(each) for each in FAULTS),
    replace(
        fault("the painter"),
        what="a fault in the painter, twice",
        harm=break_the_painter_twice,
        enter_after=enter_two_in_lines,
        in_short=True,
    ),
)
ENDINGS = {
    "its window is closed": Way(end=Bench.hang_up, why={Ending.SIGNAL, Ending.END_OF_INPUT}),
    "it is told to end": Way(end=lambda bench: bench.send(signal.SIGTERM), why={Ending.SIGNAL}),
    "its input ends, without a word": Way(
        end=Bench.hang_up,
        why={Ending.END_OF_INPUT},
        program=(sys.executable, "-I", "-S", "-c", NOBODYS, sys.executable, "-m", "readbell"),
    ),
}


def end(ground: Ground, what: str) -> Tried:
    """End a board at any instant; what fell due while it was gone rings as soon as it is back."""
    tried = Tried(what=f"a board that ends because {what}")
    chance = ground.chance(what)
    way, gone = ENDINGS[what], list[float]()
    for _ in range(ground.times(long=10, short=1)):
        with trying(tried):
            place = Alarmed(ground, 1)
            try:
                bench = place.board(program=way.program)
                enter_two(bench, *BEFORE)
                bench.pause(chance.uniform(0.0, 1.0))
                way.end(bench)
                until_ended(bench, tried)
                place.judge_journal(tried, *BEFORE)
                last = place.events()[-1]
                ended = isinstance(last, ProgramStopped) and last.why in way.why
                tried.expect(ended, f"no clean mark: {last!r}")
                before = len(place.heard())  # a slow machine may have come to the alarm already
                time.sleep(max(0.0, place.due()[0] - wall()))  # nobody is there to be asked
                again = place.board(until=("READ NOW",))
                back = next(
                    at for at, each in reversed(place.stamped()) if isinstance(each, ProgramStarted)
                )
                while len(place.heard()) <= before and wall() < back + 2 * place.limit:
                    again.pause(0.05)
                gone.append(place.heard()[before].at - back)
                tried.expect(gone[-1] <= place.limit, f"it rang {gone[-1]:.2f} s after its return")
                enter_two(again, *AFTER)
                again.send(signal.SIGTERM)
                until_ended(again, tried)
                place.judge_journal(tried, *BEFORE, *AFTER, why=Ending.SIGNAL)
            finally:
                place.close()
    tried.note = (
        f"what fell due meanwhile rang {max(gone, default=0):.2f} s after its return at most"
    )
    return tried


def harms(ground: Ground) -> Iterator[Tried]:
    """Do every harm, several boards at once."""
    cases = [case for case in CASES if ground.long or case.in_short]
    with ThreadPoolExecutor(2 if ground.long else 6) as several:
        ended = several.map(
            lambda what: end(ground, what), list(ENDINGS)[: None if ground.long else 1]
        )
        suffered = several.map(lambda case: suffer(ground, case), cases)
        yield from ended
        yield from suffered


TRIALS = [Trial(name="terminal", title="The terminal", run=harms)]

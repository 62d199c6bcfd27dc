"""Scans without pause, with every end a scanner may send, on a free machine and on a busy one; pastes.

Two IDs made into one would give somebody another's result. So what is entered must be
exactly what was scanned, in its order; on a busy machine a scan may be refused, and must
then be said to be.
"""

from __future__ import annotations

import signal
import string
import subprocess
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from board_program.conftest import OPERATOR
from readbell.core.board.events import Ending
from readbell.core.cartridge.events import CartridgeLabelled
from readbell.core.people.events import PersonRegistered
from readbell.scenarios.line import MOST_NAMES
from torture.alarmed import Alarmed, enter_two, told_of, trying, until_ended, wall
from torture.trial import Ground, Trial, Tried

if TYPE_CHECKING:
    import random
    from collections.abc import Callable, Iterator, Sequence
    from contextlib import AbstractContextManager

    from board_program.bench import Bench

    Load = Callable[[Bench, random.Random], AbstractContextManager[None]]

SCANS = 50
ENDS = {"CR": "\r", "LF": "\n", "CRLF": "\r\n", "Tab": "\t"}
SIGNS = string.ascii_uppercase + string.digits + "-_/.:"
MOST_REFUSED = 0.02
"""Of all scans: a letter that a busy machine held up for long makes it two texts, perhaps."""
BETWEEN_LETTERS = 0.002
"""Seconds; a scanner that types as fast as a serial line."""
HOGS = 6
"""Programs that do nothing but count, on whatever cores there are."""
HOG = (sys.executable, "-I", "-S", "-c", "while True: pass")
BUSY = """
import sys, time
from readbell.cli.main import main
from readbell.ui import board_screen

lines = board_screen.BoardScreen.lines

def slowly(*given):
    end = time.monotonic() + 0.15
    while time.monotonic() < end:
        pass
    return lines(*given)

board_screen.BoardScreen.lines = slowly
sys.exit(main(sys.argv[1:]))
"""
"""The program, whose screen counts for most of a second whenever something is scanned."""
PASTED = 10_000
BEFORE, AFTER = ("P-before-1", "P-before-2"), ("P-after-1", "P-after-2")


@contextmanager
def no_load(_: Bench, __: random.Random) -> Iterator[None]:
    """Leave the machine alone."""
    yield


@contextmanager
def hogs(_: Bench, __: random.Random) -> Iterator[None]:
    """Have other programs want every core all the time."""
    running = [subprocess.Popen(HOG) for _ in range(HOGS)]
    try:
        yield
    finally:
        for each in running:
            each.kill()
            each.wait()


@contextmanager
def pulses(bench: Bench, chance: random.Random) -> Iterator[None]:
    """Stop the whole program and let it go on, again and again."""
    over = threading.Event()

    def pulse() -> None:
        while not over.wait(chance.uniform(0.01, 0.15)):
            bench.send(signal.SIGSTOP)
            over.wait(chance.uniform(0.01, 0.2))
            bench.send(signal.SIGCONT)

    stopping = threading.Thread(target=pulse)
    stopping.start()
    try:
        yield
    finally:
        over.set()
        stopping.join()
        bench.send(signal.SIGCONT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """Bursts into a board under one kind of load."""

    what: str
    load: Load = no_load
    program: Sequence[str] = field(default_factory=tuple)
    in_short: bool = False
    times: int = 2


CASES = (
    Case(what="50 scans without pause", times=5, in_short=True),
    Case(
        what="50 scans without pause, the screen busy",
        program=(sys.executable, "-c", BUSY),
    ),
    Case(what="50 scans without pause, every core busy", load=hogs),
    Case(
        what="50 scans without pause, the program stopped and let on",
        load=pulses,
        in_short=True,
    ),
)


def some_ids(chance: random.Random, count: int) -> list[str]:
    """Return IDs of all lengths that scanners send, none of which stands in another."""
    return [
        f"{number:03}" + "".join(chance.choices(SIGNS[:36], k=chance.randint(2, 24))) + "Z"
        for number in chance.sample(range(1000), count)
    ]


def scan_in(ground: Ground, case: Case) -> Tried:
    """Enter people by bursts of scans until the last alarm was heard; compare all of them."""
    tried = Tried(what=f"{case.what}, each ended by {', '.join(ENDS)}")
    chance = ground.chance(case.what)
    late: list[float] = []
    refused = bursts = 0
    last = ground.times(long=5, short=1) - 1
    for _ in range(ground.times(long=case.times, short=1)):
        with trying(tried):
            place = Alarmed(ground, last + 1)
            try:
                since, given = wall(), list[list[str]]()
                bench = place.board("--ascii", program=case.program)
                with case.load(bench, chance):
                    while not place.was_heard(last) or len(given) < len(ENDS):
                        pause = BETWEEN_LETTERS if len(given) % 8 >= len(ENDS) else 0.0
                        end = list(ENDS.values())[len(given) % len(ENDS)]
                        given.append(some_ids(chance, SCANS))
                        burst(bench, given[-1], end, pause)
                late += place.judge_alarms(tried, since)
                bench.send(signal.SIGTERM)
                until_ended(bench, tried)
                place.judge_journal(tried, why=Ending.SIGNAL)
                bursts += len(given)
                refused += compare(tried, place, given)
            finally:
                place.close()
    tried.note = f"{bursts} bursts, {refused} scans refused; {told_of(late)}"
    return tried


def burst(bench: Bench, ids: list[str], end: str, pause: float) -> None:
    """Begin a list of people, send all scans without pause, enter the list."""
    bench.press_for("f2", "Scan each person in the order of swabbing.")
    bench.pause(0.2)
    text = "".join(f"{each}{end}" for each in ids)
    for part in text if pause else (text,):
        bench.give(part)
        time.sleep(pause)  # and nothing is read: a scanner does not wait for a picture
    # Whatever was made of the last one is the last thing that is said.
    bench.until_it_has_settled()
    bench.press_for("f2", "Entered. First: ")


def compare(tried: Tried, place: Alarmed, given: list[list[str]]) -> int:
    """Compare what was entered with what was scanned; return how many scans were refused."""
    events = place.events()
    entered = [
        each.person.value
        for each in events
        if isinstance(each, PersonRegistered) and each.person.value != "P-0412"
    ]
    scanned = [each for ids in given for each in ids]
    known = set(scanned)
    for each in entered:
        tried.expect(each in known, f"{each!r} was entered, and nobody scanned that")
    in_order = [each for each in scanned if each in set(entered)]
    tried.expect(entered == in_order, "they were entered in another order, or twice")
    missing = [each for each in scanned if each not in set(entered)]
    few = len(missing) <= MOST_REFUSED * len(scanned)
    tried.expect(few, f"scanned and not entered: {missing}")
    return len(missing)


def paste(ground: Ground, *, bracketed: bool) -> Tried:
    """Paste thousands of lines at once while alarms fall due, then enter people as ever."""
    lines = ground.times(long=PASTED, short=500)
    kind = "as a paste" if bracketed else "as if typed"
    tried = Tried(what=f"{PASTED:,} lines at once, {kind}")
    late: list[float] = []
    last = ground.times(long=3, short=1) - 1
    with trying(tried):
        place = Alarmed(ground, last + 1)
        try:
            since = wall()
            bench = place.board("--ascii")
            enter_two(bench, *BEFORE)
            pasted = [f"PASTE-{number:05}" for number in range(lines)]
            text = "\r".join(pasted) + "\r"
            feed(bench, f"\x1b[200~{text}\x1b[201~" if bracketed else text)
            if bracketed:
                bench.until_seen(f"{lines} lines were pasted at once. Nothing was taken.")
            else:
                bench.until_seen(f'"{pasted[-1]}" is nothing we know.')
            bench.until(lambda: place.was_heard(last))
            late += place.judge_alarms(tried, since)
            enter_two(bench, *AFTER)
            bench.send(signal.SIGTERM)
            until_ended(bench, tried)
            place.judge_journal(tried, *BEFORE, *AFTER, why=Ending.SIGNAL)
            known = {*place.kept().persons} - {*BEFORE, *AFTER, "P-0412"}
            tried.expect(not known, f"of a paste there were entered: {sorted(known)[:5]}")
        finally:
            place.close()
    tried.note = told_of(late)
    return tried


def paste_into_work(ground: Ground) -> Tried:
    """Send thousands of scans at somebody's turn: each is one label or refused, none is two."""
    lines = ground.times(long=PASTED, short=300)
    tried = Tried(what=f"{PASTED:,} scans at once at a person's turn")
    late: list[float] = []
    last = ground.times(long=3, short=1) - 1
    with trying(tried):
        opened = {"do": "open-lot", "by": OPERATOR, "lot": "L-strip-0"}
        place = Alarmed(ground, last + 1, opened)
        try:
            since = wall()
            bench = place.board("--ascii")
            enter_two(bench, *BEFORE)
            pasted = [
                each
                for number in range(lines // 2)
                for each in (BEFORE[number % 2], f"D{number:05}")
            ]
            # The badge behind them all says when the last of them was taken in.
            feed(bench, "".join(f"{each}\r" for each in (*pasted, OPERATOR)))
            bench.until_seen(f"{OPERATOR} acts now.")
            bench.until(lambda: place.was_heard(last))
            bench.until_it_has_settled()
            late += place.judge_alarms(tried, since)
            bench.press("escape")
            enter_two(bench, *AFTER)
            bench.send(signal.SIGTERM)
            until_ended(bench, tried)
            place.judge_journal(tried, *BEFORE, *AFTER, why=Ending.SIGNAL)
            labels = [each.label for each in place.events() if isinstance(each, CartridgeLabelled)]
            strange = {*labels} - {*pasted} - {f"C{number:02}" for number in range(last + 1)}
            tried.expect(not strange, f"labelled, and nobody scanned that: {sorted(strange)[:5]}")
        finally:
            place.close()
    tried.note = told_of(late)
    return tried


def too_many_for_a_list(ground: Ground) -> Tried:
    """Scan more people than one list may hold: the rest is refused, and none on it is lost."""
    tried = Tried(what=f"{MOST_NAMES + 20} people scanned into one list")
    with trying(tried):
        place = Alarmed(ground, 1)
        try:
            bench = place.board("--ascii")
            ids = some_ids(ground.chance("a long list"), MOST_NAMES + 20)
            burst(bench, ids, "\r", BETWEEN_LETTERS)
            bench.send(signal.SIGTERM)
            until_ended(bench, tried)
            entered = [each for each in place.kept().persons if each != "P-0412"]
            tried.expect(entered == ids[:MOST_NAMES], f"{len(entered)} were entered")
            place.judge_journal(tried, why=Ending.SIGNAL)
        finally:
            place.close()
    return tried


def feed(bench: Bench, text: str) -> None:
    """Send a long text as fast as the terminal takes it, and read meanwhile.

    In a thread of its own: a paste that is held up while somebody reads counts as two.
    """
    giving = threading.Thread(target=bench.give, args=(text,), daemon=True)
    giving.start()
    bench.until(lambda: not giving.is_alive())


def scans(ground: Ground) -> Iterator[Tried]:
    """Scan and paste; what makes the machine busy runs by itself when there is time for it."""
    cases = [case for case in CASES if ground.long or case.in_short]
    with ThreadPoolExecutor(1 if ground.long else 4) as several:
        scanned = several.map(lambda case: scan_in(ground, case), cases)
        pasted = several.map(lambda bracketed: paste(ground, bracketed=bracketed), (True, False))
        yield from scanned
        yield from pasted
        if ground.long:
            yield paste_into_work(ground)
            yield too_many_for_a_list(ground)


TRIALS = [Trial(name="scans", title="Scans and pastes", run=scans)]

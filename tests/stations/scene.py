"""Several computers of one site, each a station of one bay on one real server."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
import time
from collections import Counter
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from board_program.conftest import Place
from patience import PATIENCE_SECONDS
from readbell.journal.codec import decode
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import read_address
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import chained, verify
from torture.processes import Bay

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.journal.envelope import Envelope
    from server import Database

BAY = "Harrow Quay"
LOOK_EACH = 0.02
TRIES = 5
OTHER = Path(__file__).with_name("another_computer.py")


class Computer(Place):
    """One computer that is a station: its folders, its station file, what of the record it has."""

    def __init__(self, folder: Path, name: str, *, ahead: int | None = None) -> None:
        super().__init__(folder)
        self.name = name
        self._ahead = ahead
        self.journal = folder / "disk" / "bay.station"
        self.mirror = self.journal.with_name(f"{self.journal.name}.mirror")
        self.bays: list[Bay] = []

    @property
    def program(self) -> list[str]:
        """How the program is started: with this computer's clocks, or with clocks of its own."""
        if self._ahead is None:
            return super().program
        boot = self.folder / "boot"
        boot.write_text(f"boot of {self.name}", "ascii")
        return [sys.executable, str(OTHER), str(self._ahead), str(boot)]

    def join(self, address: str, *options: str) -> str:
        """Become a station; return what was said.

        A server that a busy machine kept from answering within three seconds is asked again.
        """
        named = ("--bay", BAY, "--station", self.name)
        done = self.command("join", address, *named, *options, "--journal", self.journal)
        tries = 1
        while "nobody answers there" in done.stderr and tries < TRIES:
            done = self.command("join", address, *named, *options, "--journal", self.journal)
            tries += 1
        assert done.returncode == 0, done.stderr
        return done.stdout

    def command(self, *words: str | Path) -> subprocess.CompletedProcess[str]:
        """Run a command of the program to its end."""
        return subprocess.run(
            [*self.program, *map(str, words)],
            env=self.whole_environment,
            capture_output=True,
            text=True,
            check=False,
            timeout=PATIENCE_SECONDS,
        )

    def bay(self, *, quiet: bool = True) -> Bay:
        """Start the program without a screen, and wait until it has said how it stands."""
        options = ["--json", *(["--quiet"] if quiet else [])]
        process = subprocess.Popen(
            [*self.program, "bay", *options, "--journal", str(self.journal)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env=self.whole_environment,
        )
        bay = Bay(process=process)
        bay.listen()
        self.bays.append(bay)
        bay.line()
        return bay

    def envelopes(self) -> list[Envelope]:
        """What of the record this computer has, with who recorded it and when."""
        return _envelopes(self.mirror)

    def events(self) -> list[Event]:
        """The events of it; none while there is no record here."""
        return [each.event for each in self.envelopes()] if self.mirror.is_file() else []

    def kept(self) -> Board:
        """The board that it adds up to; a broken chain fails."""
        journal = SqliteJournal.open(self.mirror, read_only=True)
        try:
            return verify(journal).board
        finally:
            journal.close()

    def head(self) -> tuple[int, str]:
        """The end of the record here: how many events, and the hash of the last."""
        journal = SqliteJournal.open(self.mirror, read_only=True)
        try:
            head = journal.head()
            return head.seq, head.hash.hex()
        finally:
            journal.close()

    def close(self) -> None:
        """End whatever still runs."""
        super().close()
        for bay in self.bays:
            if bay.process.poll() is None:
                bay.process.kill()
            bay.wait(PATIENCE_SECONDS)
            for stream in (bay.process.stdin, bay.process.stdout, bay.process.stderr):
                if stream is not None:
                    with ExitStack() as closing:
                        closing.callback(stream.close)


def _envelopes(path: Path) -> list[Envelope]:
    journal = SqliteJournal.open(path, read_only=True)
    try:
        return [decode(each, journal.private) for each in chained(journal)]
    finally:
        journal.close()


@contextmanager
def computers(*names: str, **ahead: int) -> Iterator[list[Computer]]:
    """Give computers on which readbell was never started, in folders with short names.

    Those whose names come with a number have clocks of their own, so many milliseconds ahead.
    """
    with ExitStack() as stack:
        made = []
        for name in (*names, *ahead):
            folder = stack.enter_context(tempfile.TemporaryDirectory(prefix="readbell-"))
            computer = Computer(Path(folder), name, ahead=ahead.get(name))
            stack.callback(computer.close)
            made.append(computer)
        yield made


def on_server(database: Database) -> tuple[Board, tuple[int, str]]:
    """Return what stands on the server, every hash and every event checked, and its end."""
    journal = PostgresJournal.open(read_address(database.address), BAY)
    try:
        found = verify(journal)
        return found.board, (found.head.seq, found.head.hash.hex())
    finally:
        journal.close()


def wait_until(is_so: object, what: str, patience: float = PATIENCE_SECONDS) -> None:
    """Wait until `is_so()`: real processes keep no simulated time."""
    end = time.monotonic() + patience  # noqa: TID251
    while not is_so():  # type: ignore[operator]
        assert time.monotonic() < end, f"not within {patience} s: {what}"  # noqa: TID251
        time.sleep(LOOK_EACH)


def same_everywhere(database: Database, *stations: Computer) -> Board:
    """Insist that the record is whole and the same on the server and at every one of `stations`.

    Their programs run, so they follow, and may add something of their own: an alert. It is
    looked until nothing was added meanwhile.
    """
    for _ in range(TRIES):
        board, end = on_server(database)
        for each in stations:
            wait_until(
                lambda each=each, end=end: each.head()[0] >= end[0],
                f"{each.name} has the whole record",
            )
        found = [each.head() for each in stations]
        boards = [each.kept() for each in stations]
        verified = [
            each.command("verify", "--journal", each.journal, "--json") for each in stations
        ]
        if on_server(database)[1] == end:
            break
    for each, head, kept, done in zip(stations, found, boards, verified, strict=True):
        assert head == end, each.name
        assert kept == board, each.name
        assert done.returncode == 0, done.stdout + done.stderr
        assert json.loads(done.stdout)["head"] == end[1], each.name
    return board


def doubled(envelopes: Sequence[Envelope]) -> list[str]:
    """Return the ids that stand more than once in a record."""
    found = Counter(each.id for each in envelopes)
    return [name for name, times in found.items() if times > 1]


def answer_to(bay: Bay, **line: Any) -> dict[str, Any]:
    """Give a line and return what the bay answers to it, whatever it is."""
    bay.say(line)
    return bay.until(lambda said: "answer" in said)

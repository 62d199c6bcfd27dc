"""The command as people run it: in folders of its own, in this process or in one of its own."""

from __future__ import annotations

import contextlib
import json
import os
import queue
import shutil
import subprocess
import sys
import threading
from dataclasses import dataclass, field
from typing import IO, TYPE_CHECKING, Any, Protocol

import pytest

import clocks_ahead
from patience import PATIENCE_SECONDS
from readbell.cli.main import main
from readbell.journal.codec import decode
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import chained, verify

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from quarter import Quarter
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event

FOLDERS = ("DATA", "STATE", "CACHE", "CONFIG")
SURNAME = "Quillfeather"
"""Stands in every id that is entered, so that a trace of one can be found anywhere."""
OPERATOR, PERSON = f"op-{SURNAME}", f"P-{SURNAME}"

NASAL = "respiratory-antigen-nasal"

SCENARIO = """\
title = "One strip, read in time"
starts = 2026-03-29T00:40:00+00:00
timezone = "Europe/London"
assay = "respiratory-antigen-nasal"

[[operator]]
id = "op-1"
[[lot]]
number = "L-100"
expires = 2026-12-31
units = 20
[[person]]
id = "P-001"
[person.bands]
control = "3:00"
test = { from = "6:30", strength = "faint" }
"""

QUICK_ASSAY = """\
format = 1
id = "quick"
title = "A strip for tests of the program"
specimen = "nothing"
clearing_up = "Nothing to clear up."
[temperature]
storage = [2, 30]
running = [15, 30]
[[step]]
key = "label"
title = "Label"
instruction = "Label it."
hands_on = "0:01"
[[step]]
key = "apply"
title = "Drops"
instruction = "Apply it."
hands_on = "0:01"
collects = true
[reading]
opens = "0:00.300"
closes = "0:00.800"
closing_warning = "0:00.200"
[[reading.line]]
key = "t"
mark = "T"
name = "Test"
[basis]
all = "made up"
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a command came to."""

    status: int
    out: str
    err: str


class Command(Protocol):
    """Runs the command in this process."""

    def __call__(self, *arguments: str | Path) -> Outcome:
        """Run it with these arguments."""


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither find nor leave anything in the folders of whoever runs the tests."""
    for name in FOLDERS:
        monkeypatch.setenv(f"XDG_{name}_HOME", str(tmp_path / name))


@pytest.fixture
def command(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Iterator[Command]:
    """Return the command; what it does to this process is undone afterwards."""
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    umask = os.umask(0o022)

    def run(*arguments: str | Path) -> Outcome:
        try:
            status = main([str(each) for each in arguments])
        except SystemExit as end:
            status = end.code if isinstance(end.code, int) else 0
        said = capsys.readouterr()
        return Outcome(status=status, out=said.out, err=said.err)

    yield run
    os.umask(umask)


@dataclass(kw_only=True)
class BayProcess:
    """A bay in a process of its own; its lines are read by a thread, so that no test hangs."""

    process: subprocess.Popen[bytes]
    lines: queue.SimpleQueue[str] = field(default_factory=queue.SimpleQueue)
    complaints: list[str] = field(default_factory=list)
    readers: list[threading.Thread] = field(default_factory=list)
    heard: list[dict[str, Any]] = field(default_factory=list)
    """Everything it said that was taken in so far."""

    def listen(self, *, output: bool = True) -> None:
        """Begin to read what it says; with `output` false its lines are left in the pipe."""

        def read_lines(stream: IO[bytes]) -> None:
            for line in stream:
                self.lines.put(line.decode())

        def read_complaints(stream: IO[bytes]) -> None:
            self.complaints.extend(line.decode() for line in stream)

        for stream, reader in (
            (self.process.stdout, read_lines if output else None),
            (self.process.stderr, read_complaints),
        ):
            if reader is not None and stream is not None:
                thread = threading.Thread(target=reader, args=(stream,), daemon=True)
                thread.start()
                self.readers.append(thread)

    def say(self, *lines: dict[str, Any] | bytes) -> None:
        """Write lines to it, all in one go."""
        assert self.process.stdin is not None
        written = b"".join(
            (line if isinstance(line, bytes) else json.dumps(line).encode()) + b"\n"
            for line in lines
        )
        with contextlib.suppress(BrokenPipeError):
            self.process.stdin.write(written)
            self.process.stdin.flush()

    def line(self) -> dict[str, Any]:
        """Return the next thing it says, or say what it complained of."""
        try:
            found: dict[str, Any] = json.loads(self.lines.get(timeout=PATIENCE_SECONDS))
        except queue.Empty:
            msg = f"nothing was said behind {self.heard[-3:]}; complaints: {self.complaints}"
            raise TimeoutError(msg) from None
        self.heard.append(found)
        return found

    def until_alarm(self) -> None:
        """Wait for an alarm, unless one was heard: it may come before the answer to an act."""
        while not any(each.get("news") == "alert-raised" for each in self.heard):
            self.line()

    def answer(self) -> dict[str, Any]:
        """Return the next answer to a line; news in between are passed over."""
        while "answer" not in (found := self.line()):
            pass
        return found

    def ask(self, **said: Any) -> dict[str, Any]:
        """Write one line and return its answer."""
        self.say(said)
        return self.answer()

    def must(self, **said: Any) -> dict[str, Any]:
        """Write one line and insist that it is taken."""
        answer = self.ask(**said)
        assert answer["accepted"], answer
        return answer

    def prepare(self, assay: str = NASAL) -> None:
        """Register an operator and a person, adopt an assay, receive a lot, label C1."""
        self.must(do="register-operator", id=OPERATOR)
        self.must(do="adopt-assay", assay=assay, instructions="v1", by=OPERATOR)
        self.must(do="receive-lot", number="L-1", assay=assay, expires="2099-12-31", by=OPERATOR)
        self.must(do="register-person", id=PERSON, by=OPERATOR)
        self.must(do="label", by=OPERATOR, cartridge="C1", person=PERSON, lot="L-1")

    def end_of_input(self) -> None:
        """Close its input."""
        assert self.process.stdin is not None
        self.process.stdin.close()

    def wait(self, patience: float = PATIENCE_SECONDS) -> int:
        """Wait until it has ended, and return its exit status."""
        status = self.process.wait(patience)
        for reader in self.readers:
            reader.join(PATIENCE_SECONDS)
        return status

    def kill(self) -> None:
        """End it as a power cut would."""
        self.process.kill()
        self.wait()

    def rest(self) -> list[dict[str, Any]]:
        """Return everything it said that was not asked for yet."""
        found = []
        while not self.lines.empty():
            found.append(json.loads(self.lines.get()))
        return found


class Start(Protocol):
    """Starts bays in processes of their own."""

    def __call__(
        self, journal: Path, *options: str, output: bool = True, ahead: int | None = None
    ) -> BayProcess:
        """Start one on a journal; with its clocks `ahead`, as the file of that name says from then on."""


@pytest.fixture
def start_bay(tmp_path: Path) -> Iterator[Start]:
    """Return the starter; whatever still runs at the end of a test is killed."""
    started: list[BayProcess] = []

    def start(
        journal: Path, *options: str, output: bool = True, ahead: int | None = None
    ) -> BayProcess:
        arguments = ["bay", "--journal", str(journal), "--json", *options]
        program = (
            (sys.executable, "-m", "readbell")
            if ahead is None
            else clocks_ahead.program(tmp_path / "ahead", ahead)
        )
        process = subprocess.Popen(
            [*program, *arguments],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )
        found = BayProcess(process=process)
        found.listen(output=output)
        started.append(found)
        return found

    yield start
    for each in started:
        each.kill()
        for stream in (each.process.stdin, each.process.stdout, each.process.stderr):
            if stream is not None:
                with contextlib.suppress(BrokenPipeError):
                    stream.close()


class Reading(Protocol):
    """Reads what stands in a journal."""

    def __call__(self, journal: Path, /) -> list[Event]:
        """Return its events."""


@pytest.fixture
def events_in() -> Reading:
    """Return the reader of journals."""

    def read(path: Path) -> list[Event]:
        journal = SqliteJournal.open(path, read_only=True)
        try:
            return [decode(each, journal.private).event for each in chained(journal)]
        finally:
            journal.close()

    return read


class Verified(Protocol):
    """Verifies a journal."""

    def __call__(self, journal: Path, /) -> Board:
        """Return the board it adds up to."""


@pytest.fixture
def board_in() -> Verified:
    """Return the verifier of journals: a broken one fails the test."""

    def read(path: Path) -> Board:
        journal = SqliteJournal.open(path, read_only=True)
        try:
            return verify(journal).board
        finally:
            journal.close()

    return read


@pytest.fixture
def scenario(tmp_path: Path) -> Path:
    """A scenario without acts, in a file."""
    path = tmp_path / "day.toml"
    path.write_text(SCENARIO, encoding="utf-8")
    return path


@pytest.fixture
def quick_assay(tmp_path: Path) -> str:
    """The id of an assay of this site whose window opens and closes within a second."""
    return _own_assay(tmp_path, "quick", QUICK_ASSAY)


@pytest.fixture
def slow_assay(tmp_path: Path) -> str:
    """The id of one whose window opens after ten minutes, closes after twenty, and warns after fifteen."""
    text = QUICK_ASSAY.replace('"quick"', '"slow"').replace("0:00.200", "5:00")
    return _own_assay(
        tmp_path, "slow", text.replace("0:00.300", "10:00").replace("0:00.800", "20:00")
    )


@pytest.fixture(scope="session")
def made_quarter(tmp_path_factory: pytest.TempPathFactory) -> Quarter:
    """Thirteen weeks, a lot in each, one of them bad."""
    from quarter import make_quarter  # of few tests here

    return make_quarter(tmp_path_factory.mktemp("quarter") / "bay.journal")


@pytest.fixture
def quarter(made_quarter: Quarter, tmp_path: Path) -> Path:
    """A copy of it, as looking is on record."""
    path = tmp_path / "quarter.journal"
    shutil.copyfile(made_quarter.journal, path)
    return path


def _own_assay(folder: Path, name: str, text: str) -> str:
    """Put an assay where the site keeps its own, and return its id."""
    assays = folder / "CONFIG" / "readbell" / "assays"
    assays.mkdir(parents=True, exist_ok=True)
    (assays / f"{name}.toml").write_text(text, encoding="utf-8")
    return name

"""A board on a terminal of its own whose alarms fall due one after another, and when each was heard.

The site's own sound command writes down the instant at which it is run; when each
alarm was due follows from when the drops were recorded and the assay, and not from
what the program itself says of its alarms.
"""

from __future__ import annotations

import json
import sys
import time
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from board_program.conftest import OPERATOR, Place
from patience import PATIENCE_SECONDS
from readbell.core.board.events import Ending, ProgramStopped
from readbell.core.cartridge.events import StepDone
from readbell.journal.codec import decode
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import chained
from ui.terminal_for_tests import now

if TYPE_CHECKING:
    from collections.abc import Iterator

    from board_program.bench import Bench
    from readbell.core.board.event import Event
    from torture.trial import Ground, Tried

WITHIN_SECONDS = 1.0
"""What is promised: no alarm rings later than this."""
ON_A_BUSY_MACHINE = 60.0
"""With the tests, many at once, the clock of the machine is not what is tried."""
NEVER_TWICE_WITHIN = 5.0
"""Seconds; what falls due so soon behind a sound is heard with the next."""
CLOCKS_AGREE = 0.05
"""Seconds by which a wall clock may differ from the one that alarms follow."""
APART = 6.0
FIRST_AFTER = 6.0
"""Seconds between the drops on all strips and the first alarm: the board is opened meanwhile."""
MOST_ALARMS = 9
"""Then the first is said again, which falls between the others."""
ENDS_WITHIN = PATIENCE_SECONDS

STRIP = """\
format = 1
id = "{id}"
title = "A strip of seconds"
specimen = "nothing"
clearing_up = "Nothing to clear up."
[temperature]
storage = [2, 30]
running = [15, 30]
[[step]]
key = "label"
title = "Label the cartridge"
instruction = "Label it."
hands_on = "0:01"
[[step]]
key = "apply"
title = "Drops onto the well"
instruction = "Let 4 drops fall."
hands_on = "0:01"
collects = true
[reading]
opens = "0:{opens:06.3f}"
closes = "50:00"
closing_warning = "1:00"
[[reading.line]]
key = "antigen"
mark = "T"
name = "Antigen"
[basis]
all = "made up"
"""
NOTES_THE_INSTANT = (
    "import os, sys, time; "
    "os.write(os.open(sys.argv[1], os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600), "
    "f'{time.time()} {os.environ[\"READBELL_ALERT\"]}\\n'.encode())"
)


@dataclass(frozen=True, slots=True)
class Heard:
    """One run of the sound command."""

    at: float
    """Seconds of the wall clock."""
    kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rang:
    """One alarm: from when on it was to be heard, and when it was."""

    owed: float
    at: float | None


class Alarmed(Place):
    """A computer with `alarms` strips that have just had their drops, each ready after the other."""

    def __init__(self, ground: Ground, alarms: int = MOST_ALARMS, *lines: dict[str, Any]) -> None:
        super().__init__(ground.folder())
        self.limit = WITHIN_SECONDS if ground.long else ON_A_BUSY_MACHINE
        self.must_ring = ground.long
        self.opens = [FIRST_AFTER + APART * each for each in range(alarms)]
        self._rung = self.folder / "rung"
        command = json.dumps([sys.executable, "-I", "-S", "-c", NOTES_THE_INSTANT, str(self._rung)])
        by = {"by": OPERATOR}
        strips: list[dict[str, Any]] = []
        drops: list[dict[str, Any]] = []
        for number, opens in enumerate(self.opens):
            name = f"strip-{number}"
            file = self.folder / "CONFIG" / "readbell" / "assays" / f"{name}.toml"
            file.write_text(STRIP.format(id=name, opens=opens), "utf-8")
            lot = {"number": f"L-{name}", "assay": name, "expires": "2099-12-31"}
            on = {**by, "cartridge": f"C{number:02}"}
            strips += [
                {"do": "adopt-assay", "assay": name, "instructions": "v1", **by},
                {"do": "receive-lot", **lot, **by},
                {"do": "label", **on, "person": "P-0412", "lot": lot["number"]},
            ]
            drops.append({"do": "step", **on, "step": "apply"})
        self.prepare(*strips, *lines, *drops, persons=["P-0412"])
        self.write_settings(f"sound_command = {command}\n")

    def heard(self) -> list[Heard]:
        """Return every sound so far."""
        text = self._rung.read_text("utf-8") if self._rung.exists() else ""
        found = (line.split() for line in text[: text.rfind("\n") + 1].splitlines())
        return [Heard(float(at), kind) for at, kind in found]

    def stamped(self) -> list[tuple[float, Event]]:
        """Return what stands in the journal, each with its second of the wall clock."""
        journal = SqliteJournal.open(self.journal, read_only=True)
        try:
            found = [decode(each, journal.private) for each in chained(journal)]
        finally:
            journal.close()
        return [(each.stamp.wall / 1000, each.event) for each in found]

    def due(self) -> list[float]:
        """Return when each strip was to be called, by its drops and its assay."""
        drops = [at for at, each in self.stamped() if isinstance(each, StepDone)]
        return [at + opens for at, opens in zip(drops, self.opens, strict=True)]

    def was_heard(self, number: int) -> bool:
        """Say whether the alarm of strip `number` rang, or did not and is not to be waited for."""
        rang = self._rang(self.due()[number])
        return wall() > rang.owed and (rang.at is not None or wall() > rang.owed + self.limit)

    def judge_alarms(self, tried: Tried, since: float) -> list[float]:
        """Hold each alarm due since a second of the wall clock against what was heard until now.

        Returns how late each was, in seconds.
        """
        late: list[float] = []
        until = wall()
        for due in self.due():
            rang = self._rang(due)
            if due < since or until < rang.owed:
                continue
            if rang.at is not None and rang.at <= rang.owed + self.limit:
                late.append(rang.at - rang.owed)
            elif rang.at is not None or until > rang.owed + self.limit:
                near = [f"{each.kind} {each.at - due:+.2f}" for each in self.heard()]
                tried.fail(f"no alarm within {self.limit} s of its instant; sounds: {near}")
        # A machine with many tests at once may open a board too late for that.
        tried.expect(bool(late or tried.wrong) or not self.must_ring, "no alarm fell due meanwhile")
        return late

    def _rang(self, due: float) -> Rang:
        """Return when an alarm due then was to be heard, and when it was.

        What falls due less than five seconds behind a sound joins the next one, as there are
        never two in five seconds: it is owed from then on.
        """
        heard = [each.at for each in self.heard()]
        before = max((at for at in heard if at < due - CLOCKS_AGREE), default=float("-inf"))
        after = min((at for at in heard if at >= due - CLOCKS_AGREE), default=None)
        return Rang(owed=max(due, before + NEVER_TWICE_WITHIN), at=after)

    def judge_journal(self, tried: Tried, *persons: str, why: Ending | None = None) -> None:
        """Verify the journal, look for `persons` who were entered, and how the program ended."""
        done = self.run("verify")
        tried.expect(done.returncode == 0, f"verify: {done.stdout}{done.stderr}")
        known = self.kept().persons
        for each in persons:
            tried.expect(each in known, f"{each} was acknowledged and is gone")
        last = self.events()[-1]
        if why is not None:
            ended = isinstance(last, ProgramStopped) and last.why is why
            tried.expect(ended, f"it did not end as it should: {type(last).__name__}")


def told_of(late: list[float]) -> str:
    """Return what the table says of alarms that were so late."""
    return f"{len(late)} alarms, the latest {max(late, default=0.0):.2f} s after its instant"


def wall() -> float:
    """Return the second of the wall clock: that is what the sound command writes down."""
    return time.time()  # noqa: TID251


def enter_two(bench: Bench, first: str, second: str) -> None:
    """Enter two people as a hand at the board does; it is acknowledged on the screen."""
    bench.press_for("f2", "Scan each person in the order of swabbing.")
    bench.scan_for(first, f"1: {first}.")
    bench.scan_for(second, f"2: {second}.")
    bench.press_for("f2", f"Entered. First: {first}.")


def until_ended(bench: Bench, tried: Tried, status: int = 0) -> None:
    """Wait for the end of a program that was told to end; it may take a moment and no more."""
    deadline = now() + ENDS_WITHIN
    while bench.process.poll() is None and now() < deadline:
        if bench.master >= 0:
            bench.read(0.05)
        else:
            time.sleep(0.05)
    found = bench.process.poll()
    tried.expect(found == status, f"it ended with {found} after {ENDS_WITHIN} s at most")


@contextmanager
def trying(tried: Tried) -> Iterator[None]:
    """Take what did not come in time for a failure of this try, and go on with the next."""
    tried.times += 1
    try:
        yield
    except BaseException as error:
        # What waits in the tests gives up by an exception that is none of the usual ones.
        if type(error).__name__ != "Failed" and not isinstance(error, Exception):
            raise
        # On one line, for it stands in a table: a picture of a screen among it, too.
        said = " / ".join(line.strip() for line in str(error).splitlines() if line.strip())
        tried.fail(f"{type(error).__name__}: {said[:1500]}")

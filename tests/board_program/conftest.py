"""The real program on a terminal of its own, in folders of its own, with strips of seconds."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from board_program.bench import Bench
from board_program.plain_lines import PlainLines
from patience import PATIENCE_SECONDS
from readbell.journal.codec import decode
from readbell.journal.errors import JournalError
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import chained, verify

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.cartridge.cartridge import Cartridge
    from ui.terminal_for_tests import Terminal

OPERATOR, LOT, ASSAY = "op-Quillfeather", "L-204", "quick"
PERSONS = ("P-0412", "P-0413", "P-0414")
FOLDERS = ("DATA", "STATE", "CACHE", "CONFIG")
NO_DROPS = ("buffer", "collect", "extract")
STEPS = (*NO_DROPS, "withdraw", "apply")

ASSAY_FILE = """\
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
key = "buffer"
title = "Buffer into the tube"
instruction = "Let 8 drops fall."
hands_on = "0:01"
[[step]]
key = "collect"
title = "Take the swab"
instruction = "Swab both nostrils."
hands_on = "0:01"
collects = true
[[step]]
key = "extract"
title = "Swab into the buffer"
instruction = "Roll it."
hands_on = "0:01"
extracts = true
[step.wait]
name = "in buffer"
least = "{least}"
least_is = "firm"
most = "20:00"
most_is = "advisory"
[[step]]
key = "withdraw"
title = "Withdraw the swab"
instruction = "Squeeze it out."
hands_on = "0:01"
[[step]]
key = "apply"
title = "Drops onto the well"
instruction = "Let 4 drops fall."
hands_on = "0:01"
[reading]
early_from = "{early_from}"
opens = "{opens}"
closes = "{closes}"
closing_warning = "{closing_warning}"
control_mark = "C"
[[reading.line]]
key = "antigen"
mark = "T"
name = "Antigen"
[basis]
all = "made up"
"""


class Place:
    """One computer of one site: its folders, its assays, its journal."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.journal = folder / "disk" / "bay.journal"
        self.environment = {
            "HOME": str(folder),
            "PYTHONPATH": os.pathsep.join(path for path in sys.path if path),
            **{f"XDG_{name}_HOME": str(folder / name) for name in FOLDERS},
        }
        self._started: list[Terminal | PlainLines] = []
        self.write_assay()

    def write_assay(
        self,
        name: str = ASSAY,
        *,
        least: str = "0:00.100",
        early_from: str = "0:00.100",
        opens: str = "0:00.500",
        closes: str = "20:00",
        closing_warning: str = "1:00",
    ) -> None:
        """Put an assay file where the site keeps its own."""
        folder = self.folder / "CONFIG" / "readbell" / "assays"
        folder.mkdir(parents=True, exist_ok=True)
        text = ASSAY_FILE.format(
            id=name,
            least=least,
            early_from=early_from,
            opens=opens,
            closes=closes,
            closing_warning=closing_warning,
        )
        (folder / f"{name}.toml").write_text(text, "utf-8")

    def write_settings(self, text: str) -> None:
        """Put down how the site wants the program."""
        (self.folder / "CONFIG" / "readbell" / "settings.toml").write_text(text, "utf-8")

    def prepare(self, *lines: dict[str, Any], persons: Sequence[str] = ()) -> None:
        """Found the bay by the program itself, with one operator, one lot and `persons`."""
        by = {"by": OPERATOR}
        first = [
            {"do": "register-operator", "id": OPERATOR},
            {"do": "adopt-assay", "assay": ASSAY, "instructions": "v1", **by},
            {"do": "receive-lot", "number": LOT, "assay": ASSAY, "expires": "2099-12-31", **by},
            {"do": "open-lot", "lot": LOT, **by},
            *({"do": "register-person", "id": each, **by} for each in persons),
        ]
        self.serve(*first, *lines)

    def serve(self, *lines: dict[str, Any]) -> None:
        """Have lines taken by the program without a screen."""
        command = [*self.program, "bay", "--json", "--quiet", "--name", "Harrow Quay"]
        done = subprocess.run(
            [*command, "--journal", str(self.journal)],
            input="".join(json.dumps(each) + "\n" for each in lines).encode(),
            env=self.whole_environment,
            capture_output=True,
            check=False,
            timeout=PATIENCE_SECONDS,
        )
        answers = [json.loads(each) for each in done.stdout.splitlines()]
        refused = [each for each in answers if each.get("accepted") is False]
        assert not refused, refused
        assert done.returncode == 0, done.stderr

    @property
    def program(self) -> list[str]:
        """How the program is started."""
        return [sys.executable, "-m", "readbell"]

    @property
    def board_words(self) -> list[str]:
        """What asks the program for the board of this place."""
        return ["board", "--journal", str(self.journal)]

    def start(
        self,
        command: Sequence[str],
        *,
        size: tuple[int, int] = (120, 40),
        environment: Mapping[str, str] | None = None,
    ) -> Bench:
        """Start anything on a terminal."""
        found = self.environment | dict(environment or {})
        bench = Bench(command, size=size, environment=found)
        self._started.append(bench)
        return bench

    @property
    def whole_environment(self) -> dict[str, str]:
        """What the program finds around it, with what the tests themselves found."""
        return dict(os.environ) | self.environment

    def board(
        self,
        *options: str,
        size: tuple[int, int] = (120, 40),
        until: Sequence[str] = (" Scan ",),
        program: Sequence[str] = (),
        environment: Mapping[str, str] | None = None,
    ) -> Bench:
        """Start the board and wait until it is seen."""
        command = [*(program or self.program), *self.board_words, *options]
        bench = self.start(command, size=size, environment=environment)
        bench.until_seen(*until)
        return bench

    def lines(self, *options: str) -> PlainLines:
        """Start the program in plain lines and wait until it is ready."""
        command = [*self.program, *self.board_words, "--plain", *options]
        name = f"said-{len(self._started)}"
        lines = PlainLines(command, self.whole_environment, self.folder / name)
        self._started.append(lines)
        lines.until_said("Ready.")
        return lines

    def events(self) -> list[Event]:
        """What stands in the journal; none while it is being made."""
        try:
            journal = SqliteJournal.open(self.journal, read_only=True)
        except JournalError:
            return []
        try:
            return [decode(each, journal.private).event for each in chained(journal)]
        finally:
            journal.close()

    def kept(self) -> Board:
        """The board that the journal adds up to; a broken chain fails."""
        journal = SqliteJournal.open(self.journal, read_only=True)
        try:
            return verify(journal).board
        finally:
            journal.close()

    def wall_of(self, event: Event) -> float:
        """When an event was recorded, in seconds of the wall clock."""
        journal = SqliteJournal.open(self.journal, read_only=True)
        try:
            found = (decode(each, journal.private) for each in chained(journal))
            return next(each.stamp.wall for each in found if each.event == event) / 1000
        finally:
            journal.close()

    def cartridge(self, label: str) -> Cartridge:
        """A cartridge as the journal has it."""
        found = [
            each
            for each in (*self.kept().running.values(), *self.kept().ended.values())
            if each.label == label
        ]
        assert len(found) == 1, f"{label}: {len(found)} of it"
        return found[0]

    def run(self, *words: str) -> subprocess.CompletedProcess[str]:
        """Run another command of the program on this journal."""
        return subprocess.run(
            [*self.program, *words, "--journal", str(self.journal)],
            env=self.whole_environment,
            capture_output=True,
            text=True,
            check=False,
            timeout=PATIENCE_SECONDS,
        )

    def close(self) -> None:
        """End whatever still runs."""
        for each in self._started:
            each.close()


@pytest.fixture
def place() -> Iterator[Place]:
    """A computer on which readbell was never started."""
    # A short path of its own: it is printed on the screen, and must not be cut there.
    with tempfile.TemporaryDirectory(prefix="readbell-") as folder:
        found = Place(Path(folder))
        yield found
        found.close()


def on_bench(*labels: str, persons: Sequence[str] = PERSONS) -> list[dict[str, Any]]:
    """Lines that label one cartridge for each person and do its steps up to the drops."""
    lines: list[dict[str, Any]] = []
    for label, person in zip(labels, persons, strict=False):
        by = {"by": OPERATOR, "cartridge": label}
        lines.append({"do": "label", **by, "person": person, "lot": LOT})
        lines.append({"do": "steps", **by, "steps": list(NO_DROPS)})
    return lines


def dropped(*labels: str) -> list[dict[str, Any]]:
    """Lines that do the last steps of cartridges whose wait is over."""
    return [
        {"do": "step", "by": OPERATOR, "cartridge": label, "step": step}
        for label in labels
        for step in ("withdraw", "apply")
    ]


def developing(place: Place, *labels: str) -> None:
    """Found a bay in which the cartridges `labels` have just had their drops."""
    place.prepare(*on_bench(*labels), persons=PERSONS)
    time.sleep(0.15)  # the wait of this assay, on the real clock of a real process
    place.serve(*dropped(*labels))

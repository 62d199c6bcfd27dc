"""Real bays in processes of their own, in folders of their own."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from cli.conftest import BayProcess
from patience import PATIENCE_SECONDS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping
    from pathlib import Path

OPERATOR = "op-Quillfeather"
LINUX = sys.platform.startswith("linux")

STRIP = """\
format = 1
id = "{id}"
title = "A strip for torture"
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
key = "soak"
title = "Soak"
instruction = "Soak it."
hands_on = "0:01"
collects = true
extracts = true
[step.wait]
name = "soaking"
least = "{least}"
least_is = "advisory"
[[step]]
key = "apply"
title = "Drops"
instruction = "Apply it."
hands_on = "0:01"
[reading]
opens = "{opens}"
closes = "{closes}"
closing_warning = "{warning}"
[[reading.line]]
key = "t"
mark = "T"
name = "Test"
[basis]
all = "made up"
"""
SLOW, QUICK = "slow", "quick"
SOAKS, OPENS = 600, 900
"""Seconds of the slow assay: in the tube, and from the drops to the window."""
QUICK_OPENS, QUICK_CLOSES = 300, 600
"""Milliseconds of the quick assay, from the drops."""


def now() -> float:
    """Return seconds on a clock that nobody sets."""
    return time.clock_gettime(time.CLOCK_MONOTONIC)


@dataclass(kw_only=True)
class Bay(BayProcess):
    """A bay that is asked for what it said, whenever that was."""

    def until(self, is_it: Callable[[dict[str, Any]], bool]) -> dict[str, Any]:
        """Return the next thing said that `is_it`."""
        while not is_it(found := self.line()):
            pass
        return found

    def until_saved(self, *, saved: bool) -> None:
        """Wait for the word that it is saved, or is not, unless that was the last word of it."""
        told = [each["saved"] for each in self.heard if "saved" in each]
        if not told or told[-1] is not saved:
            self.until(lambda said: said.get("saved") is saved)

    def leave(self) -> int:
        """Let it end by itself; return its exit status."""
        self.end_of_input()
        return self.wait(PATIENCE_SECONDS)


class Site:
    """One computer with its folders and assays, on which bays are started."""

    def __init__(self, top: Path) -> None:
        self.top = top
        self.disk = top / "disk"
        self.disk.mkdir()
        self.journal = self.disk / "bay.journal"
        self.environment = dict(os.environ) | {
            "HOME": str(top),
            **{f"XDG_{name}_HOME": str(top / name) for name in ("DATA", "STATE", "CACHE")},
            "XDG_CONFIG_HOME": str(top / "CONFIG"),
        }
        self._started: list[Bay] = []
        folder = top / "CONFIG" / "readbell" / "assays"
        folder.mkdir(parents=True)
        slow = {"least": "10:00", "opens": "15:00", "closes": "20:00", "warning": "2:00"}
        quick = {"least": "0:00.1", "opens": "0:00.3", "closes": "0:00.6", "warning": "0:00.1"}
        for name, times in ((SLOW, slow), (QUICK, quick)):
            (folder / f"{name}.toml").write_text(STRIP.format(id=name, **times), "utf-8")

    def start(
        self,
        *options: str,
        before: Callable[[], None] | None = None,
        environment: Mapping[str, str] | None = None,
    ) -> Bay:
        """Start a bay; `before` is called in its process first."""
        command = [sys.executable, "-m", "readbell", "bay", "--json", "--quiet"]
        process = subprocess.Popen(
            [*command, "--journal", str(self.journal), *options],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env=self.environment | dict(environment or {}),
            preexec_fn=before,  # limits and masks are set there, nothing else
        )
        bay = Bay(process=process)
        bay.listen()
        self._started.append(bay)
        return bay

    def run(self, *words: str, before: Callable[[], None] | None = None) -> Ran:
        """Run another command of the program to its end."""
        return subprocess.run(
            [sys.executable, "-m", "readbell", *words],
            env=self.environment,
            capture_output=True,
            text=True,
            check=False,
            timeout=PATIENCE_SECONDS,
            preexec_fn=before,
        )

    def verify(self) -> Ran:
        """Verify its journal."""
        return self.run("verify", "--journal", str(self.journal), "--json")

    def prepare(self, bay: Bay) -> None:
        """Register an operator, adopt both assays, receive a lot of each."""
        by = {"by": OPERATOR}
        bay.must(do="register-operator", id=OPERATOR)
        for name in (SLOW, QUICK):
            bay.must(do="adopt-assay", assay=name, instructions="v1", **by)
            bay.must(do="receive-lot", number=f"L-{name}", assay=name, expires="2099-12-31", **by)

    def close(self) -> None:
        """End whatever still runs."""
        for bay in self._started:
            if bay.process.poll() is None:
                bay.process.kill()
            bay.wait(PATIENCE_SECONDS)
            for stream in (bay.process.stdin, bay.process.stdout, bay.process.stderr):
                if stream is not None:
                    with suppress(BrokenPipeError):
                        stream.close()
        self._started.clear()


Ran = subprocess.CompletedProcess[str]


@contextmanager
def site(top: Path) -> Iterator[Site]:
    """Give a computer on which readbell was never started."""
    found = Site(top)
    try:
        yield found
    finally:
        found.close()


def arrival(name: str) -> dict[str, Any]:
    """Return the line by which somebody is registered."""
    return {"do": "register-person", "id": name, "by": OPERATOR}


def labelling(label: str, person: str, assay: str = SLOW) -> dict[str, Any]:
    """Return the line by which a cartridge is begun."""
    return {
        "do": "label",
        "by": OPERATOR,
        "cartridge": label,
        "person": person,
        "lot": f"L-{assay}",
    }


def step(label: str, name: str) -> dict[str, Any]:
    """Return the line of one step."""
    return {"do": "step", "by": OPERATOR, "cartridge": label, "step": name}

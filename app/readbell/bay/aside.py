"""What a bay does besides its work: nothing of it may hold up an act or an alarm."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Protocol

from readbell.bay.checking import RecordChecking
from readbell.bay.snapshots import Snapshots, Store
from readbell.core.board.record_check import RecordCheck, RecordState

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.bay.recorder import Recorder
    from readbell.clock.clock import Clock
    from readbell.journal.keeper import Keeper
    from readbell.journal.snapshot import Snapshot

RANK = 3
"""What goes on beside a bay comes after all that it does itself."""


class Aside(Protocol):
    """Something that goes on beside a bay, from its opening to its close."""

    async def run(self) -> None:
        """Go on until stopped."""

    def stop(self) -> None:
        """Let `run` end soon; it may never have begun."""

    async def finish(self) -> None:
        """Do what is left to do once the clean mark stands at the end of the record."""


def beside(
    journal: Path,
    store: Store,
    snapshot: Snapshot | None,
    recorder: Recorder,
    keeper: Keeper,
    clock: Clock,
    secret: str | None = None,
    *,
    brief: bool = False,
    station: str | None = None,
) -> list[Aside]:
    """Return what goes on beside the live bay in `journal`: snapshots, and the check of its record.

    What was put together event by event has been checked by that already.

    Args:
        journal: the file, for the check to read.
        store: where snapshots go.
        snapshot: what the bay starts from; None: from the first event.
        recorder: has the board.
        keeper: has the thread that writes.
        clock: the bay's clock.
        secret: the passphrase of the journal, for the check; None: it has none.
        station: whose board it is, of a shared bay; what stays at another one is not on it.
        brief: whether the bay is taken up for one thing and laid down at once: no check is begun.
    """
    if snapshot is None:
        recorder.record_check = RecordCheck(state=RecordState.WHOLE)
    found: list[Aside] = [
        Snapshots(
            recorder=recorder,
            keeper=keeper,
            sleeper=clock.sleeper(RANK),
            store=store,
            found=snapshot,
            erasures=store.erasures(),
        )
    ]
    if snapshot is not None and not brief:
        whose = () if station is None else (station,)
        command = (sys.executable, "-m", "readbell.cli.checking", str(journal), *whose)
        sleeper = clock.sleeper(RANK)
        found.append(
            RecordChecking(recorder=recorder, sleeper=sleeper, command=command, secret=secret)
        )
    return found

"""Attempts at rehearsals as they stand in their journals, each with the scenario that it was of."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.bay.identifiers import DerivedIdentifiers
from readbell.cli.passphrase import unlock
from readbell.cli.progress import Progress
from readbell.core.board.events import Mode
from readbell.core.board.fold import replay
from readbell.core.errors import BrokenRecordError
from readbell.core.made_later import dataclass
from readbell.core.rehearsal.score import score
from readbell.journal.codec import decode_each
from readbell.journal.errors import JournalError
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import chained
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.rehearsal.score import Score
    from readbell.journal.record import Head
    from readbell.rehearsals import Script

DEMOS = "demo_scenarios"
MOST_FILES = 500
"""So many files of a folder are looked at for the scenario of a journal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stored:
    """A rehearsal as its journal has it."""

    journal: Path
    events: tuple[Event, ...]
    board: Board
    boot: str
    """Of the run that founded it: it follows from the scenario."""
    head: Head


@dataclass(frozen=True, slots=True, kw_only=True)
class Scored:
    """A rehearsal with the scenario it was of, scored."""

    stored: Stored
    script: Script
    score: Score


def read_attempt(journal: Path) -> Stored:
    """Return what stands in `journal`, every hash looked at.

    Raises:
        JournalError: there is none, or it is not whole.
        WrongFileError: it is of patients.
    """
    if not journal.is_file():
        msg = f"{journal}: there is no journal: check the name"
        raise JournalError(msg)
    unlock(journal)
    with closing(SqliteJournal.open(journal, read_only=True)) as stored:
        envelopes = list(decode_each(chained(stored), stored.private))
        head = stored.head()
    events = tuple(each.event for each in envelopes)
    try:
        board = replay(events)
    except BrokenRecordError as error:
        msg = f"{journal}: {error}"
        raise JournalError(msg) from None
    if board.founded is None or board.founded.mode is not Mode.REHEARSAL:
        msg = (
            f"{journal}: this is a record of patients, and no rehearsal: there is nothing to score"
        )
        raise WrongFileError([msg])
    return Stored(
        journal=journal, events=events, board=board, boot=envelopes[0].stamp.boot, head=head
    )


def score_attempts(journals: Sequence[Path], scenarios: Sequence[Path]) -> list[Scored]:
    """Return each of `journals`, in their order, scored by the scenario it was of.

    Args:
        journals: of rehearsals.
        scenarios: files, and folders of files, to find the scenarios among; where none is named,
            the folders of the journals, this folder, and the demo scenarios in it.

    Raises:
        JournalError: a journal cannot be read.
        WrongFileError: one is of patients, of none of the scenarios, or the same as another.
    """
    stored = [read_attempt(each) for each in journals]
    _refuse_twice(stored)
    places = list(scenarios) or [*(each.parent for each in journals), Path(), Path(DEMOS)]
    known: dict[str, Script] = {}
    found: list[Scored] = []
    looking = _scripts(places, known, strict=bool(scenarios))
    with Progress() as progress:
        for number, each in enumerate(stored):
            while (script := _of(each, known)) is None:
                progress.tell(f"journals ({len(known)} scenarios looked at)", number, len(stored))
                if next(looking, None) is None:
                    msg = (
                        f"{each.journal}: the scenario that it was of is not among those at hand, "
                        "or it was changed since: name its file with --scenario"
                    )
                    raise WrongFileError([msg])
            found.append(
                Scored(
                    stored=each,
                    script=script,
                    score=score(script.scenario, each.board, each.events),
                )
            )
    return found


def _refuse_twice(stored: Sequence[Stored]) -> None:
    """Refuse one attempt that is named as two: it would be held against a pass rule as two.

    Raises:
        WrongFileError: two journals are the same, or one is a copy of the other.
    """
    first: dict[str, Path] = {}
    for each in stored:
        known = first.setdefault(each.head.hex, each.journal)
        if known is not each.journal:
            msg = f"{each.journal}: this is the same attempt as {known}: name each attempt once"
            raise WrongFileError([msg])


def _of(stored: Stored, known: dict[str, Script]) -> Script | None:
    """Return which of the `known` scenarios the record is of."""
    practice = stored.board.practice
    if practice is not None:
        return known.get(practice.scenario)
    # A rehearsal that played by itself says it by its first identifier alone.
    for script in known.values():
        if DerivedIdentifiers(script.digest).new("boot") == stored.boot:
            return script
    return None


def _scripts(places: Sequence[Path], known: dict[str, Script], *, strict: bool) -> Iterator[Script]:
    """Enter one scenario after the other into `known`, and yield it.

    Raises:
        WrongFileError: one that was named is wrong; of those merely at hand such a one is passed over.
    """
    from readbell.rehearsals import load_script

    for place in places:
        files = sorted(place.glob("*.toml"))[:MOST_FILES] if place.is_dir() else [place]
        for file in files:
            try:
                script = load_script(file)
            except WrongFileError:
                if strict and not place.is_dir():
                    raise
                continue
            known[script.digest.hex()] = script
            yield script

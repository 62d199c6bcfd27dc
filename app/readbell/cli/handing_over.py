"""All that is kept of one person, in two files to be handed to them: for reading, and as JSON."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from readbell.exports.out_file import OutFile
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.bay.glance import Glance
    from readbell.bay.tracing import Follows
    from readbell.journal.sqlite import SqliteJournal
    from readbell.phrases.clock_time import ClockFace

OWNER_ALONE = 0o700
FORMAT = 1


def hand_over(
    folder: Path,
    journal: SqliteJournal,
    person: str,
    trail: Follows,
    seen: Glance,
    face: ClockFace,
) -> tuple[Path, ...]:
    """Write what is kept of the person with this key into the new `folder`; return the files.

    Raises:
        WrongFileError: something stands there already, or it cannot be written.
        BrokenChainError: an event of the record is not what was once written.
    """
    from readbell.bay.discretion import Discretion
    from readbell.bay.tracing import Bounds, awaiting_second, story
    from readbell.cli.progress import Progress
    from readbell.cli.trace_fields import story_fields
    from readbell.core.cartridge.events import CartridgeLabelled
    from readbell.phrases.trace_words import record_head, record_tail, story_line

    discretion = Discretion(person, seen.board)
    bounds = Bounds(unseen=awaiting_second(seen.board))
    end = journal.head().seq
    events: list[dict[str, Any]] = []
    lines: list[str] = []
    faces: dict[str, ClockFace] = {}
    with Progress() as progress:
        for each in story(journal, trail, bounds, lambda n: progress.tell("events read", n, end)):
            told = discretion.discreet(each)
            if isinstance(each.event, CartridgeLabelled):
                faces[each.event.cartridge] = each.face
            events.append(discretion.names_in(story_fields(told)))
            lines.append(story_line(told.event, told.board, told.face))
    fields = {"format": FORMAT} | _known(person, seen, face) | {"events": events}
    head = record_head(person, seen.board, face, seen.now, faces)
    return _written(
        folder,
        {
            "record.json": json.dumps(fields, ensure_ascii=False, indent=1) + "\n",
            "record.txt": "\n".join((*head, *lines, *record_tail())) + "\n",
        },
    )


def _known(person: str, seen: Glance, face: ClockFace) -> dict[str, Any]:
    from readbell.core.board.patients import file_of

    board = seen.board
    file = file_of(board, person)
    founded = board.founded
    cartridges = (board.cartridge(each) for each in board.history.get(person, ()))
    return {
        "bay": None if founded is None else founded.bay,
        "mode": None if founded is None else str(founded.mode),
        "made": face.local(seen.now).isoformat(timespec="seconds"),
        "person": board.name(person),
        "name": file.name,
        "born": file.born,
        "contact": file.contact,
        "cartridges": [
            {
                "cartridge": each.label,
                "id": each.id,
                "assay": each.assay.id,
                "lot": each.labelled.lot,
                "stage": str(each.stage),
                "outcome": None if each.outcome is None else str(each.outcome),
                "withdrawn": each.withdrawn is not None,
                "held": [str(reason) for reason in each.held],
            }
            for each in cartridges
            if each is not None
        ],
    }


def _written(folder: Path, texts: dict[str, str]) -> tuple[Path, ...]:
    """Write the files, whole, into a folder that only its owner may look into."""
    try:
        folder.mkdir(mode=OWNER_ALONE)
    except FileExistsError:
        msg = f"{folder}: something stands there already: name a new folder"
        raise WrongFileError([msg]) from None
    except OSError as error:
        msg = f"{folder}: {error.strerror}: name a folder where you may write"
        raise WrongFileError([msg]) from None
    for name, text in texts.items():
        with OutFile(folder / name) as out:
            out.write(text)
    return tuple(folder / name for name in texts)

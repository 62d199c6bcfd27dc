"""Which device a label means to a command, where labels come again with each shift.

Whoever stands at the bench means the device in hand, and that is the last one with its label.
Whoever works through a list afterwards may mean one of an earlier shift. What is noted of the
wrong one is noted of the wrong person, so a label that may mean two is refused and both are named.
"""

from __future__ import annotations

from itertools import islice
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readbell.bay.glance import Glance
    from readbell.core.board.board import Board
    from readbell.core.results.result import Result

LOOKED_BACK = 2_000
"""So many of the newest cartridges are looked at for a label; older ones go by their opaque ids."""
BY_ID = "name one by its id"
OR_BY_PERSON = "name one by its id, or say with --person whose it is"


def bearers(board: Board, label: str) -> Iterator[str]:
    """Yield the opaque ids of the cartridges that bear `label`, or bore it, the last one first."""
    from readbell.core.board.layered import backwards

    for key in islice(backwards(board.order), LOOKED_BACK):
        found = board.cartridge(key)
        if found is not None and found.label == label:
            yield key


def to_be_told(seen: Glance, label: str, person: str | None = None) -> str:
    """Return the id of the device that is meant where a result is told, or `label` as it is.

    Args:
        seen: the bay.
        label: what was given; an id means itself.
        person: the ID, or what else the person is known by, as they read it back.

    Raises:
        WrongFileError: the label may mean more than one of those of which something is to be told.
    """
    from readbell.core.board.patients import is_second
    from readbell.core.board.results import result_called
    from readbell.core.board.worklist import worklist
    from readbell.core.results.telling import saying_of

    board = seen.board
    found = {
        each.result.cartridge: each.result
        for each in worklist(board, seen.now).waiting
        if each.result.label == label
    }
    last = board.labelled(label)
    # Of the last one somebody else may be told what was told already.
    result = None if last is None else result_called(board, last.id)
    if result is not None and saying_of(result) is not None:
        found[result.cartridge] = result
    if person is not None:
        key = board.persons.get(person)
        found = {
            each: result
            for each, result in found.items()
            if result.subject == key or is_second(board, result.subject, person)
        }
    return _the_one(seen, label, found.values(), OR_BY_PERSON)


def held_for_review(seen: Glance, label: str) -> str:
    """Return the id of the device whose reading is held, or `label` as it is.

    Raises:
        WrongFileError: more than one with this label is held.
    """
    from readbell.core.board.review import awaiting_review
    from readbell.core.results.result import result_of

    held = (each for each in awaiting_review(seen.board) if each.label == label)
    return _the_one(seen, label, map(result_of, held), BY_ID)


def reviewed(seen: Glance, label: str) -> str:
    """Return the id of the device whose result a supervisor changes, or `label` as it is.

    Raises:
        WrongFileError: more than one with this label has a result.
    """
    from readbell.core.board.results import result_called
    from readbell.core.results.status import ResultStatus

    nothing = {ResultStatus.RUNNING, ResultStatus.NO_RESULT, ResultStatus.WITHDRAWN}
    found = (result_called(seen.board, key) for key in bearers(seen.board, label))
    with_result = (each for each in found if each is not None and each.status not in nothing)
    return _the_one(seen, label, with_result, BY_ID)


def _the_one(seen: Glance, label: str, found: Iterable[Result], what_to_do: str) -> str:
    from readbell.toml_tables import WrongFileError

    results = list(found)
    if len(results) > 1:
        named = "; ".join(_named(seen, each) for each in results)
        msg = f"{label}: {len(results)} devices bear this label: {named}: {what_to_do}"
        raise WrongFileError([msg])
    last = seen.board.labelled(label)
    if not results or (last is not None and results[0].cartridge == last.id):
        return label  # it means that one already, and is what people call it by
    return results[0].cartridge


def _named(seen: Glance, result: Result) -> str:
    from readbell.cli.looking_on import face_of
    from readbell.core.board.worklist import begun_at

    begun = begun_at(seen.board, result)
    face = face_of(seen)
    when = f"{face.local(begun).date()} {face.minute(begun)}"
    whose = seen.board.name(result.subject) or "erased"
    return f"{result.cartridge}, begun {when} for {whose}"

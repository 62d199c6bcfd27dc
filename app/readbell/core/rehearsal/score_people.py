"""Who was begun under an ID that nobody bears, and who came and was left without a test or a repeat."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.label import calls_for_control_samples
from readbell.core.board.repeats import gets_no_repeat
from readbell.core.board.subjects import is_patients
from readbell.core.instant import later
from readbell.core.rehearsal.score_marks import Area, Mistake, Slip

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.rehearsal.scenario import Scenario


def nobodys(scenario: Scenario, board: Board, cartridges: Iterable[Cartridge]) -> Iterator[Mistake]:
    """Yield each cartridge that was begun under an ID of nobody who comes, and not given up.

    The program takes it for a new person; whose specimen it is, the record then says wrongly.
    """
    come = {each.id for each in scenario.persons}
    for cartridge in cartridges:
        begun = cartridge.labelled
        if (
            is_patients(cartridge)
            and cartridge.voided is None
            and board.name(begun.subject) not in come
        ):
            yield Mistake(
                at=begun.at,
                area=Area.IDENTITY,
                code=Slip.NOBODYS_ID,
                refused=False,
                by=board.name(begun.by),
                cartridge=cartridge.label,
            )


def left_over(
    scenario: Scenario, board: Board, starts: Instant, ends: Instant
) -> Iterator[Mistake]:
    """Yield who came and was never tested, what still ran, and repeats that nobody began."""
    for cartridge in board.running.values():
        yield Mistake(
            at=ends,
            area=Area.SAFETY,
            code=Slip.LEFT_RUNNING,
            refused=False,
            cartridge=cartridge.label,
        )
    for person in untested(scenario, board, starts, ends):
        yield Mistake(
            at=ends,
            area=Area.SAFETY,
            code=Slip.NOT_TESTED,
            refused=False,
            person=person,
        )
    for cartridge in owed_still(scenario, board):
        yield Mistake(
            at=ends,
            area=Area.SAFETY,
            code=Slip.NOT_REPEATED,
            refused=False,
            cartridge=cartridge.label,
            person=board.name(cartridge.labelled.subject),
        )


def untested(scenario: Scenario, board: Board, starts: Instant, ends: Instant) -> Iterator[str]:
    """Yield the ID of each who came, did not leave, and for whom nothing was begun."""
    tested = {board.name(each.labelled.subject) for each in board.in_order()}
    for person in scenario.persons:
        came = later(starts, person.arrives) <= ends
        if came and person.id not in tested and scenario.leaves(person.id) is None:
            yield person.id


def owed_still(scenario: Scenario, board: Board) -> Iterator[Cartridge]:
    """Yield each cartridge whose person is here and still owed a repeat.

    After a second invalid nobody is: they are referred, and control samples are run.
    """
    here = {each.id for each in scenario.persons if scenario.leaves(each.id) is None}
    for cartridge_id, subject in board.owed.items():
        found = board.cartridge(cartridge_id)
        if found is not None and board.name(subject) in here:
            stops = gets_no_repeat(board, found) or calls_for_control_samples(board, found)
            if not stops:
                yield found

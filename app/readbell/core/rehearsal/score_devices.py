"""What became of bad devices, and which sound ones were given up.

No program can see a pouch, or that a colleague took one device for another: only the scenario
knows, and only what could be seen at the bench is held against anybody.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.subjects import is_patients
from readbell.core.instant import later
from readbell.core.rehearsal.scenario import FlawKind
from readbell.core.rehearsal.score_marks import Area, Mistake, Slip
from readbell.core.rehearsal.truth import drawn_at, is_swapped

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.cartridge.events import CartridgeRead, CartridgeVoided, EarlyPositiveSeen
    from readbell.core.instant import Instant
    from readbell.core.rehearsal.scenario import Scenario


def bad_devices(
    scenario: Scenario, board: Board, cartridges: Iterable[Cartridge]
) -> Iterator[Mistake]:
    """Yield each device of which a result was taken though what was wrong with it could be seen.

    An early positive is one: it stands when the window closes unread.
    """
    for cartridge in cartridges:
        flaw = scenario.flaw_of(cartridge.label)
        taken = next(
            (each for each in _results(cartridge) if _shows_flaw(scenario, board, cartridge, each)),
            None,
        )
        if flaw is not None and taken is not None:
            swapped = flaw.kind is FlawKind.LABEL_SWAPPED
            yield Mistake(
                at=taken.at,
                area=Area.IDENTITY if swapped else Area.SAFETY,
                code=Slip.SWAP_READ if swapped else Slip.BAD_DEVICE_READ,
                refused=False,
                by=board.name(taken.by),
                cartridge=cartridge.label,
            )


def begun_bad(scenario: Scenario, board: Board, cartridges: Iterable[Cartridge]) -> int:
    """Return how many bad devices were begun; two labels are swapped once both were written."""
    return sum(_is_bad(scenario, board, each) for each in cartridges)


def caught_devices(
    scenario: Scenario, board: Board, cartridges: Iterable[Cartridge]
) -> tuple[str, ...]:
    """Return the labels of the bad devices that were begun and given up, as they should be."""
    return tuple(
        each.label
        for each in cartridges
        if each.voided is not None and _is_bad(scenario, board, each)
    )


def given_up(
    scenario: Scenario,
    board: Board,
    cartridges: Iterable[Cartridge],
    starts: Instant,
    mistaken: frozenset[str | None],
) -> Iterator[Mistake]:
    """Yield each device that was voided though nothing was wrong with it, or with how it was run.

    Args:
        scenario: what was played.
        board: what the record adds up to.
        cartridges: all of them.
        starts: when the attempt began.
        mistaken: labels of cartridges on which something went wrong: to give those up may be right.
    """
    for cartridge in cartridges:
        voided = cartridge.voided
        if (
            voided is not None
            and cartridge.label not in mistaken
            and not _may_be_given_up(scenario, board, cartridge, voided, starts)
        ):
            yield Mistake(
                at=voided.at,
                area=Area.TIMING,
                code=Slip.SOUND_GIVEN_UP,
                refused=False,
                by=board.name(voided.by),
                cartridge=cartridge.label,
            )


def _may_be_given_up(
    scenario: Scenario,
    board: Board,
    cartridge: Cartridge,
    voided: CartridgeVoided,
    starts: Instant,
) -> bool:
    person = board.name(cartridge.labelled.subject)
    leaves = None if person is None else scenario.leaves(person)
    has_left = leaves is not None and later(starts, leaves) <= voided.at
    is_nobodys = is_patients(cartridge) and person not in {each.id for each in scenario.persons}
    waited = any(
        step is not None
        and step.wait is not None
        and step.wait.most is not None
        and cartridge.mark_of(step.wait.until) is None
        and voided.at > later(mark.done.said, step.wait.most)
        for mark in cartridge.marks
        for step in (cartridge.assay.step(mark.step),)
    )
    return (
        has_left
        or is_nobodys
        or waited
        or bool(cartridge.deviations)
        or scenario.flaw_of(cartridge.label) is not None
        or any(mark.done.stated for mark in cartridge.marks)
        or drawn_at(scenario, board, cartridge, voided.at).spoilt is not None
    )


def _is_bad(scenario: Scenario, board: Board, cartridge: Cartridge) -> bool:
    flaw = scenario.flaw_of(cartridge.label)
    if flaw is None or flaw.kind is not FlawKind.LABEL_SWAPPED:
        return flaw is not None
    return board.labelled(scenario.device(cartridge.label)) is not None


def _results(cartridge: Cartridge) -> list[EarlyPositiveSeen | CartridgeRead]:
    read = cartridge.reading
    return [*cartridge.early_looks, *(() if read is None else (read,))]


def _shows_flaw(
    scenario: Scenario,
    board: Board,
    cartridge: Cartridge,
    taken: EarlyPositiveSeen | CartridgeRead,
) -> bool:
    flaw = scenario.flaw_of(cartridge.label)
    swapped = flaw is not None and flaw.kind is FlawKind.LABEL_SWAPPED
    return not swapped or is_swapped(scenario, board, cartridge, taken.at)

"""What the hand is in the middle of while the board stays: a step, a label, a party, a void."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.hand import stepping, voiding
from readbell.hand.doing import Gathering, Labelling, Stepping, Voiding
from readbell.hand.labelling import next_label
from readbell.ui.form import Painted, paint_form
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.wrapped import wrapped

if TYPE_CHECKING:
    from readbell.hand.doing import Doing
    from readbell.hand.scene import Scene

Task = Stepping | Labelling | Gathering | Voiding
MARGIN = 2
KEEP_APART = (
    "Only now: open one pouch, write the person's ID on the cartridge. No pouch is opened ahead."
)


def task_panel(doing: Task, scene: Scene, width: int, height: int) -> Painted:
    """Return the panel in at most `height` lines of `width` cells."""
    match doing:
        case Stepping():
            made = _stepping(doing, scene, width)
        case Labelling():
            made = _labelling(doing, scene, width)
        case Gathering():
            made = _gathering(doing, width, height)
        case Voiding():
            made = _voiding(doing, scene, width)
    lines = tuple(each.fitted(width) for each in made.lines[:height])
    return Painted(lines, tuple(each for each in made.spots if each.row < height))


def _title(*words: str, width: int) -> Line:
    first, *rest = words
    return at_columns(
        (1, line(Piece(first, Token.HANDS, bold=True), Piece("   ".join(["", *rest]), Token.SOFT))),
        width=width,
    )


def _stepping(doing: Stepping, scene: Scene, width: int) -> Painted:
    cartridge = scene.cartridge(doing.cartridge)
    if cartridge is None:
        return Painted(())
    steps = stepping.offered(doing, cartridge)
    names = ", ".join(each.title for each in steps)
    together = "together" if len(steps) > 1 else ""
    lines = [_title(f"{cartridge.label}  {names}", together, width=width)]
    for each in steps:
        lines += [_said(words) for words in wrapped(each.instruction, width - 2 * MARGIN)]
    form = paint_form(stepping.questions(doing, cartridge), -1, width)
    last = steps[-1]
    if last.wait is not None and last.wait.name:
        lines.append(_said(f"Then {last.wait.name}: the minute is timed from here."))
    return _below(lines, form)


def _labelling(doing: Labelling, scene: Scene, width: int) -> Painted:
    lot = scene.board.open_lot
    known = None if lot is None else scene.board.lots.get(lot)
    left = None if known is None or known.units is None else known.units - known.used
    stock = (
        "No box is open: scan its lot." if known is None else f"lot {lot}, good to {known.expires}"
    )
    count = "" if left is None else f"{left} left"
    place = f"at {doing.place}" if doing.place else ""
    lines = [
        _title(f"{doing.person}", stock, count, place, width=width),
        *(_said(words) for words in wrapped(KEEP_APART, width - 2 * MARGIN)),
        _said(
            f"Scan the cartridge's own label; or write {next_label(scene.board)} on it, then F2."
        ),
    ]
    return Painted(tuple(lines))


def _gathering(doing: Gathering, width: int, height: int) -> Painted:
    count = len(doing.persons)
    lines = [_title("Who is here", f"{count} so far" if count else "nobody yet", width=width)]
    room = max(1, height - 2)
    shown = list(enumerate(doing.persons, start=1))[-room:]
    # The last one is large in the eye: it is what was just scanned.
    for number, person in shown:
        last = number == count
        token = Token.TEXT if last else Token.SOFT
        lines.append(
            at_columns(
                (
                    MARGIN,
                    line(Piece(f"{number:>3}  ", Token.SOFT), Piece(person, token, bold=last)),
                ),
                width=width,
            )
        )
    lines.append(_said("They are swabbed in this order; each pouch is opened at its turn."))
    return Painted(tuple(lines))


def _voiding(doing: Voiding, scene: Scene, width: int) -> Painted:
    cartridge = scene.cartridge(doing.cartridge)
    if cartridge is None:
        return Painted(())
    lines = [
        _title(
            f"Void {cartridge.label}", "a fresh cartridge and a new specimen follow", width=width
        )
    ]
    return _below(lines, paint_form(voiding.questions(doing, cartridge), 1, width))


def _said(words: str) -> Line:
    return line(" " * MARGIN, Piece(words, Token.SOFT))


def _below(lines: list[Line], form: Painted) -> Painted:
    spots = tuple(replace(each, row=each.row + len(lines)) for each in form.spots)
    return Painted((*lines, *form.lines), spots)


def is_task(doing: Doing) -> bool:
    """Say whether `doing` is shown beside the board, in a panel."""
    return isinstance(doing, (Stepping, Labelling, Gathering, Voiding))

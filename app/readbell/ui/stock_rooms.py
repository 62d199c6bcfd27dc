"""The rooms of lots and of control samples: what is there, how it stands, and what is due."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.controls_due import controls_due, due_on
from readbell.core.board.recalls import recall_of
from readbell.core.board.reconcile import is_low, left_of
from readbell.core.board.which_box import is_open
from readbell.core.stock.lot import refuse_lot
from readbell.phrases.bad_devices import count_bad, say_bad
from readbell.phrases.lot_correction_words import say_values
from readbell.phrases.lot_state import good_to, of_samples, state_of
from readbell.phrases.recall_words import say_who_was_tested
from readbell.phrases.sample_words import VERDICTS, say_due
from readbell.phrases.stock_words import STORED, say_cold, say_left
from readbell.phrases.whose import KINDS as KIND_WORDS
from readbell.ui.form import Painted
from readbell.ui.ink import Line, Piece, Token, line
from readbell.ui.table import Row, table
from readbell.ui.wrapped import PROSE, wrapped

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.board.board import Board
    from readbell.core.controls.events import SampleJudged
    from readbell.core.controls.material import Material
    from readbell.core.stock.lot import Lot
    from readbell.hand.doing import Visiting
    from readbell.hand.scene import Scene

TABLE_FROM, WIDE_FROM = 80, 110
IN_FRONT = "Its box is in front: a start is from it where nothing says of which."
BESIDE = "Its box stands open beside the one in front: F4 takes it at a person's turn."


def lots_room(doing: Visiting, scene: Scene, width: int, height: int) -> Painted:
    """Return the lots, and about the chosen one all that is to be known before it is used."""
    lots = list(scene.board.lots.values())
    if not lots:
        return _below(["No box was taken in yet. F2 takes one in: scan the box first."], width)
    today = scene.face.local(scene.now).date()
    at = _columns_of_lots(width)
    names = ("lot", "state", "good to", "left", "samples")
    rows: list[Row] = []
    for each in lots:
        said = (
            each.number,
            state_of(each, scene.board, scene.now, scene.face),
            good_to(each.good_until, scene.board, today),
            say_left(each),
            of_samples(each, scene.board, scene.now),
        )
        rows.append((each.number, tuple(zip(at, said, strict=False))))
    chosen = lots[min(doing.cursor, len(lots) - 1)]
    return _with_more(
        ("", tuple(zip(at, names, strict=False))),
        rows,
        doing.cursor,
        [*_about_lot(chosen, scene)],
        width,
        height,
    )


def samples_room(doing: Visiting, scene: Scene, width: int, height: int) -> Painted:
    """Return the control materials, and every control sample that is due."""
    dues = [
        say_due(each, scene.now, scene.board, scene.face)
        for each in controls_due(scene.board, scene.now, scene.face.local(scene.now).date())
    ]
    told = dues or ["No control sample is due."]
    materials = list(scene.board.samples.materials.values())
    if not materials:
        empty = "No control material was entered yet. F2 enters one."
        return _below([empty, "", *told], width)
    at = _columns_of_materials(width)
    names = ("number", "what it is", "good to", "last", "assay")
    today = scene.face.local(scene.now).date()
    rows: list[Row] = []
    for each in materials:
        last = last_judged(scene.board, each)
        said = (
            each.number,
            KIND_WORDS[each.kind],
            good_to(each.good_until, scene.board, today),
            "not run yet" if last is None else f"{VERDICTS[last.verdict]} on {last.lot}",
            each.assay,
        )
        rows.append((each.number, tuple(zip(at, said, strict=False))))
    head = ("", tuple(zip(at, names, strict=False)))
    return _with_more(head, rows, doing.cursor, told, width, height)


def last_judged(board: Board, material: Material) -> SampleJudged | None:
    """Return what came of the last sample of a material."""
    found = [each for each in board.samples.judged.values() if each.material == material.number]
    return max(found, key=lambda each: each.at, default=None)


def _columns_of_lots(width: int) -> tuple[int, ...]:
    if width >= WIDE_FROM:
        return (3, 24, 56, 80, 98)
    return (3, 14, 37, 58, 71) if width >= TABLE_FROM else (3, 13, 24, 41)


def _columns_of_materials(width: int) -> tuple[int, ...]:
    if width >= WIDE_FROM:
        return (3, 24, 56, 80, 100)
    return (3, 17, 44, 62) if width >= TABLE_FROM else (3, 13, 40)


def _about_lot(lot: Lot, scene: Scene) -> Iterator[str]:
    board = scene.board
    assay = board.assays[lot.assay].assay
    yield f"{lot.number}: {assay.title}. {_ledger(lot)}"
    gives = refuse_lot(lot, scene.face.local(scene.now).date()) is None
    if gives and len(board.open_boxes) > 1 and is_open(board, lot.number):
        yield IN_FRONT if lot.number == board.open_lot else BESIDE
    if lot.storage is not None:
        cold = say_cold(lot, board, scene.face)
        yield f"Kept {STORED[lot.storage]}.{f' Now {cold}.' if cold else ''}"
    bad = say_bad(lot) or (f"{count_bad(lot.bad)} so far." if lot.bad else "")
    if bad:
        yield bad
    for correction in board.stock_room.corrections:
        if correction.number == lot.number:
            day = scene.face.local(correction.at).date()
            yield f"Corrected {day}: {say_values(correction, board)}."
    recall = recall_of(board, lot.number)
    if recall is not None:
        yield say_who_was_tested(recall, board)
    if is_low(board, assay.id, scene.now):
        yield f"LOW: {left_of(board, assay.id)} units of this assay are left."
    for each in due_on(board, lot):
        if each.is_overdue(scene.now):
            yield say_due(each, scene.now, board, scene.face)


def _ledger(lot: Lot) -> str:
    """Return what became of the units of a lot."""
    if lot.units is None:
        return f"Not counted; {lot.used} used."
    said = [f"{lot.units} received"]
    if len(lot.deliveries) > 1:
        said[0] += f" in {len(lot.deliveries)} deliveries"
    said.append(f"{lot.used} used")
    if lot.lost:
        said.append(f"{lot.lost} written off")
    if lot.drift:
        how = "more" if lot.drift > 0 else "fewer"
        said.append(f"counts found {abs(lot.drift)} {how}")
    return f"{', '.join(said)}."


def _with_more(
    head: Row, rows: Sequence[Row], cursor: int, told: Sequence[str], width: int, height: int
) -> Painted:
    """Return the table, and below it what is told of the chosen one as far as there is room."""
    more = [each for words in told for each in _lines(words, width)]
    room = min(len(more), max(0, height - 2 - min(len(rows), height // 2)))
    painted = table(head, rows, cursor, width, height - room - (1 if room else 0))
    if not room:
        return painted
    return painted.then(Painted((line(), *more[:room])))


def _below(told: Sequence[str], width: int) -> Painted:
    return Painted(tuple(each for words in told for each in _lines(words, width) or [line()]))


def _lines(words: str, width: int) -> list[Line]:
    return [
        line("  ", Piece(each, Token.SOFT))
        for each in wrapped(words, max(1, min(width - 4, PROSE)))
    ]

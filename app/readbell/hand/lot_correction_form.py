"""The form that corrects a lot which was entered wrongly, and the code of its box scanned in it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from readbell.hand.code_of_box import CODE, CODED
from readbell.hand.doing import Filling, Paper
from readbell.hand.hand import Hand, Turn, only
from readbell.hand.question import Option
from readbell.scenarios.stock_lines import LONGEST_CODE, CorrectLotLine

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.barcodes.gs1 import BoxCode
    from readbell.core.stock.lot import Lot
    from readbell.hand.scene import Scene

CORRECT = "correct-lot"
AGAIN = "again"
DAY, ASSAY = "day", "assay"


def asked(
    answers: Mapping[str, str], lot: Lot, scene: Scene
) -> Iterator[tuple[str, str, tuple[Option, ...]]]:
    """Yield the lines of the form, in their order."""
    again = (
        f"Its last day was read off its code: scan the code of the box of {lot.number}"
        if lot.is_scanned
        else f"Scan the code of the box of {lot.number}, or type its number"
    )
    yield AGAIN, again, ()
    others = _others(lot, scene)
    if others:
        wrong = (Option(DAY, "its last day"), Option(ASSAY, "its assay"))
        yield "wrong", "What was entered wrongly", wrong
    wrong_one = answers.get("wrong") if others else DAY
    if wrong_one == DAY:
        yield "expires", "Good to the end of, as it stands on the box", ()
    if wrong_one == ASSAY:
        yield "assay", "Assay that the box is for", others
    day = _day(answers, wrong_one)
    if day is not None and day != lot.expires and day < scene.face.local(scene.now).date():
        said = (Option("yes", "yes, the box says so: it gives no more cartridges"),)
        yield "past", f"{day} is past", said
    yield "words", "What had gone wrong, in a few words", ()


def fault_of(answers: Mapping[str, str], key: str, text: str, lot: Lot) -> str | None:
    """Say in one sentence what is wrong with `text` as an answer, or None if nothing is."""
    coded = answers.get(CODED)
    match key:
        case "again" if text != lot.number:
            return f"{text} is not {lot.number}. Scan the box of {lot.number}, or type its number."
        case "expires" if lot.is_scanned and coded is None:
            return (
                f"The last day of lot {lot.number} was read off the code of its box: nothing is "
                "typed over that. Scan the code of the box."
            )
        case "expires" if coded not in (None, text):
            return f"The code of the box says {coded}, not {text}. Look at the box again."
        case "expires" if text == lot.expires.isoformat():
            return f"Lot {lot.number} is good to {text} on record already. Look at the box again."
        case _:
            return None


def line_of(said: Mapping[str, str], by: str) -> CorrectLotLine:
    """Return what a whole form asks of the bay."""
    wrong = said.get("wrong", DAY)
    return CorrectLotLine(
        do="correct-lot",
        by=by,
        lot=said["lot"],
        words=said["words"],
        expires=date.fromisoformat(said["expires"]) if wrong == DAY else None,
        past=said.get("past") == "yes",
        assay=said["assay"] if wrong == ASSAY else None,
        scan=said.get(CODE),
    )


def lot_in_hand(doing: object, scene: Scene) -> Lot | None:
    """Return the lot that is being corrected; None: none is."""
    if not isinstance(doing, Filling) or doing.paper is not Paper.DEED:
        return None
    said = dict(doing.answers)
    return scene.board.lots.get(said.get("lot", "")) if said.get("deed") == CORRECT else None


def scanned(hand: Hand, doing: Filling, lot: Lot, text: str, code: BoxCode) -> Turn:
    """Return what becomes of the code of a box that was scanned while `lot` is corrected."""
    if code.lot != lot.number:
        words = f"That code is of lot {code.lot}" if code.lot else "That code names no lot"
        words = f"{words}. Scan the code of a box of {lot.number}."
        return only(hand.saying(words, fine=False))
    kept = {key: each for key, each in doing.answers if key not in (CODE, CODED, "past")}
    answers = {**kept, AGAIN: lot.number}
    if len(text) <= LONGEST_CODE:
        answers[CODE] = text
    words, fine = f"Box of lot {lot.number}.", True
    if code.expires == lot.expires:
        words = f"The code says what the record says: lot {lot.number} is good to {lot.expires}."
        fine = False
    elif code.expires is not None:
        answers["expires"] = answers[CODED] = code.expires.isoformat()
        words = f"Box of lot {lot.number}: good to {code.expires} by its code."
    changed = replace(doing, answers=tuple(answers.items()))
    return only(hand.now_doing(changed).saying(words, fine=fine))


def _day(answers: Mapping[str, str], wrong: str | None) -> date | None:
    """Return the last day that is said of the lot: typed, or by the code of its box."""
    said = answers.get("expires") if wrong == DAY else answers.get(CODED)
    return None if said is None else date.fromisoformat(said)


def _others(lot: Lot, scene: Scene) -> tuple[Option, ...]:
    """Return the assays that it may be for instead; none once something was begun of it."""
    if lot.used:
        return ()
    board = scene.board
    has = board.assays[lot.assay].assay.id
    found = {each.assay.id: each.assay.title for each in board.assays.values()}
    return tuple(Option(key, title) for key, title in found.items() if key != has)

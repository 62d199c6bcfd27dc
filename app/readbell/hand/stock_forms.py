"""The forms about boxes and control materials: what each asks, and what it asks of the bay."""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING

from readbell.core.controls.material import SampleKind
from readbell.core.reading.interpretation import Outcome
from readbell.core.stock.events import LossReason, ReleaseReason, Storage
from readbell.hand import lot_correction_form
from readbell.hand.code_of_box import scan_of
from readbell.hand.doing import Filling, Paper
from readbell.hand.question import Option
from readbell.phrases.stock_words import LOSSES, RELEASES, STORED
from readbell.phrases.whose import KINDS
from readbell.scenarios.sample_lines import ReceiveSampleLine
from readbell.scenarios.stock_lines import (
    BeginBoxLine,
    CountUnitsLine,
    DescribeLotLine,
    LoseUnitsLine,
    PutBackLine,
    RecallLotLine,
    ReceiveBoxLine,
    ReleaseLotLine,
    TakeOutLine,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.core.assay.assay import Assay
    from readbell.core.stock.lot import Lot
    from readbell.hand.scene import Scene
    from readbell.scenarios.line import Request

Asked = tuple[str, str, tuple[Option, ...]]
"""Key, words and answers of one line of a form."""

PAPERS = frozenset({Paper.LOT, Paper.DEED, Paper.SAMPLE})
LINE = "line "
"""Begins the key of the question about one line of a device."""
AGAIN = lot_correction_form.AGAIN

DEEDS: dict[str, str] = {
    "begin-box": "a fresh box of it is opened",
    "receive-box": "another delivery of it came in",
    "take-out": "taken out of the cold",
    "put-back": "put back into the cold",
    "lose-units": "units are written off",
    "count-units": "its units were counted",
    "describe-lot": "the buffer in its box bears a number of its own",
    "release-lot": "released: it may be used again",
    "recall-lot": "RECALLED by the maker or an authority",
    "correct-lot": "it was entered wrongly: last day, or assay",
}
"""What may be done with a lot beside opening and holding it."""


def asked(doing: Filling, scene: Scene) -> tuple[Asked, ...]:
    """Return the lines of the form, in their order."""
    answers = dict(doing.answers)
    match doing.paper:
        case Paper.LOT:
            return tuple(_of_box(answers, scene))
        case Paper.SAMPLE:
            return tuple(_of_material(answers, scene))
        case _:
            return tuple(_of_deed(answers, scene))


def fault_of(doing: Filling, key: str, text: str, scene: Scene) -> str | None:
    """Say in one sentence what is wrong with `text` as an answer, or None if nothing is."""
    lot = dict(doing.answers).get("lot", "")
    known = scene.board.lots.get(lot)
    corrected = lot_correction_form.lot_in_hand(doing, scene)
    if corrected is not None:
        return lot_correction_form.fault_of(dict(doing.answers), key, text, corrected)
    match key:
        case "counted" if re.fullmatch(r"\d{1,5}", text, re.ASCII) is None:
            return f'"{text}" is no number of units. Type a whole number, 0 for none.'
        case "again" if text != lot:
            return f"{text} is not {lot}. Scan the box of {lot}, or type its number."
        case "expires" if known is not None and text != known.expires.isoformat():
            return (
                f"Lot {lot} is good to {known.expires}, not {text}: a lot has one last day. "
                "Look at the box again; if the record is wrong, correct the lot first."
            )
        case "number" if doing.paper is Paper.SAMPLE and text in scene.board.samples.materials:
            return f"{text} was entered already. Choose it in the room to run it."
        case _:
            return None


def request_of(doing: Filling, by: str) -> Request:
    """Return what a whole form asks of the bay."""
    said = dict(doing.answers)
    match doing.paper:
        case Paper.LOT:
            return ReceiveBoxLine(
                do="receive-box",
                by=by,
                number=said["number"],
                assay=said["assay"],
                expires=date.fromisoformat(said["expires"]),
                units=int(said["units"]),
                scan=scan_of(said, said["number"]),
                gtin=said.get("gtin"),
                storage=Storage(said["storage"]) if "storage" in said else None,
            )
        case Paper.SAMPLE:
            lines = {
                key.removeprefix(LINE): Outcome(value)
                for key, value in said.items()
                if key.startswith(LINE)
            }
            return ReceiveSampleLine(
                do="receive-sample",
                by=by,
                number=said["number"],
                kind=SampleKind(said["kind"]),
                assay=said["assay"],
                expires=date.fromisoformat(said["expires"]),
                expected=lines if said["kind"] == SampleKind.POSITIVE else {},
            )
        case _:
            return _deed(said, by)


def deeds_of(lot: Lot) -> Iterator[str]:
    """Yield what may be done with `lot` now."""
    if not lot.on_hold:
        yield "begin-box"
    yield "receive-box"
    if lot.storage is Storage.COLD:
        yield "take-out" if lot.taken_out is None else "put-back"
    yield from ("lose-units", "count-units", "describe-lot")
    if lot.on_hold:
        yield "release-lot"
    if not lot.is_recalled:
        yield "recall-lot"
    yield "correct-lot"


def _of_box(answers: Mapping[str, str], scene: Scene) -> Iterator[Asked]:
    yield "number", "Lot number: scan the box", ()
    yield "assay", "Assay", _adopted(scene)
    yield "expires", "Good to the end of (year-month-day)", ()
    yield "units", "Units in the box", ()
    assay = _assay(answers, scene)
    if assay is not None and assay.temperatures.warm_up is not None:
        # Where it is kept decides whether it has to warm up.
        yield "storage", "Kept", tuple(Option(each, words) for each, words in STORED.items())


def _of_material(answers: Mapping[str, str], scene: Scene) -> Iterator[Asked]:
    yield "number", "Number of the control material: scan it or type it", ()
    yield "kind", "What it is", tuple(Option(each, words) for each, words in KINDS.items())
    yield "assay", "Assay", _adopted(scene)
    yield "expires", "Good to the end of (year-month-day)", ()
    assay = _assay(answers, scene)
    if assay is not None and answers.get("kind") == SampleKind.POSITIVE:
        lines = assay.reading.lines
        for each in lines if len(lines) > 1 else ():
            options = tuple(Option(every, every) for every in (Outcome.POSITIVE, Outcome.NEGATIVE))
            yield f"{LINE}{each.key}", f"{each.mark}, {each.name}, has to be", options


def _of_deed(answers: Mapping[str, str], scene: Scene) -> Iterator[Asked]:
    lot = scene.board.lots.get(answers.get("lot", ""))
    if lot is None:
        yield "lot", "Which lot", tuple(Option(each, each) for each in scene.board.lots)
        return
    deeds = tuple(deeds_of(lot))
    yield "deed", f"Lot {lot.number}", tuple(Option(each, DEEDS[each]) for each in deeds)
    again = (AGAIN, f"To be sure: scan the box of {lot.number}, or type its number", ())
    match answers.get("deed"):
        case "receive-box":
            yield "expires", "Good to the end of, as it stands on the new box", ()
            yield "units", "Units in the delivery", ()
        case "lose-units":
            yield "units", "How many units", ()
            yield "loss", "Why", tuple(Option(each, words) for each, words in LOSSES.items())
        case "count-units":
            yield "counted", "How many there are", ()
        case "describe-lot":
            yield "buffer", "Number on the buffer: scan it or type it", ()
        case "release-lot":
            yield again
            reasons = tuple(Option(each, words) for each, words in RELEASES.items())
            yield "release", "Why it may be used again", reasons
            yield "words", "In a few words", ()
        case "recall-lot":
            yield again
            yield "words", "The notice it rests on", ()
        case "correct-lot":
            yield from lot_correction_form.asked(answers, lot, scene)
        case _:
            pass


def _deed(said: Mapping[str, str], by: str) -> Request:
    lot = said["lot"]
    match said.get("deed"):
        case "begin-box":
            return BeginBoxLine(do="begin-box", by=by, lot=lot)
        case "receive-box":
            expires, units = date.fromisoformat(said["expires"]), int(said["units"])
            return ReceiveBoxLine(do="receive-box", by=by, number=lot, expires=expires, units=units)
        case "take-out":
            return TakeOutLine(do="take-out", by=by, lot=lot)
        case "put-back":
            return PutBackLine(do="put-back", by=by, lot=lot)
        case "lose-units":
            reason = LossReason(said["loss"])
            return LoseUnitsLine(
                do="lose-units", by=by, lot=lot, units=int(said["units"]), reason=reason
            )
        case "count-units":
            return CountUnitsLine(do="count-units", by=by, lot=lot, counted=int(said["counted"]))
        case "describe-lot":
            return DescribeLotLine(do="describe-lot", by=by, lot=lot, buffer=said["buffer"])
        case "release-lot":
            why = ReleaseReason(said["release"])
            return ReleaseLotLine(do="release-lot", by=by, lot=lot, reason=why, words=said["words"])
        case "correct-lot":
            return lot_correction_form.line_of(said, by)
        case _:
            return RecallLotLine(do="recall-lot", by=by, lot=lot, words=said["words"])


def _adopted(scene: Scene) -> tuple[Option, ...]:
    found = {each.assay.id: each.assay.title for each in scene.board.assays.values()}
    return tuple(Option(key, title) for key, title in found.items())


def _assay(answers: Mapping[str, str], scene: Scene) -> Assay | None:
    found = scene.board.assay_called(answers.get("assay", ""))
    return None if found is None else found.assay

"""The foot of every page: what came of the last act, the scan line, and the keys."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len, set_cell_size

from readbell.core.board.alarm import muted_until
from readbell.core.board.subjects import is_patients
from readbell.hand.doing import (
    ChoosingPin,
    Filling,
    Gathering,
    Judging,
    Labelling,
    Proving,
    Purpose,
    Room,
    Stepping,
    TakingBack,
    Visiting,
    Voiding,
    Watching,
)
from readbell.hand.idle_keys import idle_keys
from readbell.ui.ink import Line, Piece, Token, clean, line
from readbell.ui.keys_line import KeySpot, keys_for, keys_line, locked_keys
from readbell.ui.row import mask
from readbell.ui.wrapped import MORE, wrapped

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.hand.doing import Doing
    from readbell.hand.hand import Hand
    from readbell.hand.scene import Scene
    from readbell.ui.front import Present
    from readbell.ui.glyphs import Glyphs

HIDDEN = "****"
MARGIN = 4
_SIGNS: dict[bool | None, tuple[str, Token]] = {
    True: (" ok ", Token.TEXT),
    False: (" no ", Token.LOST),
    None: ("    ", Token.TEXT),
}
LOCKED = "LOCKED. Scan your badge, or type your ID"
PATIENT = "Scan or type the patient's ID"
OF_SAMPLE = "Scan or type the number of the control material"
PLACEHOLDER = "Scan a cartridge, a person, a box or a badge"
THE_NOTICE = "the notice"
"""What F8 marks as heard first: what happened behind everybody's back."""


def said_lines(
    present: Present, width: int, height: int, glyphs: Glyphs, *, away: bool
) -> tuple[Line, ...]:
    """Return the last answer in as few rows as it needs; dots say that there was no room for all.

    Nobody being there to read it, the people in it are masked.
    """
    said = present.hand.said
    if said is None:
        return ()
    words = _masked(said.words, present, glyphs) if away else said.words
    most = 2 if width >= 100 else 3 if width >= 60 else 4
    most = min(most, max(2, height // 4))
    room = max(1, width - MARGIN - 1)
    rows = wrapped(words, room)
    if len(rows) > most:
        rows = [*rows[: most - 1], _cut_short(" ".join(rows[most - 1 :]), room)]
    sign, token = _SIGNS[said.fine]
    return tuple(
        line(Piece(sign if place == 0 else "    ", token, bold=True), Piece(each, token))
        for place, each in enumerate(rows)
    )


def scan_line(hand: Hand, scene: Scene, typed: str, width: int, glyphs: Glyphs) -> Line:
    """Return the scan line with what stands in it, or with what is waited for."""
    doing = hand.doing
    lead = line(Piece(" Scan ", Token.TEXT, bold=True), Piece(f"{glyphs.upright} ", Token.PANEL))
    room = max(1, width - lead.width - 1)
    if not typed:
        waits = hand.locked and isinstance(doing, (Watching, Visiting))
        said = LOCKED if waits else _waited_for(doing)
        said = OF_SAMPLE if said is PATIENT and _is_of_sample(doing, scene) else said
        token = Token.TEXT if said is LOCKED else Token.PANEL
        return lead + line(Piece(_cut_short(said, room), token))
    # Not even how long it is.
    shown = HIDDEN if isinstance(doing, (Proving, ChoosingPin)) else clean(typed)
    while cell_len(shown) > room:
        # The end is what was typed last, and it is where a slip is seen.
        shown = shown[1:]
    return lead + line(Piece(shown, Token.TEXT, bold=True))


def foot_keys(present: Present, width: int, *, away: bool) -> tuple[Line, tuple[KeySpot, ...]]:
    """Return the last line, and where each key on it can be clicked."""
    scene = present.scene
    ringing = scene.cartridge(scene.sounding)
    heard = THE_NOTICE if present.told else None if ringing is None else ringing.label
    doing, label = present.hand.doing, _about(present.hand.doing, scene, away=away)
    if isinstance(doing, Watching):
        label = (present.hand.chosen or "") if present.hand.opened and not away else ""
    is_locked = present.hand.locked and isinstance(doing, Watching)
    idle = idle_keys(doing, scene, present.hand.chosen)
    keys = locked_keys(heard) if is_locked else keys_for(doing, heard, label, idle)
    return keys_line(keys, width)


def _about(doing: Doing, scene: Scene, *, away: bool) -> str:
    """Return what the key that saves is about: for a reading all that it would record."""
    match doing:
        case Labelling(doubted=None) as doing:
            from readbell.hand.labelling import label_on_key

            return label_on_key(doing, scene)
        case Visiting(room=Room.SOUND):
            from readbell.hand.visiting import MUTED_FOR

            muted = muted_until(scene.board, scene.now) is not None
            return "Sound again" if muted else f"Mute {MUTED_FOR}"
        case Judging(cartridge=cartridge_id, person=person):
            cartridge = scene.cartridge(cartridge_id)
            if cartridge is None:
                return ""
            shown = "" if away else _would_record(doing, cartridge, scene)
            return " ".join(
                each for each in (cartridge.label, "" if away else person, shown) if each
            )
        case (
            Stepping(cartridge=cartridge_id)
            | Voiding(cartridge=cartridge_id)
            | TakingBack(cartridge=cartridge_id)
        ):
            cartridge = scene.cartridge(cartridge_id)
            return "" if cartridge is None else cartridge.label
        case _:
            return ""


def _would_record(doing: Judging, cartridge: Cartridge, scene: Scene) -> str:
    """Return what saving would record; once the window has closed that is no outcome."""
    from readbell.hand.judging import is_closed
    from readbell.hand.judging_questions import would_be
    from readbell.phrases.of_cartridges import OUTCOMES
    from readbell.phrases.why_so import LATE_LOOK

    outcome = would_be(doing, cartridge)
    if outcome is None:
        return ""
    if is_closed(doing, cartridge, scene):
        return "" if doing.purpose is Purpose.CORRECT else LATE_LOOK
    return OUTCOMES[outcome]


def _is_of_sample(doing: Doing, scene: Scene) -> bool:
    """Say whether the strip in hand is a control sample's, and no person's."""
    cartridge = scene.cartridge(getattr(doing, "cartridge", None))
    return cartridge is not None and not is_patients(cartridge)


def _waited_for(doing: Doing) -> str:
    match doing:
        case Stepping(asks_when=True):
            return "Type how many minutes ago, then Enter"
        case Labelling(asks_place=True):
            return "Type where it will lie, then Enter"
        case Labelling(asks_witness=True):
            return "Scan the badge of the supervisor who stands by"
        case Labelling(second=None, second_asked=what) if what is not None:
            return "Type what the person says, then Enter"
        case Labelling(again=True):
            return "F2 for another, or scan what is to be gone on with"
        case Labelling():
            return "Scan or type the label on the cartridge"
        case Stepping(asks_buffer=True):
            return "Scan the number of the buffer, or type it"
        case Gathering(asks_lane=True):
            return "Type where they wait, then Enter"
        case Gathering():
            return "Scan or type the next person's ID"
        case Voiding(scanned=False):
            return "Scan or type the label of the very cartridge"
        case Proving():
            return "Type the PIN, then Enter"
        case ChoosingPin(first=first):
            return "Type the new PIN" if first is None else "Type the same PIN once more"
        case Judging(asks_name=False, person=None):
            return PATIENT
        case Judging(asks_name=False, second=None, second_asked=what) if what is not None:
            return "Type what the person says, then Enter"
        case Judging(asks_name=True):
            return "Scan your badge, or type your name"
        case Filling():
            return "Scan or type the answer, then Enter"
        case _:
            return PLACEHOLDER


def _masked(words: str, present: Present, glyphs: Glyphs) -> str:
    doing = present.hand.doing
    known = {*_names_in(words, present.scene.board)}
    if isinstance(doing, Gathering):
        known |= set(doing.persons)
    if isinstance(doing, Labelling):
        known.add(doing.person)
    for each in sorted(known, key=len, reverse=True):
        words = words.replace(each, mask(each, glyphs))
    return words


def _names_in(words: str, board: Board) -> list[str]:
    return [each for each in board.persons if each in words]


def _cut_short(words: str, room: int) -> str:
    """Return `words` if they fit, else whole words and dots; of one long word, its beginning."""
    if cell_len(words) <= room:
        return words
    first = next(iter(wrapped(words, max(1, room - len(MORE)))), "")
    return set_cell_size(f"{first}{MORE}", room).rstrip()

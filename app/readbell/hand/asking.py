"""How a hand's wishes are put to the bay, and what it makes of the answers."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeAlias

from readbell.core.board.entry import Do, Entry
from readbell.core.cartridge.events import StepDone
from readbell.hand.doing import Watching
from readbell.hand.hand import Ask, Said, Turn
from readbell.phrases.of_bay import tell
from readbell.phrases.refusals import Tried, say_refusal
from readbell.phrases.telling import tell_all
from readbell.scenarios.line import EntryLine

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.bay.news import Answer
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Span
    from readbell.hand.hand import Hand
    from readbell.hand.scene import Scene
    from readbell.scenarios.line import Request


Then: TypeAlias = "Callable[[Hand, Answer, Scene], Hand]"
"""How a hand goes on from an answer."""

NOT_SAVED = (
    "Nothing new can be saved now. Open no pouch; finish what runs, and write results on paper."
)
NOBODY = "Nobody is signed on. Scan your badge, or F9 to register the first operator."


def asked(hand: Hand, request: Request, then: Then) -> Turn:
    """Return the turn in which `request` is put to the bay."""
    return Turn(hand=hand, ask=Ask(request=request, then=then))


def asked_of(hand: Hand, entry: Entry, then: Then, *, ago: Span | None = None) -> Turn:
    """Return the turn in which an act on a cartridge is put to the bay; somebody must do it."""
    if not entry.by:
        return Turn(hand=hand.saying(NOBODY, fine=False))
    return asked(hand, EntryLine(entry=entry, ago=ago), then)


def entry_on(hand: Hand, do: Do, cartridge: Cartridge) -> Entry:
    """Return the beginning of an act on `cartridge`: who acts, and how it was made sure of."""
    return Entry(
        do=do,
        by=hand.operator or "",
        cartridge=cartridge.label,
        cartridge_by=hand.chosen_by,
    )


def told(
    answer: Answer,
    scene: Scene,
    *,
    cartridge: str = "",
    is_look: bool = False,
    is_together: bool = False,
    takes_back: bool = False,
) -> Said:
    """Return in one line what became of an act."""
    if answer.refusal is None:
        return Said(_in_words(answer, scene), fine=True)
    what = Tried(
        cartridge=cartridge,
        now=answer.at,
        is_look=is_look,
        is_together=is_together,
        takes_back=takes_back,
    )
    return Said(say_refusal(answer.refusal, what, scene.face), fine=False)


def _in_words(answer: Answer, scene: Scene) -> str:
    *before, last = answer.events or (None,)
    if last is None:
        return "Done; there was nothing to change."
    if before and all(isinstance(each, StepDone) for each in answer.events):
        # The last of several steps says it all; the others only say that they were done too.
        count = len(answer.events)
        return f"{tell(last, answer.board, scene.face)} {count} steps in one act."
    return tell_all(answer.events, answer.board, scene.face)


def back_to_board(
    cartridge: str = "", *, is_together: bool = False, takes_back: bool = False
) -> Then:
    """Return how to go on when the act ends the matter if it is taken, and else leaves it open."""

    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        said = told(
            answer, scene, cartridge=cartridge, is_together=is_together, takes_back=takes_back
        )
        if answer.accepted:
            return hand.now_doing(Watching(), said)
        return replace(hand, said=said)

    return then


def stay(cartridge: str = "") -> Then:
    """Return how to go on when the answer is told and nothing else changes."""

    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        return replace(hand, said=told(answer, scene, cartridge=cartridge))

    return then

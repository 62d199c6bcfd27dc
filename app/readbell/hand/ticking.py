"""What the clock makes of a hand: asked by every picture, whether or not anything was given."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.hand.deaf import aged
from readbell.hand.doing import Judging, Stepping, TakingBack, Voiding, Watching
from readbell.hand.hand import Said

if TYPE_CHECKING:
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.hand.hand import Hand
    from readbell.hand.scene import Scene


def tick(hand: Hand, scene: Scene) -> Hand:
    """Return the hand as time goes by: what the clock ends is ended here."""
    hand = aged(hand, scene.now)
    doing = hand.doing
    if isinstance(doing, Judging):
        from readbell.hand.judging import ticked

        return ticked(hand, doing, scene)
    if isinstance(doing, (Stepping, Voiding, TakingBack)):
        from readbell.core.cartridge.together import steps_together

        cartridge = scene.cartridge(doing.cartridge)
        steps = isinstance(doing, Stepping)
        if cartridge is None or cartridge.has_ended or (steps and not steps_together(cartridge)):
            return hand.now_doing(Watching(), hand.said)
        if isinstance(doing, Stepping):
            return _still_offered(hand, doing, cartridge)
    return hand


def _still_offered(hand: Hand, doing: Stepping, cartridge: Cartridge) -> Hand:
    """Let an offer go that somebody else was quicker with: it is offered anew, and looked at."""
    from readbell.hand.stepping import has_passed

    if not has_passed(doing, cartridge):
        return hand
    words = f"{cartridge.label}  somebody else went on with it meanwhile. Scan it for what is next."
    said = hand.said if hand.said is not None and hand.said.fine is False else Said(words)
    return hand.now_doing(Watching(), said)

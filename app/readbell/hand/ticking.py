"""What the clock makes of a hand: asked by every picture, whether or not anything was given."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.hand.deaf import aged
from readbell.hand.doing import Judging, Stepping, Voiding, Watching

if TYPE_CHECKING:
    from readbell.hand.hand import Hand
    from readbell.hand.scene import Scene


def tick(hand: Hand, scene: Scene) -> Hand:
    """Return the hand as time goes by: what the clock ends is ended here."""
    hand = aged(hand, scene.now)
    doing = hand.doing
    if isinstance(doing, Judging):
        from readbell.hand.judging import ticked

        return ticked(hand, doing, scene)
    if isinstance(doing, (Stepping, Voiding)):
        from readbell.core.cartridge.together import steps_together

        cartridge = scene.cartridge(doing.cartridge)
        steps = isinstance(doing, Stepping)
        if cartridge is None or cartridge.has_ended or (steps and not steps_together(cartridge)):
            return hand.now_doing(Watching(), hand.said)
    return hand

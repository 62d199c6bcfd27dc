"""The room of control samples: which material is chosen, and what is done with it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.events import How
from readbell.hand import labelling
from readbell.hand.asking import NOBODY, asked, stay
from readbell.hand.doing import Filling, Paper
from readbell.hand.given import Key
from readbell.hand.hand import Hand, Turn, only
from readbell.hand.question import Option
from readbell.phrases.whose import KINDS
from readbell.scenarios.sample_lines import OpenSampleLine

if TYPE_CHECKING:
    from readbell.hand.scene import Scene


def materials(scene: Scene) -> tuple[Option, ...]:
    """Return the control materials, in the order in which they came in."""
    found = scene.board.samples.materials.values()
    return tuple(Option(each.number, f"{each.number}, {KINDS[each.kind]}") for each in found)


def in_samples(hand: Hand, chosen: str | None, key: Key, scene: Scene) -> Turn:
    """Return what a key does in the room; `chosen` is the number of a material."""
    match key:
        case Key.START if not scene.board.assays:
            return only(hand.saying("No assay is adopted yet. Adopt one first.", fine=False))
        case Key.START:
            ids = list(dict.fromkeys(each.assay.id for each in scene.board.assays.values()))
            answers = (("assay", ids[0]),) if len(ids) == 1 else ()
            return only(hand.now_doing(Filling(paper=Paper.SAMPLE, answers=answers)))
        case Key.DONE | Key.SECOND if hand.operator is None:
            return only(hand.saying(NOBODY, fine=False))
        case Key.DONE if chosen is not None:
            return only(labelling.turn_of(hand, chosen, How.PICKED, scene, is_sample=True))
        case Key.SECOND if chosen is not None and hand.operator is not None:
            line = OpenSampleLine(do="open-sample", by=hand.operator, number=chosen)
            return asked(hand, line, stay())
        case _:
            return only(hand.saying("F2 enters a control material; then F3 runs a sample of it."))

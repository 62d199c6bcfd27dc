"""The pages that take the place of the list: forms, rooms, help, and the question whether to leave."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.hand.doing import (
    ChoosingPin,
    Figuring,
    Filling,
    Following,
    Helping,
    Judging,
    Leaving,
    Proving,
    Visiting,
)
from readbell.ui.figures_page import figures_page
from readbell.ui.form import Painted
from readbell.ui.header import is_rehearsal
from readbell.ui.help_page import help_page
from readbell.ui.look import is_away, is_masked
from readbell.ui.room_page import leaving_page, paper_page, room_page
from readbell.ui.story_page import story_page
from readbell.ui.strip_page import Sheetful, strip_page
from readbell.ui.who import pin_page

if TYPE_CHECKING:
    from readbell.hand.doing import Doing
    from readbell.ui.front import Present
    from readbell.ui.look import Look


def page_body(doing: Doing, present: Present, look: Look, width: int, height: int) -> Painted:
    """Return what stands between the alert line and the scan line; blank for what has a panel."""
    scene = present.scene
    match doing:
        case Judging():
            cartridge = scene.cartridge(doing.cartridge)
            if cartridge is None:
                return Painted(())
            sheet = Sheetful(
                doing=doing,
                cartridge=cartridge,
                scene=scene,
                glyphs=look.glyphs,
                operator=present.hand.operator or "",
                advises=look.advises,
            )
            return strip_page(sheet, width, height)
        case Visiting():
            masked = is_away(present, look)  # somebody opened the room to see who is in it
            acting = present.hand.operator
            return room_page(
                doing,
                scene,
                present.news,
                width,
                height,
                masked=masked,
                acting=acting,
                glyphs=look.glyphs,
            )
        case Filling():
            return paper_page(doing, scene, width, height, masked=is_away(present, look))
        case Leaving():
            return leaving_page(scene, width, height, masked=is_masked(present, look))
        case Proving() | ChoosingPin():
            return pin_page(doing, width)
        case Following():
            masked = is_away(present, look)
            return Painted(story_page(doing, scene, width, height, masked=masked))
        case Figuring():
            masked = is_away(present, look)
            return figures_page(doing, scene, look.glyphs, width, height, masked=masked)
        case Helping(page=page):
            rehearses = is_rehearsal(scene.board)
            return Painted(help_page(width, height, look.glyphs, page, rehearses=rehearses))
        case _:  # everything else stands beside the board
            return Painted(())

"""What is not as it should be with the machine, gathered for the line that tells it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.alarm import muted_until, nobody_hears
from readbell.core.instant import SECOND, Span, between
from readbell.phrases.record_words import in_the_notice
from readbell.ui.header import Health

if TYPE_CHECKING:
    from readbell.ui.front import Present

LATE_TOLD_FOR = Span(10 * SECOND)


def health_of(present: Present) -> Health:
    """Return what people must know of the machine now."""
    scene, sounding = present.scene, present.news.sounding
    late = sounding.late_screen
    is_told = late is not None and between(late.back_at, scene.now) < LATE_TOLD_FOR
    lost = present.news.not_saved
    return Health(
        not_saved_since=present.not_saved_since,
        why_not_saved="" if lost is None else lost.why,
        muted_until=muted_until(scene.board, scene.now),
        no_sound=nobody_hears(scene.board) or not sounding.can_sound or bool(sounding.failed),
        late=late.span if late is not None and is_told else Span(0),
        told=present.told,
        broken=in_the_notice(present.news.record_check),
    )

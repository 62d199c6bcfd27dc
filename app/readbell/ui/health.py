"""What is not as it should be with the machine, gathered for the line that tells it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.alarm import muted_until, nobody_hears
from readbell.core.instant import SECOND, Span, between
from readbell.phrases.around_words import (
    alone_in_the_notice,
    mirror_in_the_notice,
    twin_in_the_notice,
)
from readbell.phrases.record_words import in_the_notice
from readbell.ui.header import Health

if TYPE_CHECKING:
    from readbell.ui.front import Present

LATE_TOLD_FOR = Span(10 * SECOND)


def health_of(present: Present) -> Health:
    """Return what people must know of the machine now."""
    scene, sounding = present.scene, present.news.sounding
    around = scene.around
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
        alone=_alone(present),
        twin=_twin(present),
        mirror=None if around is None else mirror_in_the_notice(around.mirror_ailment),
    )


def _twin(present: Present) -> tuple[str, str, str] | None:
    """Return that another computer is this station too; one that is alone for it says so itself."""
    around = present.scene.around
    if around is None or not around.has_twin or around.began is not None:
        return None
    return twin_in_the_notice(around.station)


def _alone(present: Present) -> tuple[str, str, str] | None:
    """Return that this station is alone, if it is, in fewer and fewer words."""
    scene, around = present.scene, present.scene.around
    if around is None or around.alone is None:
        return None
    gone = Span(max(0, between(around.alone.since, scene.now)))
    return alone_in_the_notice(
        around.alone.since,
        gone,
        scene.face,
        around.mark if around.began is None else "",  # the second of two starts nobody
        is_joining=around.alone.is_joining,
        refused=around.alone.refused,
    )

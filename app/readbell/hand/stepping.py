"""Steps of a cartridge: offered, perhaps stated afterwards, and confirmed by one act."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.entry import Do
from readbell.core.board.subjects import is_subject
from readbell.core.cartridge.events import How
from readbell.core.cartridge.together import steps_together
from readbell.core.instant import MINUTE, Span
from readbell.core.span_text import read_span, write_span
from readbell.hand.asking import NOBODY, asked, asked_of, back_to_board, entry_on, told
from readbell.hand.doing import Stepping
from readbell.hand.finding import Thing, find
from readbell.hand.given import Chose, Given, Key, Pressed, Scanned
from readbell.hand.hand import Hand, Turn, only
from readbell.hand.question import Option, Question
from readbell.scenarios.stock_lines import UseBufferLine

if TYPE_CHECKING:
    from readbell.bay.news import Answer
    from readbell.core.assay.step import Step
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.hand.scene import Scene

MOST_MINUTES_AGO = 120
"""A step stated for longer ago than this is a slip of the keys (our own choice)."""


def offer(hand: Hand, cartridge: Cartridge, how: How, *, is_named: bool) -> Hand:
    """Return the hand with the next steps of `cartridge` offered.

    Args:
        hand: what it was doing before.
        cartridge: whose steps.
        how: how it was established which one is meant.
        is_named: whether its label was scanned or typed just now; a key alone names nothing.
    """
    steps = steps_together(cartridge)
    doing = Stepping(
        cartridge=cartridge.id, first=steps[0].key, until=steps[-1].key, is_named=is_named
    )
    return hand.choosing(cartridge.id, how).now_doing(doing)


def has_passed(doing: Stepping, cartridge: Cartridge) -> bool:
    """Say whether somebody else went on with `cartridge` since: what was offered is not next now.

    Whoever was about to confirm one step must not confirm the one after it by the same key.
    """
    keys = _keys(cartridge)
    return doing.until not in keys or doing.first not in ("", keys[0])


def offered(doing: Stepping, cartridge: Cartridge) -> tuple[Step, ...]:
    """Return the steps that confirming would record."""
    steps, keys = steps_together(cartridge), _keys(cartridge)
    return steps[: keys.index(doing.until) + 1] if doing.until in keys else steps


def questions(doing: Stepping, cartridge: Cartridge) -> tuple[Question, ...]:
    """Return what may be changed before the steps are confirmed."""
    steps = steps_together(cartridge)
    when = "now" if doing.ago is None else f"{write_span(doing.ago)} ago"
    return (
        Question(
            key="until",
            asks="Done up to",
            options=tuple(Option(step.key, step.title) for step in steps),
            answer=doing.until,
            is_list=True,
        ),
        Question(
            key="when",
            asks="When",
            answer=when,
            shown=when
            if doing.ago is None
            else f"{when}, give or take {write_span(doing.give_or_take)}: stated, not timed",
        ),
    )


def step_given(hand: Hand, doing: Stepping, given: Given, scene: Scene) -> Turn | None:
    """Return what becomes of `given`, or None if the board is to deal with it."""
    cartridge = scene.cartridge(doing.cartridge)
    if cartridge is None or not steps_together(cartridge):
        return None
    match given:
        case Pressed(key=Key.DONE):
            return confirm(hand, doing, cartridge)
        case Pressed(key=Key.SECOND):
            words = "How long ago? Minutes, such as 2, or 1:30. Then F3."
            return only(hand.now_doing(replace(doing, asks_when=True)).saying(words))
        case Pressed(key=Key.UP | Key.DOWN as key):
            return only(_further(hand, doing, cartridge, key))
        case Chose(question="until", answer=key) if key in _keys(cartridge):
            return only(hand.now_doing(replace(doing, until=key), hand.said))
        case Pressed(key=Key.LOOK):
            words = "Another buffer is used? Scan its number, or type it. Esc leaves that."
            return only(hand.now_doing(replace(doing, asks_buffer=True)).saying(words))
        case Scanned() if _is_buffer(doing, given.text, scene):
            return _buffer(hand, doing, cartridge, given.text)
        case Scanned(how=how) if doing.asks_when and how is How.TYPED:
            return only(_stated(hand, doing, given.text))
        case Scanned():
            found = find(scene.board, given.text)
            if found.thing is Thing.CARTRIDGE and found.text == cartridge.label:
                named = hand.choosing(cartridge.id, given.how)
                if doing.is_named:
                    return confirm(named, doing, cartridge)
                words = f"{cartridge.label} it is. Once it is done, F3 or scan it again."
                return only(named.now_doing(replace(doing, is_named=True)).saying(words))
            if found.thing in (Thing.PERSON, Thing.SAMPLE):
                return _read_back(hand, doing, cartridge, found.text, given.how, scene)
            return None
        case _:
            return None


def confirm(hand: Hand, doing: Stepping, cartridge: Cartridge) -> Turn:
    """Return the turn that records the offered steps."""
    entry = replace(
        entry_on(hand, Do.STEPS, cartridge),
        steps=tuple(step.key for step in offered(doing, cartridge)),
        give_or_take=Span(0) if doing.ago is None else doing.give_or_take,
        person=doing.person,
        person_by=doing.person_by,
    )
    return asked_of(hand, entry, back_to_board(cartridge.label, is_together=True), ago=doing.ago)


def _is_buffer(doing: Stepping, text: str, scene: Scene) -> bool:
    """Say whether a text is the number of a buffer: it was asked for, or came with some box."""
    thing = find(scene.board, text).thing
    if doing.asks_buffer:
        # Whatever it is called: what is somebody's or something's ID here is no buffer.
        return thing in (Thing.UNKNOWN, Thing.TWO_IN_ONE)
    known = {lot.buffer for lot in scene.board.lots.values()}
    return text in known and thing is Thing.UNKNOWN


def _buffer(hand: Hand, doing: Stepping, cartridge: Cartridge, buffer: str) -> Turn:
    """Return the turn that records which buffer the cartridge is run with; the steps stay offered."""
    if hand.operator is None:
        return only(hand.saying(NOBODY, fine=False))
    line = UseBufferLine(
        do="use-buffer", by=hand.operator, cartridge=cartridge.label, buffer=buffer
    )

    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        said = told(answer, scene, cartridge=cartridge.label)
        return hand.now_doing(replace(doing, asks_buffer=False), said)

    return asked(hand, line, then)


def _further(hand: Hand, doing: Stepping, cartridge: Cartridge, key: Key) -> Hand:
    keys = _keys(cartridge)
    place = len(offered(doing, cartridge)) - 1 + (1 if key is Key.DOWN else -1)
    until = keys[min(max(place, 0), len(keys) - 1)]
    return hand.now_doing(replace(doing, until=until), hand.said)


def _keys(cartridge: Cartridge) -> list[str]:
    return [step.key for step in steps_together(cartridge)]


def _stated(hand: Hand, doing: Stepping, text: str) -> Hand:
    minutes = re.fullmatch(r"\d{1,3}", text, re.ASCII)
    ago = Span(int(text) * MINUTE) if minutes else read_span(text)
    if ago is None or ago > MOST_MINUTES_AGO * MINUTE:
        return hand.saying(
            f'"{text}" is no time up to {MOST_MINUTES_AGO} minutes. Type minutes, such as 2, or 1:30.',
            fine=False,
        )
    changed = replace(doing, ago=ago or None, asks_when=False)
    return hand.now_doing(changed).saying("Stated, not timed. F3 records it, Esc leaves it.")


def _read_back(
    hand: Hand, doing: Stepping, cartridge: Cartridge, person: str, how: How, scene: Scene
) -> Turn:
    if is_subject(scene.board, cartridge, person):
        read_back = replace(doing, person=person, person_by=how)
        words = f"Same person as on {cartridge.label}. F3 records the step."
        return only(hand.now_doing(read_back).saying(words))
    # A wrong person at a step is a near miss: the bay refuses it and keeps it.
    entry = replace(
        entry_on(hand, Do.STEPS, cartridge),
        steps=(doing.until,),
        person=person,
        person_by=how,
    )
    return asked_of(hand, entry, back_to_board(cartridge.label))

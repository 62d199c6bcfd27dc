"""What was refused, and what went through that should not have: people, devices, interruptions.

The near misses of the record say what the program stopped. What no program can see (a device of
another assay, a label swapped by a colleague, a person who has left) only the scenario knows.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.events import ActRefused
from readbell.core.cartridge.events import CartridgeLabelled, CartridgeRead, StepDone
from readbell.core.instant import Span, earlier, later
from readbell.core.practice.events import InterruptionAnswered
from readbell.core.refusal import RefusalCode
from readbell.core.rehearsal.scenario import InterruptionKind
from readbell.core.rehearsal.score_marks import Area, Asked, Mistake, Right, Slip
from readbell.core.rehearsal.score_right import instead_of_refused

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from readbell.core.assay.assay import Assay
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.core.rehearsal.scenario import Scenario

_IDENTITY = (
    RefusalCode.UNKNOWN_CARTRIDGE,
    RefusalCode.UNKNOWN_PERSON,
    RefusalCode.UNKNOWN_LOT,
    RefusalCode.UNKNOWN_SAMPLE,
    RefusalCode.WRONG_CARTRIDGE,
    RefusalCode.WRONG_PERSON,
    RefusalCode.LABEL_IN_USE,
    RefusalCode.ID_MALFORMED,
    RefusalCode.ID_CHECK_FAILED,
    RefusalCode.SECOND_MISSING,
)
_TIMING = (
    RefusalCode.TOO_EARLY,
    RefusalCode.EARLY_NEGATIVE,
    RefusalCode.EARLY_NO_CONTROL,
    RefusalCode.WINDOW_CLOSED,
    RefusalCode.WAIT_NOT_OVER,
    RefusalCode.OUT_OF_ORDER,
)
_SAFETY = (
    RefusalCode.LOT_ON_HOLD,
    RefusalCode.LOT_EXPIRED,
    RefusalCode.LOT_TWO_EXPIRIES,
    RefusalCode.BOX_OF_ANOTHER_ASSAY,
    RefusalCode.BOX_OPENED_TOO_LONG,
    RefusalCode.KIT_COLD,
    RefusalCode.CONTROLS_DUE,
    RefusalCode.OUT_OF_TEMPERATURE,
    RefusalCode.SAMPLE_EXPIRED,
    RefusalCode.CONSENT_MISSING,
    RefusalCode.CONSENT_REFUSED,
    RefusalCode.ALREADY_READ,
    RefusalCode.ALREADY_ENDED,
)
AREAS: Mapping[RefusalCode, Area] = {
    **dict.fromkeys(_IDENTITY, Area.IDENTITY),
    **dict.fromkeys(_TIMING, Area.TIMING),
    **dict.fromkeys(_SAFETY, Area.SAFETY),
}
"""What a refusal is about. One that is not here (a form not filled in, who may do what) is no
mistake at the bench."""
LOOK, VOID, TAKE_BACK = "look", "void", "take-back-step"
_OF_ACTS = {LOOK: Area.TIMING, VOID: Area.SAFETY}
"""Acts of which `not-allowed` is one: an early look in the window, giving up what was positive."""


def refused(events: Iterable[Event], board: Board) -> Iterator[Mistake]:
    """Yield each near miss that is a mistake at the bench, whoever made it."""
    for event in events:
        if not isinstance(event, ActRefused):
            continue
        area = AREAS.get(event.code)
        if event.act == TAKE_BACK and area is not Area.IDENTITY:
            continue  # whoever mends a slip, and may not, has done nothing at the bench
        if event.code is RefusalCode.NOT_ALLOWED:
            area = _OF_ACTS.get(event.act)
        if area is not None:
            found = None if event.cartridge is None else board.cartridge(event.cartridge)
            yield Mistake(
                at=event.at,
                area=area,
                code=event.code,
                refused=True,
                by=board.name(event.by),
                cartridge=None if found is None else found.label,
                look=event.act == LOOK,
                right=None
                if found is None
                else instead_of_refused(event.code, found, event.at, look=event.act == LOOK),
            )


def absences(
    scenario: Scenario, board: Board, events: Iterable[Event], starts: Instant
) -> Iterator[Mistake]:
    """Yield who was begun after they had left, and who acted while they were called away."""
    away = {each: scenario.away(each) for each in scenario.operators}
    for event in events:
        if not isinstance(event, (CartridgeLabelled, StepDone, CartridgeRead)):
            continue
        found, by = board.cartridge(event.cartridge), board.name(event.by)
        label = None if found is None else found.label
        # Whoever is called away may finish what is in hand.
        begun = earlier(event.at, Span(0) if found is None else _hands_on(found.assay, event))
        if any(
            later(starts, at) < begun and event.at < later(starts, until)
            for at, until in away.get(by or "", ())
        ):
            yield Mistake(
                at=event.at,
                area=Area.INTERRUPTION,
                code=Slip.ACTED_WHILE_AWAY,
                refused=False,
                by=by,
                cartridge=label,
            )
        if isinstance(event, CartridgeLabelled):
            person = board.name(event.subject)
            leaves = None if person is None else scenario.leaves(person)
            if leaves is not None and event.at > later(starts, leaves):
                yield Mistake(
                    at=event.at,
                    area=Area.INTERRUPTION,
                    code=Slip.BEGUN_AFTER_LEAVING,
                    refused=False,
                    by=by,
                    cartridge=label,
                    person=person,
                )


def _hands_on(assay: Assay, event: CartridgeLabelled | StepDone | CartridgeRead) -> Span:
    """Return how long what was done usually takes, fresh gloves with it; it is recorded as it ends."""
    if isinstance(event, CartridgeRead):
        return assay.reading.hands_on
    step = assay.first_step
    if isinstance(event, StepDone):
        step = assay.step(event.step) or step
    return Span(step.hands_on + (assay.glove_change if step.touches_specimen else 0))


def questions(
    scenario: Scenario, events: Sequence[Event], starts: Instant, ends: Instant
) -> tuple[Asked, ...]:
    """Return each question that came up before `ends`, with its last answer."""
    answers = {each.number: each for each in events if isinstance(each, InterruptionAnswered)}
    found = []
    for number, each in enumerate(scenario.interruptions, start=1):
        at = later(starts, each.at)
        if each.kind is InterruptionKind.QUESTION and at <= ends:
            answer = answers.get(number)
            found.append(
                Asked(
                    number=number,
                    at=at,
                    answered=None if answer is None else answer.at,
                    is_right=answer is not None and each.is_right(answer.answer.value or ""),
                )
            )
    return tuple(found)


def unanswered(scenario: Scenario, asked: Iterable[Asked]) -> Iterator[Mistake]:
    """Yield each question that was answered wrongly, or not at all."""
    for each in asked:
        if not each.is_right:
            question = scenario.interruptions[each.number - 1]
            yield Mistake(
                at=each.at if each.answered is None else each.answered,
                area=Area.INTERRUPTION,
                code=Slip.NO_ANSWER if each.answered is None else Slip.WRONG_ANSWER,
                refused=False,
                number=each.number,
                right=Right(asked=question.says, answer=next(iter(question.answers), "")),
            )

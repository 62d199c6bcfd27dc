"""The forms by which a supervisor says anew what was on a strip, or takes a result back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.mixed_up import MIXED_UP
from readbell.core.board.review import awaiting_review, refuse_withdrawal
from readbell.core.board.reviewed import reviewed
from readbell.core.reading.bands import Strength, Unreadable
from readbell.core.refusal import RefusalCode
from readbell.core.review.reasons import AmendReason, WithdrawReason
from readbell.hand.doing import Paper
from readbell.hand.question import Option
from readbell.phrases.of_bands import STRENGTHS, UNREADABLE
from readbell.phrases.refusals import Tried, say_refusal
from readbell.phrases.review_words import AMEND_REASONS, WITHDRAW_REASONS
from readbell.scenarios.staff_lines import MOST_NAMED, AmendLine, WithdrawLine

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.refusal import Refusal
    from readbell.hand.scene import Scene

    Asked = tuple[str, str, tuple[Option, ...]]

NOBODY_ELSE = "-"
ANOTHER = "another"
"""Stands below what is held: any result may be amended, however much waits for review."""
PRESENT, ABSENT = "present", "absent"


def asked(paper: Paper, said: Mapping[str, str], scene: Scene) -> tuple[Asked, ...]:
    """Return what one of these forms asks, by what was answered so far: key, question, options."""
    if paper is Paper.WITHDRAW:
        return (*_taken_back(), *_mixed_up(said), _WORDS)
    which: Asked = ("amended", "Label of the cartridge: scan or type it", ())
    if "cartridge" in said:
        held = tuple(Option(each.id, each.label) for each in awaiting_review(scene.board))
        held = (*held, Option(ANOTHER, "another one: its label is asked next"))
        typed = (which,) if said["cartridge"] == ANOTHER else ()
        asks: tuple[Asked, ...] = (("cartridge", "Cartridge", held), *typed)
    else:
        asks = (which,)
    cartridge = _amended(said, scene)
    strip = () if cartridge is None else _about_strip(cartridge, said)
    reasons = tuple(Option(each, AMEND_REASONS[each]) for each in AmendReason)
    return (*asks, *strip, ("reason", "Why", reasons), _WORDS)


_WORDS: Asked = ("why", "In your own words", ())


def fault_of(key: str, text: str, scene: Scene) -> str | None:
    """Say in one sentence what is wrong with `text` as an answer, or None if nothing is."""
    board = scene.board
    match key:
        case "withdrawn" | "amended" if reviewed(board, text, scene.now) is None:
            return f"{text} is no cartridge here. Scan its label, or type it."
        case "withdrawn" | "amended" if (refused := _nothing_left(key, text, scene)) is not None:
            return say_refusal(refused, Tried(cartridge=text, now=scene.now), scene.face)
        case "amended" if not _was_read(board.labelled(text)):
            return f"{text} has no reading that could be amended. Scan another label."
        case "others" | "persons" if len(_named(text)) > MOST_NAMED:
            return (
                f"So many cannot be named at once: up to {MOST_NAMED}. "
                "Name these, and take the others back by themselves."
            )
        case "others":
            unknown = [each for each in _named(text) if reviewed(board, each, scene.now) is None]
            return _fault_of_some(unknown, "no cartridge here: scan or type its label")
        case "persons":
            unknown = [each for each in _named(text) if each not in board.persons]
            return _fault_of_some(unknown, "nobody who is registered here")
        case _:
            return None


def line_of(
    paper: Paper, said: Mapping[str, str], by: str, scene: Scene
) -> AmendLine | WithdrawLine:
    """Return what a whole form asks of the bay."""
    if paper is Paper.WITHDRAW:
        return WithdrawLine(
            do="withdraw-result",
            by=by,
            cartridge=said["withdrawn"],
            reason=WithdrawReason(said["reason"]),
            why=said["why"],
            others=_named(said.get("others", NOBODY_ELSE)),
            persons=_named(said.get("persons", NOBODY_ELSE)),
        )
    cartridge = _amended(said, scene)
    keys = () if cartridge is None else cartridge.assay.line_keys
    control = said["control"]
    is_seen = control in (PRESENT, ABSENT)
    return AmendLine(
        do="amend-result",
        by=by,
        cartridge=said["amended"] if _is_typed(said) else said["cartridge"],
        control=control == PRESENT if is_seen else None,
        test={key: Strength(said[_of_line(key)]) for key in keys} if is_seen else None,
        unreadable=None if is_seen else Unreadable(control),
        reason=AmendReason(said["reason"]),
        why=said["why"],
    )


def _taken_back() -> tuple[Asked, ...]:
    reasons = tuple(Option(each, WITHDRAW_REASONS[each]) for each in WithdrawReason)
    return (
        ("withdrawn", "Label of the cartridge: scan or type it", ()),
        ("reason", "Why", reasons),
    )


def _mixed_up(said: Mapping[str, str]) -> tuple[Asked, ...]:
    """Return what is asked where others are concerned: no result is moved, all are taken back."""
    if said.get("reason") not in MIXED_UP:
        return ()
    return (
        ("others", f"Labels of other cartridges mixed up with it, or {NOBODY_ELSE}", ()),
        ("persons", f"IDs of other people it may be of, or {NOBODY_ELSE}", ()),
    )


def _about_strip(cartridge: Cartridge, said: Mapping[str, str]) -> tuple[Asked, ...]:
    rules = cartridge.assay.reading
    control: Asked = (
        "control",
        f"Control line {rules.control_mark}",
        (
            Option(ABSENT, "absent"),
            Option(PRESENT, "present"),
            *(Option(each, f"cannot be read: {UNREADABLE[each]}") for each in Unreadable),
        ),
    )
    if said.get("control") not in (PRESENT, ABSENT):
        return (control,)
    strengths = tuple(Option(each, STRENGTHS[each]) for each in Strength)
    lines = ((_of_line(each.key), f"Test line {each.mark}", strengths) for each in rules.lines)
    return (control, *lines)


def _of_line(key: str) -> str:
    """Return the key of the question about a test line; a line may be called anything."""
    return f"line {key}"


def _amended(said: Mapping[str, str], scene: Scene) -> Cartridge | None:
    if _is_typed(said):
        return scene.board.labelled(said.get("amended", ""))
    return scene.cartridge(said["cartridge"])


def _is_typed(said: Mapping[str, str]) -> bool:
    """Say whether the cartridge is named by its label, and not chosen among what is held."""
    return said.get("cartridge", ANOTHER) == ANOTHER


def _nothing_left(key: str, text: str, scene: Scene) -> Refusal | None:
    """Say why of a cartridge that is known nothing is taken back or said anew, or None."""
    found = reviewed(scene.board, text, scene.now)
    refused = None if found is None else refuse_withdrawal(scene.board, found)
    if refused is None or key == "withdrawn" or refused.code is RefusalCode.ALREADY_ENDED:
        return refused
    return None  # of what was never read an amendment has words of its own


def _was_read(cartridge: Cartridge | None) -> bool:
    return cartridge is not None and cartridge.reading is not None and cartridge.has_ended


def _named(text: str) -> tuple[str, ...]:
    return () if text == NOBODY_ELSE else tuple(text.split())


def _fault_of_some(unknown: Sequence[str], what: str) -> str | None:
    if not unknown:
        return None
    return f"{unknown[0]} is {what}. Type all of them with blanks between, or {NOBODY_ELSE}."

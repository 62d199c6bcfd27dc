"""What the commands about the record itself have in common: who asks, of whom, and of which day."""

from __future__ import annotations

import sys
from datetime import date
from typing import TYPE_CHECKING, Any

from readbell.core.board.events import Ending, Mode
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable
    from pathlib import Path

    from readbell.bay.bay import Bay
    from readbell.bay.glance import Glance
    from readbell.bay.news import Answer, News
    from readbell.core.board.acts import Act
    from readbell.core.board.event import Event
    from readbell.core.private import Private
    from readbell.core.refusal import Refusal

TYPED = "-"
"""In the place of an ID: it is asked for, so that no list of past commands keeps it."""


def the_day(option: str, said: str) -> date:
    """Return the day that was given to `option`.

    Raises:
        WrongFileError: it is none.
    """
    try:
        return date.fromisoformat(said)
    except ValueError:
        msg = f"{option}: {said!r} is no day: write it as 2026-03-29"
        raise WrongFileError([msg]) from None


def the_days(since: str | None, until: str | None) -> tuple[str | None, str | None]:
    """Return the first and the last day that were given, as YYYY-MM-DD.

    Raises:
        WrongFileError: one of them is no day, or the last one is before the first.
    """
    first, last = (
        None if said is None else the_day(option, said).isoformat()
        for option, said in (("--since", since), ("--until", until))
    )
    if first is not None and last is not None and last < first:
        msg = f"--until {last} is before --since {first}: say the later day there"
        raise WrongFileError([msg])
    return first, last


def the_id(said: str) -> str:
    """Return the ID that was given, or is typed now, unseen, where a hyphen stands for it."""
    from readbell.cli.signing_in import typed_pin

    return typed_pin("ID") if said == TYPED else said


def keeping_apart() -> Callable[[str], Private]:
    """Return what keeps a text apart, so that it can be erased."""
    from readbell.bay.identifiers import RandomIdentifiers
    from readbell.core.private import Private

    identifiers = RandomIdentifiers()
    return lambda text: Private(
        key=identifiers.new("key"), salt=identifiers.new("salt"), value=text
    )


def journal_at(path: Path | None) -> Path:
    """Return the journal that is meant.

    Raises:
        JournalError: there is none.
    """
    from readbell.cli.private_memory import keep_memory_private
    from readbell.journal.errors import JournalError
    from readbell.settings.places import default_journal

    keep_memory_private()
    found = path or default_journal()
    if not found.is_file():
        msg = f"{found}: there is no journal: check the name"
        raise JournalError(msg)
    return found


def length_of(journal: Path) -> int:
    """Return how many events the journal has, for whoever says how far long work is.

    Raises:
        JournalError: it cannot be opened.
    """
    from contextlib import closing

    from readbell.assembly import old_journal

    with closing(old_journal(journal)) as opened:
        return opened.head().seq


def ask_alone(
    journal: Path,
    by: str,
    question: Callable[[Bay], Awaitable[Answer]] | None,
    *,
    undisturbed: bool,
) -> tuple[Answer, News]:
    """Take the bay up, sign `by` in where that is asked for, put one question, lay it down.

    Args:
        journal: the bay's record.
        by: who asks.
        question: what is asked; None: nothing but that they sign in, and the site asks for that.
        undisturbed: whether nothing may run, and nothing lie beside the record.

    Raises:
        InUseError: a program runs this bay.
        JournalError: something runs, or lies beside it, and must not.
    """
    from functools import partial

    from readbell.assembly import desk, live_bay
    from readbell.bay.bay_thread import BayThread
    from readbell.bay.opening import Founding
    from readbell.cli.signing_in import signing_in
    from readbell.journal.errors import JournalError

    founding = Founding(timezone="UTC", mode=Mode.LIVE)
    thread = BayThread(
        lambda: live_bay(journal, founding, lambda _: None, lambda: Ending.END_OF_INPUT)
    )
    found = thread.start()
    try:
        present = thread.present()
        running = len(present.board.running)
        if undisturbed and running:
            msg = f"{journal}: {running} running: open the board and finish it first"
            raise JournalError(msg)
        if undisturbed and (found.branches or present.not_saved is not None):
            beside = found.branches[0].path if found.branches else journal
            msg = f"{beside}: events lie beside the record: have a supervisor settle them first"
            raise JournalError(msg)
        clerk, answer = desk(journal), None
        for each in signing_in(present.board, by):
            answer = thread.ask(partial(clerk.serve, line=each))
            if not answer.accepted:
                return answer, thread.present()
        if question is not None:
            answer = thread.ask(question)
        assert answer is not None  # noqa: S101  # they signed in, or were asked something
        return answer, thread.present()
    finally:
        thread.stop()


def recorded(path: Path, by: str, act: Act, seen: Glance) -> tuple[Event, ...] | Refusal:
    """Judge the look, and have it on record: in the journal, or beside it while that is in use."""
    from readbell.core.board.decide import decide
    from readbell.core.refusal import Refusal
    from readbell.journal.errors import InUseError
    from readbell.journal.openings import note_opening

    if not seen.board.running:  # or an alarm that fell due would be told to nobody
        try:
            answer, _ = ask_alone(path, by, lambda bay: bay.do(act), undisturbed=False)
        except InUseError:
            pass
        else:
            return answer.refusal or answer.events
    decided = decide(seen.board, act, seen.now)
    if not isinstance(decided, Refusal):
        (event,) = decided
        note_opening(path, event)  # type: ignore[arg-type]  # of no other act comes another
    return decided


def who_looks(path: Path, by: str | None, seen: Glance) -> str | None:
    """Return who looks at a list: `by`, once they have shown by their PIN that they are it.

    None: nobody who may see more than everybody does. While a program runs the bay, or a
    cartridge runs, nobody can sign in here, and that is said.

    Raises:
        WrongFileError: nobody is called that, or they did not sign in.
    """
    from readbell.core.policy.staffing import SignInBy
    from readbell.journal.errors import InUseError

    board = seen.board
    if by is None:
        return None
    key = board.operators.get(by)
    if key is None:
        raise WrongFileError([f"No operator {by} is registered here: check --by"])
    if board.policy.sign_in is not SignInBy.PIN or not board.roster.has_roles:
        return by
    if not board.roster.standing(key).has_pin:
        raise WrongFileError(
            [f"{by} has no PIN to sign in with: readbell operator pin {by} sets one"]
        )
    if not board.running:
        try:
            answer, _ = ask_alone(path, by, None, undisturbed=False)
        except InUseError:
            pass
        else:
            _refuse_stranger(answer, seen)
            return by
    print(
        f"{by} cannot sign in here while the bay is at work: of the running shift:", file=sys.stderr
    )
    return None


def _refuse_stranger(answer: Answer, seen: Glance) -> None:
    from readbell.bay.site_face import face_now
    from readbell.phrases.refusals import Tried, say_refusal

    if answer.refusal is None:
        return
    face = face_now(seen.board, seen.apart)
    words = say_refusal(answer.refusal, Tried(cartridge="", now=answer.at), face)
    raise WrongFileError([words])


def say_answer(
    answer: Answer,
    present: News,
    fields: dict[str, Any],
    *,
    as_json: bool,
    words: str | None = None,
) -> int:
    """Print what became of an act, in `words` where it was taken, and return the exit status."""
    import json

    from readbell.bay.site_face import face_now
    from readbell.cli.exit_codes import DONE, WRONG_INPUT
    from readbell.cli.spelt_out import spelt_out
    from readbell.phrases.refusals import Tried, say_refusal
    from readbell.phrases.telling import tell_all

    face = face_now(present.board, present.wall - present.at)
    refusal = answer.refusal
    if refusal is not None:
        words = say_refusal(refusal, Tried(cartridge=refusal.subject, now=answer.at), face)
        fields = {"accepted": False, "refusal": str(refusal.code), "says": words}
    else:
        words = words or tell_all(answer.events, present.board, face)
        fields = {"accepted": True, "refusal": None, "says": words} | fields
    out = sys.stderr if refusal is not None and not as_json else sys.stdout
    print(json.dumps(fields, ensure_ascii=False) if as_json else spelt_out(words), file=out)
    return DONE if refusal is None else WRONG_INPUT

"""Signing in for one command, where the site asks that of everybody; a PIN is typed and not shown."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from pathlib import Path

    from readbell.core.board.board import Board
    from readbell.scenarios.line import Request


def signing_in(board: Board, by: str | None) -> list[Request]:
    """Return how whoever decides signs in first, where the site asks that of everybody."""
    from readbell.core.policy.staffing import SignInBy
    from readbell.scenarios.staff_lines import Secret, SignInLine

    key = board.operators.get(by or "")
    if by is None or key is None or board.policy.sign_in is SignInBy.NONE:
        return []
    if board.policy.sign_in is SignInBy.BADGE:
        return [SignInLine(do="sign-in", by=by)]
    if not board.roster.standing(key).has_pin:
        return []  # the act itself says what is missing
    return [SignInLine(do="sign-in", by=by, pin=Secret(typed_pin(f"PIN of {by}")))]


def typed_pin(asks: str) -> str:
    """Return a PIN that no screen and no list of past commands shows; `asks` says whose."""
    import getpass

    if sys.stdin.isatty():
        return getpass.getpass(f"{asks}: ")
    return sys.stdin.readline().strip()


def look_at(path: Path) -> Board:
    """Return how the bay stands, without taking it up.

    Raises:
        JournalError: there is no journal, or it cannot be read.
    """
    import asyncio

    from readbell.assembly import follow

    async def once() -> Board:
        return (await anext(follow(path, once=True))).board

    return asyncio.run(once())


def after_signing_in(
    journal: Path | None, by: str | None, requests: Iterable[Request]
) -> Iterator[Request]:
    """Yield how `by` signs in to the bay in `journal`, if that is asked for, and then `requests`."""
    from readbell.settings.places import default_journal

    path = journal or default_journal()
    if path.is_file():
        yield from signing_in(look_at(path), by)
    yield from requests

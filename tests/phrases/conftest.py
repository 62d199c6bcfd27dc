"""What counts as a proper sentence, and as a bare code that no person should be shown."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Protocol

import pytest

from readbell.core.board.acts import NAMES as ACTS
from readbell.core.cartridge.events import AlertKind, SlipReason, VoidReason
from readbell.core.catalogue import NAMES as EVENTS
from readbell.core.reading.bands import Unreadable
from readbell.core.refusal import RefusalCode

if TYPE_CHECKING:
    from collections.abc import Iterable

CODES = frozenset(
    code
    for codes in (
        RefusalCode,
        VoidReason,
        SlipReason,
        AlertKind,
        Unreadable,
        ACTS.values(),
        EVENTS.values(),
    )
    for code in map(str, codes)
    if "-" in code
)
"""Words of the record that are no words of the bench."""
DEVIATION = re.compile(r"\b\w+-(short|long)\b")


class Properly(Protocol):
    """Checks that some words may be shown to a person, and returns how many sentences they are."""

    def __call__(self, words: str) -> int:
        """Check and count."""


def _codes_in(words: str) -> Iterable[str]:
    yield from (code for code in CODES if re.search(rf"(?<!-)\b{code}\b", words))
    yield from (found.group() for found in DEVIATION.finditer(words))


@pytest.fixture
def properly() -> Properly:
    """Return the check of words for people."""

    def check(words: str) -> int:
        assert words == words.strip()
        assert words.endswith((".", "!", "?")), words
        assert not words.endswith(".."), words
        assert "{" not in words, words
        assert "None" not in words, words
        assert re.search(r"[a-z]{2}  ", words) is None, words
        assert list(_codes_in(words)) == [], words
        return len(re.findall(r"[.!?](?=\s|$)", words))

    return check

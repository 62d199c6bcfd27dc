"""Why a reading waits for a supervisor: codes, part of the record and never changed."""

from __future__ import annotations

from enum import StrEnum


class HoldReason(StrEnum):
    """What was not in order about a reading, or about the work before it.

    After the drops nothing of this refuses a reading: a valid test would be lost
    for it. It is taken, and waits until a supervisor has looked at it.
    """

    UNVERIFIED = "unverified"
    """Somebody read under a typed name, and nobody has made sure who that was."""
    NOT_SIGNED_IN = "not-signed-in"
    """Somebody worked on it who was not signed in."""
    NOT_COMPETENT = "not-competent"
    """Whoever read it is not cleared for the assay, or no longer."""
    WITHOUT_ROLE = "without-role"
    """Whoever read it has not the role of a reader."""
    TEMPERATURE = "temperature"
    """At the bench it was, or may have been, too cold or too warm for the assay."""
    LOT_ON_HOLD = "lot-on-hold"
    """Its lot was on hold when it was read."""
    LOT_RECALLED = "lot-recalled"
    """Its lot was called back, before it was read or after."""
    LOT_EXPIRED = "lot-expired"
    """It was begun after the last day of its lot, as that day was corrected since."""
    CONTROL_FAILED = "control-failed"
    """A control sample on its lot failed, and none of that kind had passed since it was begun."""
    CONTROLS_OVERDUE = "controls-overdue"
    """Control samples of its lot were overdue when it was read, and the site is strict about it."""

    SECOND_NOT_READ_BACK = "second-not-read-back"
    """The person's second identifier was not read back at the reading, as the site asks."""
    READERS_DISAGREE = "readers-disagree"
    """Two people read the strip inside its window, and saw different things on it."""
    NOT_READ_TWICE = "not-read-twice"
    """A second reader was asked for, and nobody else read it before its window closed."""
    CONTRADICTS_EARLIER = "contradicts-earlier"
    """It repeats one that was withheld after a positive seen early, and says otherwise."""
    CONTRADICTS_ANOTHER = "contradicts-another"
    """Another cartridge of the person, run at the same time by the same assay, says otherwise."""
    READ_ON_BOTH_SIDES = "read-on-both-sides"
    """Two stations that did not reach each other both looked at the strip: nothing comes of it."""
    ACTED_APART = "acted-apart"
    """Something else was done with it at a station that was alone, and is kept apart."""
    RETIRED_MEANWHILE = "retired-meanwhile"
    """Whoever looked at it alone worked here no more by then, and could not know."""


SETTLED_BY_AMENDING = frozenset(
    {
        HoldReason.READERS_DISAGREE,
        HoldReason.NOT_READ_TWICE,
        HoldReason.CONTRADICTS_EARLIER,
        HoldReason.READ_ON_BOTH_SIDES,
    }
)
"""What a supervisor has decided who says anew what was on the strip; the rest still waits.

Of two cartridges that contradict each other that says nothing of which of them is right, nor
frees the other: each is released or taken back by itself.
"""


class AmendReason(StrEnum):
    """Why a supervisor says anew what was on a strip."""

    WRONGLY_ENTERED = "wrongly-entered"
    """The reader had seen one thing and entered another, too late for a correction."""
    WRONGLY_SEEN = "wrongly-seen"
    """Something on the strip was overlooked, or taken for what it is not."""
    READERS_DISAGREED = "readers-disagreed"
    """Two readers disagreed, or the second one never came, and somebody has to decide."""
    OTHER = "other"


class WithdrawReason(StrEnum):
    """Why a result is taken back."""

    ANOTHER_PERSON = "another-person"
    ANOTHER_CARTRIDGE = "another-cartridge"
    """What was read was another device, or labels were swapped."""
    WRONGLY_READ = "wrongly-read"
    PROCEDURE = "procedure"
    """The assay's procedure was not kept in a way that makes the result worthless."""
    KIT_FAULT = "kit-fault"
    OTHER = "other"

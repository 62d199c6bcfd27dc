"""Bytes that an earlier readbell stored are read as what they said then."""

from __future__ import annotations

import json

from builders import at
from readbell.core.cartridge.events import Identified, StepDone
from readbell.core.cartridge.moment import timed
from readbell.journal.codec import decode, encode
from readbell.journal.record import Head, Record, link

# As the version that knew no steps together wrote it, byte for byte.
STEP_OF_VERSION_1 = (
    '{"assay":null,"event":{"at":1774745640000,"by":"key-op-1","cartridge":"id-C1",'
    '"deviations":[],"done":{"earliest":1774745640000,"latest":1774745640000,'
    '"said":1774745640000,"stated":false},"identified":{"cartridge":null,"person":null},'
    '"specimen":"specimen-2","step":"collect"},"id":"event-1","kind":"step-done","rules":1,'
    '"seq":1,"stamp":{"at":1774745600000,"bay":"Harrow Quay","boot":"boot-1","counting":5000,'
    '"mode":"rehearsal","program":"0.0","station":"bench-1","wall":1774745600000},"version":1}'
)
HASH = "10730f241f91a1d263fea341ede7ffaa67380284640c659d190f720ed551fa37"


def stored() -> Record:
    """The old step as it lies in a journal."""
    return Record(
        seq=1, body=STEP_OF_VERSION_1, hash=link(Head().hash, STEP_OF_VERSION_1), private=()
    )


def test_a_step_stored_before_steps_could_be_together_was_confirmed_alone() -> None:
    """A journal of last year opens, and nothing in it is said to share its instant."""
    assert decode(stored(), lambda _: None).event == StepDone(
        at=at("0:40"),
        by="key-op-1",
        cartridge="id-C1",
        step="collect",
        done=timed(at("0:40")),
        deviations=(),
        specimen="specimen-2",
        identified=Identified(),
        together=False,
    )


def test_its_bytes_hash_as_they_did_when_they_were_chained() -> None:
    """What is lifted is what was read, never what is stored."""
    decode(stored(), lambda _: None)

    assert stored().hash.hex() == HASH


def test_a_step_stored_today_says_its_version_and_whether_it_was_together() -> None:
    """So that the next change of its shape can tell them apart."""
    written = json.loads(encode(decode(stored(), lambda _: None), Head()).body)

    assert (written["version"], written["event"]["together"]) == (2, False)

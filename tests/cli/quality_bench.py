"""A report on quality as a command gives it."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pypdf

from builders import CLEAR, FAINT, NEGATIVE, at
from cli.past_bay import BEA, PastBay
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.events import ActRefused
from readbell.core.board.fold import fold
from readbell.core.cartridge.events import SubjectKind
from readbell.core.controls.acts import ReceiveMaterial
from readbell.core.controls.material import SampleKind
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.core.refusal import RefusalCode

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command


WHO = ("--by", "op-1")


def as_json(command: Command, journal: Path, *arguments: str) -> dict[str, Any]:
    """The report as a program gets it."""
    done = command("quality", *arguments, *WHO, "--journal", journal, "--json")
    assert (done.status, done.err) == (0, "")
    found: dict[str, Any] = json.loads(done.out)
    return found


def text_of(pdf: bytes) -> str:
    """What stands on all pages."""
    return "\n".join(each.extract_text() for each in pypdf.PdfReader(io.BytesIO(pdf)).pages)


def in_one_line(text: str) -> str:
    """The same text, wherever its lines were broken."""
    return " ".join(text.split())


class ReadTwice(PastBay):
    """The past bay, in which from some day on each strip is read by two people."""

    def read_twice(self) -> ReadTwice:
        """Four strips, one of them faint, on which the readers part; and a near miss."""
        rule = SecondReaderRule(when=SecondReader.ALL)
        policy = PolicySet(at=at("0:00"), policy=SitePolicy(second_reader=(rule,)))
        self.board = fold(self.board, policy)
        self.events.append(policy)
        looks = ((CLEAR, CLEAR), (NEGATIVE, NEGATIVE), (FAINT, NEGATIVE), (FAINT, FAINT))
        for number, (first, second) in enumerate(looks, 4):
            label = f"C{number}"
            self.to_well(label, BEA)
            self.must(self.read_act(first, label), "18:00")
            self.must(self.read_act(second, label, by="op-2"), "19:00")
        self.events.append(
            ActRefused(
                at=at("18:00"),
                by="key-op-1",
                act="read",
                code=RefusalCode.TOO_EARLY,
                cartridge="id-C4",
                entered=None,
                bands=None,
            )
        )
        return self

    def sample(self) -> ReadTwice:
        """Receive a material and run a control sample, which passes."""
        self.must(
            ReceiveMaterial(
                by="op-1",
                number="M-1",
                kind=SampleKind.NEGATIVE,
                assay="respiratory-antigen-nasal",
                expires=self.board.lots["L-100"].expires,
            )
        )
        kind = SubjectKind.CONTROL_SAMPLE
        self.must(replace(self.label_act("C9", "M-1"), subject_kind=kind))
        for step in ("buffer", "collect", "extract"):
            self.step(step, "0:00", "C9")
        self.step("withdraw", "1:00", "C9")
        self.step("apply", "2:30", "C9")
        self.must(self.read_act(NEGATIVE, "C9"), "18:00")
        return self

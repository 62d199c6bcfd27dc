"""Every kind of line that a bay takes, found where they are written: a new one is tried by itself."""

from __future__ import annotations

import importlib
import pkgutil
import types
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import TYPE_CHECKING, Annotated, Any, Literal, Union, get_args, get_origin

import readbell.scenarios
from board_program.conftest import ASSAY, LOT, OPERATOR
from readbell.core.board.entry import ON_STOCK, SCRIPTED, Do
from readbell.scenarios import act_table
from readbell.scenarios.act_table import ActTable
from readbell.toml_tables import Table

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

KNOWN = {
    "by": OPERATOR,
    "person": "P-0412",
    "witness": "op-2",
    "assay": ASSAY,
    "lot": LOT,
    "step": "buffer",
    "steps": ["buffer"],
    "expires": "2099-12-31",
    "for": "1:00",
    "ago": "0:01",
}
"""What stands in a whole line under keys that name what is known already."""
WAS_READ = "X-read"
"""The label of a cartridge that has a result, by somebody else than `OPERATOR`."""
OF_A_RESULT = ("amend-result", "open-trace", "release-reading", "tell", "withdraw-result")
"""What asks for something about a result: on a fresh cartridge none of it would be taken."""
MADE_WHOLE: Mapping[str, Mapping[str, object]] = {
    "amend-result": {"control": True, "test": "faint"},
    "correct-lot": {"expires": "2098-12-31"},
    "describe-lot": {"buffer": "B-7"},
    "note-left": {"person": "P-0412"},
    "note-party": {"note": "in the shade"},
    "note-person": {"contact": "by the door"},
    "register-operator": {"by": OPERATOR},
    "take-back-step": {"reason": "not-done"},
}
"""What a line of a kind has to say beside the keys that it must have."""


@dataclass(frozen=True, slots=True)
class Kind:
    """One thing that a line may ask for, and its keys."""

    do: str
    keys: tuple[tuple[str, object, bool], ...]
    """Each key as it is written, its type, and whether it must be there."""

    def example(self, fresh: str) -> dict[str, Any]:
        """Return a whole line of this kind; what it makes anew is called `fresh`."""
        needed = {
            key: KNOWN.get(key, fresh if key == "cartridge" else example_of(kind, fresh))
            for key, kind, must in self.keys
            if must and key != "do"
        }
        if self.do in OF_A_RESULT:
            needed["cartridge"] = WAS_READ
        return {"do": self.do, **needed, **MADE_WHOLE.get(self.do, {})}


def every_kind() -> list[Kind]:
    """Return every kind of line there is."""
    for module in pkgutil.iter_modules(readbell.scenarios.__path__):
        importlib.import_module(f"{readbell.scenarios.__name__}.{module.name}")
    found = [kind for table in _tables(Table) for kind in _kinds_of(table)]
    return sorted({kind.do: kind for kind in found}.values(), key=lambda kind: kind.do)


def _tables(table: type[Table]) -> Iterator[type[Table]]:
    for each in table.__subclasses__():
        yield each
        yield from _tables(each)


def _kinds_of(table: type[Table]) -> Iterator[Kind]:
    if "do" not in table.model_fields or not table.__module__.startswith("readbell.scenarios."):
        return
    keys = {
        field.alias or name: (field.annotation, field.is_required())
        for name, field in table.model_fields.items()
    }
    if issubclass(table, ActTable):
        for do in Do:
            if do in SCRIPTED - ON_STOCK:  # of a lot a bay is told by lines of its own
                needed = act_table._NEEDED[do]
                goes = act_table._ALLOWED[do]
                yield Kind(
                    do,
                    tuple(
                        # A line counts back from now, and calls it otherwise.
                        ("ago" if key == "done_at" else key, kind, must or key in needed)
                        for key, (kind, must) in keys.items()
                        if key in goes
                    ),
                )
        return
    for do in get_args(keys["do"][0]):
        yield Kind(str(do), tuple((key, kind, must) for key, (kind, must) in keys.items()))


def example_of(kind: object, fresh: str) -> object:
    """Return a value of a type that may stand in a line."""
    origin, inner = get_origin(kind), get_args(kind)
    if origin is Annotated or origin in (Union, types.UnionType):
        return example_of(inner[0], fresh)
    if origin is Literal:
        return inner[0]
    if origin in (tuple, list):
        return [example_of(inner[0], fresh)]
    if origin is dict:
        return {}
    if isinstance(kind, type):
        for one, value in (
            (Enum, lambda: next(iter(kind)).value),  # type: ignore[call-overload]
            (bool, lambda: True),
            (date, lambda: "2099-12-31"),
            (float, lambda: 1.0),
            (int, lambda: 1),
        ):
            if issubclass(kind, one):
                return value()
    return fresh

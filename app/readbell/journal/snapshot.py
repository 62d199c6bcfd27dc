"""What the journal added up to at one event, kept beside it so that a start is short.

It is never the truth: the journal is, and whatever does not fit is thrown away and
made anew. It is believed only if the very program wrote it that reads it, if nothing
of it was changed by accident, and if the event it ends with stands in the journal with
the same hash. And what it says is held against the whole record, event by event, in
the background after each start (see `checking`).

It is not chained and holds identifiers, so all of it stands on the erasable side: with
the first identifier that is erased all of it goes, by a rule of the file itself.

Mappings that grow with the years are kept in layers, each with what changed since the
layer below; a new one swallows those below it that are not much larger. So what is
written at the end of a day is about as much as happened in it. With each layer lies by
how much it changes what was counted (see `counting`).
"""

from __future__ import annotations

import hashlib
import json
import os
import sys
import zlib
from collections.abc import Mapping
from dataclasses import field, fields
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import readbell.core
from readbell.core.board.board import Board
from readbell.core.board.layered import Layered
from readbell.core.made_later import dataclass
from readbell.journal.envelope import Stamp
from readbell.journal.joining import Stratum, joined
from readbell.journal.packed import Packed, packing
from readbell.journal.plain_values import Plain
from readbell.journal.record import Head
from readbell.shapes import shape_of, write

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.figures.counted import Counted
    from readbell.journal.packed import Packing

TOP = 0
"""The number of the part that says what the others are."""
FEW = 256
"""A mapping of no more entries is not worth a layer."""
SWALLOWED = 10_000
"""A layer of more entries is left as it is, so that no end of a day takes long."""
AT_HAND = frozenset({"running"})
"""Looked at all the time, so it is never packed."""
_DIGEST_BYTES = 32


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One layer as it is stored."""

    number: int
    digest: str
    entries: int
    parts: Mapping[str, Any]
    """For each mapping where its entries lie in `body`."""
    body: memoryview
    counted: memoryview
    """What was counted, as `counting` packs it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Base:
    """What the next snapshot can be laid upon."""

    classes: list[str] = field(default_factory=list)
    assays: list[Any] = field(default_factory=list)
    layers: tuple[Layer, ...] = ()
    stacks: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    """The packed mappings as they were loaded, by their field."""
    board: Board = field(default_factory=Board)
    """As it was loaded."""


NOTHING = Base()


@dataclass(frozen=True, slots=True, kw_only=True)
class Snapshot:
    """What a journal added up to at `head`."""

    board: Board
    last: Stamp
    head: Head
    base: Base


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A snapshot ready to be stored, in numbered parts."""

    parts: Mapping[int, bytes]
    """What is to be written; the parts named in `stay` are there already."""
    stay: frozenset[int]


@cache
def fingerprint() -> str:
    """Return what changes with any rule of the core, or with the form of a snapshot."""
    digest = hashlib.sha256(sys.byteorder.encode())
    here = Path(__file__).parent
    beside = ("columns", "counting", "envelope", "joining", "packed", "plain_values", "snapshot")
    files = [here / f"{name}.py" for name in beside]
    for folder, _, names in sorted(os.walk(Path(readbell.core.__file__).parent)):
        files += [Path(folder) / name for name in sorted(names) if name.endswith(".py")]
    for each in files:
        digest.update(each.read_bytes())
    return digest.hexdigest()


def read_snapshot(parts: Mapping[int, bytes]) -> Snapshot | None:
    """Return the snapshot that was stored in `parts`, or None if it is not to be believed."""
    try:
        top = parts[TOP]
        if hashlib.sha256(top[_DIGEST_BYTES:]).digest() != top[:_DIGEST_BYTES]:
            return None
        said = json.loads(zlib.decompress(top[_DIGEST_BYTES:]))
        if said["program"] != fingerprint():
            return None
        layers = tuple(_layer(parts[number], number, digest) for number, digest in said["layers"])
        return _unpacked(said, layers)
    except (LookupError, ValueError, TypeError, zlib.error):
        return None  # whatever it is, it is nothing that this program wrote


def _layer(body: bytes, number: int, digest: str) -> Layer:
    if hashlib.sha256(body).hexdigest() != digest:
        raise ValueError
    lies = memoryview(body)
    length = int.from_bytes(body[:4], "big")
    header = json.loads(body[4 : 4 + length])
    rest = lies[4 + length :]
    return Layer(
        number=number,
        digest=digest,
        entries=header["entries"],
        parts=header["parts"],
        body=rest,
        counted=_lies(rest, header["counted"]),
    )


def _lies(body: memoryview, span: list[int]) -> memoryview:
    return body[span[0] : span[0] + span[1]]


def _unpacked(said: dict[str, Any], layers: tuple[Layer, ...]) -> Snapshot:
    plain = Plain(said["classes"], said["assays"])
    stacks: dict[str, Mapping[str, Any]] = {}
    for layer in layers:
        for name, part in layer.parts.items():
            own = _packed(layer, part, plain)
            below = None if part["anew"] else stacks.get(name)
            stacks[name] = (
                own
                if below is None
                else Layered(below, own, frozenset(part["gone"]), part["length"])
            )
    values: dict[str, Any] = {name: plain.read(found) for name, found in said["board"].items()}
    board = Board(**values | stacks)
    return Snapshot(
        board=board,
        last=shape_of(Stamp).read(said["last"], _refuse),
        head=Head(seq=said["seq"], hash=bytes.fromhex(said["hash"])),
        base=Base(
            classes=said["classes"],
            assays=said["assays"],
            layers=layers,
            stacks=stacks,
            board=board,
        ),
    )


def _packed(layer: Layer, part: dict[str, Any], plain: Plain) -> Packed[Any]:
    pages = [_lies(layer.body, each) for each in part["pages"]]
    return Packed(_lies(layer.body, part["index"]), pages, plain.read)


def _refuse(_: Any) -> Any:
    raise TypeError


def taking(
    board: Board, last: Stamp, head: Head, base: Base = NOTHING, swallowed: int = SWALLOWED
) -> Iterator[Written | None]:
    """Take a snapshot of `board`, a little at each step; the last step gives it.

    Args:
        board: what the journal adds up to.
        last: of the last event.
        head: the end of the journal then.
        base: what was loaded, to be laid upon; it stays as it is.
        swallowed: a layer of more entries is left as it is.

    Raises:
        TypeError: the board holds what no snapshot can.
    """
    plain = Plain(base.classes, base.assays)
    kept: dict[str, Any] = {}
    changes: dict[str, _Changes] = {}
    for each in fields(Board):
        value = getattr(board, each.name)
        if _is_small(each.name, value, base):
            kept[each.name] = plain.write(value)
        elif value is not base.stacks.get(each.name):
            changes[each.name] = _Changes.since(base.stacks.get(each.name), value)
        yield None
    from readbell.journal import counting  # by who writes a snapshot: a start only reads one

    counted = counting.nothing()
    for found in counting.counting(base.board, board):
        counted = found or counted
        yield None
    entries = sum(each.size for each in changes.values()) + len(counted.cells)
    layers, below = list(base.layers), list[Layer]()
    while entries and layers and layers[-1].entries <= min(2 * entries, swallowed):
        entries += layers[-1].entries
        below.insert(0, layers.pop())
    made: dict[int, bytes] = {}
    named = [[each.number, each.digest] for each in layers]
    if entries:
        number = max((each.number for each in base.layers), default=TOP) + 1
        counts = counting.packed(_with_those_of(below, counted))
        yield None
        for body in _layer_of(changes, below, board, base, plain, entries, counts):
            if body is not None:
                made[number] = body
                named.append([number, hashlib.sha256(body).hexdigest()])
            yield None
    top = {
        "program": fingerprint(),
        "seq": head.seq,
        "hash": head.hex,
        "last": json.loads(write(last)),
        "classes": plain.classes,
        "assays": plain.assays,
        "board": kept,
        "layers": named,
    }
    packed = zlib.compress(json.dumps(top, separators=(",", ":")).encode(), 1)
    made[TOP] = hashlib.sha256(packed).digest() + packed
    yield Written(parts=made, stay=frozenset(each.number for each in layers))


def _with_those_of(below: list[Layer], counted: Counted) -> Counted:
    from readbell.journal import counting

    made = counting.nothing()
    for each in below:
        made.join(counting.unpacked(each.counted))
    made.join(counted)
    return made


def _is_small(name: str, value: object, base: Base) -> bool:
    if not isinstance(value, Mapping) or name in AT_HAND:
        return True
    return len(value) <= FEW and name not in base.stacks


@dataclass(slots=True, kw_only=True)
class _Changes:
    """What is new in one mapping, its values plain or still to be written."""

    entries: dict[str, Any]
    gone: frozenset[str]
    anew: bool
    """Whether nothing of what lies below counts any more."""

    @classmethod
    def since(cls, before: Mapping[str, Any] | None, now: Mapping[str, Any]) -> _Changes:
        """Return what changed from `before` to `now`."""
        if isinstance(now, Layered) and before is not None and now.below is before:
            return cls(entries=dict(now.own), gone=now.gone, anew=False)
        return cls(entries=dict(now), gone=frozenset(), anew=True)

    @property
    def size(self) -> int:
        """How much it is to write."""
        return len(self.entries) + len(self.gone)


class _Laid:
    """What one mapping is in several layers that become one."""

    def __init__(self) -> None:
        self.strata: list[Stratum] = []
        self.anew = False

    def over(self, own: Packed[Any], gone: frozenset[str], *, anew: bool) -> None:
        """Lay a later layer over those before; `anew`: nothing of them counts any more."""
        if anew:
            self.strata.clear()
        self.anew = self.anew or anew
        self.strata.append(Stratum(own=own, gone=gone))


def _lying(found: Packing, plain: Plain) -> Packed[Any]:
    return Packed(memoryview(found.index), [memoryview(each) for each in found.pages], plain.read)


def _layer_of(
    changes: Mapping[str, _Changes],
    below: list[Layer],
    board: Board,
    base: Base,
    plain: Plain,
    entries: int,
    counts: bytes,
) -> Iterator[bytes | None]:
    """Make one layer of `changes` and of those `below` that it swallows; the last step gives it.

    `counts` is what was counted of all of it, packed.
    """
    laid: dict[str, _Laid] = {}
    reader = Plain(base.classes, base.assays)
    for layer in below:
        for name, part in layer.parts.items():
            laid.setdefault(name, _Laid()).over(
                _packed(layer, part, reader), frozenset(part["gone"]), anew=part["anew"]
            )
    for name, change in changes.items():
        for place, (key, value) in enumerate(change.entries.items()):
            change.entries[key] = plain.write(value)
            if place % 64 == 63:
                yield None
        for found in packing(change.entries.items()):
            if found is not None:
                laid.setdefault(name, _Laid()).over(
                    _lying(found, reader), change.gone, anew=change.anew
                )
            yield None
    header: dict[str, Any] = {}
    blobs: list[bytes | memoryview] = []
    length = 0

    def put(blob: bytes | memoryview) -> list[int]:
        nonlocal length
        blobs.append(blob)
        length += len(blob)
        return [length - len(blob), len(blob)]

    for name, part in laid.items():
        for found in joined(part.strata):
            if found is not None:
                header[name] = {
                    "index": put(found.index),
                    "pages": [put(page) for page in found.pages],
                    "gone": sorted(frozenset().union(*(each.gone for each in part.strata))),
                    "anew": part.anew,
                    "length": len(getattr(board, name)),
                }
            yield None
    said = {"entries": entries, "parts": header, "counted": put(counts)}
    written = json.dumps(said, separators=(",", ":")).encode()
    yield b"".join([len(written).to_bytes(4, "big"), written, *blobs])

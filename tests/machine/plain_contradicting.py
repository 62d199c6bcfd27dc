"""Two cartridges of one person that say opposite things at one time, as plainly as it can be written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from machine.plain_cartridge import gravest

if TYPE_CHECKING:
    from machine.plain_cartridge import Cartridge

WORD = "contradicts-another"


def says(found: Cartridge) -> dict[str, str]:
    """Give what could be told of each analyte now, were nothing held; between two readings what it was before."""
    if found.withdrawn or found.void:
        return {}
    if not found.outcomes:
        return dict.fromkeys(found.early, "positive")
    return found.outcomes if gravest(found.outcomes) in ("positive", "negative") else {}


def hold_both(cartridges: dict[str, Cartridge], found: Cartridge, before: dict[str, str]) -> None:
    """Hold a cartridge, and each other that says otherwise; `before`: what it said until then."""
    if _is_read_once(found):
        return
    for other in cartridges.values():
        if other is found or _is_read_once(other) or not _are_of_one_time(found, other):
            continue
        if other in _repeated(cartridges, found) or found in _repeated(cartridges, other):
            continue
        if _opposite(says(found), says(other)):
            is_new = not _opposite(before, says(other))
            for each in (found, other):
                if WORD not in each.held and (is_new or not each.was_contradicted):
                    each.held.add(WORD)
                    each.was_contradicted = True


def _is_read_once(found: Cartridge) -> bool:
    """Say whether somebody else has yet to read it; once it has lapsed nobody does."""
    return found.awaits and not found.ended


def _repeated(cartridges: dict[str, Cartridge], found: Cartridge) -> list[Cartridge]:
    """Give what a cartridge repeats, and what that one repeats."""
    before, all_before = found.repeats, []
    while before is not None:
        all_before.append(cartridges[before])
        before = cartridges[before].repeats
    return all_before


def _opposite(one: dict[str, str], other: dict[str, str]) -> bool:
    return any({word, other.get(name)} == {"positive", "negative"} for name, word in one.items())


def _are_of_one_time(one: Cartridge, other: Cartridge) -> bool:
    same = (one.person, one.forgotten, one.assay.id) == (
        other.person,
        other.forgotten,
        other.assay.id,
    )
    return same and _begun_within(one, other) and _begun_within(other, one)


def _begun_within(one: Cartridge, other: Cartridge) -> bool:
    end = other.read_to_its_end_at
    if end is None and other.applied is not None:
        end = other.window()[3]
    return end is None or one.done[0].said < end

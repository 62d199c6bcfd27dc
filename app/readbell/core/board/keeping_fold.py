"""How a board forgets: by the very event that tells of an erasing, whoever folds it.

A record that is read back after an erasing has nothing to forget: what was erased was
never there to be read. Whoever had taken it in before, such as somebody who looks on
from another screen, forgets it here.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.forgetting import forget_words
from readbell.core.keeping.events import ArchiveWritten, ErasedScope, RecordErased

if TYPE_CHECKING:
    from readbell.core.board.draft import Draft
    from readbell.core.keeping.events import KeepingEvent


def enter_keeping(draft: Draft, event: KeepingEvent) -> None:
    """Enter what was done with the record itself."""
    match event:
        case RecordErased():
            _forget(draft, event)
        case ArchiveWritten():
            draft.archives = (*draft.archives, event)
        case _:
            pass  # kept for whoever looks into the record; nothing stands otherwise for it


def _forget(draft: Draft, event: RecordErased) -> None:
    if event.scope is ErasedScope.PERIOD:
        draft.names_since = event.through
    gone = frozenset(event.keys)
    for still_to_do in (
        draft.to_tell_first,
        draft.to_tell,
        draft.to_notify,
        draft.unsent,
        draft.owed,
    ):
        # Nobody can be told, or asked to come again, whom nobody knows any more.
        for cartridge in [each for each, who in still_to_do.mapping.items() if who in gone]:
            still_to_do.drop(cartridge)
    for key in event.keys:
        if key not in draft.names.mapping:
            continue  # free text, or something noted beside an ID
        known = draft.names.get(key)
        if known is not None:
            draft.persons.drop(known)
        draft.names.put(key, None)
        draft.person_files.drop(key)
        draft.new_specimen.drop(key)
    for whose in event.whose:
        if whose in draft.names.mapping and draft.names.get(whose) is None:
            draft.person_files.drop(whose)  # noted alone of somebody who was erased meanwhile
    parties = (each for each in event.keys if each in draft.parties.mapping)
    forget_words(draft, (*event.whose, *parties), gone)

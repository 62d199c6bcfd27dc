"""What SQLite says is wrong, in words; and text of a stored event, or that it is none any more."""

from __future__ import annotations

import apsw

from readbell.journal.errors import BrokenChainError


def text_of(seq: int, body: bytes | None) -> str:
    """Return the body of event `seq` as text.

    Raises:
        BrokenChainError: its bytes are gone, or are no text.
    """
    if body is None:  # only a damaged page gives this, as the table takes none
        what = "its bytes are gone: restore a backup"
        raise BrokenChainError(seq, what)
    try:
        return body.decode()
    except UnicodeDecodeError:
        what = "its bytes are no longer text: restore a backup"
        raise BrokenChainError(seq, what) from None


def what_to_do(error: apsw.Error) -> str:
    """Say what is to be done about a journal that cannot be opened: it may be as good as ever."""
    match error:
        case apsw.IOError() | apsw.FullError() | apsw.ReadOnlyError():
            return "nothing was read or written; see to the room on its disk and the rights there"
        case apsw.BusyError() | apsw.LockedError():
            return "try again in a moment"
        case _:
            return "this is no journal that can be used"


def reason_of(error: Exception) -> str:
    """Say in a few words what went wrong."""
    match error:
        case apsw.FullError():
            return "the disk is full"
        case apsw.ReadOnlyError() | PermissionError():
            return "it may not be written"
        case apsw.BusyError() | apsw.LockedError():
            return "another program holds it"
        case apsw.NotADBError():
            return "it is not a database, or it has a key"
        case apsw.CorruptError():
            return "the file is damaged"
        case FileNotFoundError():
            return "the file was moved or deleted"
        case OSError(strerror=str() as words):
            return words
        case _:
            return str(error) or type(error).__name__

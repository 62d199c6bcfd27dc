"""Whether the whole record was checked, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.record_check import RecordState

if TYPE_CHECKING:
    from readbell.core.board.record_check import RecordCheck


def in_the_header(check: RecordCheck) -> tuple[str, ...]:
    """Return what the top line says of the record, the longest first; nothing where all is told."""
    match check.state:
        case RecordState.CHECKING:
            return (f"records being checked: {check.percent} %", f"checked {check.percent} %")
        case RecordState.WHOLE:
            return ("records checked, whole",)
        case RecordState.NOT_CHECKED:
            return ("records not checked", "not checked")
        case RecordState.BROKEN | RecordState.UNCHECKED:
            return ()


def in_the_notice(check: RecordCheck) -> tuple[str, str, str] | None:
    """Return that the record is broken, in fewer and fewer words; None where it is not."""
    if not check.is_broken:
        return None
    where = _where(check)
    return (
        f"RECORD BROKEN {where}. Start nobody; write results on paper too. Tell a supervisor.",
        f"RECORD BROKEN {where}. Start nobody.",
        "RECORD BROKEN",
    )


def tell_record(check: RecordCheck) -> str | None:
    """Return the line for what is known of the record now; None where nobody checks it."""
    match check.state:
        case RecordState.CHECKING:
            return f"The records are being checked in the background: {check.percent} %."
        case RecordState.WHOLE:
            return f"Records checked: whole, {check.event} events."
        case RecordState.NOT_CHECKED:
            return (
                f"The records could not be checked ({check.why}). "
                "Nothing is known against them: check them with 'readbell verify'."
            )
        case RecordState.BROKEN:
            return (
                f"RECORD BROKEN {_where(check)}: {_why(check)}. Start nobody; finish what runs, "
                "write results on paper too, and tell a supervisor."
            )
        case RecordState.UNCHECKED:
            return None


def _where(check: RecordCheck) -> str:
    return f"at event {check.event}" if check.event else "in its file"


def _why(check: RecordCheck) -> str:
    return check.why.removeprefix(f"event {check.event}: ").rstrip(".")

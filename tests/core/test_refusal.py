"""The codes of a refusal are stable words that records and exports rely on."""

from __future__ import annotations

from readbell.core.board.acts import HearAlert
from readbell.core.board.entry import Do, Entry
from readbell.core.cartridge.acts import Aim
from readbell.core.refusal import Refusal, RefusalCode

# The closed list of the headless contract, and what the bay adds for acts a scenario cannot make.
CONTRACT = {
    "too-early", "early-negative", "early-no-control", "window-closed", "wrong-cartridge",
    "wrong-person", "unknown-cartridge", "unknown-operator", "unknown-person", "unknown-lot",
    "lot-expired", "lot-on-hold", "lot-used-up", "out-of-order", "wait-not-over", "label-in-use",
    "already-read", "already-ended", "bad-bands", "not-allowed",
}  # fmt: skip
OF_THE_BAY = {"not-adopted", "already-known", "not-saved", "record-broken"}
OF_STAFF = {
    "not-signed-in", "pin-wanted", "wrong-pin", "pin-too-soon", "locked-out", "role-missing",
    "not-competent",
}  # fmt: skip
OF_THE_STOCK = {
    "lot-two-expiries", "box-of-another-assay", "box-opened-too-long", "kit-cold", "controls-due",
    "unknown-sample", "sample-expired",
}  # fmt: skip
OF_THE_SHIFT = {"out-of-temperature", "no-shift", "still-running"}
OF_STATIONS = {"alone", "held-elsewhere"}

OF_PATIENTS = {
    "id-malformed", "id-check-failed", "second-identifier-missing", "consent-missing",
    "consent-refused", "repeat-limit",
}  # fmt: skip


def test_the_codes_are_the_words_of_the_contract() -> None:
    """A code that is renamed breaks every record and every check made before."""
    assert {
        str(code) for code in RefusalCode
    } - OF_PATIENTS == CONTRACT | OF_THE_BAY | OF_STAFF | OF_THE_STOCK | OF_THE_SHIFT | OF_STATIONS


def test_a_code_alone_makes_a_refusal() -> None:
    """Figures stand beside a code only where there are any, so their absence is plain."""
    refusal = Refusal(code=RefusalCode.NOT_SAVED)

    assert (refusal.subject, refusal.due, refusal.limit, refusal.elapsed) == ("", None, None, None)


def test_what_was_scanned_is_not_in_the_repr() -> None:
    """A wristband scanned for a cartridge is somebody's identifier, and a repr may end in a report."""
    refusal = Refusal(code=RefusalCode.UNKNOWN_CARTRIDGE, subject="pat-1301")
    aim = Aim(by="nurse-ada", cartridge="pat-1301", scanned="pat-1301", person="pat-1301")
    heard = HearAlert(by="nurse-ada", cartridge="pat-1301")
    entry = Entry(do=Do.VOID, by="nurse-ada", cartridge="pat-1301")

    assert not [each for each in (refusal, aim, heard, entry) if "pat-1301" in repr(each)]

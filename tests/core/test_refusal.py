"""The codes of a refusal are stable words that records and exports rely on."""

from __future__ import annotations

from readbell.core.refusal import Refusal, RefusalCode

# The closed list of the headless contract, and what the bay adds for acts a scenario cannot make.
CONTRACT = {
    "too-early", "early-negative", "early-no-control", "window-closed", "wrong-cartridge",
    "wrong-person", "unknown-cartridge", "unknown-operator", "unknown-person", "unknown-lot",
    "lot-expired", "lot-on-hold", "lot-used-up", "out-of-order", "wait-not-over", "label-in-use",
    "already-read", "already-ended", "bad-bands", "not-allowed",
}  # fmt: skip
OF_THE_BAY = {"not-adopted", "already-known", "not-saved"}


def test_the_codes_are_the_words_of_the_contract() -> None:
    """A code that is renamed breaks every record and every check made before."""
    assert {str(code) for code in RefusalCode} == CONTRACT | OF_THE_BAY


def test_a_code_alone_makes_a_refusal() -> None:
    """Figures stand beside a code only where there are any, so their absence is plain."""
    refusal = Refusal(code=RefusalCode.NOT_SAVED)

    assert (refusal.subject, refusal.due, refusal.limit, refusal.elapsed) == ("", None, None, None)

"""Every way in which somebody is told."""

from __future__ import annotations

from itertools import product

from builders import at, private
from readbell.core.board import telling
from readbell.core.reading.interpretation import LineOutcome, Outcome
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.results.status import ResultStatus
from readbell.core.results.telling import Channel, Hearer, ResultTold

_SEEN = {
    ResultStatus.PRELIMINARY: Outcome.POSITIVE,
    ResultStatus.FINAL: Outcome.NEGATIVE,
    ResultStatus.WITHDRAWN: None,
}
TELLING_EVENTS: list[ResultTold] = [
    ResultTold(
        at=at("20:00"),
        by="key-op-1",
        cartridge="id-C1",
        version=1,
        status=status,
        outcomes=() if seen is None else (LineOutcome(line="sars-cov-2", outcome=seen),),
        to=to,
        how=how,
        words=private("their sister") if to is Hearer.OTHER else None,
    )
    for (status, seen), to, how in product(_SEEN.items(), Hearer, Channel)
]
TELLING_REFUSALS: list[tuple[str, Refusal]] = [
    (subject, Refusal(code=RefusalCode.NOT_ALLOWED, subject=subject))
    for name, subject in sorted(vars(telling).items())
    if isinstance(subject, str) and (name.startswith("TELL_") or name == "NOTHING_YET")
]

"""A busy bay, invented: 25 cartridges in every state, played through the core's own door."""

from __future__ import annotations

from datetime import UTC

from builders import CLEAR, START, Bench, private, span
from readbell.core.board.acts import RegisterPerson
from readbell.core.board.fold import fold
from readbell.core.cartridge.looks import lapse
from readbell.core.instant import Instant, Span, earlier, later
from readbell.core.span_text import write_span
from readbell.phrases.clock_time import ClockFace

FACE = ClockFace(zone=UTC)
NOW = later(START, span("40:00"))

TO_OPENING = {
    "C07": "1:20",
    "C08": "2:05",
    "C09": "3:20",
    "C10": "3:55",
    "C11": "5:30",
    "C12": "5:55",
    "C13": "6:20",
    "C14": "7:50",
    "C15": "8:40",
    "C16": "9:05",
    "C17": "10:30",
    "C18": "11:10",
    "C19": "12:25",
    "C20": "13:30",
    "C21": "14:40",
}
"""How long each has to its opening."""
TO_CLOSE = {"C03": "1:10", "C04": "2:40", "C05": "3:25", "C06": "4:48"}
IN_BUFFER = {"C22": "1:25", "C23": "0:35"}
"""How long each swab has stood in the buffer."""
LAPSED_SINCE = "1:20"


def busy_bench() -> Bench:
    """Return a bench with everything on it that the board can show, as it is at NOW."""
    bench = Bench(units=None)
    for number in range(412, 437):
        bench.must(RegisterPerson(by="op-1", person=private(f"P-0{number}")))
    _run(bench, "C01", "P-0412", _minus("20:00", LAPSED_SINCE, more=True))
    for place, (tag, left) in enumerate(TO_CLOSE.items()):
        _run(bench, tag, f"P-0{414 + place}", _minus("20:00", left))
    for place, (tag, left) in enumerate(TO_OPENING.items()):
        _run(bench, tag, f"P-0{418 + place}", _minus("15:00", left))
    for place, (tag, since) in enumerate(IN_BUFFER.items()):
        _begin(bench, tag, f"P-0{433 + place}", earlier(NOW, span(since)), last="extract")
    _begin(bench, "C24", "P-0435", earlier(NOW, span("0:50")), last="buffer")
    _begin(bench, "C25", "P-0436", earlier(NOW, span("0:10")), last="label")
    bench.must(bench.look_act(CLEAR, "C09"), _text(earlier(NOW, span("1:00"))))
    lost = bench.cartridge("C01")
    bench.board = fold(bench.board, lapse(lost, earlier(NOW, span(LAPSED_SINCE))))
    return bench


def _minus(whole: str, left: str, *, more: bool = False) -> Instant:
    """Return when the drops fell, if so much of `whole` is left, or so much more has gone by."""
    gone = span(whole) + span(left) if more else span(whole) - span(left)
    return earlier(NOW, Span(gone))


def _run(bench: Bench, tag: str, person: str, drops: Instant) -> None:
    begun = earlier(drops, span("2:00"))
    _begin(bench, tag, person, begun, last="extract")
    bench.must(bench.step_act("withdraw", tag), _text(later(begun, span("1:30"))))
    bench.must(bench.step_act("apply", tag), _text(drops))


def _begin(bench: Bench, tag: str, person: str, at: Instant, *, last: str) -> None:
    bench.must(bench.label_act(tag, person), _text(at))
    keys = [step.key for step in bench.assay.steps]
    for step in keys[1 : keys.index(last) + 1]:
        bench.must(bench.step_act(step, tag), _text(at))


def _text(at: Instant) -> str:
    return write_span(Span(at - START))

"""The worst texts in every key of every line, in every form and in every file.

Each is taken as it is, sign for sign, or refused in one sentence; none ends the program,
none becomes another text, and none reaches a screen as a code.
"""

from __future__ import annotations

import contextlib
import io
import re
import signal
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from itertools import count, cycle
from typing import TYPE_CHECKING, Any

from board_program.conftest import LOT, OPERATOR, Place, on_bench
from readbell.cli.first_start import NotStartedError, _ask
from readbell.core.people.events import PersonRegistered
from readbell.hand.first_start import first_questions
from readbell.hand.scene import AtHand
from torture.alarmed import trying
from torture.line_kinds import WAS_READ, every_kind
from torture.processes import Bay, site
from torture.text_files import continuation, files, words_of_the_command
from torture.texts import as_bytes, as_json, recorded, strings_in, texts, unseen
from torture.trial import Ground, Trial, Tried

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from torture.processes import Site

SENTINEL = "this-asks-for-nothing"
CODES = re.compile(
    rb"\x1b(?:\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)|[()][0-9A-B]|[=>78cM])"
)
SECRETS = ("pin", "new_pin")
"""Keys whose text is never kept as it is."""
FORMS = {
    "nothing in hand": (),
    "a list of people": (".start",),
    "the label of a device": ("P-0412",),
    "a place on the bench": ("P-0412", ".more"),
    "a step": ("C02",),
    "when a step was done": ("C02", ".earlier"),
    "a reading": ("C01",),
    "a void": (".choose C02", ".void"),
    "each room": (".rooms",),
    **{
        f"the form of room {number}": (".rooms", *[".next"] * number, ".start")
        for number in range(8)
    },
}
"""How each form of the board is come by, in plain lines."""


def lines(ground: Ground) -> Tried:
    """Put each text under each key of each line, as its value, in a list and as a key."""
    tried = Tried(what="each text in every key of every line of a bay")
    some = texts(ground, 2)
    taken: set[str] = set()
    # What needs a fresh device first: a text may well put the lot on hold later on.
    kinds = sorted(every_kind(), key=lambda kind: kind.do != "void")
    with site(ground.folder()) as place, trying(tried):
        Place.write_assay(_Assays(place))  # type: ignore[arg-type]  # it only asks for the folder
        bay = _ready(place)
        number, strengths = count(1), cycle(("faint", "absent"))
        for kind in kinds:
            for key in (*(each for each, _, _ in kind.keys), "a key of its own"):
                for text in some.values():
                    fresh = f"X-{next(number)}"
                    if kind.do == "void":
                        bay.must(**_labelling(fresh))
                    line = kind.example(fresh)
                    if kind.do == "amend-result":
                        # Each is taken: it says otherwise than the one before.
                        line["test"] = next(strengths)
                    shapes = [line | {key: text}]
                    if key == "a key of its own":
                        shapes = [line | {text: text}]
                    elif key in ("persons", "steps", "test"):
                        shapes += [line | {key: [text, "X"]}, line | {key: {text: "faint"}}]
                    for shape in shapes:
                        tried.times += 1
                        if _answered(tried, bay, shape, next(number)) and key not in SECRETS:
                            taken.add(text)
        tried.expect(bay.leave() == 0 and not bay.complaints, f"it ended badly: {bay.complaints}")
        _compare(tried, place.journal, taken)
        tried.expect(place.verify().returncode == 0, "the journal is not whole")
        _shown_clean(tried, place)
    tried.note = f"{len(kinds)} kinds of lines; {len(taken)} texts were taken, sign for sign"
    return tried


class _Assays:
    """What `Place.write_assay` asks of a place."""

    def __init__(self, place: Site) -> None:
        self.folder = place.top


def _ready(place: Site) -> Bay:
    bay = place.start("--name", "Harrow Quay")
    by = {"by": OPERATOR}
    bay.must(do="register-operator", id=OPERATOR)
    bay.must(do="register-operator", id="op-2", **by)
    bay.must(do="adopt-assay", assay="quick", instructions="v1", **by)
    bay.must(do="receive-lot", number=LOT, assay="quick", expires="2099-12-31", **by)
    bay.must(do="register-person", id="P-0412", **by)
    _read_one(bay)
    return bay


def _read_one(bay: Bay) -> None:
    """Run one to its result: what is asked for about results needs one."""
    bay.must(**_labelling(WAS_READ))
    on_it = {"cartridge": WAS_READ}
    for step in ("buffer", "collect", "extract", "withdraw", "apply"):
        time.sleep(0.15)  # longer than the assay of a test waits
        bay.must(do="step", step=step, by=OPERATOR, **on_it)
    time.sleep(0.6)
    bay.must(do="read", by="op-2", control=True, test="absent", **on_it)


def _labelling(label: str) -> dict[str, str]:
    return {"do": "label", "by": OPERATOR, "cartridge": label, "person": "P-0412", "lot": LOT}


def _answered(tried: Tried, bay: Bay, said: dict[str, Any], number: int) -> bool:
    """Give one line; look at every word that comes of it; return whether it was taken."""
    end = f"{SENTINEL}-{number}"
    asks_for_nothing = {"do": "mute", "by": OPERATOR, "reason": end, "for": "1:00"}
    bay.say(as_json(said), as_json(asks_for_nothing))
    accepted = False
    while end not in (found := bay.line()).get("says", ""):
        accepted |= bool(found.get("accepted"))
        bad = "".join(map(unseen, strings_in(found)))
        tried.expect(not bad, f"{bad!r} was said of {str(said)[:200]!r}")
    bay.heard.clear()
    return accepted


def _compare(tried: Tried, journal: Path, taken: set[str]) -> None:
    """Every text that was taken stands in the journal as it is, and nobody else was entered."""
    kept = recorded(journal)
    for text in taken:
        tried.expect(text in kept, f"{text[:60]!r} was taken and is not in the journal")
        tried.expect(not unseen(text), f"{text[:60]!r} was taken, and looks like another")
    odd = [each for each in kept if unseen(each)]
    tried.expect(not odd, f"kept, and nobody can see it whole: {odd[:3]!r}")


def _shown_clean(tried: Tried, place: Site) -> None:
    """No command prints a code of what the journal holds."""
    for words in (("watch", "--once"), ("verify",)):
        done = place.run(*words, "--journal", str(place.journal))
        tried.expect(done.returncode == 0, f"{words[0]}: {done.stderr[:300]}")
        for line in (done.stdout + done.stderr).splitlines():
            tried.expect(not unseen(line), f"{words[0]} printed {unseen(line)!r}")


def forms(ground: Ground) -> Tried:
    """Put each text into each form of the board: nothing is taken that is not as it was given."""
    tried = Tried(what="each text in every form of the board, in plain lines")
    some = {name: text for name, text in texts(ground, 2).items() if "\n" not in text}
    given = set(some.values()) | {each.strip() for each in some.values()}
    place = Place(ground.folder())
    with trying(tried):
        try:
            place.prepare(*on_bench("C01", "C02"), persons=["P-0412", "P-0413"])
            board = place.lines("--quiet")
            number = count(1)
            for way in FORMS.values():
                for text in some.values():
                    tried.times += 1
                    end = f"{SENTINEL}-{next(number)}"
                    before = len(board.said)
                    tries = (text, f".{text}", f".T {text}", f".choose {text}", ".start", ".back")
                    given |= {each.strip() for each in tries}
                    board.say(*way, *map(as_bytes, tries), ".back", ".back", f".{end}")
                    board.until_said(end, before)
                    for line in board.said[before:]:
                        tried.expect(not unseen(line), f"it said {unseen(line)!r} of {text[:60]!r}")
            board.end_of_input()
            tried.expect(board.wait() == 0, "it ended badly")
            tried.expect(place.run("verify").returncode == 0, "the journal is not whole")
            for each in place.events():
                if isinstance(each, PersonRegistered):
                    who = each.person.value or ""
                    known = who in given or who in ("P-0412", "P-0413")
                    tried.expect(known, f"{who!r} was entered, and nobody gave that")
            odd = [each for each in recorded(place.journal) if unseen(each)]
            tried.expect(not odd, f"kept, and nobody can see it whole: {odd[:3]!r}")
        finally:
            place.close()
    return tried


def screen(ground: Ground) -> Tried:
    """Type and paste each text on a real board: no code of it comes back, and scans are taken."""
    tried = Tried(what="each text typed, pasted and shown on a real board")
    some = texts(ground, 2)
    place = Place(ground.folder())
    with trying(tried):
        try:
            place.prepare(persons=["P-0412"])
            bench = place.board("--quiet", size=(200, 60))
            for text in some.values():
                tried.times += 1
                bench.press("f2")
                for before, after in ((b"", b"\r"), (b"\x1b[200~", b"\x1b[201~")):
                    bench.pause(0.15)
                    bench.give(before + as_bytes(text).replace(b"\x1b", b"^") + after)
                    bench.pause(0.15)
                for _ in range(3):
                    bench.press("escape")
                bad = [row for row in bench.rows if unseen(row)]
                tried.expect(not bad, f"on the screen for {text[:60]!r}: {bad[:1]!r}")
            bench.press_for("f2", "Scan each person")
            bench.scan_for("P-0999", "1: P-0999")
            bench.send(signal.SIGTERM)
            bench.wait()  # else the last code might have come by half
            shown = CODES.sub(b"", bytes(bench.output)).decode()
            odd = {sign for sign in shown if not sign.isprintable()} - {"\r", "\n"}
            tried.expect(not odd, f"written to the terminal: {odd!r}")
            tried.expect(place.run("verify").returncode == 0, "the journal is not whole")
        finally:
            place.close()
    return tried


def first_start(ground: Ground) -> Tried:
    """Answer each question of a first start with each text."""
    tried = Tried(what="each text as an answer at the first start")
    shelf = (AtHand(id="quick", title="Quick"),)
    for text in texts(ground, 10).values():
        for each in first_questions(shelf, "UTC", date(2026, 1, 1), lambda zone: zone == "UTC"):
            tried.times += 1
            answers = iter((text,))

            def read(_: str, answers: Iterator[str] = answers) -> str:
                answer = next(answers, None)
                if answer is None:
                    raise EOFError
                return answer

            printed = io.StringIO()
            with contextlib.redirect_stdout(printed), contextlib.redirect_stderr(printed):
                try:
                    taken = _ask(each, read)
                except NotStartedError:
                    taken = ""
            tried.expect(taken in ("", text.strip(), each.usual), f"{each.key}: another text")
            for line in (taken, *printed.getvalue().splitlines()):
                tried.expect(not unseen(line), f"{each.key}: {unseen(line)!r} of {text[:60]!r}")
    return tried


def text(ground: Ground) -> Iterator[Tried]:
    """Try every place where a text may come in; real programs side by side, the rest after them."""
    with ThreadPoolExecutor(3) as several:
        yield from several.map(lambda tried: tried(ground), (lines, forms, screen))
    yield first_start(ground)
    yield words_of_the_command(ground)
    yield from files(ground)
    yield continuation(ground)


TRIALS = [Trial(name="text", title="Texts", run=text)]

"""A result slip in plain words, in English or in the words that a site gives instead."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.owing import spares
from readbell.core.board.repeats import gets_no_repeat
from readbell.core.made_later import dataclass
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.status import ResultStatus
from readbell.core.results.telling import Saying, said_of, saying_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping
    from datetime import datetime

    from readbell.core.board.board import Board
    from readbell.core.board.on_slip import OnSlip, SlipOf
    from readbell.core.cartridge.moment import Done
    from readbell.core.instant import Instant
    from readbell.core.results.result import Result

    Local = Callable[[Instant], datetime]

WORDS: Mapping[str, str] = {
    "title": "Your test result",
    "patient_id": "Patient ID",
    "name": "Name",
    "born": "Date of birth",
    "positive": "POSITIVE",
    "negative": "NEGATIVE",
    "invalid": "INVALID",
    "repeat": "TO BE REPEATED",
    "no_result": "NO RESULT",
    "preliminary": "PRELIMINARY",
    "amended": "AMENDED",
    "withdrawn": "WITHDRAWN",
    "on_paper": "recorded on paper first",
    "first_read": "first read as",
    "specimen": "Specimen",
    "taken": "Specimen taken",
    "applied": "Put on the test",
    "read": "Read",
    "seen_early": "Seen early",
    "not_read": "not read in time",
    "stated": "stated, not timed",
    "read_by": "Read by",
    "lot": "Kit, lot",
    "cartridge": "Cartridge",
    "made": "Slip made",
    "not_counted": "Also run in this visit, and not counted",
    "means": "What this means",
    "means_positive": "The test found what it looks for.",
    "means_negative": (
        "The test did not find what it looks for. That does not exclude it: early in an "
        "infection, for one, there may be too little to be seen."
    ),
    "means_repeat": (
        "No result came of this test, neither positive nor negative. It says nothing about you. "
        "It is to be repeated with a new specimen."
    ),
    "means_refer": (
        "No result came of this test, neither positive nor negative. It says nothing about you, "
        "and it is not repeated here."
    ),
    "means_preliminary": (
        "This was seen before the end of the test. It is read once more at its time, and you are "
        "told if that says otherwise."
    ),
    "means_amended": (
        "The reading was looked at again and amended. This slip takes the place of any earlier one."
    ),
    "means_withdrawn": (
        "What was read was taken back and does not count. Whatever you were told of it before "
        "no longer holds."
    ),
    "cautions": "Please note",
    "caution_rapid": (
        "This is a rapid test. It can be wrong, in both directions. A negative result does not "
        "exclude an infection."
    ),
    "caution_rules": (
        "Follow local rules, and ask a licensed professional what to do now, above all if you "
        "feel ill. This slip is not a diagnosis."
    ),
    "for_guardian": "Given to a parent or guardian, as the consent on file allows.",
    "for_other": "Given to somebody whom the person named, as the consent on file allows.",
    "rehearsal": "REHEARSAL: practice, of no patient.",
    "page": "page",
}
"""What a site may say otherwise, by its name in settings.toml."""

_OUTCOMES = {
    Outcome.POSITIVE: ("positive",),
    Outcome.NEGATIVE: ("negative",),
    Outcome.INVALID: ("invalid", "repeat"),
    Outcome.WITHHELD: ("repeat",),
}
_FOR = {"guardian": "for_guardian", "other": "for_other"}


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipPart:
    """One test on a slip."""

    test: str
    marks: tuple[str, ...]
    """Beside the name of the test: preliminary, amended, withdrawn."""
    outcomes: tuple[tuple[str, str], ...]
    """Of each analyte: its name, and what came of it."""
    facts: tuple[tuple[str, str], ...]
    """What was when, and with what: a word and what is said to it."""
    means: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """What stands on the slip of one person, in words alone."""

    heading: str
    """Who hands it out."""
    title: str
    banner: str
    """Across the top of each page; empty: nothing is wrong with taking it for what it is."""
    person: tuple[tuple[str, str], ...]
    parts: tuple[SlipPart, ...]
    means: str
    """Above what each test means."""
    cautions: tuple[str, ...]
    """The first one is a heading."""
    text: tuple[str, ...]
    """The site's own, a paragraph each."""
    foot: str
    page: str
    """The word for a page."""
    language: str

    def __repr__(self) -> str:
        """Name nobody: this may end in a crash report."""
        return f"Slip({len(self.parts)} parts)"


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipStyle:
    """What a site says of its slips."""

    heading: str = ""
    """Left out: the name of the bay."""
    text: tuple[str, ...] = ()
    footer: str = ""
    language: str = "en"
    words: Mapping[str, str] | None = None
    """In place of those of the same name in `WORDS`."""


def say_slip(
    found: SlipOf,
    board: Board,
    local: Local,
    style: SlipStyle,
    *,
    made: Instant,
    to: str,
    rehearsal: bool,
) -> Slip:
    """Return what stands on a slip.

    Args:
        found: what goes on it.
        board: the bay.
        local: gives what the clock at the site showed at an instant.
        style: what the site says of its slips.
        made: when it is made.
        to: whom it is for: "person", "guardian" or "other".
        rehearsal: whether all of it is practice.
    """
    words = {**WORDS, **(style.words or {})}
    bay = "" if board.founded is None else board.founded.bay
    on = f"{words['made']}: {_time(local(made))}"
    return Slip(
        heading=style.heading or bay,
        title=words["title"],
        banner=words["rehearsal"] if rehearsal else "",
        person=tuple(_person(found.person, board, words)),
        parts=tuple(_part(each, board, local, words) for each in found.results),
        means=words["means"],
        cautions=(
            words["cautions"],
            words["caution_rapid"],
            words["caution_rules"],
            *((words[_FOR[to]],) if to in _FOR else ()),
        ),
        text=style.text,
        foot=" - ".join(each for each in (style.footer, bay, on) if each),
        page=words["page"],
        language=style.language,
    )


def slip_lines(slip: Slip) -> Iterator[str]:
    """Yield a slip as lines of text."""
    yield slip.heading
    yield ""
    if slip.banner:
        yield slip.banner
        yield ""
    yield slip.title.upper()
    yield ""
    for word, said in slip.person:
        yield f"{word}: {said}"
    for part in slip.parts:
        yield ""
        yield " - ".join((part.test, *part.marks))
        for analyte, outcome in part.outcomes:
            yield f"    {analyte}: {outcome}"
        for word, said in part.facts:
            yield f"  {word}: {said}"
        for said in part.means:
            yield f"  {said}"
    yield ""
    yield from slip.cautions
    if slip.text:
        yield ""
        yield from slip.text
    yield ""
    if slip.banner:
        yield slip.banner
    yield slip.foot


def _person(key: str, board: Board, words: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    yield words["patient_id"], board.name(key) or "-"
    known = board.person_files.get(key)
    if known is not None:
        if known.name:
            yield words["name"], known.name
        if known.born:
            yield words["born"], known.born


def _part(found: OnSlip, board: Board, local: Local, words: Mapping[str, str]) -> SlipPart:
    result = found.shown
    cartridge = board.cartridge(result.cartridge)
    referred = cartridge is not None and gets_no_repeat(board, cartridge)
    spared = cartridge is not None and spares(board, cartridge) is not None
    if spared:
        words = {**words, "repeat": words["no_result"]}
    elif referred:
        words = {
            **words,
            "repeat": words["no_result"],
            "means_repeat": " ".join((words["means_refer"], board.policy.referral)).rstrip(),
        }
    return SlipPart(
        test=result.assay.title,
        marks=tuple(words[each] for each in _marks(result)),
        outcomes=tuple(_outcomes(result, words)),
        facts=tuple(_facts(found, board, local, words)),
        means=tuple(
            _say_means(each, words)
            for each in _means(result)
            if not spared or each != "means_repeat"  # another one of theirs runs or has a result
        ),
    )


def _marks(result: Result) -> Iterator[str]:
    if result.status is ResultStatus.PRELIMINARY:
        yield "preliminary"
    if result.status is ResultStatus.AMENDED:
        yield "amended"
    if result.status is ResultStatus.WITHDRAWN:
        yield "withdrawn"


def _outcomes(result: Result, words: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    said = {each.line: each.outcome for each in said_of(result)}
    firsts = {each.line: each.first for each in result.analytes}
    for line in result.assay.reading.lines:
        if line.key in said:
            outcome = _say_outcome(said[line.key], words)
            first = firsts.get(line.key)
            if first is not None and first is not said[line.key]:
                outcome = f"{outcome} ({words['first_read']} {_say_outcome(first, words)})"
            yield line.name, outcome
        elif saying_of(result) is Saying.REPEAT:
            yield line.name, words["repeat"]


def _say_outcome(outcome: Outcome, words: Mapping[str, str]) -> str:
    return ", ".join(words[each] for each in _OUTCOMES[outcome])


def _facts(
    found: OnSlip, board: Board, local: Local, words: Mapping[str, str]
) -> Iterator[tuple[str, str]]:
    result = found.shown
    if result.collected is not None:
        yield words["taken"], _done(result.collected, local, words)
    if result.applied is not None:
        yield words["applied"], _done(result.applied, local, words)
    reader = result.read_by
    if result.read_at is not None:
        stated = f" ({words['stated']})" if result.on_paper else ""
        yield words["read"], f"{_time(local(result.read_at))}{stated}"
    elif result.early is not None:
        reader = result.early.by
        yield words["seen_early"], _time(local(result.early.at))
    elif result.lapsed:
        yield words["read"], words["not_read"]
    if reader is not None:
        yield words["read_by"], board.name(reader) or "-"
    yield words["specimen"], result.assay.specimen
    yield words["lot"], result.lot
    mark = f" ({words['on_paper']})" if result.on_paper else ""
    yield words["cartridge"], f"{result.label}{mark}"
    if found.under:
        yield words["not_counted"], ", ".join(each.label for each in found.under)


def _means(result: Result) -> Iterator[str]:
    saying = saying_of(result)
    outcomes = {each.outcome for each in said_of(result)}
    if result.status is ResultStatus.WITHDRAWN:
        yield "means_withdrawn"
    if saying is Saying.REPEAT:
        yield "means_repeat"
        return
    if Outcome.POSITIVE in outcomes:
        yield "means_positive"
    if Outcome.NEGATIVE in outcomes:
        yield "means_negative"
    if Outcome.INVALID in outcomes:
        yield "means_repeat"
    if saying is Saying.PRELIMINARY:
        yield "means_preliminary"
    if result.status is ResultStatus.AMENDED:
        yield "means_amended"


def _say_means(meaning: str, words: Mapping[str, str]) -> str:
    """Return a sentence; one about an outcome after its word, as several may stand on a slip."""
    head = meaning.removeprefix("means_")
    return f"{words[head]}: {words[meaning]}" if head in words else words[meaning]


def _done(done: Done, local: Local, words: Mapping[str, str]) -> str:
    stated = f" ({words['stated']})" if done.stated else ""
    return f"{_time(local(done.said))}{stated}"


def _time(shown: datetime) -> str:
    """Return an instant as whoever reads it has it on their clock, with its offset from UTC."""
    return f"{shown:%Y-%m-%d %H:%M} (UTC{shown.isoformat()[-6:]})"

"""What the hand is in the middle of while the board stays: a step or its end, a label, a party, a void."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.events import OWED_NO_REPEAT
from readbell.hand import stepping, taking_back, voiding
from readbell.hand.before_pouch import SHUT
from readbell.hand.doing import Gathering, Labelling, Stepping, TakingBack, Voiding
from readbell.hand.labelling import WITNESS, label_on_key, missing_second
from readbell.hand.second import ask_for
from readbell.hand.which_box import box_in_hand, first_box, other_boxes, say_why, title_of
from readbell.ui.form import Painted, paint_form
from readbell.ui.ink import Line, Piece, Token, line
from readbell.ui.wrapped import PROSE, shortened, wrapped

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.hand.scene import Scene

Task = Stepping | Labelling | Gathering | Voiding | TakingBack
MARGIN = 2
HIDDEN = "hidden"
IN_ORDER = "They are swabbed in this order; each pouch is opened at its turn."
ANOTHER = "F2 begins another for this person."
GO_ON = "To go on with the one they have, scan it itself."
FRESH = "a fresh cartridge and a new specimen follow"
NOTHING = "no repeat is due"
OTHER_BOX = "Another box: scan it."
ALSO_OPEN = "Another box: scan it, or F4."
KEEP_APART = (
    "Only now: open one pouch, its lot and last day held against these; write the person's ID on "
    "the cartridge. No pouch is opened ahead."
)
OF_SAMPLE = "Open one pouch, and write on the cartridge which control material it is for."


def task_panel(
    doing: Task, scene: Scene, width: int, height: int, *, masked: bool = False
) -> Painted:
    """Return the panel in at most `height` lines of `width` cells.

    What was just scanned is shown back; `masked` hides it once nobody is there to see it.
    """
    match doing:
        case Stepping():
            made = _stepping(doing, scene, width, height)
        case Labelling():
            made = _labelling(doing, scene, width, masked=masked)
        case Gathering():
            made = _gathering(doing, width, height, masked=masked)
        case Voiding():
            made = _voiding(doing, scene, width, height)
        case TakingBack():
            made = _taking_back(doing, scene, width, height)
    return made.rows(0, height).fitted(width)


def _title(first: str, *rest: str, width: int) -> Line:
    """Return the first words, and as many of the others as fit whole."""
    kept = shortened(first, width - 1) or first
    made = line(" ", Piece(kept, Token.HANDS, bold=True))
    for words in rest:
        more = line(Piece(f"   {words}", Token.SOFT))
        if words and made.width + more.width <= width:
            made = made + more
    return made


def _stepping(doing: Stepping, scene: Scene, width: int, height: int) -> Painted:
    """Return the steps in the words of the assay; what would be recorded is always in sight."""
    cartridge = scene.cartridge(doing.cartridge)
    steps = () if cartridge is None else stepping.offered(doing, cartridge)
    if cartridge is None or not steps:
        return Painted(())
    names = ", ".join(each.title for each in steps)
    together = "together" if len(steps) > 1 else ""
    title = Painted((_title(f"{cartridge.label}  {names}", together, width=width),))
    told = [words for each in steps for words in _wrapped(each.instruction, width)]
    wait = steps[-1].wait
    if wait is not None and wait.name:
        told += _wrapped(f"Then {wait.name}: it is timed from here.", width)
    asked = stepping.questions(doing, cartridge)
    form = paint_form(asked, -1, width, max(2, height - 1 - len(told)))
    room = max(0, height - 1 - len(form.lines))
    return title.then(Painted(tuple(_said(each) for each in told[:room]))).then(form)


def _labelling(doing: Labelling, scene: Scene, width: int, *, masked: bool) -> Painted:
    lot = box_in_hand(doing, scene)
    known = None if lot is None else scene.board.lots.get(lot)
    left = None if known is None else known.left
    others = other_boxes(doing, scene)
    stock = (
        f"lot {lot}, good to {known.expires}"
        if known is not None
        else "No box is in front: scan its lot, or F4."
        if others
        else "No box is open: scan its lot."
    )
    count = "" if left is None else f"{left} left"
    place = f"at {doing.place}" if doing.place else ""
    if doing.again:
        asked = _title(HIDDEN if masked else doing.person, "another cartridge?", width=width)
        subject = scene.board.persons.get(doing.person)
        runs = any(each.labelled.subject == subject for each in scene.in_order())
        words = f"{ANOTHER} {GO_ON}" if runs else ANOTHER
        box = first_box(doing.person, scene, is_sample=False).lot
        tests = title_of(scene.board, box)
        told = (words, f"The open box: {tests}." if tests else "")
        return Painted((asked, *(_said(each) for one in told for each in _wrapped(one, width))))
    apart = OF_SAMPLE if doing.is_sample else KEEP_APART
    if doing.asks_witness:
        apart = SHUT
    free = label_on_key(doing, scene)
    how = (
        WITNESS
        if doing.asks_witness
        else f"Scan the cartridge's own label; or write {free} on it, then F2."
        if doing.doubted is None
        else "Scan the cartridge's own label; F2 takes what was scanned for it."
    )
    what = missing_second(doing)
    if what is not None:
        how = f"{ask_for(what)} {how}"
    tests = title_of(scene.board, lot)
    said = (f"{tests}.", say_why(doing), ALSO_OPEN if others else OTHER_BOX)
    what_runs = " ".join(each for each in said if each) if tests else ""
    lines = [
        _title(HIDDEN if masked else doing.person, stock, count, place, width=width),
        *(_said(each) for words in (what_runs, how, apart) for each in _wrapped(words, width)),
    ]
    return Painted(tuple(lines))


def _gathering(doing: Gathering, width: int, height: int, *, masked: bool) -> Painted:
    count = len(doing.persons)
    so_far = f"{count} so far" if count else "nobody yet"
    lines = [_title("Who is here", so_far, doing.lane or "", width=width)]
    order = _wrapped(IN_ORDER, width)
    room = max(1, height - 1 - len(order))
    shown = list(enumerate(doing.persons, start=1))[-room:]
    # The last one is large in the eye: it is what was just scanned.
    for number, person in shown:
        last = number == count
        said = HIDDEN if masked else person
        token = Token.TEXT if last else Token.SOFT
        lines.append(
            line(" " * MARGIN, Piece(f"{number:>3}  ", Token.SOFT), Piece(said, token, bold=last))
        )
    lines += [_said(each) for each in order]
    return Painted(tuple(lines))


def _voiding(doing: Voiding, scene: Scene, width: int, height: int) -> Painted:
    cartridge = scene.cartridge(doing.cartridge)
    if cartridge is None:
        return Painted(())
    follows = NOTHING if doing.reason in OWED_NO_REPEAT else FRESH
    title = _title(f"Void {cartridge.label}", follows, width=width)
    form = paint_form(voiding.questions(doing, cartridge), 1, width, max(1, height - 1))
    return Painted((title,)).then(form)


def _taking_back(doing: TakingBack, scene: Scene, width: int, height: int) -> Painted:
    cartridge = scene.cartridge(doing.cartridge)
    if cartridge is None:
        return Painted(())
    steps = taking_back.titles(doing, cartridge)
    title = Painted((_title(f"Take back on {cartridge.label}", steps, width=width),))
    told = [words for each in _told(doing, cartridge, scene) for words in _wrapped(each, width)]
    form = paint_form(taking_back.questions(doing), 0, width, max(1, height - 1 - len(told)))
    room = max(0, height - 1 - len(form.lines))
    return title.then(Painted(tuple(_said(each) for each in told[:room]))).then(form)


def _told(doing: TakingBack, cartridge: Cartridge, scene: Scene) -> Iterator[str]:
    """Yield who confirmed it and when, and what taking it back means."""
    marks = taking_back.about(doing, cartridge)
    if not marks:
        yield "Somebody has gone on with it meanwhile: nothing of this is taken back. Esc."
        return
    mark = marks[-1]
    by = scene.board.name(mark.by) or "erased"
    all_of_them = f", {len(marks)} steps by one press" if len(marks) > 1 else ""
    steps = taking_back.titles(doing, cartridge)
    yield f"{steps}: confirmed {scene.face.time(mark.done.said)} by {by}{all_of_them}."
    yield "It then counts as not done; confirm it again once it is. The record keeps both."


def _wrapped(words: str, width: int) -> list[str]:
    return wrapped(words, max(1, min(width - 2 * MARGIN, PROSE)))


def _said(words: str) -> Line:
    return line(" " * MARGIN, Piece(words, Token.SOFT))

"""What was told, entered on a board, and the small mappings of what is still to be told.

Each mapping may name a cartridge of which there is nothing to tell just now, such as one
that is held for review: whoever lists them looks at each. What has been told and holds
is in none of them, so a bay that tells its results keeps them short for ever.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.subjects import is_patients
from readbell.core.errors import BrokenRecordError
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.result import result_of, result_of_paper_run
from readbell.core.results.to_tell import Urgency, is_to_notify, urgency_of

if TYPE_CHECKING:
    from readbell.core.board.draft import Draft
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.paper.events import PaperRunEntered
    from readbell.core.policy.notices import NoticeRule
    from readbell.core.policy.policy import SitePolicy
    from readbell.core.results.result import Result
    from readbell.core.results.telling import ResultTold


def rule_for(policy: SitePolicy, assay: str) -> NoticeRule | None:
    """Return whom the site notifies of results of the assay with this id; None: nobody."""
    return next((each for each in policy.notices if each.assay == assay), None)


def enter_told(draft: Draft, event: ResultTold) -> None:
    """Enter that somebody was told.

    Raises:
        BrokenRecordError: the record never introduced what was told.
    """
    told = draft.told.get(event.cartridge) or ()
    draft.told.put(event.cartridge, (*told, event))
    _place(draft, _result_called(draft, event.cartridge))


def note_to_tell(draft: Draft, cartridge: Cartridge) -> None:
    """Note what is now to be told of `cartridge`, which has ended or showed something early.

    It is asked with every event on one, so what was never told is not looked at closely.
    """
    if not is_patients(cartridge):
        return
    key, subject = cartridge.id, cartridge.labelled.subject
    if draft.told.get(key) is not None:
        _place(draft, result_of(cartridge))
    elif not cartridge.has_ended:
        draft.to_tell_first.put(key, subject)
    elif cartridge.outcome is Outcome.POSITIVE:
        draft.to_tell.drop(key)  # a supervisor may have amended it
        draft.to_tell_first.put(key, subject)
        _note_notice(draft, cartridge)
    else:
        draft.to_tell_first.drop(key)
        draft.to_notify.drop(key)
        if cartridge.voided is None:
            draft.to_tell.put(key, subject)
            _note_notice(draft, cartridge)


def note_paper_run(draft: Draft, run: PaperRunEntered) -> None:
    """Note what is to be told of a run on paper."""
    _place(draft, _of_paper(draft, run))


def let_repeat_go(draft: Draft, cartridge: str) -> None:
    """Take out that somebody is to be tested again: a repeat was begun. What misled them stays."""
    draft.to_tell.drop(cartridge)


def _note_notice(draft: Draft, cartridge: Cartridge) -> None:
    if draft.policy.notices:
        rule = rule_for(draft.policy, cartridge.assay.id)
        if rule is not None and is_to_notify((), result_of(cartridge), rule):
            draft.to_notify.put(cartridge.id, cartridge.labelled.subject)


def _place(draft: Draft, result: Result) -> None:
    """Put `result` where it now belongs, by all that was told of it."""
    key, told = result.cartridge, draft.told.get(result.cartridge) or ()
    urgency = urgency_of(told, result)
    for ledger, holds in (
        (draft.to_put_right, (Urgency.PUT_RIGHT,)),
        (draft.to_tell_first, (Urgency.POSITIVE,)),
        (draft.to_tell, (Urgency.REPEAT, Urgency.NEGATIVE)),
    ):
        if urgency in holds:
            ledger.put(key, result.subject)
        else:
            ledger.drop(key)
    rule = rule_for(draft.policy, result.assay.id)
    if rule is not None and is_to_notify(told, result, rule):
        draft.to_notify.put(key, result.subject)
    else:
        draft.to_notify.drop(key)


def _result_called(draft: Draft, key: str) -> Result:
    run = draft.paper_runs.get(key)
    if run is not None:
        return _of_paper(draft, run)
    cartridge = draft.cartridge(key)
    if not is_patients(cartridge):
        msg = f"the record tells somebody of {key!r}, which is no patient's"
        raise BrokenRecordError(msg)
    return result_of(cartridge)


def _of_paper(draft: Draft, run: PaperRunEntered) -> Result:
    assay = draft.assays.want(run.assay, "assay").assay
    return result_of_paper_run(run, assay, draft.paper_withdrawn.get(run.run))

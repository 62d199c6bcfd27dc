"""What is told about the next start: the rule, its reasons, and the list of each hand."""

from __future__ import annotations

from dataclasses import replace

from builders import NASAL, Bench, at, private, span
from core.plan.kits import within
from readbell.core.board.acts import RegisterPerson
from readbell.core.instant import Span, later
from readbell.core.plan.answer import STANDS_FOR, Answer, Crew, Rule, answer
from readbell.core.plan.conditions import Condition
from readbell.core.plan.hands_on import HandsOn, exactly


def asked(bench: Bench, now: str, crew: Crew | None = None) -> Answer:
    """Return the answer at `now` for one more of the bench's own assay."""
    board = bench.board
    assays = {key: each.assay for key, each in board.assays.items()}
    running = tuple(board.running.values())
    return answer(running, assays, bench.assay, crew or Crew(gloves=Span(0)), at(now))


def in_buffer(bench: Bench) -> Bench:
    """Take C1 until its swab stands in the buffer, at 1:20."""
    bench.label("C1", "P-001", "0:00")
    for step, when in (("buffer", "0:10"), ("collect", "0:55"), ("extract", "1:20")):
        bench.step(step, when)
    return bench


def test_the_rule_is_the_guarantee_where_its_conditions_hold() -> None:
    """And then nothing else is said."""
    found = asked(in_buffer(Bench()), "1:20")

    assert found.rule is Rule.GUARANTEED
    assert found.start.is_now(at("1:20"))
    assert (found.broken, found.advice, found.left_out) == ((), None, ())


def test_where_a_condition_is_broken_the_usual_times_advise_and_it_is_named() -> None:
    """Of a wait from 1:00 to 1:12 a withdrawal that may take 13.3 s cannot be promised."""
    found = asked(Bench(within("1:12")), "0:00")

    assert found.rule is Rule.ADVICE
    assert [each.condition for each in found.broken] == [Condition.FITS_THE_WAIT]
    assert found.start.is_now(at("0:00"))


def test_advice_is_told_where_it_comes_sooner_than_the_guarantee() -> None:
    """With two minutes of wait another may be begun at usual times, and not for certain."""
    found = asked(in_buffer(Bench(within("2:00"))), "1:20")

    assert found.rule is Rule.GUARANTEED
    assert found.start.at is not None
    assert found.start.at > at("1:20")
    assert found.advice is not None
    assert found.advice.is_now(at("1:20"))


def test_advice_that_comes_no_sooner_is_not_told() -> None:
    """Hands that never vary are promised what they are advised."""
    times = {step.key: exactly(step.hands_on) for step in NASAL.steps}
    never_vary = Crew(
        gloves=Span(0), times={NASAL.id: times | {"read": exactly(NASAL.reading.hands_on)}}
    )
    bench = Bench()
    bench.to_well(applied="2:30")
    found = asked(bench, "21:30", never_vary)

    assert not found.start.is_now(at("21:30"))
    assert found.advice is None


def test_advice_is_told_where_the_guarantee_is_not_in_sight() -> None:
    """For a site with one hand whose bounds are far wider than what is usual."""
    slow = HandsOn(least=Span(1), usual=span("0:45"), most=span("30:00"))
    crew = Crew(gloves=Span(0), times={NASAL.id: {"collect": slow}})
    bench = Bench()
    bench.label("C1", "P-001", "0:00")
    found = asked(in_buffer(Bench()), "1:20", crew)

    assert found.start.at is not None
    assert found.advice is not None
    assert found.advice.at is not None
    assert found.advice.at < found.start.at


def test_where_far_too_much_is_at_risk_nothing_is_advised() -> None:
    """There is no start that would not make it worse."""
    bench = Bench()
    for each in range(1, 15):
        bench.must(RegisterPerson(by="op-1", person=private(f"X-{each}")))
        bench.to_well(f"C{each}", f"X-{each}", applied="2:30")
    found = asked(bench, "22:20")

    assert found.start.at is None
    assert len(found.start.already) > 12
    assert found.advice is None


def test_the_way_out_of_the_answer_before_is_tried_again() -> None:
    """If it rested on the same rule; so nothing promised is lost by thinking anew."""
    bench = in_buffer(Bench())
    board = bench.board
    assays = {key: each.assay for key, each in board.assays.items()}
    running = tuple(board.running.values())
    last = asked(bench, "1:20")
    ways = last.carried_to(last.bench)

    assert len(ways) == 2
    crew = Crew(gloves=Span(0))
    for before in (last, replace(last, rule=Rule.ADVICE), None):
        found = answer(running, assays, bench.assay, crew, at("1:25"), before)
        assert found.start.is_now(at("1:25"))


def test_a_site_s_own_times_decide() -> None:
    """Hands that swab within 20 s are done before the first one's two minutes are over."""
    quick = exactly(span("0:20"))
    bench = in_buffer(Bench(within("2:00")))

    assert not asked(bench, "1:20").start.is_now(at("1:20"))
    crew = Crew(gloves=Span(0), times={NASAL.id: {"collect": quick, "extract": quick}})
    assert asked(bench, "1:20", crew).start.is_now(at("1:20"))


def test_every_kit_that_runs_must_meet_the_conditions() -> None:
    """A guarantee for the new one is worth nothing if it costs the old one."""
    bench = in_buffer(Bench(within("1:12")))
    assays = {key: each.assay for key, each in bench.board.assays.items()}
    running = tuple(bench.board.running.values())
    other = replace(NASAL, id="another")

    assert answer(running, assays, other, Crew(), at("1:20")).rule is Rule.ADVICE


def test_an_answer_stands_for_a_while_and_no_longer_than_to_its_instant() -> None:
    """Then it is worked out anew, though nobody has acted."""
    free = asked(Bench(), "0:00")
    assert free.holds(at("0:00"))
    assert free.holds(later(at("0:00"), Span(STANDS_FOR - 1)))
    assert not free.holds(later(at("0:00"), STANDS_FOR))
    assert not free.holds(later(at("0:00"), Span(-1)))

    coming = replace(free, start=replace(free.start, at=at("0:02")))
    assert coming.holds(at("0:01.999"))
    assert not coming.holds(at("0:02"))
    never = replace(free, start=replace(free.start, at=None))
    assert never.holds(at("0:14.999"))
    assert not never.holds(at("0:15"))


def test_the_list_of_a_hand_has_what_comes_first_then_the_start_then_the_rest() -> None:
    """In order, at the usual times."""
    bench = in_buffer(Bench(within("2:00")))
    (agenda,) = asked(bench, "1:20").agendas

    said = [(entry.task.parts[0], entry.is_start, entry.begins) for entry in agenda.entries]
    assert said == [
        ("withdraw", False, at("2:20")),
        ("label", True, at("2:50")),
        ("withdraw", False, at("5:20")),
        ("read", False, at("17:50")),
        ("read", False, at("20:50")),
    ]
    assert agenda.entries[0].ends == at("2:50")


def test_gloves_stand_in_the_list_where_they_are_changed() -> None:
    """Before the piece, and only between two people's specimens."""
    bench = in_buffer(Bench())
    (agenda,) = asked(bench, "2:20", Crew()).agendas

    fresh = [(entry.task.key[0], entry.task.parts[0], entry.fresh) for entry in agenda.entries]
    assert fresh[:2] == [("id-C1", "withdraw", 0), ("", "label", span("0:20"))]


def test_what_hangs_on_another_hand_s_piece_is_written_once_that_is_known() -> None:
    """The second operator ends the wait that the first is about to begin."""
    bench = Bench()
    bench.label("C1", "P-001", "0:00")
    found = asked(bench, "0:05", Crew(hands=2, gloves=Span(0)))

    assert sum(len(agenda.entries) for agenda in found.agendas) == 2 + 3
    assert found.agendas[0].hand.on == ("id-C1", 0)


def test_nobody_is_told_to_begin_where_no_start_is_in_sight() -> None:
    """The list then has only what runs."""
    nobody = asked(Bench(), "0:00", Crew(hands=0))
    assert nobody.agendas == ()
    assert nobody.spare == 0
    assert nobody.start.at is None


def test_there_is_time_for_an_early_look_as_long_as_nothing_is_near() -> None:
    """It is on no list, so the answer says how much of it there is."""
    bench = Bench()
    bench.to_well(applied="2:30")

    assert asked(bench, "5:00").spare == span("5:00")
    assert asked(bench, "22:00").spare == 0

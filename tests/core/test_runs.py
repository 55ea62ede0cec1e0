from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from judgekit.core.checkentry import Check, Unchecked
from judgekit.core.entry import (
    Absent,
    Accept,
    Body,
    Claim,
    Dispute,
    Entry,
    Freeze,
    Go,
    Is,
    Note,
    Recall,
    Rep,
    Rule,
    Scale,
    Session,
    Source,
)
from judgekit.core.ruling import Ref, RunCounts, Stands, StatusIs, VoidAttempt
from judgekit.core.runs import Run, counting, day_entries, runs_of

LANE = 4
GO = Go(boot="b", boot_ms=0, zero_ms=0)


def said(
    book: str, number: int, body: Body, wall: int, lane: int | None = LANE
) -> Entry:
    return Entry(
        book=book,
        number=number,
        lane=lane,
        at=wall,
        wall=wall,
        who="kb",
        set=None,
        body=body,
    )


def claim(
    book: str,
    wall: int,
    *covers: tuple[str, int],
    source: Source = "live",
    why: str = "",
) -> Entry:
    body = Claim(
        judge="kb",
        why=why,
        covers=tuple(Ref(*cover) for cover in covers),
        source=source,
    )
    return said(book, 1, body, wall)


def book_of(opening: Entry, *bodies: Body, lane: int | None = LANE) -> list[Entry]:
    later = enumerate(bodies, 1)
    return [
        opening,
        *(said(opening.book, 1 + n, b, opening.wall + n, lane) for n, b in later),
    ]


def refs(run: Run) -> list[tuple[str, int]]:
    return [(e.book, e.number) for e in run.entries]


def test_a_book_that_claims_the_lane_is_one_run() -> None:
    book = book_of(claim("a", 0), GO, Rep(), Rep())
    assert runs_of({"a": book}, LANE) == (
        Run(number=1, why="", source="live", claims=(book[0],), entries=tuple(book)),
    )


def test_a_book_of_a_rehearsal_is_nobody_s_wherever_it_lies() -> None:
    own = book_of(claim("a", 0), GO, Rep())
    other = book_of(
        claim("p", 9, source="practice"), GO, Rep(), Is(bib="9"), Note(text="n")
    )
    assert runs_of({"p": other}, LANE) == ()
    assert runs_of({"a": own, "p": other}, LANE) == runs_of({"a": own}, LANE)
    assert day_entries({"a": own, "p": other}) == ()


def test_the_entries_of_another_lane_are_not_this_lane_s() -> None:
    mine, other = claim("a", 0), said("a", 2, Rep(), 1, lane=5)
    freeze = said("a", 3, Freeze(), 2, lane=None)
    (run,) = runs_of({"a": [mine, other, freeze]}, LANE)
    assert run.entries == (mine, freeze)
    assert runs_of({"a": [mine, other, freeze]}, 6) == ()


def test_a_claim_that_covers_carries_the_run_on_from_the_covered_number() -> None:
    first = book_of(claim("a", 0), GO, Rep(), Rep())
    second = book_of(claim("b", 9, ("a", 3)), Rep())
    (run,) = runs_of({"a": first, "b": second}, LANE)
    assert refs(run) == [("a", 1), ("a", 2), ("a", 3), ("b", 1), ("b", 2)]
    assert run.unscored == (first[3],)
    assert (run.conflict, run.missing) == (False, ())


def test_claims_fold_in_the_order_of_what_they_take_over_not_of_their_clocks() -> None:
    first = book_of(claim("a", 1000), Rep())
    second = book_of(claim("b", 5, ("a", 2)), Rep())
    (run,) = runs_of({"b": second, "a": first}, LANE)
    assert refs(run) == [("a", 1), ("a", 2), ("b", 1), ("b", 2)]


def test_the_first_claim_to_take_a_book_over_says_where_it_ends() -> None:
    first = book_of(claim("a", 0), Rep(), Rep(), Rep())
    second = book_of(claim("b", 10, ("a", 2)), Rep())
    third = book_of(claim("c", 20, ("a", 4), ("b", 2)), Rep())
    (run,) = runs_of({"a": first, "b": second, "c": third}, LANE)
    assert refs(run)[:2] == [("a", 1), ("a", 2)]
    assert refs(run)[2:] == [("b", 1), ("b", 2), ("c", 1), ("c", 2)]
    assert run.unscored == tuple(first[2:])
    assert not run.conflict


def test_a_claim_that_covers_nothing_starts_a_new_run_and_the_last_one_counts() -> None:
    first = book_of(claim("a", 0), Rep())
    again = book_of(claim("b", 10, why="rig moved"), Rep())
    runs = runs_of({"b": again, "a": first}, LANE)
    assert [(r.number, r.why, refs(r)[0]) for r in runs] == [
        (1, "", ("a", 1)),
        (2, "rig moved", ("b", 1)),
    ]
    assert counting(runs) == runs[1]


def test_carrying_an_earlier_run_on_renumbers_no_run() -> None:
    first = book_of(claim("a", 0), Rep())
    again = book_of(claim("b", 10, why="rig moved"), Rep())
    late = book_of(claim("c", 20, ("a", 2)), Rep())
    runs = runs_of({"a": first, "b": again, "c": late}, LANE)
    assert [refs(r)[-1] for r in runs] == [("c", 2), ("b", 2)]


def test_two_claims_on_the_same_entries_are_a_conflict_and_score_nothing() -> None:
    first = book_of(claim("a", 0), Rep(), Rep())
    one = book_of(claim("b", 10, ("a", 3)), Rep())
    other = book_of(claim("c", 11, ("a", 2)), Rep())
    runs = runs_of({"a": first, "b": one, "c": other}, LANE)
    assert [r.conflict for r in runs] == [True, True]
    assert counting(runs) is None


def test_a_ruling_ends_a_conflict() -> None:
    first = book_of(claim("a", 0), Rep())
    one = book_of(claim("b", 10, ("a", 2)), Rep())
    other = book_of(claim("c", 11, ("a", 2)), Rep())
    ruling = said("h", 1, Rule(effect=RunCounts(run=1), why="b was in charge"), 99)
    runs = runs_of({"a": first, "b": one, "c": other, "h": [ruling]}, LANE)
    assert counting(runs) == runs[0]
    assert runs[0].entries == (*first, *one, ruling)


def test_a_claim_that_merges_two_desks_does_not_hide_their_conflict() -> None:
    books = {
        "a": book_of(claim("a", 0), Rep()),
        "b": book_of(claim("b", 10, ("a", 2)), Rep()),
        "c": book_of(claim("c", 11, ("a", 2)), Rep()),
        "d": book_of(claim("d", 20, ("a", 2), ("b", 2), ("c", 2)), Rep()),
    }
    (run,) = runs_of(books, LANE)
    assert run.conflict


def test_a_claim_on_two_runs_at_once_is_a_conflict() -> None:
    books = {
        "a": book_of(claim("a", 0), Rep()),
        "b": book_of(claim("b", 10, why="again"), Rep()),
        "c": book_of(claim("c", 20, ("a", 2), ("b", 2)), Rep()),
    }
    (run,) = runs_of(books, LANE)
    assert run.conflict


def test_a_go_after_a_recall_is_a_new_run_under_the_same_claim() -> None:
    book = book_of(claim("a", 0), GO, Rep(), Recall(), GO, Rep())
    first, second = runs_of({"a": book}, LANE)
    assert (first.recalled, first.entries) == (True, tuple(book[:4]))
    assert (second.recalled, second.why) == (False, "after a recall")
    assert second.entries == (book[0], *book[4:])
    assert (second.judge, second.number) == ("kb", 2)
    assert counting((first, second)) == second


def test_a_recall_without_a_new_go_stays_the_last_run() -> None:
    book = book_of(claim("a", 0), GO, Recall(), Session(start=False))
    (run,) = runs_of({"a": book}, LANE)
    assert run.recalled
    assert run.entries == tuple(book)


def test_a_recall_in_an_earlier_book_parts_the_runs_too() -> None:
    first = book_of(claim("a", 0), GO, Rep(), Recall())
    second = book_of(claim("b", 10, ("a", 4)), GO, Rep())
    runs = runs_of({"a": first, "b": second}, LANE)
    assert [refs(r) for r in runs] == [
        [("a", 1), ("a", 2), ("a", 3), ("a", 4)],
        [("a", 1), ("b", 1), ("b", 2), ("b", 3)],
    ]


LOOKED = Check(item="clock", answer="as planned", planned="shows the hall's time")


def test_what_was_looked_at_stands_after_a_recall_and_no_reason_does() -> None:
    open_ = Unchecked(items=("safety",), why="no time left")
    said_before = (LOOKED, open_, GO, LOOKED, Recall(), GO, Rep())
    book = book_of(claim("a", 0), *said_before)
    first, second = runs_of({"a": book}, LANE)
    assert first.entries == tuple(book[:6])
    head = second.entries[: second.standing]
    assert [(e.ref, e.at) for e in head] == [
        (book[0].ref, book[0].at),
        (book[1].ref, None),
        (book[4].ref, None),
    ]
    assert second.entries[second.standing :] == tuple(book[6:])


def test_an_acceptance_after_a_recall_is_of_the_run_whose_end_it_names() -> None:
    first = book_of(claim("a", 0), LOOKED, GO)
    then = claim("b", 100, ("a", 3))
    second = book_of(then, Recall(), GO, Rep())
    covers = (Ref("a", 2), Ref("b", second[-1].number))
    accept = said("head", 1, Accept(who="judge", signed=True, covers=covers), 300)
    one, two = runs_of({"a": first, "b": second, "head": [accept]}, LANE)
    assert (accept in one.entries, accept in two.entries) == (False, True)


def test_a_note_made_between_recall_and_go_is_no_word_on_the_second_run() -> None:
    book = book_of(claim("a", 0), LOOKED, GO, Rep(), Recall(), GO, Rep())
    between = (book[3].wall + book[4].wall) // 2
    note = said("head", 1, Note(text="moved early"), between)
    one, two = runs_of({"a": book, "head": [note]}, LANE)
    assert (note in one.entries, note in two.entries) == (True, False)


def test_desks_in_conflict_share_the_recalled_run_without_a_quarrel() -> None:
    first = book_of(claim("a", 0), GO, Recall(), GO, Rep())
    one = book_of(claim("b", 10, ("a", 5)), Rep())
    other = book_of(claim("c", 11, ("a", 5)), Rep())
    runs = runs_of({"a": first, "b": one, "c": other}, LANE)
    assert [(r.recalled, r.conflict) for r in runs] == [
        (True, False),
        (False, True),
        (False, True),
    ]


def test_a_transcribed_run_replaces_a_live_one_only_by_a_ruling() -> None:
    live = book_of(claim("a", 0), Rep())
    typed = book_of(claim("t", 50, source="transcribed", why="from video"), Rep())
    runs = runs_of({"t": typed, "a": live}, LANE)
    assert [r.source for r in runs] == ["live", "transcribed"]
    assert counting(runs) == runs[0]
    ruling = said("h", 1, Rule(effect=RunCounts(run=2), why="desk missed two"), 90)
    ruled = runs_of({"t": typed, "a": live, "h": [ruling]}, LANE)
    assert counting(ruled) == ruled[1]


def test_a_transcribed_run_alone_counts_and_the_later_of_two() -> None:
    books = {
        "s": book_of(claim("s", 0, source="transcribed"), Rep()),
        "t": book_of(claim("t", 1, source="transcribed", why="mended"), Rep()),
    }
    runs = runs_of(books, LANE)
    assert counting(runs) == runs[1]


def test_a_second_judge_s_run_never_scores_alone() -> None:
    second = book_of(claim("s", 0, source="second"), Rep())
    alone = runs_of({"s": second}, LANE)
    assert counting(alone) is None
    live = book_of(claim("a", 10), Rep())
    runs = runs_of({"s": second, "a": live}, LANE)
    assert [(r.number, r.source) for r in runs] == [(1, "live"), (2, "second")]
    assert counting(runs) == runs[0]


def test_a_second_judge_s_claim_takes_nothing_over_from_the_lane_s_judge() -> None:
    live = book_of(claim("a", 0), Rep(), Rep())
    second = book_of(claim("s", 10, ("a", 2), source="second"), Rep())
    runs = runs_of({"a": live, "s": second}, LANE)
    assert [refs(r)[0] for r in runs] == [("a", 1), ("s", 1)]
    assert runs[0].entries == tuple(live)
    assert runs[1].missing == (Ref("a", 2),)


def test_the_newest_ruling_on_runs_decides_and_one_on_no_run_changes_nothing() -> None:
    books = {
        "a": book_of(claim("a", 0), Rep()),
        "b": book_of(claim("b", 10, why="again"), Rep()),
        "h": [
            said("h", 1, Rule(effect=RunCounts(run=2), why="as run"), 20),
            said("h", 2, Rule(effect=RunCounts(run=1), why="bar was light"), 30),
            said("h", 3, Rule(effect=RunCounts(run=7), why="slip"), 40),
        ],
    }
    runs = runs_of(books, LANE)
    assert counting(runs) == runs[0]


def test_what_was_taken_over_but_is_not_here_is_named() -> None:
    short = book_of(claim("a", 0), Rep())
    books = {"a": short, "b": book_of(claim("b", 9, ("a", 5), ("x", 3)), Rep())}
    (run,) = runs_of(books, LANE)
    assert run.missing == (Ref("a", 5), Ref("x", 3))


def test_an_officials_entry_stands_before_the_first_entry_with_a_later_time() -> None:
    book = book_of(claim("a", 0), GO, Rep(), Rep())
    note = said("h", 1, Note(text="chalk"), 2)
    (run,) = runs_of({"h": [note], "a": book}, LANE)
    assert run.entries == (*book[:3], note, book[3])


def test_officials_books_fold_by_wall_time_then_book_then_number() -> None:
    book = book_of(claim("a", 0), Rep())
    h2 = said("h", 2, Note(text="2"), 10)
    h3 = said("h", 3, Note(text="3"), 9)
    g = said("g", 1, Note(text="1"), 10)
    (run,) = runs_of({"h": [h2, h3], "a": book, "g": [g]}, LANE)
    assert run.entries == (*book, h3, g, h2)


def test_a_ruling_never_comes_before_the_attempt_it_names() -> None:
    book = book_of(claim("a", 100), GO, Rep(), Rep())
    slow_clock = said(
        "h", 1, Rule(effect=VoidAttempt(target=Ref("a", 3)), why="short"), 5
    )
    (run,) = runs_of({"h": [slow_clock], "a": book}, LANE)
    assert run.entries == (*book[:3], slow_clock, book[3])


def test_an_acceptance_comes_right_after_the_last_entry_it_covers() -> None:
    book = book_of(claim("a", 0), GO, Rep(), Rep())
    covers = (Ref("a", 3), Ref("h", 1))
    rule = said("h", 1, Rule(effect=StatusIs(status="guest"), why="guest"), 2)
    accept = said("h", 2, Accept(who="judge", signed=True, covers=covers), 99)
    (run,) = runs_of({"a": book, "h": [rule, accept]}, LANE)
    assert run.entries == (*book[:3], rule, accept, book[3])


def test_an_acceptance_follows_a_ruling_that_it_covers() -> None:
    book = book_of(claim("a", 0), GO, Rep(), Session(start=False))
    covers = (Ref("a", 3), Ref("h", 1))
    rule = said("h", 1, Rule(effect=StatusIs(status="guest"), why="guest"), 50)
    accept = said("h", 2, Accept(who="judge", signed=True, covers=covers), 60)
    (run,) = runs_of({"a": book, "h": [rule, accept]}, LANE)
    assert run.entries == (*book, rule, accept)


def test_an_official_entry_is_about_the_run_that_counted_when_it_was_written() -> None:
    rule = Rule(effect=StatusIs(status="no result"), why="rig fell")
    books = {
        "a": book_of(claim("a", 0), Rep()),
        "b": book_of(claim("b", 100, why="rig fell"), Rep()),
        "h": [said("h", 1, rule, 50), said("h", 2, Note(text="better"), 150)],
    }
    first, second = runs_of(books, LANE)
    assert first.entries == (*books["a"], books["h"][0])
    assert second.entries == (*books["b"], books["h"][1])


def test_an_absence_said_in_the_day_s_book_reaches_the_lane() -> None:
    book = book_of(claim("a", 10))
    absent = said("d", 1, Absent(), 5)
    (run,) = runs_of({"a": book, "d": [absent]}, LANE)
    assert run.entries == (absent, *book)


def test_day_entries_come_by_wall_time_from_every_book() -> None:
    scale = said("a", 2, Scale(card="row", reps=8), 30)
    swap = said("b", 1, Is(bib="31"), 20, lane=5)
    books = {"a": [*book_of(claim("a", 0)), scale], "b": [swap]}
    assert day_entries(books) == (swap, scale)


def test_a_ruling_belongs_to_the_try_whose_dispute_it_answers() -> None:
    """Both were written elsewhere; the second try was made in between."""
    books = {
        "a": [claim("a", 0), said("a", 2, Rep(), 10)],
        "x": [said("x", 1, Dispute(about="depth"), 20)],
        "b": [claim("b", 30, why="again"), said("b", 2, Rep(), 40)],
        "y": [said("y", 1, Rule(effect=Stands(), why="w", answers=(Ref("x", 1),)), 50)],
    }
    first, second = runs_of(books, LANE)
    assert [e.book for e in first.entries] == ["a", "a", "x", "y"]
    assert [e.book for e in second.entries] == ["b", "b"]


BODIES: st.SearchStrategy[Body] = st.sampled_from(
    [
        GO,
        Rep(),
        Recall(),
        Session(start=True),
        Dispute(about="depth"),
        Rule(effect=RunCounts(run=2), why="w"),
        Rule(effect=VoidAttempt(target=Ref("b", 2)), why="w"),
        Rule(effect=Stands(), why="w", answers=(Ref("b", 1), Ref("c", 2))),
        Accept(who="athlete", signed=True, covers=(Ref("a", 2), Ref("c", 1))),
    ]
)
NAMES = ("a", "b", "c", "d")


@st.composite
def any_books(draw: st.DrawFn) -> dict[str, list[Entry]]:
    books: dict[str, list[Entry]] = {}
    for name in NAMES:
        walls = draw(st.lists(st.integers(0, 9), max_size=6))
        books[name] = [
            said(name, n, draw(claims() | BODIES), wall, draw(lanes()))
            for n, wall in enumerate(walls, 1)
        ]
    return books


def lanes() -> st.SearchStrategy[int | None]:
    return st.sampled_from([LANE, LANE, LANE, None, 5])


def claims() -> st.SearchStrategy[Claim]:
    cover = st.builds(Ref, st.sampled_from((*NAMES, "x")), st.integers(1, 7))
    sources: list[Source] = ["live", "transcribed", "second"]
    return st.builds(
        Claim,
        judge=st.just("kb"),
        covers=st.lists(cover, max_size=2).map(tuple),
        source=st.sampled_from(sources),
    )


@given(any_books(), st.permutations(NAMES))
def test_the_order_of_the_books_never_matters(
    books: dict[str, list[Entry]], order: list[str]
) -> None:
    shuffled = {name: books[name][::-1] for name in order}
    assert runs_of(shuffled, LANE) == runs_of(books, LANE)
    assert day_entries(shuffled) == day_entries(books)


@given(any_books())
def test_no_entry_of_a_claimed_lane_is_lost(books: dict[str, list[Entry]]) -> None:
    runs = runs_of(books, LANE)
    kept = {e.ref for run in runs for e in (*run.entries, *run.unscored)}
    claimed = {e.book for run in runs for e in run.claims}
    for book in claimed:
        assert {e.ref for e in books[book] if e.lane == LANE} <= kept


@given(any_books())
def test_runs_are_numbered_from_1_and_no_entry_stands_twice_in_one(
    books: dict[str, list[Entry]],
) -> None:
    runs = runs_of(books, LANE)
    assert [run.number for run in runs] == list(range(1, len(runs) + 1))
    for run in runs:
        assert len({e.ref for e in run.entries}) == len(run.entries)
    assert counting(runs) in (*runs, None)

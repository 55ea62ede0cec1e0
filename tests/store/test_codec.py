from __future__ import annotations

import json
from dataclasses import dataclass, fields, replace
from datetime import date
from decimal import Decimal
from enum import IntEnum, StrEnum
from typing import TYPE_CHECKING, Any, ClassVar, get_args

import pytest
from hypothesis import Phase, find, given, settings
from hypothesis import strategies as st

from judgekit.core.entry import Body, Claim, Entry, NoRep, Rep, Rule, TakeBack
from judgekit.core.errors import BookError
from judgekit.core.plan import Plan, SetKey
from judgekit.core.ruling import Effect, Ref, StatusIs
from judgekit.store import codec
from judgekit.store.codec import (
    bodies_of,
    canonical,
    decode_entry,
    decode_many,
    decode_plan,
    encode_entry,
    encode_plan,
    parsed,
    plan_hash,
)
from judgekit.store.shape import shape_of, tag_of
from tests.store.entry_strategies import BODIES, PLANS, TEXT, WHOLE, values
from tests.store.making import entry, plan

if TYPE_CHECKING:
    from collections.abc import Callable


@pytest.mark.parametrize("kind", sorted(BODIES))
@settings(deadline=None)
@given(data=st.data())
def test_every_entry_of_every_kind_reads_back_equal(
    kind: str, data: st.DataObject
) -> None:
    written = entry(7, data.draw(BODIES[kind]))
    stored = encode_entry(written)
    assert decode_entry("b1", stored) == written
    assert encode_entry(decode_entry("b1", stored)) == stored


def plainly(written: Entry) -> bytes:
    """An entry's bytes as the standard library writes the values of its shape."""
    key = shape_of(SetKey | None).encode(written.set)
    head = [written.number, written.lane, written.at, written.wall, written.who, key]
    row = [*head, *shape_of(Body).encode(written.body)]
    text = json.dumps(row, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return text.encode()


@pytest.mark.parametrize("kind", sorted(BODIES))
@settings(deadline=None)
@given(data=st.data())
def test_what_is_written_at_once_is_what_the_standard_library_writes(
    kind: str, data: st.DataObject
) -> None:
    written = replace(
        entry(1, data.draw(BODIES[kind])),
        number=data.draw(WHOLE),
        wall=data.draw(WHOLE),
        lane=data.draw(WHOLE | st.none()),
        at=data.draw(WHOLE | st.none()),
        who=data.draw(TEXT),
        set=data.draw(values(SetKey) | st.none()),
    )
    assert encode_entry(written) == plainly(written)


def test_all_but_a_ruling_is_written_at_once() -> None:
    def plainest(bodies: st.SearchStrategy[Body]) -> Body:
        first = settings(phases=[Phase.generate], database=None)
        body: Body = find(bodies, lambda _: True, settings=first)
        return body

    plain = {kind: plainest(bodies) for kind, bodies in BODIES.items()}
    slow = [kind for kind in plain if codec._at_once(entry(1, plain[kind])) is None]
    # A dispute asks for a ruling.
    assert set(slow) <= {"rule", "dispute"}


class _Word(str):
    __slots__ = ()


class _Number(IntEnum):
    SEVEN = 7


class _Name(StrEnum):
    KB = "kb"


@dataclass(frozen=True)
class _Rep:
    n: int = 1
    kind: ClassVar[str] = "rep"


_ODD: list[Any] = [
    True,
    1.0,
    -0.0,
    float("nan"),
    float("inf"),
    1e300,
    2**53,
    -(2**53),
    2**64,
    2**70,
    Decimal(1),
    _Number.SEVEN,
    _Name.KB,
    _Word("kb"),
    "7",
    "kb,",
    ',"',
    "\ud800",
    b"kb",
    date(2026, 1, 1),
    None,
    [1, 1, 1],
    (1, 1, 1),
    SetKey(1, 1, True),
    SetKey(1, 1, 1.0),  # type: ignore[arg-type]
    ["shallow"],
    {"n": 1},
    {"shallow"},
    _Rep(),
    Rep(n=True),
    Rep(n=1.0),  # type: ignore[arg-type]
    Rep(n=_Number.SEVEN),
    Rep(n=None),  # type: ignore[arg-type]
    NoRep(faults=["shallow"]),  # type: ignore[arg-type]
    NoRep(faults=(_Word("shallow"),)),
    TakeBack(target=("b1", 1)),  # type: ignore[arg-type]
    TakeBack(target=Ref("b1", True)),
    Claim(judge="kb", source="nobody"),  # type: ignore[arg-type]
    StatusIs(status="cut"),
    object(),
]


def stored_by(encode: Callable[[Entry], bytes], written: Entry) -> bytes | None:
    try:
        return encode(written)
    except BookError:
        return None


@pytest.mark.parametrize("field", [f.name for f in fields(Entry)])
def test_at_once_or_value_by_value_the_same_is_kept_and_refused(field: str) -> None:
    odd = [replace(entry(1), **{field: value}) for value in _ODD]
    at_once = [stored_by(encode_entry, written) for written in odd]
    assert at_once == [stored_by(codec._by_shape, written) for written in odd]


@settings(deadline=None)
@given(PLANS)
def test_every_plan_reads_back_equal(written: Plan) -> None:
    stored = encode_plan(written)
    assert decode_plan(stored) == written
    assert encode_plan(decode_plan(stored)) == stored


def plan_or_error(read: Callable[[], object]) -> object:
    """A plan, or what is said about its bytes."""
    try:
        return read()
    except BookError as error:
        return str(error)


@settings(deadline=None)
@given(PLANS, st.data())
def test_a_damaged_plan_is_told_as_if_it_were_read_whole(
    written: Plan, data: st.DataObject
) -> None:
    stored = bytearray(encode_plan(written))
    place = data.draw(st.integers(0, len(stored) - 1))
    stored[place : place + 1] = data.draw(st.binary(max_size=2))
    damaged = bytes(stored)
    shape = shape_of(Plan)
    told = plan_or_error(lambda: decode_plan(damaged))
    assert told == plan_or_error(lambda: shape.decode(parsed(damaged)))


def test_plans_share_what_stands_in_both() -> None:
    one, other = (
        decode_plan(encode_plan(replace(plan(), bib=bib))) for bib in ("27", "31")
    )
    assert (one.bib, other.bib) == ("27", "31")
    assert one.cards is other.cards


def test_an_entry_is_stored_as_an_array_named_by_its_kind() -> None:
    written = entry(3, NoRep(faults=("shallow", "low-ball")))
    assert encode_entry(written) == (
        b'[3,4,3000,1809772203000,"kb",[1,1,1],"no-rep",'
        b'{"faults":["shallow","low-ball"]}]'
    )


def test_a_ruling_stores_its_effect_by_its_own_name() -> None:
    ruling = entry(1, Rule(effect=StatusIs(status="cut"), why="cap at 9:00"))
    assert json.loads(encode_entry(ruling))[6:] == [
        "rule",
        {"answers": [], "effect": ["status", {"status": "cut"}], "why": "cap at 9:00"},
    ]


def test_a_named_entry_is_stored_as_book_and_number() -> None:
    stored = encode_entry(entry(2, TakeBack(target=Ref("b0", 9))))
    assert json.loads(stored)[7] == {"target": ["b0", 9]}


def test_texts_are_stored_as_utf_8_and_keys_in_order() -> None:
    assert canonical({"b": "Zoë", "a": 1}) == '{"a":1,"b":"Zoë"}'.encode()


def test_stored_names_are_all_different() -> None:
    for union in (Body, Effect):
        names = [tag_of(kind) for kind in get_args(union)]
        assert len(names) == len(set(names))


def _row(**changes: object) -> bytes:
    row: dict[str, object] = {
        "number": 1,
        "lane": 4,
        "at": 0,
        "wall": 0,
        "who": "kb",
        "set": [1, 1, 1],
        "kind": "rep",
        "body": {"n": 1},
    }
    return canonical(list((row | changes).values()))


@pytest.mark.parametrize(
    ("stored", "says"),
    [
        (_row(number=True), "true stands where a whole number belongs"),
        (_row(number="1"), '"1" stands where a whole number belongs'),
        (_row(number=1.0), "1.0 stands where a whole number belongs"),
        (_row(number=2**53), "9007199254740992 stands where a whole number belongs"),
        (_row(who=None), "null stands where a text belongs"),
        (_row(set=[1, 1]), "[1, 1] stands where a list of 3 belongs"),
        (_row(set=[1, 1, "1"]), '"1" stands where a whole number belongs'),
        (_row(body={}), 'rep: "n" is missing'),
        (_row(body={"n": 1, "m": 2}), 'rep: "m" is unknown'),
        (_row(body={"n": True}), 'rep: "n": true stands where a whole number belongs'),
        (_row(body=[1]), "rep: [1] stands where a table belongs"),
        (_row(kind="reap"), '"reap" is no kind that this version knows'),
        (_row(kind=1), '[1, {"n": 1}] stands where a name and its body belongs'),
        (
            _row(kind="no-rep", body={"faults": "shallow"}),
            'no-rep: "faults": "shallow" stands where a list belongs',
        ),
        (
            _row(kind="accept", body={"covers": [], "signed": 1, "who": "judge"}),
            'accept: "signed": 1 stands where true or false belongs',
        ),
        (
            _row(kind="accept", body={"covers": [], "signed": True, "who": "coach"}),
            'accept: "who": "coach" stands where one of athlete, judge belongs',
        ),
        (
            _row(kind="rule", body={"answers": [], "effect": ["rep", {}], "why": ""}),
            'rule: "effect": "rep" is no kind that this version knows',
        ),
        (b'[1,4,0,0,"kb",null,"rep"]', "its bytes are no entry"),
        (b'{"number":1}', "its bytes are no entry"),
        (b"[1,4,0,0", "its bytes are damaged"),
        (b"\xff", "its bytes are damaged"),
        (b"[" * 100_000, "its bytes are damaged"),
        (b"9" * 5000, "its bytes are damaged"),
    ],
)
def test_bytes_that_are_no_entry_are_refused_in_words(stored: bytes, says: str) -> None:
    with pytest.raises(BookError) as caught:
        decode_entry("b1", stored)
    assert str(caught.value) == says


def test_a_long_wrong_value_is_cut_in_the_message() -> None:
    with pytest.raises(BookError) as caught:
        decode_entry("b1", _row(number="9" * 500))
    assert len(str(caught.value)) < 120


_LOOSE: dict[str, Any] = {
    "a flag for a number": Rep(n=True),
    "a part of a number": Rep(n=1.5),  # type: ignore[arg-type]
    "too large a number": Rep(n=2**53),
    "a list for a tuple": NoRep(faults=["shallow"]),  # type: ignore[arg-type]
    "a text for a tuple": NoRep(faults="ab"),  # type: ignore[arg-type]
    "a number for a tuple": NoRep(faults=3),  # type: ignore[arg-type]
    "no body at all": "rep",
    "half a character": NoRep(faults=("\ud800",)),
    "an unstorable value": Rep(n=object()),  # type: ignore[arg-type]
    "a wrong effect": Rule(effect=Rep(), why=""),  # type: ignore[arg-type]
}


@pytest.mark.parametrize("what", sorted(_LOOSE))
def test_what_would_not_read_back_is_never_stored(what: str) -> None:
    with pytest.raises(BookError):
        encode_entry(entry(1, _LOOSE[what]))


def test_an_unstorable_plan_is_refused() -> None:
    broken: list[Any] = [
        "a plan",
        plan(reps=True),
        plan(lane=2**60),
        replace(plan(), parts=3),  # type: ignore[arg-type]
        replace(plan(), parts=list(plan().parts)),  # type: ignore[arg-type]
    ]
    for one in broken:
        with pytest.raises(BookError):
            encode_plan(one)


@settings(deadline=None)
@given(st.binary(max_size=40) | st.text(max_size=40).map(str.encode))
def test_no_bytes_raise_anything_but_a_book_error(data: bytes) -> None:
    for decode in (lambda: decode_entry("b1", data), lambda: decode_plan(data)):
        try:
            result = decode()
        except BookError:
            continue
        assert isinstance(result, Entry | Plan)


@settings(deadline=None)
@given(st.lists(st.sampled_from(sorted(BODIES)), min_size=1, max_size=5), st.data())
def test_many_rows_read_at_once_are_what_each_row_says(
    kinds: list[str], data: st.DataObject
) -> None:
    written = [
        replace(entry(n, data.draw(BODIES[kind])), who=data.draw(TEXT))
        for n, kind in enumerate(kinds, 1)
    ]
    stored = [encode_entry(one) for one in written]
    assert [decode_entry("b1", row) for row in stored] == written
    assert decode_many("b1", stored) in (written, None)


def test_ordinary_rows_need_no_closer_look() -> None:
    written = [entry(1), entry(2, NoRep(faults=("low",))), entry(3)]
    read = decode_many("b1", [encode_entry(one) for one in written])
    assert read == written
    assert read[0].body is read[2].body


_SOUND = encode_entry(entry(1))


@settings(deadline=None)
@given(
    at=st.integers(0, len(_SOUND)),
    cut=st.integers(0, 6),
    put=st.text('[],"01-.e nul:{}', max_size=6).map(str.encode),
)
def test_no_row_among_many_passes_that_would_be_refused_alone(
    at: int, cut: int, put: bytes
) -> None:
    damaged = _SOUND[:at] + put + _SOUND[at + cut :]
    read = decode_many("b1", [_SOUND, damaged, _SOUND])
    if read is not None:
        assert read[1] == decode_entry("b1", damaged)
        assert [read[0], read[2]] == [entry(1), entry(1)]


@settings(deadline=None)
@given(
    at=st.integers(0, len(_SOUND)),
    cut=st.integers(0, 6),
    put=st.text('[],"012-.e nul:{}', max_size=6).map(str.encode),
)
def test_no_row_is_proved_that_would_be_refused_alone(
    at: int, cut: int, put: bytes
) -> None:
    second = encode_entry(entry(2))
    damaged = second[:at] + put + second[at + cut :]
    bodies = bodies_of(1, [_SOUND, damaged, encode_entry(entry(3))])
    if bodies is not None:
        read = decode_entry("b1", damaged)
        assert (read.number, bodies) == (2, [Rep(), read.body, Rep()])


def test_rows_are_proved_only_by_their_own_numbers() -> None:
    stored = [encode_entry(entry(n)) for n in (5, 6, 7)]
    assert bodies_of(5, stored) == [Rep()] * 3
    assert bodies_of(4, stored) is None
    assert bodies_of(5, [stored[0], stored[2]]) is None
    assert bodies_of(5, [*stored, "text"]) is None  # type: ignore[list-item]


def test_rows_that_make_up_for_each_other_do_not_pass() -> None:
    rest = b',"kb",[1,1,1],"rep",{"n":1}]'
    two, none = b"[1,4,0,0],[2,4,0,0" + rest, b" " + rest
    for rows in ([two, none], [none, two], [two], [two, two]):
        assert decode_many("b1", rows) is None
    large = b"[9007199254740992,4,0,0" + rest
    longer = b'[1,4,0,0,"kb",[1,1,1],7,"rep",{"n":1}]'
    longest = b'[1,4,0,0,"kb",[1,1,1],"rep",{"n":1},7]'
    for row in (large, longer, longest):
        assert decode_many("b1", [row]) is None


def test_a_plan_is_named_by_its_bytes() -> None:
    assert plan_hash(b"abc") == (
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    )  # FIPS 180-4, the example of one block


def test_only_the_types_of_facts_have_a_stored_shape() -> None:
    with pytest.raises(TypeError, match="no stored shape"):
        shape_of(float)
    with pytest.raises(TypeError, match="no stored name"):
        tag_of(Plan)


def test_canonical_bytes_hold_nothing_that_json_does_not() -> None:
    for value in (float("nan"), {1, 2}, "\udc00"):
        with pytest.raises(BookError):
            canonical(value)
    assert parsed(b'{"a": [1]}') == {"a": [1]}

"""Hypothesis strategies for every entry and plan, made from the types themselves."""

from __future__ import annotations

from dataclasses import fields, replace
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from hypothesis import strategies as st

from judgekit.core.entry import Body, Entry, Go, Is, Scale
from judgekit.core.plan import Plan, SetKey

LARGEST = 2**53 - 1
YEAR_10000_MS = 253_402_300_800_000

WHOLE = st.integers(-LARGEST, LARGEST)
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)


def values(hint: Any) -> st.SearchStrategy[Any]:  # noqa: ANN401 - any type
    """Values of a type: whatever its fields allow."""
    leaf = {int: WHOLE, str: TEXT, bool: st.booleans(), NoneType: st.none()}
    if hint in leaf:
        return leaf[hint]
    origin, args = get_origin(hint), get_args(hint)
    if origin is Literal:
        return st.sampled_from(args)
    if origin is tuple and args[-1] is Ellipsis:
        return st.lists(values(args[0]), max_size=3).map(tuple)
    if origin is tuple:
        return st.tuples(*map(values, args))
    if origin in (Union, UnionType):
        return st.one_of(*map(values, args))
    hints = get_type_hints(hint)
    if issubclass(hint, tuple):
        return st.builds(hint, *map(values, hints.values()))
    return st.builds(hint, **{f.name: values(hints[f.name]) for f in fields(hint)})


BODIES = {kind.kind: values(kind) for kind in get_args(Body)}
PLANS = values(Plan)


def bodies() -> st.SearchStrategy[Body]:
    """Any body that names no plan: one that does stands only with the plan beside."""
    return st.one_of(*BODIES.values()).map(_without_plans)


def _without_plans(body: Body) -> Body:
    if isinstance(body, Go):
        return replace(body, plans=())
    return replace(body, plan="") if isinstance(body, Is | Scale) else body


def entries(book: str, number: int) -> st.SearchStrategy[Entry]:
    """The entry of that number in that book."""
    return st.builds(
        Entry,
        book=st.just(book),
        number=st.just(number),
        lane=st.none() | st.integers(1, 99),
        at=st.none() | WHOLE,
        wall=st.integers(0, YEAR_10000_MS - 1),
        who=TEXT,
        set=st.none() | values(SetKey),
        body=bodies(),
    )


@st.composite
def runs(draw: st.DrawFn, book: str, most: int = 8) -> list[Entry]:
    """The first entries of a book, numbered from 1."""
    many = draw(st.integers(0, most))
    return [draw(entries(book, number)) for number in range(1, many + 1)]

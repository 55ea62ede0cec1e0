"""What `values.dataclass` makes behaves as what the standard decorator makes."""

from __future__ import annotations

import copy
import dataclasses
import importlib
import inspect
import pickle
import pkgutil
from collections.abc import Callable, Mapping
from dataclasses import field, fields, replace
from functools import partial
from typing import ClassVar, Generic, TypeVar

import pytest

import judgekit
from judgekit.core import values

T = TypeVar("T")
Make = Callable[[type], type]


def classes(make: Make) -> dict[str, type]:
    """The same classes, made by one decorator or by the other."""

    class Empty:
        """No field."""

    class One:
        """One field."""

        kind: ClassVar[str] = "one"
        number: int

    class Several(Generic[T]):
        """Needed, given and made ones; a word that the decorator itself uses."""

        name: str
        self_: T
        count: int = 3
        of: Mapping[str, int] = field(default_factory=dict)

        @property
        def twice(self) -> int:
            return self.count * 2

    class Shown:
        """A representation of its own."""

        name: str = ""

        def __repr__(self) -> str:
            return f"<{self.name}>"

    class Checked:
        """One that checks what it is given."""

        number: int

        def __post_init__(self) -> None:
            if self.number < 0:
                raise ValueError("below zero")

    kinds = (Empty, One, Several, Shown, Checked)
    return {cls.__name__: make(cls) for cls in kinds}


OURS = classes(values.dataclass(frozen=True, slots=True, kw_only=True))
THEIRS = classes(dataclasses.dataclass(frozen=True, slots=True, kw_only=True))
GIVEN: tuple[tuple[str, dict[str, object]], ...] = (
    ("Empty", {}),
    ("One", {"number": 4}),
    ("Several", {"name": "a", "self_": 1}),
    ("Several", {"name": "a", "self_": (1, 2), "count": 4, "of": {"b": 1}}),
    ("Shown", {"name": "a"}),
    ("Checked", {"number": 1}),
    ("Checked", {"number": -1}),
)


def outcome(do: Callable[[], object]) -> object:
    """What comes of it: the value, or the error and its words."""
    try:
        return do()
    except Exception as error:  # noqa: BLE001 - whatever comes is compared
        return type(error), str(error)


def signature_of(cls: type) -> str:
    """What a class takes; a constructor is made when it is first called."""
    with pytest.raises(TypeError, match="unexpected keyword argument 'strange'"):
        cls(strange=1)
    return str(inspect.signature(cls))


@pytest.mark.parametrize(("name", "given"), GIVEN)
def test_values_behave_alike(name: str, given: dict[str, object]) -> None:
    def told(make: type) -> list[object]:
        try:
            value, same = make(**given), make(**given)
        except ValueError as error:
            return [str(error)]
        other = outcome(lambda: make(**{**given, "count": 9}))
        return [
            repr(value),
            outcome(lambda: hash(value) == hash(same)),
            value == same,
            value == other,
            value == 1,
            [outcome(partial(setattr, value, key, 1)) for key in given],
            [outcome(partial(delattr, value, key)) for key in given],
            outcome(lambda: repr(make(*given.values()))),
            outcome(lambda: make(**given, strange=1)),
            outcome(lambda: repr(make())),
            outcome(lambda: repr(replace(value, **given))),
            dataclasses.asdict(value),
            copy.deepcopy(value) == value,
            getattr(value, "twice", None),
            hasattr(value, "__dict__"),
        ]

    assert told(OURS[name]) == told(THEIRS[name])


@pytest.mark.parametrize("name", OURS)
def test_classes_look_alike(name: str) -> None:
    ours, theirs = OURS[name], THEIRS[name]
    assert signature_of(ours) == signature_of(theirs)
    assert ours.__match_args__ == theirs.__match_args__  # type: ignore[attr-defined]
    assert ours.__slots__ == theirs.__slots__  # type: ignore[attr-defined]
    assert ours.__doc__ == theirs.__doc__
    init, standard = (vars(cls)["__init__"] for cls in (ours, theirs))
    assert init.__annotations__ == standard.__annotations__


def test_a_made_default_is_new_for_every_value() -> None:
    first, second = (OURS["Several"](name="a", self_=1) for _ in "12")
    assert first.of is not second.of


def test_other_dataclasses_are_the_standard_ones() -> None:
    @values.dataclass(slots=True)
    class Count:
        """One that changes."""

        number: int = 0

    count = Count(1)
    count.number += 1
    assert count == Count(2)


def test_options_that_it_does_not_know_are_refused() -> None:
    with pytest.raises(TypeError, match="number has options"):

        @values.dataclass(frozen=True, slots=True, kw_only=True)
        class Hidden:
            """A field that would not be shown."""

            number: int = field(default=0, repr=False)


def made_here() -> list[type]:
    """Every class of the package that was made by this decorator."""
    names = [
        module.name
        for module in pkgutil.walk_packages(judgekit.__path__, "judgekit.")
        if not module.name.endswith("__main__")
    ]
    modules = [importlib.import_module(name) for name in names]
    return [
        cls
        for module in modules
        for cls in vars(module).values()
        if isinstance(cls, type)
        and cls.__module__ == module.__name__
        and vars(cls).get("__setattr__") is values._no_setting
    ]


def test_every_value_of_the_package_takes_what_a_standard_one_would() -> None:
    found = made_here()
    assert len(found) > 150
    for cls in found:
        twin = dataclasses.make_dataclass(
            cls.__name__,
            [(f.name, f.type, _same_default(f)) for f in fields(cls)],
            frozen=True,
            slots=True,
            kw_only=True,
        )
        assert signature_of(cls) == signature_of(twin), cls


def _same_default(given: dataclasses.Field[object]) -> object:
    if given.default_factory is not dataclasses.MISSING:
        return field(default_factory=given.default_factory)
    return field() if given.default is dataclasses.MISSING else given.default


def test_a_value_can_be_pickled() -> None:
    from judgekit.core.entry import Note
    from judgekit.core.errors import Problem

    for value in (Note(text="a"), Problem(file="a", line=1, what="b")):
        assert pickle.loads(pickle.dumps(value)) == value  # noqa: S301 - our own bytes

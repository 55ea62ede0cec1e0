"""Dataclasses that are made quickly: nothing can start before all of them are there.

The standard decorator compiles the methods of a class one by one. With two hundred
classes that was a fifth of the time to the first screen; here one method is compiled,
when it is first called.
"""

from __future__ import annotations

import dataclasses
from operator import attrgetter
from typing import TYPE_CHECKING

__all__ = ["dataclass"]

if TYPE_CHECKING:
    # Type checkers know the standard decorator, and these classes are what it makes.
    from collections.abc import Callable
    from dataclasses import dataclass
    from types import FunctionType
else:

    def dataclass(**how: bool) -> object:
        """As the standard one; a frozen, slotted, keyword-only class is made here."""
        return _value if how == _VALUE else dataclasses.dataclass(**how)


_VALUE = {"frozen": True, "slots": True, "kw_only": True}
_BARE = dataclasses.dataclass(
    init=False, repr=False, eq=False, slots=True, kw_only=True
)


class _Made:
    """Stands in a signature for a default that is made anew for every value."""

    def __repr__(self) -> str:
        return "<factory>"


_NOT_GIVEN = _Made()


def _value(cls: type) -> type:
    """The class with its fields as slots, and with a value's methods."""
    if hasattr(cls, "__post_init__"):
        return dataclasses.dataclass(**_VALUE)(cls)
    made: type = _BARE(cls)
    unusual = [f.name for f in dataclasses.fields(made) if not _is_usual(f)]
    if unusual:
        raise TypeError(f"{unusual[0]} has options that only the standard one knows")
    for name, method in _methods(made).items():
        if name not in vars(made):
            setattr(made, name, method)
    return made


def _methods(cls: type) -> dict[str, object]:
    """What the standard decorator writes for a frozen class, under the same names."""
    fields = dataclasses.fields(cls)
    equal, hashed = _comparing([field.name for field in fields])
    return {
        "__init__": _first_init(cls, fields),
        "__eq__": equal,
        "__hash__": hashed,
        "__repr__": _repr,
        "__setattr__": _no_setting,
        "__delattr__": _no_deleting,
        "__getstate__": _state,
        "__setstate__": _set_state,
    }


def _first_init(cls: type, fields: tuple[dataclasses.Field[object], ...]) -> object:
    """Makes the constructor when it is first called: most classes wait for long."""

    def __init__(self: object, *args: object, **given: object) -> None:  # noqa: N807 - its name
        init = _init(cls, fields)
        cls.__init__ = init  # type: ignore[misc]
        init(self, *args, **given)

    return __init__


def _init(
    cls: type, fields: tuple[dataclasses.Field[object], ...]
) -> Callable[..., None]:
    """The constructor: the one method that is compiled for its class."""
    given = "".join(f", {_parameter(field)}" for field in fields)
    lines = [
        f"def __init__(self{', *' if fields else ''}{given}):",
        *(f" _set(self, {field.name!r}, {_value_of(field)})" for field in fields),
        " return None",
    ]
    compiled: dict[str, FunctionType] = {}
    # The text is made of field names alone.
    exec("\n".join(lines), _given(fields), compiled)  # noqa: S102
    init = compiled["__init__"]
    init.__qualname__ = f"{cls.__qualname__}.__init__"
    types = {field.name: field.type for field in fields}
    init.__annotations__ = {**types, "return": None}
    return init


def _comparing(names: list[str]) -> tuple[object, object]:
    """How two values of one class are equal, and a value's hash."""
    told = attrgetter(*names) if names else type

    def equal(self: object, other: object) -> object:
        if other.__class__ is self.__class__:
            return told(self) == told(other)
        return NotImplemented

    def hashed(self: object) -> int:
        return hash(told(self))

    return equal, hashed


def _parameter(field: dataclasses.Field[object]) -> str:
    return field.name if _is_needed(field) else f"{field.name}=_default_{field.name}"


def _value_of(field: dataclasses.Field[object]) -> str:
    name = field.name
    if field.default_factory is dataclasses.MISSING:
        return name
    return f"_make_{name}() if {name} is _default_{name} else {name}"


def _is_usual(field: dataclasses.Field[object]) -> bool:
    return field.init and field.repr and field.compare and field.hash is None


def _is_needed(field: dataclasses.Field[object]) -> bool:
    missing = dataclasses.MISSING
    return field.default is missing and field.default_factory is missing


def _given(fields: tuple[dataclasses.Field[object], ...]) -> dict[str, object]:
    """The names that the text uses: setting a slot, the defaults and their makers."""
    given: dict[str, object] = {"_set": object.__setattr__}
    for field in fields:
        if field.default_factory is not dataclasses.MISSING:
            given[f"_make_{field.name}"] = field.default_factory
            given[f"_default_{field.name}"] = _NOT_GIVEN
        elif field.default is not dataclasses.MISSING:
            given[f"_default_{field.name}"] = field.default
    return given


def _repr(self: object) -> str:
    shown = ", ".join(f"{name}={getattr(self, name)!r}" for name in _names(self))
    return f"{self.__class__.__qualname__}({shown})"


def _names(value: object) -> list[str]:
    return [field.name for field in dataclasses.fields(value)]  # type: ignore[arg-type]


def _no_setting(_self: object, name: str, _value: object) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")


def _no_deleting(_self: object, name: str) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")


def _state(self: object) -> list[object]:
    return [getattr(self, name) for name in _names(self)]


def _set_state(self: object, state: list[object]) -> None:
    for name, value in zip(_names(self), state, strict=True):
        object.__setattr__(self, name, value)

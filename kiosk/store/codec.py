"""Core values to plain JSON and back, exactly, driven by the types themselves.

Written: a measure as ``"3/2 mL"``, a fraction as ``"3/2"``, a decimal as its text, a date or an aware
moment in ISO form, a set as a sorted list, a value of a union as an object whose ``kind`` names its type.
Every field is written, defaults too, so that a later change of a default cannot change old entries.

Read: a field this version does not know is ignored; a missing one takes its default. A float is refused
either way. Types are looked at once and turned into plain functions.
"""

from __future__ import annotations

import dataclasses
import json
import types
import typing
from collections.abc import Callable, Hashable
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import Any, Final, TypeVar, cast

from kiosk.core.units import Measure
from kiosk.flow.ports import RecordTrouble

KIND: Final = "kind"
_CANONICAL: Final = json.JSONEncoder(sort_keys=True, separators=(",", ":"), allow_nan=False)
T = TypeVar("T")
Writer = Callable[[Any], Any]
Reader = Callable[[Any], Any]


class Unreadable(RecordTrouble, ValueError):
    """Stored text cannot be turned back into the value it stands for: damaged. The message says where."""

    def __init__(self, message: str) -> None:
        super().__init__("damaged", message)


@dataclasses.dataclass(frozen=True, slots=True)
class Coder:
    """How one type is written and read."""

    write: Writer
    read: Reader


def written(value: Any, hint: Any = None) -> Any:
    """Return a value as plain JSON. ``hint`` is its declared type where that is a union."""
    return coder(cast(Hashable, hint or type(value))).write(value)


def read(hint: type[T], raw: Any) -> T:
    """Return the value that plain JSON stands for. Raises ``Unreadable``."""
    try:
        return cast(T, coder(cast(Hashable, hint)).read(raw))
    except (KeyError, TypeError, ValueError, ArithmeticError) as trouble:
        raise Unreadable(f"not a {getattr(hint, '__name__', hint)}: {trouble!r}") from trouble


def to_text(raw: Any) -> str:
    """Return plain JSON as canonical text: keys sorted, no spaces, ASCII only."""
    return _CANONICAL.encode(raw)


def from_text(text: str) -> Any:
    """Return the plain JSON of a text. Raises ``Unreadable``; floats are refused."""
    try:
        return json.loads(text, parse_float=_no_float, parse_constant=_no_float)
    except (ValueError, RecursionError) as trouble:
        raise Unreadable(f"not JSON: {trouble}") from trouble


def _no_float(text: str) -> Any:
    """Refuse a number that is not whole."""
    raise ValueError(f"a float: {text}")


def moment(text: str) -> datetime:
    """Return a stored moment. Raises ``Unreadable``."""
    return read(datetime, text)


@lru_cache(maxsize=512)
def coder(hint: Any) -> Coder:
    """Return how values declared as ``hint`` are written and read. Raises ``TypeError`` for others."""
    if hint in _LEAVES:
        return _LEAVES[hint]
    origin = typing.get_origin(hint)
    if origin in (types.UnionType, typing.Union):
        return _union(typing.get_args(hint))
    if origin is tuple:
        return _tuple(typing.get_args(hint))
    if origin is frozenset:
        return _set(coder(typing.get_args(hint)[0]))
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return Coder(lambda v: hint(v).value, hint)
    if dataclasses.is_dataclass(hint):
        return _record(cast(type, hint))
    raise TypeError(f"no way to write {hint!r}")


def _exactly(kind: type) -> Writer:
    """Return a writer that lets one plain type pass unchanged, and nothing else."""

    def write(value: Any) -> Any:
        if type(value) is not kind:
            raise TypeError(f"{value!r} is not of type {kind.__name__}")
        return value

    return write


def _plain_text(value: Any) -> str:
    """Let text pass, a named constant as its plain text."""
    if not isinstance(value, str):
        raise TypeError(f"{value!r} is not text")
    return str(value)


def _write_decimal(value: Decimal) -> str:
    if not value.is_finite():
        raise ValueError(f"not a finite number: {value}")
    return str(value)


def _write_day(value: date) -> str:
    if type(value) is not date:
        raise TypeError(f"{value!r} is not a day")
    return value.isoformat()


def _write_moment(value: datetime) -> str:
    if value.utcoffset() is None:
        raise ValueError(f"a moment without its zone: {value}")
    return value.isoformat()


def _read_moment(raw: str) -> datetime:
    moment = datetime.fromisoformat(raw)
    if moment.utcoffset() is None:
        raise ValueError(f"a moment without its zone: {raw}")
    return moment


def _read_measure(raw: str) -> Measure:
    value, _, unit = raw.partition(" ")
    return Measure.of(Fraction(value), unit)


_LEAVES: Final[dict[Any, Coder]] = {
    str: Coder(_plain_text, _plain_text),
    int: Coder(_exactly(int), _exactly(int)),
    bool: Coder(_exactly(bool), _exactly(bool)),
    types.NoneType: Coder(_exactly(types.NoneType), _exactly(types.NoneType)),
    Decimal: Coder(_write_decimal, Decimal),
    Fraction: Coder(str, Fraction),
    Measure: Coder(lambda m: f"{m.value} {m.unit}", _read_measure),
    date: Coder(_write_day, date.fromisoformat),
    datetime: Coder(_write_moment, _read_moment),
}


def _tuple(parts: tuple[Any, ...]) -> Coder:
    """A tuple of one type and any length, or of fixed parts."""
    if len(parts) == 2 and parts[1] is Ellipsis:
        one = coder(parts[0])
        return Coder(lambda v: [one.write(i) for i in v], lambda raw: tuple(one.read(i) for i in raw))
    each = [coder(part) for part in parts]
    return Coder(
        lambda v: [one.write(i) for one, i in zip(each, v, strict=True)],
        lambda raw: tuple(one.read(i) for one, i in zip(each, raw, strict=True)),
    )


def _set(one: Coder) -> Coder:
    """A set, written as a sorted list."""
    return Coder(lambda v: sorted(one.write(i) for i in v), lambda raw: frozenset(one.read(i) for i in raw))


def _union(parts: tuple[Any, ...]) -> Coder:
    """``X | None``, or several record types told apart by ``kind``."""
    others = tuple(part for part in parts if part is not types.NoneType)
    one = coder(others[0]) if len(others) == 1 else _kinds(others)
    if len(others) == len(parts):
        return one
    return Coder(
        lambda v: None if v is None else one.write(v), lambda raw: None if raw is None else one.read(raw)
    )


def _kinds(parts: tuple[type, ...]) -> Coder:
    """Record types told apart by the name in ``kind``, which none of them may have as a field."""
    known = {part.__name__: coder(part) for part in parts}
    for part in parts:
        if any(field.name == KIND for field in dataclasses.fields(part)):
            raise TypeError(f"{part.__name__} has a field of its own called {KIND}")

    def write(value: Any) -> Any:
        name = type(value).__name__
        return {KIND: name, **known[name].write(value)}

    return Coder(write, lambda raw: known[raw[KIND]].read(raw))


def _record(kind: type) -> Coder:
    """A frozen record, as an object with every field."""
    hints = typing.get_type_hints(kind)
    fields = [(f.name, coder(hints[f.name])) for f in dataclasses.fields(kind)]

    def write(value: Any) -> Any:
        if type(value) is not kind:
            raise TypeError(f"{value!r} is not of type {kind.__name__}")
        return {name: one.write(getattr(value, name)) for name, one in fields}

    def read_record(raw: Any) -> Any:
        return kind(**{name: one.read(raw[name]) for name, one in fields if name in raw})

    return Coder(write, read_record)

"""Values as JSON text and back, equal in every field."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property, lru_cache
from typing import Generic, TypeVar, cast

from pydantic import TypeAdapter, ValidationError

from bagwright.errors import BrokenPromise

T = TypeVar("T")


class Documents(Generic[T]):
    """Writes and reads the values of one type, or of several that are told apart by their fields.

    Money is written as text, dates as year-month-day, kinds as their words; keys name their units. What was read lately
    (`remembered` values) is not read again from the same text: values never change.
    """

    def __init__(self, kind: object, *, remembered: int = 200) -> None:
        self._kind, self._remembered = kind, remembered

    @cached_property
    def _adapter(self) -> TypeAdapter[T]:
        """Built on first use, for that takes a while."""
        return TypeAdapter(cast("type[T]", self._kind))  # a union of types is none itself

    @cached_property
    def _read(self) -> Callable[[str], T]:
        return lru_cache(self._remembered)(self._adapter.validate_json)

    def write(self, value: T) -> str:
        """JSON text of the value. Raises `BrokenPromise` if it would not come back equal (an infinite number, say)."""
        try:
            text = self._adapter.dump_json(value, fallback=_plain, warnings=False).decode()
        except ValueError as fault:
            raise BrokenPromise(f"{type(value).__name__} cannot be written: {fault}") from fault
        if self.read(text) != value:
            raise BrokenPromise(f"{type(value).__name__} would not come back as it is: {value}")
        return text

    def read(self, text: str) -> T:
        """The value. Raises `BrokenPromise` if the text is none."""
        try:
            return self._read(text)
        except ValidationError as fault:
            raise BrokenPromise(f"what is kept cannot be read: {fault}") from fault


def _plain(value: object) -> object:
    if isinstance(value, Mapping):
        return dict(value)
    raise BrokenPromise(f"a {type(value).__name__} has no place in the store: {value!r}")

"""How a command answers: one JSON value or words, with the options that choose."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import TypeVar

import click

from bagwright.cli.faults import harmless
from bagwright.units import UnitSystem

Command = TypeVar("Command", bound=Callable[..., object])


def answer_options(command: Command) -> Command:
    """The options that every command with an answer has."""
    as_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON value, in mm (see docs/json.md).")
    units = click.option(
        "--units",
        type=click.Choice([system.value for system in UnitSystem]),
        default=UnitSystem.INCH.value,
        show_default=True,
        help="Units of the answer in words.",
    )
    return as_json(units(command))


def print_answer(as_json: bool, value: Callable[[], object], words: Callable[[], str]) -> None:
    """One JSON value, or the words: only the one that is asked for is made."""
    click.echo(json.dumps(value(), allow_nan=False) if as_json else harmless(words()))


Found = TypeVar("Found")
Teller = tuple[Callable[[bytes], Found], Callable[[Found], object], Callable[[Found, UnitSystem], str]]
"""What a file asks for, as JSON, in words."""


def tell(file: str, teller: Teller[Found], *, as_json: bool, units: str) -> None:
    """Answer what FILE asks for."""
    from bagwright.workflows.files import read_file

    of_file, json_of, words_of = teller
    found = of_file(read_file(file))
    print_answer(as_json, lambda: json_of(found), lambda: words_of(found, UnitSystem(units)))

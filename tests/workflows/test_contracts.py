"""Contracts: every fault of a JSON value becomes a problem with its place, its limits and a remedy."""

from __future__ import annotations

import importlib
import json
import pkgutil
from enum import StrEnum
from typing import Annotated, Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import Field

import bagwright.workflows
from bagwright.errors import FaultyInput, Problem
from bagwright.model.source import SourceKind
from bagwright.workflows.contracts import Contract, Faults, LostShare, MassGsm, read_contract, reading


class Finish(StrEnum):
    MATT = "matt"
    WAXED = "waxed"


class Roll(Contract):
    kind: Literal["roll"] = Field(description='"roll" or "hide"')
    width_mm: float = Field(gt=0, lt=5000, description="width, above 0 and below 5000 mm")


class Hide(Contract):
    kind: Literal["hide"] = Field(description='"roll" or "hide"')
    flaws: list[str] = Field(max_length=2, description="up to 2 flaws")


class Bolt(Contract):
    name: str = Field(min_length=1, max_length=5, pattern="^[a-z]*$", description="1 to 5 small letters")
    count: int = Field(default=1, ge=1, le=9, description="1 to 9")
    is_new: bool = Field(default=True, description="true or false")
    finish: Finish = Field(default=Finish.MATT, description="matt or waxed")
    mass_gsm: MassGsm | None = Field(default=None, description="1 to 20000 g/m2")
    lost: LostShare = Field(default=0.0, description="0 to 0.5")
    source: Annotated[Roll | Hide, Field(discriminator="kind")] | None = Field(default=None, description="a source")


def problems_of(value, contract=Bolt):
    with pytest.raises(FaultyInput) as refused:
        read_contract(json.dumps(value).encode(), contract)
    return list(refused.value.problems)


def every_contract():
    for module in pkgutil.iter_modules(bagwright.workflows.__path__, "bagwright.workflows."):
        if not module.ispkg:
            importlib.import_module(module.name)
    waiting = [Contract]
    while waiting:
        contract = waiting.pop()
        waiting += contract.__subclasses__()
        if contract.__module__.startswith("bagwright."):
            yield contract


def test_every_field_of_every_contract_says_what_is_allowed():
    silent = [
        f"{contract.__name__}.{name}"
        for contract in every_contract()
        for name, field in contract.model_fields.items()
        if not field.description
    ]
    assert silent == []


@pytest.mark.parametrize(
    ("given", "place", "what"),
    [
        ({}, "name", "is missing"),
        ({"name": ""}, "name", "is empty"),
        ({"name": "canvas"}, "name", "is too long"),
        ({"name": "A"}, "name", "is not in the right form"),
        ({"name": None}, "name", "is not a text"),
        ({"name": "a", "count": "2"}, "count", "is not a whole number"),
        ({"name": "a", "count": True}, "count", "is not a whole number"),
        ({"name": "a", "count": 2.5}, "count", "is not a whole number"),
        ({"name": "a", "count": 0}, "count", "is less than 1"),
        ({"name": "a", "count": 10**30}, "count", "is more than 9"),
        ({"name": "a", "is_new": 1}, "is_new", "is not true or false"),
        ({"name": "a", "finish": "shiny"}, "finish", "is not one of the known words"),
        ({"name": "a", "finish": 3}, "finish", "is not one of the known words"),
        ({"name": "a", "mass_gsm": "9"}, "mass_gsm", "is not a number"),
        ({"name": "a", "mass_gsm": 0.5}, "mass_gsm", "is less than 1"),
        ({"name": "a", "mass_gsm": 1e5}, "mass_gsm", "is more than 20000"),
        ({"name": "a", "mass_gsm": float("inf")}, "mass_gsm", "is not a number that can be reckoned with"),
        ({"name": "a", "mass_gsm": {}}, "mass_gsm.value", "is missing"),
        ({"name": "a", "source": 3}, "source", "is not an object"),
        ({"name": "a", "source": {}}, "source.kind", "is missing"),
        ({"name": "a", "source": {"kind": "bolt"}}, "source.kind", "is not one of the known words"),
        ({"name": "a", "source": {"kind": "roll"}}, "source.width_mm", "is missing"),
        ({"name": "a", "source": {"kind": "roll", "width_mm": 0}}, "source.width_mm", "is not more than 0"),
        ({"name": "a", "source": {"kind": "roll", "width_mm": 5000}}, "source.width_mm", "is not less than 5000"),
        ({"name": "a", "source": {"kind": "hide", "flaws": {}}}, "source.flaws", "is not a list"),
        ({"name": "a", "source": {"kind": "hide", "flaws": [1]}}, "source.flaws[0]", "is not a text"),
        ({"name": "a", "source": {"kind": "hide", "flaws": ["", "", ""]}}, "source.flaws", "has too many entries"),
    ],
)
def test_rejects_with_the_place_and_the_fault(given, place, what):
    problem = problems_of(given)[0]
    assert (problem.place, problem.what) == (place, what)
    assert problem.allowed and problem.remedy


def test_a_field_of_another_variant_is_told_with_those_of_this_one():
    (problem,) = problems_of({"name": "a", "source": {"kind": "hide", "flaws": [], "width_mm": 3}})
    assert (problem.place, problem.allowed) == ("source.width_mm", "only kind, flaws")


def test_a_slip_in_a_name_is_answered_with_the_likely_one():
    (problem,) = problems_of({"name": "a", "mas_gsm": 3})
    assert (problem.place, problem.remedy) == ("mas_gsm", 'Did you mean "mass_gsm"?')


@given(low=st.floats(0, 0.5), value=st.floats(0, 0.5), high=st.floats(0, 0.5), kind=st.sampled_from(list(SourceKind)))
def test_property_a_reading_is_taken_whole_or_refused(low, value, high, kind):
    given_as = {"low": low, "value": value, "high": high, "source": {"kind": kind, "said_by": "me"}}
    file = {"name": "a", "lost": given_as}
    if low <= value <= high:
        read = reading(read_contract(json.dumps(file).encode(), Bolt).lost)
        assert (read.low, read.value, read.high, read.source.kind) == (low, value, high, kind)
    else:
        (problem,) = problems_of(file)
        assert (problem.place, problem.what) == ("lost", "is not in order")


def test_faults_collects_refusals_and_lets_other_errors_through():
    faults = Faults()
    for place in ("a", "b"):
        with faults:
            raise FaultyInput([Problem(place=place, value="", what="", allowed="", remedy="")])
    with pytest.raises(ZeroDivisionError), faults:
        raise ZeroDivisionError
    with pytest.raises(FaultyInput) as refused:
        faults.raise_if_any()
    assert [problem.place for problem in refused.value.problems] == ["a", "b"]

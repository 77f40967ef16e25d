"""docs/json.md against the contracts and against the command line: its tables and its examples."""

from __future__ import annotations

import importlib
import json
import re

import pytest
from click.testing import CliRunner
from pydantic_core import PydanticUndefined

from bagwright.cli import main
from bagwright.workflows.contracts import Contract
from bagwright.workflows.json_faults import fields_of
from tests.json_doc import answer_tables, examples, field_tables

FIELDS = field_tables()
ANSWERS = answer_tables()
EXAMPLES = examples()
COMMANDS = {example.command for example in EXAMPLES}
NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?")  # not that of a unit such as m2


def contract_of(dotted: str):
    module, _, name = dotted.rpartition(".")
    return getattr(importlib.import_module(module), name)


def answer_to(example):
    is_text = isinstance(example.file, str | bytes)
    file = example.file if is_text else "" if example.file is None else json.dumps(example.file)
    arguments = ["-" if part in ("FILE", "DRAWING", "PHOTO") else part for part in example.arguments]
    ran = CliRunner().invoke(main, arguments, input=file)
    assert (ran.exit_code, ran.stderr) == (0, "")
    return json.loads(ran.stdout)


@pytest.fixture(scope="module")
def answers():
    return [answer_to(example) for example in EXAMPLES]


def paths_in(value, stem=""):
    """Every leaf's path; lists of points count as leaves."""
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from paths_in(inner, f"{stem}.{name}" if stem else name)
    elif isinstance(value, list) and (not value or isinstance(value[0], dict | str)):
        yield from [] if value else [stem + "[]"]
        for inner in value:
            yield from paths_in(inner, stem + "[]")
    else:
        yield stem


def numbers_in(value, stem=""):
    """Every number within nested objects, by its path."""
    for name, inner in value.items():
        if isinstance(inner, dict):
            yield from numbers_in(inner, f"{stem}{name}.")
        elif not isinstance(inner, list):
            yield f"{stem}{name}", inner


def covers(told, path):
    """Whether the table's `told` names `path`, or what the entries of the list at `path` hold."""
    pattern = re.escape(told).replace(r"\*", ".+")
    return bool(re.fullmatch(pattern, path)) or (path.endswith("[]") and told.startswith(path))


def structure(value):
    """Names and kinds of values; of a list, of its first entry."""
    if isinstance(value, dict):
        return {name: structure(inner) for name, inner in value.items()}
    if isinstance(value, list):
        return [structure(value[0])] if value else []
    return "number" if isinstance(value, int | float) and not isinstance(value, bool) else type(value).__name__


def test_every_command_that_reads_a_file_is_documented():
    reading = {name for name, command in main.commands.items() if any(p.name == "file" for p in command.params)}
    assert reading | {"draft", "outline", "pieces"} == COMMANDS == ANSWERS.keys()


@pytest.mark.parametrize("dotted", FIELDS)
def test_field_table_agrees_with_the_contract(dotted):
    contract = contract_of(dotted)
    assert [row.name for row in FIELDS[dotted]] == list(fields_of(contract))
    for row in FIELDS[dotted]:
        default = fields_of(contract)[row.name].get_default(call_default_factory=True)
        if default is PydanticUndefined:
            assert row.default == "required"
        else:
            told = json.loads(row.default.strip("`"))
            assert (type(default)(**told) if isinstance(default, Contract) else told) == default


@pytest.mark.parametrize("dotted", FIELDS)
def test_limits_in_the_table_agree_with_those_that_problems_tell(dotted):
    for row in FIELDS[dotted]:
        description = fields_of(contract_of(dotted))[row.name].description
        assert description, row.name
        assert set(NUMBER.findall(description)) <= set(NUMBER.findall(row.allowed)), row.name


@pytest.mark.parametrize("dotted", FIELDS)
def test_limits_that_problems_tell_agree_with_those_that_hold(dotted):
    for name, field in fields_of(contract_of(dotted)).items():
        limits = [
            getattr(rule, kind)
            for rule in field.metadata
            for kind in ("gt", "ge", "lt", "le", "min_length", "max_length")
            if getattr(rule, kind, None) is not None
        ]
        told = {float(number) for number in NUMBER.findall(field.description or "")}
        assert {float(limit) for limit in limits} - {0.0} <= told, name


@pytest.mark.parametrize("number", range(len(EXAMPLES)), ids=lambda number: EXAMPLES[number].command)
def test_printed_answer_agrees_with_a_run(number, answers):
    assert structure(EXAMPLES[number].answer) == structure(answers[number])


def test_body_example_regression_numbers(answers):
    (number,) = (number for number, example in enumerate(EXAMPLES) if example.command == "body")
    printed, run = EXAMPLES[number].answer, answers[number]
    assert dict(numbers_in(run)) == pytest.approx(dict(numbers_in(printed)), rel=1e-2)


@pytest.mark.parametrize("command", ANSWERS)
def test_answer_table_agrees_with_a_run(command, answers):
    told, given = ANSWERS[command], set[str]()
    for number, example in enumerate(EXAMPLES):
        given |= set(paths_in(answers[number])) if example.command == command else set()
    assert {path for path in given if not any(covers(name, path) for name in told)} == set(), "not in the table"
    assert {name for name in told if not any(covers(name, path) for path in given)} == set(), "not in the answer"

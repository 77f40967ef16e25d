"""JSON from outside against RFC 8259, "The JavaScript Object Notation (JSON) Data Interchange Format" (2017).

Sections are named beside each check; the text of the RFC is from memory.
"""

from __future__ import annotations

import pytest

from bagwright.errors import FaultyInput
from bagwright.workflows.contracts import Contract, read_contract
from bagwright.workflows.json_text import opened


class Sized(Contract):
    """A file with one number."""

    size: float


def test_numbers_matches_rfc_8259_section_6():
    # number = [ minus ] int [ frac ] [ exp ]; Infinity and NaN are not permitted.
    for good in ("0", "-0", "10", "1.5", "-1.5e3", "1E+2", "1e-2", "0.1"):
        assert read_contract(f'{{"size": {good}}}'.encode(), Sized).size == float(good)
    for bad in ("01", "+1", ".5", "1.", "1e", "0x10", "1,5", "NaN", "Infinity", "-Infinity", "--1", "1_000"):
        with pytest.raises(FaultyInput):
            read_contract(f'{{"size": {bad}}}'.encode(), Sized)


@pytest.mark.parametrize(
    "text", ["{'size': 1}", '{"size": 1,}', "{size: 1}", '{"size": 1} // one', '{"size": 1}}', "{"]
)
def test_objects_matches_rfc_8259_section_4(text):
    with pytest.raises(FaultyInput):
        read_contract(text.encode(), Sized)


def test_literals_matches_rfc_8259_section_3():
    # The literal names MUST be lowercase.
    for bad in ("True", "NULL", "undefined"):
        with pytest.raises(FaultyInput, match="not readable JSON"):
            read_contract(f'{{"size": {bad}}}'.encode(), Sized)


def test_encoding_matches_rfc_8259_section_8_1():
    # Text MUST be UTF-8; a parser MAY ignore a byte order mark.
    text = '{"size": 1}'
    assert read_contract(text.encode("utf-8-sig"), Sized).size == 1
    for encoding in ("utf-16", "utf-16-be", "utf-32"):
        with pytest.raises(FaultyInput):
            read_contract(text.encode(encoding), Sized)


def test_whitespace_matches_rfc_8259_section_2():
    assert read_contract(b' \t\r\n{ \t\r\n"size"\n:\r1\t}\n', Sized).size == 1
    with pytest.raises(FaultyInput):
        read_contract('{\u00a0"size": 1}'.encode(), Sized)


def test_example_matches_rfc_8259_section_13():
    text = b"""{
        "Image": {
            "Width":  800,
            "Height": 600,
            "Title":  "View from 15th Floor",
            "Thumbnail": {
                "Url":    "http://www.example.com/image/481989943",
                "Height": 125,
                "Width":  100
            },
            "Animated" : false,
            "IDs": [116, 943, 234, 38793]
          }
      }"""
    seen = opened(text)
    assert seen.repeats == ()
    assert seen.tree == {
        "Image": {
            "Width": 800,
            "Height": 600,
            "Title": "View from 15th Floor",
            "Thumbnail": {"Url": "http://www.example.com/image/481989943", "Height": 125, "Width": 100},
            "Animated": False,
            "IDs": [116, 943, 234, 38793],
        }
    }

"""The demo: every kind of material, every number with a source, everything marked as invented."""

from __future__ import annotations

import dataclasses
from importlib.resources import files

import pytest

from bagwright.drafting.forms import FORMS
from bagwright.model.material import MaterialKind
from bagwright.model.source import Reading, SourceKind
from tests.workflows.demo_values import BAGS, SHELF

MATERIALS = list(SHELF.materials.values())


def readings_of(material):
    values = {f.name: getattr(material, f.name) for f in dataclasses.fields(material)}
    return {name: value for name, value in values.items() if isinstance(value, Reading)}


@pytest.mark.parametrize("material", MATERIALS, ids=lambda material: material.id)
def test_every_property_has_a_source_in_words(material):
    readings = readings_of(material)
    assert readings
    for name, reading in readings.items():
        assert len(reading.source.said_by.split()) >= 2, name
        assert reading.source.said_by.strip() == reading.source.said_by
        assert reading.source.kind in SourceKind


@pytest.mark.parametrize("material", MATERIALS, ids=lambda material: material.id)
def test_measured_and_label_values_say_that_they_are_invented(material):
    for name, reading in readings_of(material).items():
        if reading.source.kind in (SourceKind.MEASURED, SourceKind.LABEL) and "tex" not in reading.source.said_by:
            assert reading.source.said_by.endswith("(invented)"), name


@pytest.mark.parametrize("material", MATERIALS, ids=lambda material: material.id)
def test_every_material_has_what_its_kind_needs(material):
    given = readings_of(material).keys()
    if material.kind.is_sheet:
        assert {"mass_gsm", "thickness_mm", "overhang_mm", "highest_iron_c"} <= given
    elif material.kind is MaterialKind.HARDWARE:
        assert "mass_each_g" in given
    else:
        assert "mass_gpm" in given
    assert ("glue_needs_c" in given) == bool(material.fusible_sides)
    assert SHELF.offers_for(material.id)


def test_the_shelf_covers_every_kind():
    assert {material.kind for material in MATERIALS} == set(MaterialKind)
    assert 14 <= len(MATERIALS) <= 30


def test_sellers_and_files_are_marked_as_invented():
    assert all("(invented)" in offer.seller for offer in SHELF.offers)
    for name in ("shelf.json", "bags.json"):
        text = files("bagwright.workflows").joinpath("demo", name).read_text(encoding="utf-8")
        assert '"marked": "Invented data' in text


def test_offers_are_of_different_widths_and_ways_of_selling():
    widths = [len(SHELF.widths_mm(material.id)) for material in MATERIALS if material.kind.is_sheet]
    assert max(widths) >= 2
    assert len({type(offer) for offer in SHELF.offers}) == 4


def test_there_are_three_bags_of_three_forms():
    assert len(BAGS) == len({bag.form for bag in BAGS.values()} & FORMS.keys()) == 3
    used = {layer.material_id for bag in BAGS.values() for stack in bag.stacks.values() for layer in stack}
    assert used <= SHELF.materials.keys()

"""Answers and all that is kept as tables, read again by the csv and zip readers of the standard library."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from dataclasses import replace

import pytest
from click.testing import CliRunner

from bagwright.cli import main
from bagwright.errors import NotKept
from bagwright.store.bags import load_bag, save_bag
from bagwright.store.safekeeping import kept_documents
from bagwright.workflows.desk import view_bag
from bagwright.workflows.papers import paper_of_bag
from bagwright.workflows.safekeeping import tables_of_everything
from bagwright.workflows.tables import TABLE_FILES
from tests.workflows.demo_values import TOTE


def csv_tables(data: bytes) -> dict[str, list[dict[str, str]]]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.testzip() is None
        texts = {name.removesuffix(".csv"): archive.read(name).decode("utf-8-sig") for name in archive.namelist()}
    return {name: list(csv.DictReader(io.StringIO(text, newline=""))) for name, text in texts.items()}


def test_every_table_of_a_bag_is_there_as_csv_and_json_and_agrees_with_its_answer(desk):
    with desk.store() as store:
        save_bag(store, replace(load_bag(store, TOTE), name='=HYPERLINK("x")'))
    answer = view_bag(desk, TOTE).answer
    told = json.loads(paper_of_bag(desk, TOTE, "tables.json").data)["tables"]
    table = csv_tables(paper_of_bag(desk, TOTE, "tables-csv.zip").data)
    assert {name: len(rows) for name, rows in told.items()} == {name: len(rows) for name, rows in table.items()}
    alone = paper_of_bag(desk, TOTE, "cut-list.csv").data.decode("utf-8-sig")
    assert list(csv.DictReader(io.StringIO(alone, newline=""))) == table["cut-list"]
    assert table["bag"][0]["name"] == "'" + answer.bag.name and told["bag"][0]["name"] == answer.bag.name
    assert [row["id"] for row in told["pieces"]] == [piece.id for piece in answer.pattern.pieces]
    assert [float(row["area_mm2"]) for row in table["pieces"]] == pytest.approx(
        [piece.region().area_mm2 for piece in answer.pattern.pieces]
    )
    assert len(told["placements"]) == sum(len(sheet.layout.placements) for sheet in answer.chosen_layouts())
    assert [row["name"] for row in told["steps"]] == [step.name for step in answer.work]
    assert answer.price and [row["amount.amount"] for row in table["price"]] == [
        str(part.amount.amount) for part in answer.price.parts
    ]
    assert sum(float(row["minutes"]) for row in table["time"]) == pytest.approx(answer.price.minutes)


def test_all_that_is_kept_is_there_as_csv_and_json(desk):
    as_json, as_csv = (tables_of_everything(desk, name).data for name in TABLE_FILES)
    told, table = json.loads(as_json)["tables"], csv_tables(as_csv)
    with desk.store() as store:
        kept = kept_documents(store)
    assert {name: max(len(rows), name == "workroom") for name, rows in kept.items()} == {
        name: len(rows) for name, rows in told.items()
    }
    assert {name: [row.get("id", "") for row in rows] for name, rows in told.items()} == {
        name: [row.get("id", "") for row in rows] for name, rows in table.items()
    }
    assert told["material"] and told["offer"] and told["stash_piece"] and told["workroom"][0]["currency"]
    assert all(row["version"] > 0 for row in told["bag"])
    with pytest.raises(NotKept):
        tables_of_everything(desk, "../bagwright.sqlite3")


def test_everything_is_kept_by_the_command_as_its_name_ends(desk, tmp_path):
    with desk.store() as store:
        store.execute("PRAGMA wal_checkpoint")
    home, keep = str(desk.home), CliRunner().invoke
    for ending, head in ((".sqlite3", b"SQLite format 3"), (".json", b"{"), (".zip", b"PK")):
        out = tmp_path / f"all{ending}"
        assert keep(main, ["keep", str(out), "--home", home]).exit_code == 0
        assert out.read_bytes().startswith(head)
    for out, folder in (("all.txt", home), ("all.json", str(tmp_path / "nothing"))):
        refused = keep(main, ["keep", str(tmp_path / "new" / out), "--home", folder])
        assert refused.exit_code == 2 and "Choose another" in refused.stderr
    assert not (tmp_path / "nothing").exists()

"""Thick scraps from a photo: a thickness said of all, or that of the material that is named, is taken off."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import pytest

from bagwright.model.brought_photo import BroughtPhoto
from bagwright.model.found_outline import CameraAbove, FoundOutline, FoundOutlines, OutlineWishes
from bagwright.model.material import MaterialKind
from bagwright.model.source import Reading
from bagwright.store.materials import load_material, save_material
from bagwright.store.photos import save_photo
from bagwright.units import UnitSystem
from bagwright.workflows.desk import load_shelf
from bagwright.workflows.stash_changes import the_stash
from bagwright.workflows.tell_outline import read_wishes
from tests.web.html import invalid_fields, said

# A board of 4 mm seen from 404 mm over (0, 0): what lies from 100 to 200 mm away is seen from 100 to 202.
SEEN = FoundOutline(number=1, outer=((100, -50), (202, -50.5), (202, 50.5), (100, 50)), error_mm=0.2)


def photo_of(outline: FoundOutline) -> BroughtPhoto:
    found = FoundOutlines(
        outlines=(outline,),
        refused=(),
        cards=(1, 2, 3, 4),
        ignored=(),
        card_side_mm=50.0,
        scale_error_share=0.001,
        fit_mm=0.02,
        ground=(200, 20, 120),
        low=(-250.0, -200.0),
        high=(250.0, 200.0),
        camera=CameraAbove(foot=(0.0, 0.0), height_mm=404.0, doubt_share=0.05),
    )
    picture = cv2.imencode(".jpg", np.full((400, 500, 3), 128, np.uint8))[1].tobytes()
    return BroughtPhoto(name="a.jpg", data=b"", wishes=OutlineWishes(), found=found, picture=picture, px_per_mm=1.0)


def test_what_a_named_material_is_thick_is_taken_off_once(client, desk):
    with desk.store() as store:
        foam = next(one for one in load_shelf(store).materials.values() if one.kind is MaterialKind.FOAM)
        kept = load_material(store, foam.id)
        thick = replace(kept.value, thickness_mm=Reading.exact(4.0))
        save_material(store, thick, expected_version=kept.version)
        save_photo(store, "seen", photo_of(SEEN))
        save_photo(store, "done", photo_of(replace(SEEN, thickness_mm=4.0)))
        save_photo(store, "thin", photo_of(replace(SEEN, outer=((200, 0), (201, 0), (201, 9), (200, 9)))))
    before = {item.piece.id for item in the_stash(desk)}
    answers = {"material": foam.id, "side_up": "right side", "keep-1": "on", "bin": "seen"}
    assert "thick scraps show too large" in said(client.get("/mat/seen").text)
    assert "is taken off" in said(client.get("/mat/done").text)
    assert client.post("/mat/seen", data=answers).status_code == 303
    assert client.post("/mat/done", data={**answers, "bin": "done"}).status_code == 303
    new = {item.piece.bin: item.piece for item in the_stash(desk) if item.piece.id not in before}
    assert (new["seen"].region.width_mm, new["done"].region.width_mm) == pytest.approx((100, 102), abs=0.01)
    assert new["seen"].error_mm > new["done"].error_mm == 0.2
    # The picture shows the upper side: from 3 mm before it as it is seen, drawn in to the foot by 400 / 404.
    assert new["seen"].picture_at is not None
    assert new["seen"].picture_at[0][0] == pytest.approx(97 * 400 / 404 - 100, abs=0.01)
    answer = client.post("/mat/thin", data=answers)
    assert (answer.status_code, invalid_fields(answer.text)) == (422, {"material"})
    assert "nothing of it would be left" in said(answer.text)


def test_a_thickness_is_read_with_its_unit_and_refused_out_of_range(client):
    read = [read_wishes({"thickness": text}, UnitSystem.METRIC).thickness_mm for text in ("3", "1/8 in", "", "0.2 cm")]
    assert read == pytest.approx([3.0, 3.175, None, 2.0])
    answer = client.post("/stash/photo", files={"photo": ("a.jpg", b"none", "image/jpeg")}, data={"thickness": "9 in"})
    assert (answer.status_code, invalid_fields(answer.text)) == (422, {"thickness"})

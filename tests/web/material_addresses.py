"""The addresses of the shelf; test_materials.py and test_shelf_from_labels.py try every one."""

MATERIAL_ADDRESSES = {
    "/materials",
    "/materials/csv",
    "/ruler-test/{card}",
    "/materials/{material_id}",
    "/materials/{material_id}/swatch.jpg",
    "/materials/{material_id}/swatch",
    "/materials/{material_id}/from-name",
    "/materials/{material_id}/offers",
    "/materials/{material_id}/offers/{deed}",
    "/materials/{material_id}/{deed}",
}

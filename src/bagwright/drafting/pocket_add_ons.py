"""Every pocket that a bag with a front and a back can have."""

from __future__ import annotations

from bagwright.drafting.faces import Faces
from bagwright.drafting.form_spec import AddOn
from bagwright.drafting.pocket_slip import inside_slip_pocket, outside_slip_pocket


def pocket_add_ons(faces: Faces, *, usual_inside: int = 0) -> tuple[AddOn, ...]:
    """Pockets on its faces, each on one of its own; `usual_inside` is how many slip pockets a new bag has inside."""
    return (
        inside_slip_pocket(faces.inside, usual=usual_inside),
        outside_slip_pocket(faces.outside),
    )

"""Every pocket that a bag with a front and a back can have."""

from __future__ import annotations

from bagwright.drafting.faces import Faces
from bagwright.drafting.form_spec import AddOn
from bagwright.drafting.pocket_slip import inside_slip_pocket, outside_slip_pocket
from bagwright.drafting.pocket_zip import inside_zip_pocket, outside_zip_pocket


def pocket_add_ons(faces: Faces, *, usual_inside: int = 0, with_strap_ends: bool = False) -> tuple[AddOn, ...]:
    """Pockets on its faces, each on one of its own; `usual_inside` is how many slip pockets a new bag has inside.

    `with_strap_ends`: two ends of a strap are caught in the top of the back.
    """
    return (
        *inside_pocket_add_ons(faces, usual=usual_inside, with_strap_ends=with_strap_ends),
        outside_slip_pocket(faces.outside),
        outside_zip_pocket(faces.outside_back),
    )


def inside_pocket_add_ons(faces: Faces, *, usual: int = 0, with_strap_ends: bool = False) -> tuple[AddOn, AddOn]:
    """Those in the lining alone."""
    return (
        inside_slip_pocket(faces.inside, usual=usual),
        inside_zip_pocket(faces.inside_back, with_strap_ends=with_strap_ends),
    )

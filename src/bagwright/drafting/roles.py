"""Roles that several forms share."""

from __future__ import annotations

from bagwright.drafting.form_spec import RoleSpec
from bagwright.model.material import MaterialKind

_OUTSIDE = (
    MaterialKind.BOTTOM_WEIGHT,
    MaterialKind.PLAIN_CLOTH,
    MaterialKind.COATED,
    MaterialKind.CORK,
    MaterialKind.LEATHER,
    MaterialKind.FELT,
)
_INSIDE = (MaterialKind.PLAIN_CLOTH, MaterialKind.BOTTOM_WEIGHT, MaterialKind.COATED)

OUTER = RoleSpec(key="outer", name="Outer", meaning="What the bag shows, with all that stiffens it.", kinds=_OUTSIDE)
BASE = RoleSpec(key="base", name="Base", meaning="The sturdier cloth under the bag.", kinds=_OUTSIDE)
LINING = RoleSpec(key="lining", name="Lining", meaning="What the bag shows when it is open.", kinds=_INSIDE)
STRAP = RoleSpec(key="strap", name="Strap", meaning="The cloth of straps and handles.", kinds=_OUTSIDE)
WEBBING = RoleSpec(
    key="webbing",
    name="Webbing",
    meaning="The woven band by length that straps and handles are cut from.",
    kinds=(MaterialKind.WEBBING,),
    is_notion=True,
    word="webbing",
)
RING = RoleSpec(
    key="ring",
    name="Ring",
    meaning="What the tab of an adjustable strap holds.",
    kinds=(MaterialKind.HARDWARE,),
    is_notion=True,
    word="ring",
)
STRAP_ADJUSTER = RoleSpec(
    key="strap_adjuster",
    name="Strap adjuster",
    meaning="The slider with a middle bar that sets the length of a strap.",
    kinds=(MaterialKind.HARDWARE,),
    is_notion=True,
    word="adjuster",
)
MAGNETIC_SNAP = RoleSpec(
    key="magnetic_snap",
    name="Magnetic snap",
    meaning="The two halves of the fastening, with their washers.",
    kinds=(MaterialKind.HARDWARE,),
    is_notion=True,
    word="snap",
)
FEET = RoleSpec(
    key="feet",
    name="Bag feet",
    meaning="The studs that the bag stands on.",
    kinds=(MaterialKind.HARDWARE,),
    is_notion=True,
    word="feet",
)
REINFORCEMENT = RoleSpec(
    key="reinforcement",
    name="Reinforcement",
    meaning="What is fused or glued behind hardware, so that it does not tear out.",
    kinds=(MaterialKind.NONWOVEN_INTERFACING, MaterialKind.WOVEN_INTERFACING, MaterialKind.FELT),
)
STRAP_ROLES = (STRAP, WEBBING)
LONG_STRAP_ROLES = (*STRAP_ROLES, RING, STRAP_ADJUSTER)
POCKET = RoleSpec(key="pocket", name="Pocket", meaning="The cloth of the pockets inside.", kinds=_INSIDE)
OUTSIDE_POCKET = RoleSpec(
    key="outside_pocket", name="Outside pocket", meaning="The cloth of the pocket that shows outside.", kinds=_OUTSIDE
)
BINDING = RoleSpec(
    key="binding",
    name="Binding",
    meaning="The thin cloth of the strip that is folded over a raw edge.",
    kinds=(*_INSIDE, MaterialKind.LEATHER),
)
TAB = RoleSpec(key="tab", name="Zip tab", meaning="The folded cloth over each end of the zip.", kinds=_OUTSIDE)
ZIP_CHAIN = RoleSpec(
    key="zip_chain",
    name="Zip chain",
    meaning="The zip by length: two tapes with teeth, closed.",
    kinds=(MaterialKind.ZIP,),
    is_notion=True,
)
SLIDER = RoleSpec(
    key="slider",
    name="Slider",
    meaning="What opens and closes the zip.",
    kinds=(MaterialKind.HARDWARE,),
    is_notion=True,
    word="slider",
)
PIPING = RoleSpec(key="piping", name="Piping", meaning="The bias strip that is folded round the cord.", kinds=_INSIDE)
PIPING_CORD = RoleSpec(
    key="piping_cord",
    name="Piping cord",
    meaning="The cord by length inside the piping.",
    kinds=(MaterialKind.WEBBING,),
    is_notion=True,
    word="piping",
)
CORD = RoleSpec(
    key="cord",
    name="Drawcord",
    meaning="The cord by length that runs through the casing.",
    kinds=(MaterialKind.WEBBING,),
    is_notion=True,
    word="cord",
)
KEY_HOOK = RoleSpec(
    key="key_hook",
    name="Key hook",
    meaning="The swivel hook or the ring that the key tab holds.",
    kinds=(MaterialKind.HARDWARE,),
    is_notion=True,
    word="hook",
)

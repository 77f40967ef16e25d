"""What each named line looks like: widths, dashes and tones, for the page's CSS and for print."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from bagwright.output.drawing import Fill, Ink


class Colour(StrEnum):
    """The few roles of colour in a drawing; on the page each is a CSS custom property."""

    INK = "ink"
    SOFT = "soft"
    FAINT = "faint"
    PAPER = "paper"
    CLOTH = "cloth"
    SHADE = "shade"
    ATTENTION = "attention"
    MAGENTA = "magenta"
    GREEN = "green"


@dataclass(frozen=True, slots=True)
class Pen:
    """Width, dashes (on, off...) and the role of the colour."""

    width_mm: float
    colour: Colour = Colour.INK
    dashes_mm: tuple[float, ...] = ()


PENS: Mapping[Ink, Pen] = {
    Ink.CUT: Pen(0.5),
    Ink.STITCH: Pen(0.3, Colour.INK, (1.6, 1.0)),
    Ink.FOLD: Pen(0.4, Colour.INK, (5.0, 1.0, 0.9, 1.0)),
    Ink.GRAIN: Pen(0.3),
    Ink.NOTCH: Pen(0.5),
    Ink.MARK: Pen(0.22, Colour.SOFT, (0.9, 0.7)),
    Ink.SELVEDGE: Pen(0.3, Colour.SOFT),
    Ink.OUTLINE: Pen(0.35),
    Ink.HAIRLINE: Pen(0.22, Colour.FAINT),
    Ink.MEASURE: Pen(0.22, Colour.SOFT),
    Ink.STRIP: Pen(1.5),
    Ink.BEND: Pen(0.22, Colour.SOFT),
    Ink.ATTENTION: Pen(0.5, Colour.ATTENTION),
    Ink.SEWN: Pen(0.9),
}
HATCH_WIDTH_MM = 0.2
HATCH_STRENGTH = 0.62
PALE_STRENGTH = 0.3
HALO_MM = 1.1
_FONTS = '"Source Sans 3",Arial,Helvetica,sans-serif'

# Light and dark values of each role; the page may set the property named in third place instead.
_COLOURS: Mapping[Colour, tuple[str, str, str]] = {
    Colour.INK: ("#22262B", "#ECE8DF", "--ink"),
    Colour.SOFT: ("#5B6168", "#A9ABA8", "--soft-ink"),
    Colour.FAINT: ("#8D8878", "#797C80", "--drawing-line"),
    Colour.PAPER: ("#FFFFFF", "#1F2226", "--raised"),
    Colour.CLOTH: ("#F3EEE2", "#26292D", "--drawing-ground"),
    Colour.SHADE: ("#DAD4C6", "#3A3E43", "--hairline"),
    Colour.ATTENTION: ("#9A6A00", "#D9A441", "--amber"),
    Colour.MAGENTA: ("#C2127C", "#C2127C", "--mat-magenta"),
    Colour.GREEN: ("#1E9A3C", "#1E9A3C", "--mat-green"),
}
FILL_COLOURS: Mapping[Fill, Colour] = {
    Fill.PAPER: Colour.PAPER,
    Fill.CLOTH: Colour.CLOTH,
    Fill.SOLID: Colour.INK,
    Fill.SHADE: Colour.SHADE,
    Fill.MAGENTA: Colour.MAGENTA,
    Fill.GREEN: Colour.GREEN,
}
# Print: black ink on white paper, greys only where a hatch or a line says the same; a whole mat has its one colour.
PRINTED: Mapping[Colour, str] = {
    Colour.INK: "#000000",
    Colour.SOFT: "#444444",
    Colour.FAINT: "#777777",
    Colour.PAPER: "#FFFFFF",
    Colour.CLOTH: "#FFFFFF",
    Colour.SHADE: "#DDDDDD",
    Colour.ATTENTION: "#000000",
    Colour.MAGENTA: "#C2127C",
    Colour.GREEN: "#1E9A3C",
}
# A projector's black is the cloth in a dim room: lines have to be bright, and wide enough for its coarse dots.
PROJECTED: Mapping[Colour, str] = {
    Colour.INK: "#FFFFFF",
    Colour.SOFT: "#E4E4E4",
    Colour.FAINT: "#5A5A5A",
    Colour.PAPER: "#000000",
    Colour.CLOTH: "#000000",
    Colour.SHADE: "#333333",
    Colour.ATTENTION: "#FFD24A",
    Colour.MAGENTA: "#C2127C",
    Colour.GREEN: "#1E9A3C",
}
_PROJECTED_WIDENING = 3.0


def drawing_css() -> str:
    """Style sheet for every drawing: light, dark and print. Served as a file; no inline styles are needed.

    Colours are `--drawing-ink` and so on, which follow the page's own custom properties where it has them.
    """
    light = _properties({colour: f"var({page}, {light})" for colour, (light, _, page) in _COLOURS.items()})
    dark = _properties({colour: f"var({page}, {dark})" for colour, (_, dark, page) in _COLOURS.items()})
    return "\n".join(
        [
            f".drawing{{{light};max-width:100%;height:auto}}",
            f"@media (prefers-color-scheme:dark){{.drawing{{{dark}}}}}",
            f"@media print{{.drawing{{{_properties(PRINTED)}}}}}",
            *_rules({colour: f"var(--drawing-{colour})" for colour in Colour}),
            "",
        ]
    )


def file_css() -> str:
    """Style sheet for a drawing in a file of its own: as printed, with plain colours that every reader knows."""
    return "\n".join([f".drawing{{background:{PRINTED[Colour.PAPER]}}}", *_rules(PRINTED), ""])


def projected_css() -> str:
    """Style sheet for a drawing thrown on the table by a projector: bright, wide lines on black."""
    ground = f".drawing{{background:{PROJECTED[Colour.PAPER]}}}"
    return "\n".join([ground, *_rules(PROJECTED, widening=_PROJECTED_WIDENING), ""])


def _rules(colours: Mapping[Colour, str], *, widening: float = 1.0) -> list[str]:
    ink, soft, paper = colours[Colour.INK], colours[Colour.SOFT], colours[Colour.PAPER]
    return [
        *(_pen_rule(name, pen, colours[pen.colour], widening) for name, pen in PENS.items()),
        ".drawing .unfilled{fill:none}",
        ".drawing .window{overflow:hidden}",
        *(f".drawing .fill-{fill}{{fill:{colours[colour]}}}" for fill, colour in FILL_COLOURS.items()),
        f".drawing .hatch-ground{{fill:{paper}}}",
        f".drawing .hatch-ground.pale{{fill:{colours[Colour.CLOTH]}}}",
        f".drawing .hatch-line{{fill:none;stroke:{soft};stroke-width:{HATCH_WIDTH_MM}}}",
        f".drawing .hatch-dot{{fill:{soft}}}",
        f".drawing .hatched{{fill-opacity:{HATCH_STRENGTH}}}.drawing .hatched.pale{{fill-opacity:{PALE_STRENGTH}}}",
        f".drawing text{{fill:{ink};font-family:{_FONTS};font-weight:400;font-variant-numeric:tabular-nums}}",
        ".drawing text.strong{font-weight:600}",
        f".drawing text.soft{{fill:{soft}}}",
        ".drawing .fraction{font-variant-numeric:diagonal-fractions}",
        f".drawing text.halo{{paint-order:stroke;stroke:{paper};stroke-width:{HALO_MM};stroke-linejoin:round}}",
    ]


def _properties(values: Mapping[Colour, str]) -> str:
    return ";".join(f"--drawing-{colour}:{value}" for colour, value in values.items())


def _pen_rule(ink: Ink, pen: Pen, colour: str, widening: float) -> str:
    told = " ".join(f"{length * widening:g}" for length in pen.dashes_mm)
    dashes = f";stroke-dasharray:{told}" if told else ""
    name = ink.value.replace(" ", "-")
    return (
        f".drawing .{name}{{stroke:{colour};stroke-width:{pen.width_mm * widening:g};"
        f"stroke-linejoin:round;stroke-linecap:round{dashes}}}"
    )

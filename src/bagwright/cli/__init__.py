"""The command line: `bagwright`. Each command reads, asks a workflow, and prints; anything heavy is imported late.

Exit codes: 0 done; 1 our own fault; 2 a fault in the input, told on stderr; 3 no answer exists; 130 stopped.
"""

from __future__ import annotations

import errno
import os
from pathlib import Path
from typing import Literal

import click

from bagwright import __version__
from bagwright.cli.answers import Command, answer_options, print_answer
from bagwright.cli.faults import Commands
from bagwright.cli.tellers import FILE_COMMANDS
from bagwright.errors import FaultyInput, Problem
from bagwright.units import UnitSystem


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, message="bagwright %(version)s")
def main() -> None:
    """From the measurements of a sewn bag to its pieces, layers, cloth, cost and papers."""


for _command in FILE_COMMANDS.commands.values():
    main.add_command(_command)


@main.command()
@click.argument("form", required=False)
@click.option("--set", "pairs", multiple=True, metavar="NAME=SIZE", help='A measurement, such as width="14 in".')
@click.option("--forms", "lists_forms", is_flag=True, help="List the forms of bag and what they ask for.")
@click.option("--svg", "svg_path", metavar="OUT", help="Write all pieces at true scale.")
@click.option("--pdf", "pdf_path", metavar="OUT", help="Write templates at true scale, over pages to be joined.")
@click.option("--dxf", "dxf_path", metavar="OUT", help="Write all pieces in mm for other software.")
@click.option(
    "--paper",
    type=click.Choice(["A4", "Letter", "36in", "841mm"]),
    help="For --pdf: pages, or one sheet on a roll; usual: Letter with inches, else A4.",
)
@click.option("--projector", "projector_path", metavar="OUT", help="Write all pieces for a projector, as SVG.")
@click.option("--folded", "folded_path", metavar="OUT", help="Write the bag folded up, as SVG.")
@click.option("--turn", "turn_deg", type=click.FloatRange(-360, 360), help="For --folded: 0 front, 90 right side.")
@click.option("--tilt", "tilt_deg", type=click.FloatRange(-90, 90), help="For --folded: degrees from above.")
@answer_options
def draft(
    *,
    form: str | None,
    pairs: tuple[str, ...],
    lists_forms: bool,
    svg_path: str | None,
    pdf_path: str | None,
    dxf_path: str | None,
    paper: str | None,
    projector_path: str | None,
    folded_path: str | None,
    turn_deg: float | None,
    tilt_deg: float | None,
    as_json: bool,
    units: str,
) -> None:
    """Draft the pattern of FORM from finished measurements."""
    from bagwright.workflows import tell_draft

    system = UnitSystem(units)
    if lists_forms:
        print_answer(as_json, tell_draft.forms_as_json, lambda: tell_draft.forms_in_words(system))
        return
    pattern = tell_draft.draft_of_settings(form or "", tell_draft.settings_of(pairs), units=system)
    asked = {
        "svg": svg_path,
        "pdf": pdf_path,
        "dxf": dxf_path,
        "projector": projector_path,
        "folded": folded_path,
    }
    paths = {kind: path for kind, path in asked.items() if path}
    if paths:
        from bagwright.workflows.pattern_files import FileWishes, write_pattern

        write_pattern(pattern, paths, FileWishes(units=system, paper=paper, turn_deg=turn_deg, tilt_deg=tilt_deg))
    from bagwright.workflows.pattern_json import pattern_as_json

    print_answer(
        as_json,
        lambda: pattern_as_json(pattern),
        lambda: tell_draft.pattern_in_words(pattern, system, written=list(paths.values())),
    )


@main.command()
@click.argument("file")
@click.option("--svg", "svg_path", metavar="OUT", help="Write a drawing: scraps numbered, cuts, sizes.")
@answer_options
def cover(*, file: str, svg_path: str | None, as_json: bool, units: str) -> None:
    """Cover a template with scraps, edge to edge.

    FILE is JSON as in docs/json.md, or - for standard input.
    """
    from bagwright.workflows import tell_cover as told
    from bagwright.workflows.files import read_file
    from bagwright.workflows.stopping import keeping_the_best

    found, system = keeping_the_best(told.cover_of_file)(read_file(file)), UnitSystem(units)
    if svg_path:
        told.write_cover(found, svg_path, system)
    print_answer(as_json, lambda: told.cover_as_json(found), lambda: told.cover_in_words(found, system))


@main.command()
@click.argument("drawing")
@click.option("--scale", default="", metavar="UNIT|EDGE=LENGTH", help="What one unit is, or how long one edge is.")
@click.option("--line", type=click.Choice(["stitch", "cut"]), help="Which line an outline is where the file is silent.")
@click.option("--allowance", default="", metavar="WIDTH", help="Seam allowance where the file has none; usual: 3/8 in.")
@click.option("--role", default="outer", show_default=True, help="What the pieces are made of.")
@answer_options
def pieces(*, drawing: str, scale: str, line: str | None, allowance: str, role: str, as_json: bool, units: str) -> None:
    """Read pieces of your own from DRAWING, an SVG or DXF file, or - for standard input."""
    from bagwright.workflows import tell_pieces
    from bagwright.workflows.files import read_file
    from bagwright.workflows.own_drawing import Answers

    system = UnitSystem(units)
    answers = Answers(scale=scale, line=line or "", allowance=allowance, role=role)
    found = tell_pieces.pieces_of_file(read_file(drawing), answers, units=system)
    print_answer(as_json, lambda: tell_pieces.pieces_as_json(found), lambda: tell_pieces.pieces_in_words(found, system))


@main.command()
@click.argument("photo", required=False)
@click.option("--cards", "cards_path", metavar="OUT", help="Write the marker cards to print, as PDF.")
@click.option("--paper", type=click.Choice(["A4", "Letter"]), help="For --cards; usual: Letter with inches, else A4.")
@click.option("--mat", "mat_path", metavar="OUT", help="Write a whole mat for a print shop, as PDF.")
@click.option("--size", type=click.Choice(["A2", "A1", "18x24in", "24x36in"]), help="For --mat; usual: 18x24in or A2.")
@click.option("--colour", type=click.Choice(["magenta", "green"]), default="magenta", help="Its field; for --mat.")
@click.option("--card", "side", default="", metavar="LENGTH", help="What your ruler says; usual: as printed.")
@click.option(
    "--measured", type=click.Choice(["square", "100 mm", "4 in"]), default="square", help="Along what; for --card."
)
@click.option(
    "--thickness", default="", metavar="LENGTH", help="How thick they are: what that shows too large goes off."
)
@click.option("--plastic-card", "plastic", is_flag=True, help="Check the scale by a card of bank size in the picture.")
@click.option("--template", "is_template", is_flag=True, help="Paper templates: straight edges, sharp corners.")
@click.option("--split", "splits", is_flag=True, help="Part outlines where two scraps seem to touch.")
@click.option("--svg", "svg_path", metavar="OUT", help="Write the outlines at true scale.")
@answer_options
def outline(
    *,
    photo: str | None,
    cards_path: str | None,
    paper: Literal["A4", "Letter"] | None,
    mat_path: str | None,
    size: str | None,
    colour: str,
    side: str,
    measured: str,
    thickness: str,
    plastic: bool,
    is_template: bool,
    splits: bool,
    svg_path: str | None,
    as_json: bool,
    units: str,
) -> None:
    """Find the outlines of scraps or paper templates in PHOTO, a picture with marker cards round them.

    PHOTO is a JPEG, PNG or WebP file as the phone took it, or - for standard input.
    """
    from bagwright.workflows import tell_outline as told

    system = UnitSystem(units)
    if cards_path:
        told.write_cards(cards_path, paper=paper, units=system)
    if mat_path:
        told.write_mat(mat_path, size=size, colour=colour, units=system)
    if photo is None:
        if cards_path or mat_path:
            return
        raise click.UsageError("Name a picture, or ask for the cards with --cards OUT or a mat with --mat OUT.")
    ticked = {"template": is_template, "split": splits, "plastic": plastic}
    texts = {"card": side, "measured": measured, "thickness": thickness} | {
        name: "on" for name, is_on in ticked.items() if is_on
    }
    wishes = told.read_wishes(texts, system)
    found = told.outlines_of_file(photo, wishes)
    if svg_path:
        told.write_outlines(found, svg_path)
    print_answer(as_json, lambda: told.outlines_as_json(found), lambda: told.outlines_in_words(found, system))


_SHORTEST_PASSWORD = 10


def _served(command: Command) -> Command:
    port = click.option("--port", type=click.IntRange(0, 65535), default=8642, show_default=True, help="0: any free.")
    home = click.option("--home", type=click.Path(path_type=Path), help="Folder for the data.")
    quiet = click.option("--no-browser", is_flag=True, help="Only print the address.")
    network = click.option("--on-network", is_flag=True, help="Let a phone in your network in, by a password.")
    return port(home(quiet(network(command))))


@main.command()
@_served
def serve(*, port: int, home: Path | None, no_browser: bool, on_network: bool) -> None:
    """Open the workroom in your browser.

    It listens on this machine only, unless --on-network opens it to your network: then it prints an address for your
    phone and a password, a new one each time, or the one in BAGWRIGHT_PASSWORD. Data lie in --home, else in the folder
    that BAGWRIGHT_HOME names, else where your platform keeps such data.
    """
    _serve(home, port=port, opens_browser=not no_browser, is_demo=False, on_network=on_network)


@main.command()
@_served
def demo(*, port: int, home: Path | None, no_browser: bool, on_network: bool) -> None:
    """Open an invented workroom to try things in.

    It lies in a folder of its own beside your data, which stay untouched.
    """
    _serve(home, port=port, opens_browser=not no_browser, is_demo=True, on_network=on_network)


@main.command()
@click.argument("out")
@click.option("--home", type=click.Path(path_type=Path), help="Folder of the data, as for serve.")
def keep(*, out: str, home: Path | None) -> None:
    """Write all that is kept to OUT, as its name ends.

    .sqlite3: one file to bring back; .json: tables as JSON; .zip: tables as CSV. It may be done while serve runs.
    """
    from datetime import datetime

    from bagwright.workflows.files import data_folder
    from bagwright.workflows.safekeeping import write_everything

    write_everything(home or data_folder(os.environ), out, datetime.now())


def _password(*, on_network: bool) -> str:
    """Hers, or a new one; none where only this machine is let in. Raises `FaultyInput` for one that is too short."""
    if not on_network:
        return ""
    from bagwright.web.door import new_password

    hers = os.environ.get("BAGWRIGHT_PASSWORD", "").strip()
    if hers and len(hers) < _SHORTEST_PASSWORD:
        what, allowed = "is too short for a network", f"{_SHORTEST_PASSWORD} letters or more"
        remedy = "Choose a longer one, or leave it unset: then one is made."
        raise FaultyInput(
            [Problem(place="BAGWRIGHT_PASSWORD", value="(hidden)", what=what, allowed=allowed, remedy=remedy)]
        )
    return hers or new_password()


def _serve(home: Path | None, *, port: int, opens_browser: bool, is_demo: bool, on_network: bool) -> None:
    from bagwright.web.serve import serve as serve_pages
    from bagwright.workflows.files import data_folder

    folder, password = home or data_folder(os.environ), _password(on_network=on_network)
    try:
        folder.mkdir(parents=True, exist_ok=True)  # says now, not on the first page, that it cannot be used
        serve_pages(folder, port=port, opens_browser=opens_browser, is_demo=is_demo, password=password)
    except OSError as error:
        if error.filename is not None:
            what, allowed = f"cannot be used ({error.strerror})", "a folder that you may write to"
            problem = Problem(place="--home", value=str(folder), what=what, allowed=allowed, remedy="Choose another.")
        elif error.errno in (errno.EADDRINUSE, errno.EACCES):
            what, allowed = "cannot be listened on: it is taken or reserved", "a free port from 1024 to 65535"
            problem = Problem(place="--port", value=str(port), what=what, allowed=allowed, remedy="Try 0 for any.")
        else:
            raise
        raise FaultyInput([problem]) from None

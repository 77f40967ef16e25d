"""The command line: `bagwright`. Each command reads, asks a workflow, and prints; anything heavy is imported late.

Exit codes: 0 done; 1 our own fault; 2 a fault in the input, told on stderr; 3 no answer exists; 130 stopped.
"""

from __future__ import annotations

import errno
import json
import os
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, Literal, TypeVar

import click

from bagwright import __version__
from bagwright.errors import BagwrightError, BrokenPromise, FaultyInput, NoAnswer, Problem
from bagwright.units import UnitSystem

MOST_FAULTS_TOLD = 100
TRACE = "BAGWRIGHT_TRACE"
"""Environment variable: any value shows where in our code an inner fault arose."""


class _Commands(click.Group):
    """All commands; the one place where what went wrong becomes an exit code and plain lines on stderr."""

    def invoke(self, ctx: click.Context) -> object:
        try:
            return super().invoke(ctx)
        except (click.ClickException, click.exceptions.Exit):
            raise  # faults in the command line itself, which click tells, with exit code 2
        except (KeyboardInterrupt, click.Abort):
            ctx.exit(130)
        except BrokenPipeError:
            # The reader has gone (`| head`): nobody to tell. Python would complain again at its own last flush.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            ctx.exit(0)
        except NoAnswer as none:
            _complain([none.problem.sentence()])
            ctx.exit(3)
        except FaultyInput as fault:
            _complain(problem.sentence() for problem in fault.problems)
            ctx.exit(2)
        except Exception as fault:
            if isinstance(fault, BagwrightError) and not isinstance(fault, BrokenPromise):
                _complain([str(fault)])
                ctx.exit(2)
            if os.environ.get(TRACE):
                raise
            _complain([_own_fault(fault)])
            ctx.exit(1)


def _complain(sentences: Iterable[str]) -> None:
    told = list(sentences)
    for sentence in told[:MOST_FAULTS_TOLD]:
        click.echo(_harmless(sentence), err=True)
    if len(told) > MOST_FAULTS_TOLD:
        click.echo(f"... and {len(told) - MOST_FAULTS_TOLD} more faults.", err=True)


def _harmless(text: str) -> str:
    """Text from outside without anything that could steer a terminal."""
    return "".join(
        sign if sign.isprintable() or sign == "\n" else sign.encode("unicode_escape").decode() for sign in text
    )


def _own_fault(fault: Exception) -> str:
    said = " ".join(f"{type(fault).__name__}: {fault}".split())
    report = f"Please report it, with what you gave it; {TRACE}=1 shows where it arose."
    return f"bagwright {__version__} itself is at fault ({said}). {report}"


Command = TypeVar("Command", bound=Callable[..., object])


def _answer_options(command: Command) -> Command:
    as_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON value, in mm (see docs/json.md).")
    units = click.option(
        "--units",
        type=click.Choice([system.value for system in UnitSystem]),
        default=UnitSystem.INCH.value,
        show_default=True,
        help="Units of the answer in words.",
    )
    return as_json(units(command))


def _print_answer(as_json: bool, value: Callable[[], object], words: Callable[[], str]) -> None:
    """One JSON value, or the words: only the one that is asked for is made."""
    click.echo(json.dumps(value(), allow_nan=False) if as_json else _harmless(words()))


Found = TypeVar("Found")
Teller = tuple[Callable[[bytes], Found], Callable[[Found], object], Callable[[Found, UnitSystem], str]]
"""What a file asks for, as JSON, in words."""


def _tell(file: str, teller: Teller[Found], *, as_json: bool, units: str) -> None:
    """Answer what FILE asks for."""
    from bagwright.workflows.files import read_file

    of_file, json_of, words_of = teller
    found = of_file(read_file(file))
    _print_answer(as_json, lambda: json_of(found), lambda: words_of(found, UnitSystem(units)))


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, message="bagwright %(version)s")
def main() -> None:
    """From the measurements of a sewn bag to its pieces, layers, cloth, cost and papers."""


@main.command()
@click.argument("form", required=False)
@click.option("--set", "pairs", multiple=True, metavar="NAME=SIZE", help='A measurement, such as width="14 in".')
@click.option("--forms", "lists_forms", is_flag=True, help="List the forms of bag and what they ask for.")
@click.option("--svg", "svg_path", metavar="OUT", help="Write all pieces at true scale.")
@click.option("--pdf", "pdf_path", metavar="OUT", help="Write templates at true scale, over pages to be joined.")
@click.option("--dxf", "dxf_path", metavar="OUT", help="Write all pieces in mm for other software.")
@click.option("--paper", type=click.Choice(["A4", "Letter"]), help="For --pdf; usual: Letter with inches, else A4.")
@click.option("--folded", "folded_path", metavar="OUT", help="Write the bag folded up, as SVG.")
@click.option("--turn", "turn_deg", type=click.FloatRange(-360, 360), help="For --folded: 0 front, 90 right side.")
@click.option("--tilt", "tilt_deg", type=click.FloatRange(-90, 90), help="For --folded: degrees from above.")
@_answer_options
def draft(
    *,
    form: str | None,
    pairs: tuple[str, ...],
    lists_forms: bool,
    svg_path: str | None,
    pdf_path: str | None,
    dxf_path: str | None,
    paper: Literal["A4", "Letter"] | None,
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
        _print_answer(as_json, tell_draft.forms_as_json, lambda: tell_draft.forms_in_words(system))
        return
    pattern = tell_draft.draft_of_settings(form or "", tell_draft.settings_of(pairs), units=system)
    asked = {"svg": svg_path, "pdf": pdf_path, "dxf": dxf_path, "folded": folded_path}
    paths = {kind: path for kind, path in asked.items() if path}
    if paths:
        from bagwright.workflows.pattern_files import FileWishes, write_pattern

        write_pattern(pattern, paths, FileWishes(units=system, paper=paper, turn_deg=turn_deg, tilt_deg=tilt_deg))
    from bagwright.workflows.pattern_json import pattern_as_json

    _print_answer(
        as_json,
        lambda: pattern_as_json(pattern),
        lambda: tell_draft.pattern_in_words(pattern, system, written=list(paths.values())),
    )


def _teller(name: str, says: str) -> Callable[[Callable[[], Teller[Any]]], None]:
    """A command that reads one FILE and tells what it finds; the decorated function imports it only when called."""

    def add(find: Callable[[], Teller[Any]]) -> None:
        @main.command(name, help=f"{says}\n\nFILE is JSON as in docs/json.md, or - for standard input.")
        @click.argument("file")
        @_answer_options
        def told(*, file: str, as_json: bool, units: str) -> None:
            _tell(file, find(), as_json=as_json, units=units)

    return add


@_teller("body", "Tell how a stack of layers bends and stands.")
def _body() -> Teller[Any]:
    from bagwright.workflows import tell_body as told

    return told.body_of_file, told.body_as_json, told.body_in_words


@_teller("stand", "Tell whether a panel held at its sides and foot stays flat or bows.")
def _stand() -> Teller[Any]:
    from bagwright.workflows import tell_stand as told

    return told.stand_of_file, told.stand_as_json, told.stand_in_words


@_teller("bond", "Tell how firmly two materials hold to each other, from a fused or quilted scrap.")
def _bond() -> Teller[Any]:
    from bagwright.workflows import tell_bond as told

    return told.bond_of_file, told.bond_as_json, told.bond_in_words


@_teller("swaps", "List the best trade-offs among all stacks that a shelf allows for a panel.")
def _swaps() -> Teller[Any]:
    from bagwright.workflows import tell_swaps as told

    return told.swaps_of_file, told.swaps_as_json, told.swaps_in_words


@_teller("bulk", "Count the layers under the needle at every seam and crossing of a bag, against your machine.")
def _bulk() -> Teller[Any]:
    from bagwright.workflows import tell_bulk as told

    return told.bulk_of_file, told.bulk_as_json, told.bulk_in_words


@_teller("strap", "Tell how hard strap ends are pulled and whether their stitching bears it.")
def _strap() -> Teller[Any]:
    from bagwright.workflows import tell_strap as told

    return told.strap_of_file, told.strap_as_json, told.strap_in_words


@_teller("heat", "Tell whether the layers of a stack can be fused, how, and what to do if not.")
def _heat() -> Teller[Any]:
    from bagwright.workflows import tell_heat as told

    return told.heat_of_file, told.heat_as_json, told.heat_in_words


@_teller("ruler", "Tell how a cloth bends, how thick and how heavy it is, from readings at home.")
def _ruler() -> Teller[Any]:
    from bagwright.workflows import tell_ruler as told

    return told.ruler_of_file, told.ruler_as_json, told.ruler_in_words


@_teller("measure", "Tell which measurement of your materials would tell most about the panels at hand.")
def _measure() -> Teller[Any]:
    from bagwright.workflows import tell_measure as told

    return told.measure_of_file, told.measure_as_json, told.measure_in_words


@_teller("lay", "Lay pieces on cloth; tell the order of cuts and what is left.")
def _lay() -> Teller[Any]:
    from bagwright.workflows import tell_layout as told
    from bagwright.workflows.stopping import keeping_the_best

    return keeping_the_best(told.layout_of_file), told.layout_as_json, told.layout_in_words


@_teller("stock", "Lay whole pieces on hides, remnants and scraps first, as far as that saves money.")
def _stock() -> Teller[Any]:
    from bagwright.workflows import tell_stock as told
    from bagwright.workflows.stopping import keeping_the_best

    return keeping_the_best(told.stock_of_file), told.stock_as_json, told.stock_in_words


@main.command()
@click.argument("file")
@click.option("--svg", "svg_path", metavar="OUT", help="Write a drawing: scraps numbered, cuts, sizes.")
@_answer_options
def cover(*, file: str, svg_path: str | None, as_json: bool, units: str) -> None:
    """Cover a template with scraps, edge to edge.

    FILE is JSON as in docs/json.md, or - for standard input.
    """
    from bagwright.workflows import tell_cover as told
    from bagwright.workflows.files import read_file

    found, system = told.cover_of_file(read_file(file)), UnitSystem(units)
    if svg_path:
        told.write_cover(found, svg_path, system)
    _print_answer(as_json, lambda: told.cover_as_json(found), lambda: told.cover_in_words(found, system))


@_teller("bands", "Cut strips and straps out of bands across the cloth, with as few bands as will do.")
def _bands() -> Teller[Any]:
    from bagwright.workflows import tell_bands as told

    return told.bands_of_file, told.bands_as_json, told.bands_in_words


@_teller("bias", "Tell how large a square a continuous bias strip takes, and how many strips with joins instead.")
def _bias() -> Teller[Any]:
    from bagwright.workflows import tell_bias as told

    return told.bias_of_file, told.bias_as_json, told.bias_in_words


@_teller("stash", "Tell which pieces of a stash a size can be cut from.")
def _stash() -> Teller[Any]:
    from bagwright.workflows import tell_stash as told

    return told.stash_of_file, told.stash_as_json, told.stash_in_words


@_teller("zip", "Work out one zip: what to buy or cut, in which order, where the foot meets bulk.")
def _zip() -> Teller[Any]:
    from bagwright.workflows import tell_zip as told

    return told.zip_of_file, told.zip_as_json, told.zip_in_words


@_teller("ask", "Tell what to ask for a bag: by market, through shops, with tax, on a market day.")
def _ask() -> Teller[Any]:
    from bagwright.workflows import tell_ask as told

    return told.ask_of_file, told.ask_as_json, told.ask_in_words


@_teller("buy", "Tell what to buy for a run, of all materials at once, so that it costs least.")
def _buy() -> Teller[Any]:
    from bagwright.workflows import tell_buy as told

    return told.buy_of_file, told.buy_as_json, told.buy_in_words


@_teller("price", "Tell what a bag costs and sells for.")
def _price() -> Teller[Any]:
    from bagwright.workflows import tell_price as told

    return told.price_of_file, told.price_as_json, told.price_in_words


@main.command()
@click.argument("drawing")
@click.option("--scale", default="", metavar="UNIT|EDGE=LENGTH", help="What one unit is, or how long one edge is.")
@click.option("--line", type=click.Choice(["stitch", "cut"]), help="Which line an outline is where the file is silent.")
@click.option("--allowance", default="", metavar="WIDTH", help="Seam allowance where the file has none; usual: 3/8 in.")
@click.option("--role", default="outer", show_default=True, help="What the pieces are made of.")
@_answer_options
def pieces(*, drawing: str, scale: str, line: str | None, allowance: str, role: str, as_json: bool, units: str) -> None:
    """Read pieces of your own from DRAWING, an SVG or DXF file, or - for standard input."""
    from bagwright.workflows import tell_pieces
    from bagwright.workflows.files import read_file
    from bagwright.workflows.own_drawing import Answers

    system = UnitSystem(units)
    answers = Answers(scale=scale, line=line or "", allowance=allowance, role=role)
    found = tell_pieces.pieces_of_file(read_file(drawing), answers, units=system)
    _print_answer(
        as_json, lambda: tell_pieces.pieces_as_json(found), lambda: tell_pieces.pieces_in_words(found, system)
    )


@_teller("prove", "Prove that pieces of your own, sewn together as you say, make a bag.")
def _prove() -> Teller[Any]:
    from bagwright.workflows import tell_own as told

    return told.own_of_file, told.own_as_json, told.own_in_words


def _served(command: Command) -> Command:
    port = click.option("--port", type=click.IntRange(0, 65535), default=8642, show_default=True, help="0: any free.")
    home = click.option("--home", type=click.Path(path_type=Path), help="Folder for the data.")
    quiet = click.option("--no-browser", is_flag=True, help="Only print the address.")
    return port(home(quiet(command)))


@main.command()
@_served
def serve(*, port: int, home: Path | None, no_browser: bool) -> None:
    """Open the workroom in your browser.

    It listens on this machine only. Data lie in --home, else in the folder that BAGWRIGHT_HOME names,
    else where your platform keeps such data.
    """
    _serve(home, port=port, opens_browser=not no_browser, is_demo=False)


@main.command()
@_served
def demo(*, port: int, home: Path | None, no_browser: bool) -> None:
    """Open an invented workroom to try things in.

    It lies in a folder of its own beside your data, which stay untouched.
    """
    _serve(home, port=port, opens_browser=not no_browser, is_demo=True)


def _serve(home: Path | None, *, port: int, opens_browser: bool, is_demo: bool) -> None:
    from bagwright.web.serve import serve as serve_pages
    from bagwright.workflows.files import data_folder

    folder = home or data_folder(os.environ)
    try:
        folder.mkdir(parents=True, exist_ok=True)  # says now, not on the first page, that it cannot be used
        serve_pages(folder, port=port, opens_browser=opens_browser, is_demo=is_demo)
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

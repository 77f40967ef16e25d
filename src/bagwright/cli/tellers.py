"""The commands that read one FILE and tell what it asks for."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

from bagwright.cli.answers import Teller, answer_options, tell

FILE_COMMANDS = click.Group()


def _teller(name: str, says: str) -> Callable[[Callable[[], Teller[Any]]], None]:
    """A command that reads one FILE and tells what it finds; the decorated function imports it only when called."""

    def add(find: Callable[[], Teller[Any]]) -> None:
        @FILE_COMMANDS.command(name, help=f"{says}\n\nFILE is JSON as in docs/json.md, or - for standard input.")
        @click.argument("file")
        @answer_options
        def told(*, file: str, as_json: bool, units: str) -> None:
            tell(file, find(), as_json=as_json, units=units)

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


@_teller("bag", "Tell what the file of a whole bag holds.")
def _bag() -> Teller[Any]:
    from bagwright.workflows import tell_bag as told

    return told.bag_of_file, told.bag_as_json, told.bag_in_words


@_teller("bands", "Cut strips and straps out of bands across the cloth, with as few bands as will do.")
def _bands() -> Teller[Any]:
    from bagwright.workflows import tell_bands as told

    return told.bands_of_file, told.bands_as_json, told.bands_in_words


@_teller("bias", "Tell how large a square a continuous bias strip takes, and how many strips with joins instead.")
def _bias() -> Teller[Any]:
    from bagwright.workflows import tell_bias as told

    return told.bias_of_file, told.bias_as_json, told.bias_in_words


@_teller("stash", "Find pieces of a stash: by size, material, grain, age, worth and where they lie.")
def _stash() -> Teller[Any]:
    from bagwright.workflows import tell_stash as told

    return told.stash_of_file, told.stash_as_json, told.stash_in_words


@_teller("covers", "Share scraps out over several templates, whole pieces first.")
def _covers() -> Teller[Any]:
    from bagwright.workflows import tell_covers as told
    from bagwright.workflows.stopping import keeping_the_best

    return keeping_the_best(told.covers_of_file), told.covers_as_json, told.covers_in_words


@_teller("today", "Tell what of several bags can be cut whole from one stash, or pieced from its scraps.")
def _today() -> Teller[Any]:
    from bagwright.workflows import tell_today as told
    from bagwright.workflows.stopping import keeping_the_best

    return keeping_the_best(told.today_of_file), told.today_as_json, told.today_in_words


@_teller("zip", "Work out one zip: what to buy or cut, in which order, where the foot meets bulk.")
def _zip() -> Teller[Any]:
    from bagwright.workflows import tell_zip as told

    return told.zip_of_file, told.zip_as_json, told.zip_in_words


@_teller("ask", "Tell what to ask for a bag: by market, through shops, with tax, on a market day.")
def _ask() -> Teller[Any]:
    from bagwright.workflows import tell_ask as told

    return told.ask_of_file, told.ask_as_json, told.ask_in_words


@_teller("bring", "Tell how many bags to bring to a market day where sales are a guess.")
def _bring() -> Teller[Any]:
    from bagwright.workflows import tell_bring as told

    return told.bring_of_file, told.bring_as_json, told.bring_in_words


@_teller("buy", "Tell what to buy for a run, of all materials at once, so that it costs least.")
def _buy() -> Teller[Any]:
    from bagwright.workflows import tell_buy as told

    return told.buy_of_file, told.buy_as_json, told.buy_in_words


@_teller("compare", "Tell what changed from one price of a bag to another.")
def _compare() -> Teller[Any]:
    from bagwright.workflows import tell_compare as told

    return told.compare_of_file, told.compare_as_json, told.compare_in_words


@_teller("money", "Tell where the price of a bag goes, what matters most in it, and how sure its totals are.")
def _money() -> Teller[Any]:
    from bagwright.workflows import tell_money as told

    return told.money_of_file, told.money_as_json, told.money_in_words


@_teller("price", "Tell what a bag costs and sells for.")
def _price() -> Teller[Any]:
    from bagwright.workflows import tell_price as told

    return told.price_of_file, told.price_as_json, told.price_in_words


@_teller("savings", "Rank what would make a bag cheaper, alone and together, and find the way to a price.")
def _savings() -> Teller[Any]:
    from bagwright.workflows import tell_savings as told

    return told.savings_of_file, told.savings_as_json, told.savings_in_words


@_teller("time", "Tell what the work on a bag takes, step by step, with your own readings and practice.")
def _time() -> Teller[Any]:
    from bagwright.workflows import tell_time as told

    return told.time_of_file, told.time_as_json, told.time_in_words


@_teller("prove", "Prove that pieces of your own, sewn together as you say, make a bag.")
def _prove() -> Teller[Any]:
    from bagwright.workflows import tell_own as told

    return told.own_of_file, told.own_as_json, told.own_in_words


@_teller("correct", "Part outlines along lines and join them.")
def _correct() -> Teller[Any]:
    from bagwright.workflows import tell_correct as told

    return told.corrected_of_file, told.corrected_as_json, told.corrected_in_words

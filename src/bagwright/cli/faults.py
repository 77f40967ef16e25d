"""Where what went wrong becomes an exit code and plain lines on stderr."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable

import click

from bagwright import __version__
from bagwright.errors import BagwrightError, BrokenPromise, FaultyInput, NoAnswer

MOST_FAULTS_TOLD = 100
TRACE = "BAGWRIGHT_TRACE"
"""Environment variable: any value shows where in our code an inner fault arose."""


class Commands(click.Group):
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
        click.echo(harmless(sentence), err=True)
    if len(told) > MOST_FAULTS_TOLD:
        click.echo(f"... and {len(told) - MOST_FAULTS_TOLD} more faults.", err=True)


def harmless(text: str) -> str:
    """Text from outside without anything that could steer a terminal."""
    return "".join(
        sign if sign.isprintable() or sign == "\n" else sign.encode("unicode_escape").decode() for sign in text
    )


def _own_fault(fault: Exception) -> str:
    said = " ".join(f"{type(fault).__name__}: {fault}".split())
    report = f"Please report it, with what you gave it; {TRACE}=1 shows where it arose."
    return f"bagwright {__version__} itself is at fault ({said}). {report}"

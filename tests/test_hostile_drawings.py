"""Drawings made to do harm: each gets plain faults, within five seconds and 500 MB.

On a busy machine seconds are no measure of the program, so the time that counts is the processor's. Python starts and
reads our code once; every drawing is then met by a process split off from that one.
"""

from __future__ import annotations

import gzip
import io
import json
import math
import os
import random
import subprocess
import sys
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final

import pytest

SECONDS, MEGABYTES = 5.0, 500
PROBE = """
import json, os, pathlib, resource, sys
from click.testing import CliRunner
from bagwright.cli import main

def meet(path):
    ran = CliRunner().invoke(main, ["pieces", path, "--json"])
    used = resource.getrusage(resource.RUSAGE_SELF)
    # The highest mark of this process alone: what getrusage tells of memory starts from the one it was split off.
    status = pathlib.Path("/proc/self/status").read_text().split()
    megabytes = int(status[status.index("VmHWM:") + 1]) / 1000
    return {"code": ran.exit_code, "seconds": used.ru_utime + used.ru_stime, "megabytes": megabytes, "told": ran.stderr}

meet(sys.argv[1])  # all code is read now
for line in sys.stdin:
    if not os.fork():
        resource.setrlimit(resource.RLIMIT_CPU, (60, 60))  # one that hangs dies, and is told
        print(json.dumps(meet(line.strip())), flush=True)
        os._exit(0)
    if os.wait()[1]:
        print(json.dumps({"code": "died"}), flush=True)
"""
HEAD, TAIL = '<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="900mm" viewBox="0 0 900 900">', "</svg>"


def svg(body: str) -> bytes:
    return (HEAD + body + TAIL).encode()


def dxf(entities: str, *, blocks: str = "") -> bytes:
    parts = f"0\nSECTION\n2\nBLOCKS\n{blocks}0\nENDSEC\n" if blocks else ""
    return f"{parts}0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n".encode()


def line(a: tuple[float, float], b: tuple[float, float], layer: str = "0") -> str:
    return f"0\nLINE\n8\n{layer}\n10\n{a[0]}\n20\n{a[1]}\n11\n{b[0]}\n21\n{b[1]}\n"


def polyline(points: list[tuple[float, float]], layer: str = "0") -> str:
    vertices = "".join(f"0\nVERTEX\n8\n{layer}\n10\n{x}\n20\n{y}\n" for x, y in points)
    return f"0\nPOLYLINE\n8\n{layer}\n66\n1\n70\n1\n{vertices}0\nSEQEND\n"


def insert(name: str, **counts: int) -> str:
    extra = "".join(f"{code}\n{value}\n" for code, value in counts.items())
    return f"0\nINSERT\n8\n0\n2\n{name}\n10\n0\n20\n0\n{extra.replace('c', '')}"


def block(name: str, entities: str) -> str:
    return f"0\nBLOCK\n8\n0\n2\n{name}\n70\n0\n10\n0\n20\n0\n{entities}0\nENDBLK\n8\n0\n"


def laughs() -> bytes:
    names = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 12))
    return f'<!DOCTYPE svg [<!ENTITY l0 "ha">{names}]><svg>&l11;</svg>'.encode()


def use_bomb() -> bytes:
    levels = "".join(f'<g id="g{n}">' + f'<use href="#g{n - 1}"/>' * 10 + "</g>" for n in range(1, 10))
    return svg(f'<g id="g0"><path d="M0 0h9v9z"/></g>{levels}')


def zigzag(count: int) -> str:
    return "M0 0" + "".join(f"L{n % 900} {(n * 7) % 900}" for n in range(count)) + "Z"


def nested_blocks() -> bytes:
    blocks = block("b0", polyline([(0, 0), (90, 0), (90, 90)], "1"))
    blocks += "".join(block(f"b{n}", insert(f"b{n - 1}") * 10) for n in range(1, 12))
    return dxf(insert("b11"), blocks=blocks)


def wheel() -> str:
    """Lines that all meet in one point."""
    return "".join(line((450, 450), (450 + 400 * math.cos(n), 450 + 400 * math.sin(n))) for n in range(2900))


def near_ends() -> str:
    """Loose lines whose ends lie almost, but not quite, near enough."""
    return "".join(line((n % 3 * 0.15, 0), (n % 3 * 0.15 + 0.149, n % 7 * 0.02)) for n in range(2900))


def spline(points: int, degree: int) -> str:
    knots = "".join(f"40\n{n}\n" for n in range(points + degree + 1))
    spots = "".join(f"10\n{n % 90}\n20\n{n * 7 % 90}\n" for n in range(points))
    counts = f"70\n0\n71\n{degree}\n72\n{points + degree + 1}\n73\n{points}\n"
    return f"0\nSPLINE\n100\nAcDbEntity\n8\n0\n100\nAcDbSpline\n{counts}{knots}{spots}"


def zipped() -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("front.svg", b"0" * 50_000_000)
    return stream.getvalue()


NOISE = random.Random(5)
HOSTILE: Final[dict[str, Callable[[], bytes]]] = {
    "200 MB of svg": lambda: svg("<path d='M0 0h9v9z'/>" * 10_000_000),
    "200 MB of nothing": lambda: b" " * 200_000_000,
    "entities in entities": laughs,
    "an entity 100000 times": lambda: (
        f'<!DOCTYPE svg [<!ENTITY a "{"a" * 40_000}">]><svg>{"&a;" * 100_000}</svg>'.encode()
    ),
    "an entity from a file": lambda: b'<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///dev/zero">]><svg>&a;</svg>',
    "a document type from afar": lambda: b'<!DOCTYPE svg SYSTEM "http://192.0.2.1/x.dtd"><svg>&a;</svg>',
    "groups 200000 deep": lambda: svg("<g>" * 200_000 + "</g>" * 200_000),
    "groups never closed": lambda: (HEAD + "<g>" * 900_000).encode(),
    "uses of uses of uses": use_bomb,
    "uses in a circle": lambda: svg('<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>' * 2000),
    "100000 paths": lambda: svg('<path d="M0 0h9v9z"/>' * 100_000),
    "2500 paths, open": lambda: svg("".join(f'<path d="M{n % 90} {n // 90}h9v9h-5"/>' for n in range(2500))),
    "2500 squares in one another": lambda: svg(
        "".join(f'<rect x="{n / 10}" y="{n / 10}" width="{800 - n / 5}" height="{800 - n / 5}"/>' for n in range(2500))
    ),
    "a path of 4 MB": lambda: svg(f'<path d="{zigzag(400_000)}"/>'),
    "a tangle of 19000 lines": lambda: svg(f'<path d="{zigzag(19_000)}"/>'),
    "curves as far as they go": lambda: svg('<path d="M0 0' + "C9e4 9e4 -9e4 9e4 9 9" * 2500 + 'Z"/>'),
    "arcs of monstrous radius": lambda: svg('<path d="M0 0' + "A1e300 1e300 0 0 1 9 9A9 1e9 0 1 0 0 0" * 2000 + 'Z"/>'),
    "numbers without end": lambda: svg(f'<path d="M0 {"9" * 4_000_000} 5 5z"/>'),
    "signs that are no numbers": lambda: svg(f'<path d="M0 0 {"1e" * 1_000_000}"/>'),
    "blanks": lambda: svg(f'<path d="M0 0{" " * 4_000_000}x"/>'),
    "NaN": lambda: svg('<path d="M0 0L NaN 9 9 9z"/>'),
    "transforms without end": lambda: svg(f'<path transform="{"scale(1.1)" * 300_000}" d="M0 0h9v9z"/>'),
    "ever larger groups": lambda: svg('<g transform="scale(1e30)">' * 90 + '<path d="M0 0h9v9z"/>' + "</g>" * 90),
    "attributes": lambda: svg(
        "<path " + " ".join(f'a{n}="{n}"' for n in range(300_000)) + ' d="M0 0h9v9z"'[:-1] + "/>"
    ),
    "a style of 4 MB": lambda: svg(f'<path style="{"a:b;" * 1_000_000}" d="M0 0h9v9"/>'),
    "a name of 4 MB": lambda: svg(f'<path id="{"front " * 700_000}" d="M0 0h9v9"/>'),
    "a picture": lambda: b"\x89PNG\r\n\x1a\n" + NOISE.randbytes(1_000_000),
    "noise": lambda: NOISE.randbytes(4_000_000),
    "zipped noise, called svg": lambda: gzip.compress(svg("<g/>" * 5_000_000)),
    "a zip that grows": zipped,
    "svg in UTF-16": lambda: '<?xml version="1.0" encoding="utf-16"?><svg><path d="M0 0h9"/></svg>'.encode("utf-16"),
    "json": lambda: json.dumps({"pieces": [[0, 0]] * 100_000}).encode(),
    "100000 lines": lambda: dxf("".join(line((n, 0), (n, 9)) for n in range(100_000))),
    "20000 loose lines": lambda: dxf("".join(line((n, 0), (n, 9)) for n in range(20_000))),
    "a wheel": lambda: dxf(wheel()),
    "ends almost near": lambda: dxf(near_ends()),
    "blocks in blocks in blocks": nested_blocks,
    "a block in itself": lambda: dxf(insert("b"), blocks=block("b", insert("b"))),
    "a block a million times": lambda: dxf(
        insert("b", c70=1000, c71=1000, c44=1, c45=1), blocks=block("b", line((0, 0), (9, 9), "1"))
    ),
    "3000 blocks": lambda: dxf(
        "".join(insert(f"b{n}") for n in range(3000)),
        blocks="".join(block(f"b{n}", polyline([(0, 0), (90, 0), (90, 90)], "1")) for n in range(3000)),
    ),
    "a polyline of 30000 corners": lambda: dxf(polyline([(n % 90, n * 7 % 90) for n in range(30_000)])),
    "a spline of 20000 points": lambda: dxf(spline(20_000, 3)),
    "a spline of degree 1000": lambda: dxf(spline(1500, 1000)),
    "a spline of degree 11": lambda: dxf(spline(1900, 11)),
    "DXF that is not a number": lambda: dxf(polyline([(0, 0), (math.nan, 0), (9, 9)])),
    "DXF that has no end": lambda: dxf(polyline([(0, 0), (math.inf, 0), (9, 9)])),
    "DXF cut off": lambda: dxf(polyline([(0, 0), (90, 0), (90, 90)]))[:-30],
    "DXF of odd codes": lambda: b"0\nSECTION\n2\nENTITIES\n" + b"99999999\nx\n" * 100_000 + b"0\nENDSEC\n0\nEOF\n",
    "DXF in one line": lambda: b"0\nSECTION\n2\n" + b"A" * 4_500_000 + b"\n0\nEOF\n",
    "binary DXF": lambda: b"AutoCAD Binary DXF\r\n\x1a\x00" + NOISE.randbytes(2_000_000),
}


@pytest.fixture(scope="module")
def meet(tmp_path_factory) -> Iterator[Callable[[Path], dict[str, Any]]]:
    """What `bagwright pieces` did with a drawing, in a process split off from one that has read our code."""
    plain = tmp_path_factory.mktemp("plain") / "drawing.svg"
    plain.write_bytes(svg('<rect width="90" height="90"/>'))
    env = {**os.environ, "PYTHONWARNINGS": "error", "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
    command = [sys.executable, "-c", PROBE, str(plain)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=env) as prober:

        def met(path: Path) -> dict[str, Any]:
            assert prober.stdin and prober.stdout
            print(path, file=prober.stdin, flush=True)
            return dict(json.loads(prober.stdout.readline()))

        yield met
        prober.communicate()


@pytest.mark.skipif(sys.platform != "linux", reason="memory is told in kilobytes on Linux only")
@pytest.mark.parametrize("name", HOSTILE)
def test_rejects_a_hostile_drawing_at_a_bounded_cost(name, tmp_path, meet):
    path = tmp_path / "drawing.svg"
    path.write_bytes(HOSTILE[name]())
    found = meet(path)
    assert found["code"] == 2, found
    told = found["told"].splitlines()
    assert told
    assert all("Allowed:" in sentence or sentence.startswith("... and") for sentence in told if sentence)
    assert found["seconds"] < SECONDS
    assert found["megabytes"] < MEGABYTES

"""The command line: exit codes, what goes to which stream, and what hostile input may cost."""

from __future__ import annotations

import copy
import json
import os
import signal
import socket
import subprocess
import sys
from functools import cache

import pdfplumber
import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bagwright import __version__
from bagwright.cli import main
from bagwright.cli.faults import MOST_FAULTS_TOLD
from bagwright.errors import BrokenPromise, NoAnswer, Problem
from tests.json_doc import examples

FILES = {example.command: example.file for example in examples() if isinstance(example.file, dict)}
SAID_BY_PYTHON = ("Traceback", "Error(", "pydantic", "object at 0x", "Input should", "Value error", "should have")


def run(*arguments, file=None):
    """The command in this process; `file` is what it reads from standard input."""
    data = file if isinstance(file, bytes | None) else json.dumps(file).encode()
    return CliRunner().invoke(main, list(arguments), input=data)


def faults_of(ran):
    """The lines on stderr of a command that refused its input as it should."""
    assert ran.exit_code == 2, (ran.exit_code, ran.output)
    assert ran.stdout == ""
    assert not any(word in ran.stderr for word in SAID_BY_PYTHON)
    return ran.stderr.splitlines()


def start(*arguments, **options):
    """The command as a process of its own."""
    command = [sys.executable, "-c", "from bagwright.cli import main; main()", *arguments]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, **options)


def test_version_and_help():
    assert run("--version").output == f"bagwright {__version__}\n"
    told = run("--help").output
    assert all(name in told for name in main.commands)
    assert all(run(name, "--help").exit_code == 0 for name in main.commands)


def test_help_does_not_load_what_it_does_not_need():
    heavy = ["numpy", "shapely", "pydantic", "starlette", "uvicorn", "jinja2", "fpdf", "ezdxf", "spyrrow", "sqlite3"]
    probe = (
        "import sys\nfrom bagwright.cli import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit:\n    pass\n"
        f"print([name for name in {heavy} if name in sys.modules])"
    )
    ran = subprocess.run([sys.executable, "-c", probe], capture_output=True, text=True, check=True)
    assert ran.stdout.splitlines()[-1] == "[]"


@cache
def answer_in_json(command):
    """What the command answers to its example, worked out once."""
    return run(command, "-", "--json", file=FILES[command])


@pytest.mark.parametrize("command", FILES)
def test_json_is_one_value_and_words_are_none(command):
    as_json, in_words = answer_in_json(command), run(command, "-", file=FILES[command])
    assert isinstance(json.loads(as_json.stdout), dict)
    assert (as_json.exit_code, in_words.exit_code, as_json.stderr, in_words.stderr) == (0, 0, "", "")
    with pytest.raises(json.JSONDecodeError):
        json.loads(in_words.stdout)


@pytest.mark.parametrize("command", FILES)
def test_a_file_and_standard_input_are_read_alike(command, tmp_path):
    path = tmp_path / "in.json"
    path.write_text(json.dumps(FILES[command]), encoding="utf-8")
    assert run(command, str(path), "--json").stdout == answer_in_json(command).stdout


def test_a_byte_order_mark_is_no_fault():
    assert run("body", "-", file=b"\xef\xbb\xbf" + json.dumps(FILES["body"]).encode()).exit_code == 0


def test_words_follow_the_units():
    inches, metric = (run("body", "-", "--units", units, file=FILES["body"]).stdout for units in ("inch", "metric"))
    assert "oz/yd²" in inches and " in " in inches
    assert "g/m²" in metric and " cm " in metric


@pytest.mark.parametrize("command", FILES)
@pytest.mark.parametrize(
    ("data", "part"),
    [
        (b"", "is empty"),
        (b" \n", "is empty"),
        (b"\xff\xfe{\x00}\x00", "UTF-8"),
        (b'{"a": "\xe9"}', "UTF-8 (line 1)"),
        (b"[", "not readable JSON"),
        (b"{]", "not readable JSON"),
        (b'{"a": 1} {"a": 1}', "not readable JSON"),
        (b"[" * 200_000, "not readable JSON"),
        (b'{"a":' * 100_000, "not readable JSON"),
        (b'{"a": ' + b"9" * 5000 + b"}", "not readable JSON"),
        (b'{"a": "\\ud800"}', "not readable JSON"),
        (b"[1, 2]", "is not an object"),
        (b"null", "is not an object"),
        (b'"text"', "is not an object"),
        (b" " * 21_000_000, "larger than 5 MB"),
        (b"{" + b",".join(b'"%d":1' % i for i in range(60_000)) + b"}", "more than 50000 fields"),
    ],
    ids=lambda value: value[:24] if isinstance(value, bytes) else None,
)
def test_rejects_what_is_no_file_of_its_kind(command, data, part):
    faults = faults_of(run(command, "-", "--json", file=data))
    assert len(faults) == 1
    assert part in faults[0]
    assert faults[0].startswith("file: ")


def test_rejects_a_file_that_cannot_be_read(tmp_path):
    for path in (tmp_path / "none.json", tmp_path):
        assert "cannot be read" in faults_of(run("body", str(path)))[0]


def test_rejects_what_the_command_line_does_not_know():
    for arguments in (["sew"], ["body"], ["body", "-", "--units", "cubit"], ["serve", "--port", "99999"]):
        assert faults_of(run(*arguments))


def test_rejects_every_fault_at_once_with_place_and_remedy():
    layer = {"mass_gsm": "8 oz", "thickness_mm": True, "overhang_mm": None, "held": "glued", "angle": 45}
    faults = faults_of(run("body", "-", file={"layers": [layer, {}, 7], "colour": "red"}))
    places = [fault.partition(": ")[0] for fault in faults]
    assert places == [
        "layers[0].mass_gsm",
        "layers[0].thickness_mm",
        "layers[0].overhang_mm",
        "layers[0].held",
        "layers[0].angle",
        "layers[1].mass_gsm",
        "layers[1].thickness_mm",
        "layers[1].overhang_mm",
        "layers[2]",
        "colour",
    ]
    assert all(fault.count(" Allowed: ") == 1 and fault.endswith((".", "?")) for fault in faults)


def test_faults_beyond_a_hundred_are_counted():
    faults = faults_of(run("body", "-", file={str(number): 1 for number in range(500)}))
    assert len(faults) == MOST_FAULTS_TOLD + 1
    assert faults[-1] == "... and 401 more faults."


def test_nothing_from_a_file_can_steer_the_terminal():
    faults = faults_of(run("body", "-", file={"layers": [], "\x1b[2Jx\u202ey\n": 1, "held": "\x07"}))
    assert all(line.isprintable() for line in faults)


def test_no_answer_and_our_own_fault_have_their_codes(monkeypatch):
    problem = Problem(place="pieces[0]", value="", what="is wider than the cloth", allowed="less", remedy="Turn it.")
    for fault, code, part in (
        (NoAnswer(problem), 3, "pieces[0]: is wider"),
        (BrokenPromise("overlap of 3 mm2"), 1, "Please report it"),
        (ZeroDivisionError("by zero"), 1, "Please report it"),
        (MemoryError(), 1, "Please report it"),
        (KeyboardInterrupt(), 130, ""),
    ):

        def fail(_text, fault=fault):
            raise fault

        monkeypatch.setattr("bagwright.workflows.tell_body.body_of_file", fail)
        ran = run("body", "-", file=FILES["body"])
        assert (ran.exit_code, ran.stdout) == (code, "")
        assert part in ran.stderr and "Traceback" not in ran.stderr
        assert bool(ran.stderr.strip()) == bool(part)


def test_our_own_fault_shows_where_it_arose_if_asked(monkeypatch):
    def fail(_text):
        raise BrokenPromise("overlap")

    monkeypatch.setattr("bagwright.workflows.tell_body.body_of_file", fail)
    monkeypatch.setenv("BAGWRIGHT_TRACE", "1")
    assert isinstance(run("body", "-", file=FILES["body"]).exception, BrokenPromise)


def steps_into(value, steps=()):
    """The way to every value inside a JSON value."""
    yield steps
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, part in inner:
        yield from steps_into(part, (*steps, step))


def with_change(value, steps, new):
    """A copy of a JSON value with one part changed, or taken out where `new` is `...`."""
    if not steps:
        return None if new is ... else new
    changed = copy.deepcopy(value)
    within = changed
    for step in steps[:-1]:
        within = within[step]
    if new is ...:
        del within[steps[-1]]
    else:
        within[steps[-1]] = new
    return changed


ODD_NUMBERS = st.sampled_from([0, -0.0, -1, 1e6, -1e6, 1e-300, 1e300, 5e-324, 2**63, 10**40, 0.1, 3, 2, float("nan")])
VALUES = st.recursive(
    st.none() | st.booleans() | ODD_NUMBERS | st.integers() | st.floats() | st.text(max_size=20) | st.just("free"),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=12), inner, max_size=4),
    max_leaves=8,
)


@pytest.mark.parametrize("command", FILES)
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_property_a_changed_file_is_answered_or_refused_in_words(command, data):
    file = FILES[command]
    for _ in range(data.draw(st.integers(1, 3))):
        steps = data.draw(st.sampled_from(list(steps_into(file))))
        file = with_change(file, steps, data.draw(VALUES | st.just(...)))
    if command in ("lay", "price") and isinstance(file, dict) and isinstance(file.get("seconds", 5), int | float):
        file["seconds"] = 0  # a search is not what is tried here
    ran = run(command, "-", "--json", file=json.dumps(file).encode())
    assert ran.exit_code in (0, 2, 3), ran.stderr
    if ran.exit_code:
        assert ran.stdout == "" and ran.stderr
        assert not any(word in ran.stderr for word in SAID_BY_PYTHON)
    else:
        json.loads(ran.stdout, parse_constant=lambda name: pytest.fail(f"{name} in the answer"))


@settings(max_examples=100, deadline=None)
@given(data=st.binary(max_size=60))
def test_property_any_bytes_are_refused_in_words(data):
    assert faults_of(run("body", "-", file=data))


def test_draft_writes_the_files_it_is_asked_for(tmp_path):
    svg, pdf, dxf, beam = (tmp_path / f"tote.{kind}" for kind in ("svg", "pdf", "dxf", "projector"))
    svg.write_text("old", encoding="utf-8")
    files = ("--svg", str(svg), "--pdf", str(pdf), "--dxf", str(dxf), "--projector", str(beam))
    ran = run("draft", "boxed_tote", *files, "--paper", "36in")
    assert ran.exit_code == 0
    assert str(pdf) in ran.stdout
    assert svg.read_bytes().startswith(b"<?xml") and pdf.read_bytes().startswith(b"%PDF")
    assert b"SECTION" in dxf.read_bytes() and b"background:#000000" in beam.read_bytes()
    with pdfplumber.open(pdf) as sheet:
        assert [page.width for page in sheet.pages] == [36 * 72]
    assert sorted(path.suffix for path in tmp_path.iterdir()) == [".dxf", ".pdf", ".projector", ".svg"]


def test_draft_rejects_a_folder_that_is_not_there_and_writes_nothing(tmp_path):
    good, bad = tmp_path / "tote.svg", tmp_path / "none" / "tote.pdf"
    faults = faults_of(run("draft", "boxed_tote", "--json", "--svg", str(good), "--pdf", str(bad)))
    assert [fault.partition(":")[0] for fault in faults] == ["--pdf"]
    assert list(tmp_path.iterdir()) == []


def test_draft_rejects_every_fault_at_once():
    sets = ["--set", "width=x", "--set", "depth=900 in", "--set", "wdth=3", "--set", "inside_pockets=1.5"]
    faults = faults_of(run("draft", "boxed_tote", *sets))
    assert {fault.partition(":")[0] for fault in faults} == {"width_mm", "depth_mm", "wdth", "inside_pockets"}
    assert any('"900 in"' in fault for fault in faults)


@pytest.mark.parametrize("arguments", [["draft"], ["draft", "boxed_totte"]])
def test_draft_rejects_an_unknown_form_by_listing_those_there_are(arguments):
    (fault,) = faults_of(run(*arguments))
    assert "boxed_tote" in fault and "zip_pouch" in fault


def test_draft_lists_forms():
    told = json.loads(run("draft", "--forms", "--json").stdout)["forms"]
    words = run("draft", "--forms").stdout
    assert all(form["form"] in words for form in told)
    assert all(one["low"] <= one["default"] <= one["high"] for form in told for one in form["measurements"])


def test_a_reader_that_goes_away_is_no_fault():
    process = start("draft", "--forms", "--json")
    assert process.stdout and process.stderr
    process.stdout.close()
    assert process.wait(timeout=60) == 0
    assert process.stderr.read() == ""
    process.stderr.close()


@pytest.mark.skipif(os.name == "nt", reason="signals of POSIX")
def test_an_interrupt_stops_quietly(tmp_path):
    pipe = tmp_path / "never-written"
    os.mkfifo(pipe)
    # Whoever runs the tests in the background may have taken interrupts away from all that they start.
    process = start("body", str(pipe), preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL))
    writer = os.open(pipe, os.O_WRONLY)  # opens once the command is reading
    try:
        process.send_signal(signal.SIGINT)
        assert process.communicate(timeout=60) == ("", "")
        assert process.returncode == 130
    finally:
        os.close(writer)


@pytest.mark.parametrize("command", ["serve", "demo"])
def test_rejects_a_data_folder_that_is_a_file(command, tmp_path):
    path = tmp_path / "file"
    path.write_text("mine", encoding="utf-8")
    (fault,) = faults_of(run(command, "--port", "0", "--no-browser", "--home", str(path)))
    assert fault.startswith("--home: ")
    assert path.read_text(encoding="utf-8") == "mine"


def test_rejects_a_port_that_is_taken(tmp_path):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        (fault,) = faults_of(run("serve", "--port", port, "--no-browser", "--home", str(tmp_path / "home")))
    assert fault.startswith(f'--port: "{port}"')


def test_rejects_a_password_too_short_for_a_network(tmp_path, monkeypatch):
    monkeypatch.setenv("BAGWRIGHT_PASSWORD", "bag")
    (fault,) = faults_of(run("demo", "--on-network", "--port", "0", "--no-browser", "--home", str(tmp_path / "home")))
    assert fault.startswith("BAGWRIGHT_PASSWORD: ") and '"bag"' not in fault
    assert not (tmp_path / "home").exists()


def flood(name):
    """Files within 5 MB that ask for as much memory or time as they can."""
    corners = [[x, (x * 7919) % 1000] for x in range(5000)]
    star = [[i * 1000 % 4999, i * 777 % 4999] for i in range(5000)]
    return {
        "lists": lambda: b'{"pieces":[' + b"[]," * 1_600_000 + b"[]]}",
        "numbers": lambda: b'{"layers":[' + b"1," * 2_400_000 + b"1]}",
        "repeats": lambda: b'{"layers":[{' + b",".join(b'"a":1' for _ in range(49_000)) + b"}]}",
        "bad corners": lambda: json.dumps(
            {"width_mm": 1, "pieces": [{"id": str(i), "outline": [[]] * 900} for i in range(500)]}
        ),
        "tangles": lambda: json.dumps(
            {"width_mm": 9e3, "pieces": [{"id": str(i), "outline": star} for i in range(60)]}
        ),
        "zigzag": lambda: json.dumps(
            {"width_mm": 9e3, "pieces": [{"id": str(i), "outline": corners} for i in range(60)]}
        ),
    }[name]()


COST_PROBE = """
import pathlib, sys
from click.testing import CliRunner
from bagwright.cli import main
ran = CliRunner().invoke(main, sys.argv[1:])
# The highest mark of this program alone: what getrusage tells starts from that of the process which started it.
status = pathlib.Path("/proc/self/status").read_text().split()
print(ran.exit_code, status[status.index("VmHWM:") + 1], ran.exception)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="memory is told in kilobytes on Linux only")
@pytest.mark.parametrize("name", ["lists", "numbers", "repeats", "bad corners", "tangles", "zigzag"])
def test_rejects_a_flood_at_a_bounded_cost(name, tmp_path):
    path = tmp_path / "flood.json"
    data = flood(name)
    path.write_bytes(data if isinstance(data, bytes) else data.encode())
    command = "body" if name in ("numbers", "repeats") else "lay"
    ran = subprocess.run(
        [sys.executable, "-c", COST_PROBE, command, str(path)], capture_output=True, text=True, check=True, timeout=60
    )
    code, kilobytes, fault = ran.stdout.split(maxsplit=2)
    assert code == "2", fault
    assert int(kilobytes) < 500_000

# make setup | demo | test | format        (browser and lock are called by hand now and then)
# Needs only make, git and Python >= 3.11. Kept to what GNU Make 3.81 and a BSD userland know.

PYTHON ?= $(shell for p in python3 python3.13 python3.12 python3.11; do \
	$$p -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1 && echo $$p && break; done)
BIN := .venv/bin
STAMP := .venv/.setup-done
LOCK_VENV := build/lock-venv

# Whatever the shell says, compiled files are kept: the tests start the program many times.
export PYTHONDONTWRITEBYTECODE =

.PHONY: setup demo test check lint format browser lock
.DEFAULT_GOAL := setup

setup: $(STAMP)

$(STAMP): requirements.lock pyproject.toml
	@if [ -z "$(PYTHON)" ]; then \
		echo "No Python 3.11 or newer was found. Install one, or say where it is: make setup PYTHON=/path/to/python3" >&2; \
		exit 1; fi
	@"$(PYTHON)" -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { \
		echo "$(PYTHON) is not Python 3.11 or newer. Choose another: make setup PYTHON=/path/to/python3" >&2; exit 1; }
	@"$(PYTHON)" -c 'import ensurepip, venv' 2>/dev/null || { \
		v=`"$(PYTHON)" -c 'import sys; print("%d.%d" % sys.version_info[:2])'`; \
		echo "$(PYTHON) cannot make virtual environments. On Debian or Ubuntu: apt-get install python$$v-venv" >&2; exit 1; }
	"$(PYTHON)" -m venv .venv
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	@touch $(STAMP)

demo: setup
	$(BIN)/bagwright demo $(ARGS)

format: setup
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

# All but the tests: quick.
check: lint
	$(BIN)/mypy

lint: setup
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .

# A file of tests at a time to each processor, in the order that tests/conftest.py puts them in; each does its sums by
# itself, or they would wait for one another. Types are checked meanwhile, and told of at the end.
WORKERS := --numprocesses auto --dist loadfile --no-loadscope-reorder
test: lint browser
	@mkdir -p build
	@$(BIN)/mypy >build/mypy.log 2>&1 & types=$$!; \
	OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 $(BIN)/pytest $(if $(ARGS),$(ARGS),$(WORKERS)); tested=$$?; \
	wait $$types; typed=$$?; cat build/mypy.log; \
	test $$tested -eq 0 && test $$typed -eq 0

# Finds a Chromium for the browser tests, or installs one.
browser: setup
	$(BIN)/python tests/browser/chromium.py

# After a change of the dependencies in pyproject.toml. The lock names no host: pip asks the registry it is set up for.
lock:
	"$(PYTHON)" -m venv $(LOCK_VENV)
	$(LOCK_VENV)/bin/python -m pip install --quiet --disable-pip-version-check uv
	{ echo "# Every dependency with its hashes, made from pyproject.toml by: make lock"; \
		$(LOCK_VENV)/bin/uv pip compile --quiet --generate-hashes --no-emit-index-url --universal --python-version 3.11 \
		--no-header --no-annotate --extra dev pyproject.toml; } > build/requirements.lock
	mv build/requirements.lock requirements.lock

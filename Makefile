# Seasonal Panel Fit: `make run` sets up and starts it, `make test` sets up and runs every test.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
ARGS ?=

.PHONY: setup setup-test run test check system bench requirements clean

setup: $(VENV)/.ready
setup-test: $(VENV)/.ready-test

$(VENV)/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "Python 3.11 or later is needed; set PYTHON=... to one."; exit 1; }
	$(PYTHON) -m venv $(VENV)

$(VENV)/.ready: requirements.txt pyproject.toml | $(VENV)/bin/python
	$(BIN)/python -m pip install --quiet --require-hashes -r requirements.txt
	touch $@

$(VENV)/.ready-test: requirements-test.txt $(VENV)/.ready
	$(BIN)/python -m pip install --quiet --require-hashes -r requirements-test.txt
	touch $@

run: setup
	$(BIN)/python -m webapp $(ARGS)

# What the tests need of the system: a browser (the one named by CHROMIUM, else /usr/bin/chromium, else Debian's is
# installed), the libraries of the shop sheet, and PostgreSQL.
system:
	@bash .ci/system

check: setup-test
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

test: check system
	$(BIN)/python -m pytest

bench: setup-test
	$(BIN)/python -m pytest -o python_files="bench_*.py" tests/bench --benchmark-only
	$(BIN)/python tests/bench/measure.py
	$(BIN)/python -m tests.bench.workers

# Needs uv; writes the pinned, hashed lists that everything else installs from.
requirements:
	uv pip compile --quiet --generate-hashes --no-emit-index-url --no-header --python-version 3.11 --universal pyproject.toml -o requirements.txt
	uv pip compile --quiet --generate-hashes --no-emit-index-url --no-header --python-version 3.11 --universal --extra test -c requirements.txt pyproject.toml -o requirements-test.txt
	$(BIN)/python -c "import tomllib; print(*tomllib.load(open('pyproject.toml', 'rb'))['project']['optional-dependencies']['postgres'])" | uv pip compile --quiet --generate-hashes --no-emit-index-url --no-header --no-annotate --python-version 3.11 --universal -c requirements.txt - -o webapp/deploy/postgres.txt

clean:
	rm -rf $(VENV) build dist .pytest_cache .mypy_cache .ruff_cache .hypothesis

# Needs nothing but Python 3.11 or newer, git and make: everything else goes into .venv.
PYTHON ?= python3
BIN := .venv/bin

.PHONY: setup demo test check-style health soak lock clean

setup: .venv/.ready

.venv/.ready: requirements.lock pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "Bathybore needs Python 3.11 or newer; this is " + sys.version.split()[0])'
	$(PYTHON) -m venv .venv
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -r requirements.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	@touch $@

demo: setup
	$(BIN)/bathybore check examples/main || test $$? -eq 1
	$(BIN)/bathybore programme examples/main --to out/main

check-style: setup
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

test: check-style
	$(BIN)/python -m pytest -n 2 -m "not soak"

soak: setup
	$(BIN)/python -m pytest -m soak

health: setup
	$(BIN)/python tests/health.py

# Rewrites requirements.lock from pyproject.toml; the only target that needs uv.
lock: setup
	$(BIN)/python -m pip install --quiet uv
	$(BIN)/uv pip compile pyproject.toml --extra dev --universal --python-version 3.11 --generate-hashes --quiet -o requirements.lock

clean:
	rm -rf .venv out build dist

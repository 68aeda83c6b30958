# Needs nothing but Python 3.11 or newer, git and make: everything else goes into .venv.
PYTHON ?= python3
BIN := .venv/bin

# `make demo DEMO_FLAGS=--no-browser` only prints the address.
DEMO_FLAGS ?=

.PHONY: setup demo demo-papers test check-style lint types suite chromium health soak openapi front front-check lock clean

setup: .venv/.ready

.venv/.ready: requirements.lock pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "Bathybore needs Python 3.11 or newer; this is " + sys.version.split()[0])'
	@echo "Setting up .venv: what is in requirements.lock is fetched, which takes some minutes and says nothing"
	$(PYTHON) -m venv .venv
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -r requirements.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	@touch $@

# Copies of the invented holes: what you change in them stays until you delete out/demo.
demo: setup
	@mkdir -p out/demo
	@cp -R -n examples/. out/demo/
	$(BIN)/bathybore serve out/demo --open main $(DEMO_FLAGS)

demo-papers: setup
	$(BIN)/bathybore check examples/main || test $$? -eq 1
	$(BIN)/bathybore programme examples/main --to out/main

check-style: lint types

lint: setup
	$(BIN)/ruff check --no-cache .
	$(BIN)/ruff format --check .

types: setup
	$(BIN)/mypy $(TYPES_TO)

# Types take a minute of one processor where they were never checked: beside the tests. What is
# said of them comes after the tests, where it is seen.
test: lint chromium
	@mkdir -p out
	@failed=0; \
	$(MAKE) --no-print-directory -j 2 types suite TYPES_TO='> out/types.txt 2>&1' || failed=$$?; \
	cat out/types.txt; exit $$failed

# Compiled tests lie in out/, so that the workers, the servers they start and the next run share
# them; PYTHONDONTWRITEBYTECODE only says that they may not lie in the tree.
suite: setup
	env -u PYTHONDONTWRITEBYTECODE PYTHONPYCACHEPREFIX=$(CURDIR)/out/bytecode \
		$(BIN)/python -m pytest -n 2 --dist worksteal -m "not soak"

# The browser that the tests of the workspace use.
chromium:
	@.ci/chromium

# The description of the server's interface, and the front end built from it. The built files
# are committed: nobody but who changes workspace/ needs Node.
openapi: setup
	$(BIN)/python -m bathybore.web.describe > workspace/openapi.json

front: openapi
	cd workspace && npm ci --no-audit --no-fund && npm run types && npm run check && npm run build

front-check: setup
	.ci/front-check

# Both, even if the first fails: it takes half an hour.
soak: setup
	@failed=0; \
	$(BIN)/python -m pytest -m soak || failed=$$?; \
	$(BIN)/python -m pytest -m "hypothesis and not soak" --hypothesis-profile many-cases || \
		failed=$$?; \
	exit $$failed

health: setup
	$(BIN)/python tests/health.py

# Rewrites requirements.lock from pyproject.toml; the only target that needs uv.
lock: setup
	$(BIN)/python -m pip install --quiet uv
	$(BIN)/uv pip compile pyproject.toml --extra dev --universal --python-version 3.11 --generate-hashes --quiet -o requirements.lock

clean:
	rm -rf .venv out build dist

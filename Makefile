# make serve    builds the demo manual and serves it (PORT=8000; HOST=0.0.0.0 opens it to the network; JOBS=DIR shares jobs)
# make test     everything: style, types, import direction, unit, published, browser and parity tests
# make quick    what a change in one room needs: style, types, imports, check, and the tests of the rooms that changed
# make build    the site into site/
# make folder   the site as a folder that opens by double-click, and the same as folder.zip
# make check    the unit data and pages, every problem with its place
# make parity   5,000 requests through CPython and through the page's engine, equal to the byte
# make bench    the benchmarks, each beside a stated peer
# make attack   tries to break everything, for an hour or so, and prints a table of what was tried
# make wheel    a wheel that holds all it needs, into dist/
# make lock     works out requirements.lock anew

PORT ?= 8000
HOST ?= localhost
VENV := .venv
PYTHON := $(VENV)/bin/python
READY := $(VENV)/.ready
MODULES := node_modules/.ready
BUILT := .cache/tested-site

# What is independent is fetched and checked side by side.
MAKEFLAGS += --jobs=2

.PHONY: serve test quick wheel build folder check checks style types imports scripts programs built bench parity attack lock clean

serve: build
	$(PYTHON) -m build_hooks serve --site site --port $(PORT) --host $(HOST) $(if $(JOBS),--jobs $(JOBS))

build: $(READY) $(MODULES)
	$(PYTHON) -m build_hooks build --config mkdocs.yml --site site

wheel: $(READY) $(MODULES)
	rm -rf dist
	$(PYTHON) -m pip wheel -q --disable-pip-version-check --no-deps --no-build-isolation --wheel-dir dist .
	@ls -l dist

folder: build
	$(PYTHON) -m build_hooks folder --site site --to folder

check: $(READY)
	$(PYTHON) -m build_hooks check

test: checks programs built
	@# As many as processors: with more, tests that kill browsers or wait for them fail by the load alone.
	BENCHLEAF_BUILT=$(BUILT) $(PYTHON) -m pytest -n 2 --dist worksteal

quick: checks
	@# 5: the rooms have tests in browsers only, which make test runs.
	$(PYTHON) -m pytest -q -m "not browser" $$($(PYTHON) -m tests.changed_rooms) || test $$? -eq 5

checks: style types imports scripts check

style: $(READY)
	$(VENV)/bin/ruff check .
	$(VENV)/bin/ruff format --check . || { echo "The layout is mended by: $(VENV)/bin/ruff format ."; exit 1; }

# After style, which takes a second: a fault there is told before the minute that the types take.
types: $(READY) style
	$(VENV)/bin/mypy

imports: $(READY)
	$(VENV)/bin/lint-imports

scripts: $(MODULES)
	node_modules/.bin/tsc --project build_hooks/browser/tsconfig.json

# One after the other, and after Node: they too may call apt-get.
programs: $(MODULES)
	tools/need-chromium
	tools/need-browsers
	tools/need-servers

# The demo that the tests open. Made here, because a process of tests that waits for the other's build does nothing.
built: $(READY) $(MODULES)
	$(PYTHON) -m build_hooks build --config mkdocs.yml --site $(BUILT)

parity: $(READY) $(MODULES)
	BENCHLEAF_PARITY=5000 $(PYTHON) -m pytest tests/site/test_parity.py

bench: $(READY) $(MODULES)
	tools/need-chromium
	for file in tests/benchmarks/bench_*.py; do echo "== $$file"; $(PYTHON) "$$file" || exit 1; done

attack: build
	tools/need-chromium
	tools/need-strace
	$(PYTHON) -m tests.attack

lock: $(READY)
	$(PYTHON) -m pip install -q --disable-pip-version-check --only-binary :all: --require-hashes -r tools/lock-tools.txt
	$(PYTHON) -m piptools compile -q --extra test --strip-extras --generate-hashes --allow-unsafe --no-emit-index-url \
	  --no-emit-find-links --no-emit-trusted-host --no-header -o requirements.lock pyproject.toml

$(PYTHON): | tools/find-python
	found=$$(tools/find-python) && "$$found" -m venv $(VENV)

$(READY): requirements.lock pyproject.toml .python-version tools/find-python | $(PYTHON)
	$(PYTHON) -m pip install -q --disable-pip-version-check --only-binary :all: --require-hashes -r requirements.lock
	$(PYTHON) -m pip install -q --disable-pip-version-check --no-deps --no-build-isolation -e .
	touch $@

# After Python has been brought: of two apt-get only one can run.
$(MODULES): package.json package-lock.json tools/need-node | $(PYTHON)
	tools/need-node
	npm ci --ignore-scripts --no-audit --no-fund --loglevel=error
	touch $@

clean:
	rm -rf $(VENV) node_modules site folder folder.zip dist .cache build

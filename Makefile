# Needs only Python 3.11 or newer, make and pip. Each target prepares what it needs.
PYTHON ?= python3
BIN := .venv/bin
# Without --universal a lock made on one system would not install on another.
COMPILE = $(BIN)/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-annotate --no-header $(UPGRADE) pyproject.toml

# Where bytecode is forbidden, each of the hundreds of processes that the tests start would compile every module anew.
export PYTHONDONTWRITEBYTECODE =

# Three on two cores: a browser test waits for its server about a sixth of the time.
PYTEST = $(BIN)/pytest -n 3 --dist worksteal -q --durations=25

# The tests of the gated storeys, which are tried to their last branch (what is measured stands in pyproject.toml).
GATED = tests/quantities tests/reference tests/bench tests/science tests/paper tests/lab tests/derived tests/published \
	tests/department/printing $(addprefix src/drawndose/,quantities reference bench science lab)

# The tests that write to the storage: run on SQLite with all the others, and once more on PostgreSQL.
# `make stored` runs all of the keeping's on PostgreSQL too.
STORED = tests/department/ledger tests/department/work tests/department/people tests/department/training \
	tests/department/pages $(addprefix tests/department/keeping/test_,several_processes.py killed.py jobs.py audit.py)

.DEFAULT_GOAL := help
.NOTPARALLEL:
.PHONY: help start test cover stored check docs system lock clean perf-speed perf-fuzz perf-safety perf-load perf-faults

help: ## show this list
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "make %-11s %s\n", $$1, $$2 }' Makefile

start: .venv/runtime.stamp ## open an invented department on this machine, http://127.0.0.1:8300/
	$(BIN)/drawndose department demo

test: system check docs ## check the code, build the docs and run every test
	$(PYTEST)
	tools/postgres.sh $(PYTEST) -p no:cacheprovider $(STORED)

cover: .venv/dev.stamp ## the tests of the gated storeys again: no line and no branch of those is untried
	$(PYTEST) $(GATED) --cov

stored: .venv/dev.stamp ## every test that writes, on PostgreSQL
	tools/postgres.sh $(PYTEST) -p no:cacheprovider $(STORED) tests/department/keeping

check: .venv/dev.stamp ## format, lint, types, storeys, exactness
	$(BIN)/ruff format --check
	$(BIN)/ruff check
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python tools/exact.py

docs: .venv/dev.stamp ## build the documentation into site/
	NO_MKDOCS_2_WARNING=1 $(BIN)/mkdocs build --strict --quiet

system: ## install (or name) the browser that tests need
	@sh tools/system_packages.sh

lock: .venv/dev.stamp ## pin what pyproject.toml asks for; UPGRADE=--upgrade moves every pin
	$(BIN)/pip install --quiet uv
	$(COMPILE) --extra web --extra science --extra paper --group build --output-file requirements/runtime.txt
	$(COMPILE) --extra web --extra science --extra paper --group build --group dev --constraints requirements/runtime.txt --output-file requirements/dev.txt

clean: ## remove the environment and everything built
	rm -rf .venv build dist site .coverage .hypothesis .import_linter_cache .mypy_cache .pytest_cache .ruff_cache

perf-speed: .venv/dev.stamp ## time the engine, the command line, the page, the ranges and a cohort of the lab
	$(BIN)/python perf/speed.py
	$(BIN)/python perf/sureness.py
	$(BIN)/python perf/aerosol.py
	$(BIN)/python perf/lab.py

perf-fuzz: .venv/dev.stamp ## try the engine on many invented orders, and the readers on many codes
	$(BIN)/python perf/fuzz.py
	$(BIN)/python perf/fuzz_codes.py

perf-safety: .venv/dev.stamp ## count false stops on 2,000 correct preparations, and missed faults
	PYTHONPATH=. $(BIN)/python perf/safety.py

perf-load: .venv/dev.stamp ## ask the real server for board and bench, 50 times a second, with a small and a large ledger
	$(BIN)/python perf/load.py

perf-faults: .venv/dev.stamp ## kill 1,000 times, 64 writers at once, full and read-only disks, backup under load; on both storages
	$(BIN)/python perf/faults.py
	PG_FSYNC=on tools/postgres.sh $(BIN)/python perf/faults.py

# The stamps make an environment that is brought up to date only when its lock or the project file has changed.
# --no-build-isolation: the build tool is in the lock too, so nothing unpinned is fetched.
# --no-deps: the lock is whole, and an older pip that looks for a package's extras again takes the newest one, unpinned.
define environment
	@$(PYTHON) -c 'import sys; sys.exit(None if sys.version_info >= (3, 11) else "drawndose needs Python 3.11 or newer")'
	$(PYTHON) -m venv .venv
	$(BIN)/pip install --quiet --no-compile --no-deps --require-hashes --requirement $<
	$(BIN)/pip install --quiet --no-deps --no-build-isolation --editable .
	$(BIN)/pip check
endef

.venv/runtime.stamp: requirements/runtime.txt pyproject.toml
	$(environment)
	@touch $@

.venv/dev.stamp: requirements/dev.txt pyproject.toml
	$(environment)
	@touch .venv/runtime.stamp $@

# Every command of the project. `make` alone lists them.
# The environment is .venv, built by venv and pip from the hash-pinned files in requirements/.
# A stamp carries the checksum of what it installed, so a second run installs nothing.

PYTHON ?= python3
BIN := .venv/bin
PIP_INSTALL = -m pip --disable-pip-version-check --no-input -qq install
DEMO_DATE := 2026-11-25

checksum = $(shell cat requirements/$(1).txt pyproject.toml 2>/dev/null | cksum | cut -d' ' -f1)
RUN := .venv/.run-$(call checksum,run)
DEV := .venv/.dev-$(call checksum,dev)
JS := build/js/.js-$(shell cat tools/js/package-lock.json 2>/dev/null | cksum | cut -d' ' -f1)
BENCH_ENV := build/venv-bench
BENCH := $(BENCH_ENV)/.bench-$(call checksum,bench)

.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.PHONY: help demo serve test check bench soak mutants diagram validation picture tables webfonts lock package clean need-git need-browser

help:  ## this list
	@grep -hE '^[a-z-]+:.*##' $(MAKEFILE_LIST) | sed -E 's/^([a-z-]+):.*## */  make \1\t/' | expand -t 20

demo: $(RUN)  ## print the demo card; write it as a page and as a PDF under build/demo
	@mkdir -p build/demo
	@$(BIN)/steadycone card examples/slip-2.toml --on $(DEMO_DATE) --html build/demo/card.html --pdf build/demo/card.pdf
	@echo
	@echo "The same card, to print: build/demo/card.pdf and build/demo/card.html"

serve: $(RUN)  ## show the invented demo yard in a browser
	@$(BIN)/steadycone serve --demo

test: check need-browser  ## format, lint, types, layers, then every test
	@mkdir -p build
	@echo "The pages are tested beside the rest; what they say comes last."
	@$(BIN)/python -m pytest tests/web >build/web-tests.txt 2>&1 & pages=$$!; \
		$(BIN)/python -m pytest --ignore=tests/web; rest=$$?; \
		wait $$pages; pages=$$?; cat build/web-tests.txt; exit $$((rest | pages))

check: need-git $(DEV) $(JS)  ## the quick half of `make test`: format, lint, types, layers
	$(BIN)/ruff format --check --quiet .
	$(BIN)/ruff check --quiet .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-cache
	build/js/node_modules/.bin/tsc -p tools/js/tsconfig.json
	build/js/node_modules/.bin/tsc -p tools/js/tsconfig.worker.json

validation: $(DEV)  ## run the outside checks again and write docs/validation.md
	$(BIN)/python -m tools.validation

picture: $(DEV)  ## draw the README's picture again
	$(BIN)/python -m tools.picture

diagram: $(DEV)  ## draw the records' schema in docs/records.md again
	$(BIN)/python -m tools.records_schema

webfonts: $(DEV)  ## cut the fonts down to what the pages send
	$(BIN)/python -m tools.webfonts

tables: $(DEV)  ## make the gas tables again from the reference libraries
	$(BIN)/python tools/make_tables.py
	$(BIN)/python tools/tables_flame_speed.py

bench: $(DEV) $(BENCH)  ## measure start-up, solves, leak readings, what-ifs and pages, beside general programs
	$(BIN)/python bench/startup.py
	$(BENCH_ENV)/bin/python bench/flow.py
	$(BIN)/python bench/random_stations.py
	$(BIN)/python bench/drop_leaks.py
	$(BIN)/python bench/round_report.py
	$(BIN)/python bench/whatif_speed.py
	$(BIN)/python bench/warm_card.py
	$(BIN)/python bench/web_yard.py
	$(BIN)/python bench/web_live.py

soak: $(DEV)  ## kill, crowd and fill the records for some minutes, on both engines
	$(BIN)/python bench/records_kill.py
	$(BIN)/python bench/records_load.py
	$(BIN)/python bench/records_size.py
	STEADYCONE_FUZZ=100 $(BIN)/python -m pytest tests/web/test_fuzz_pages.py
	STEADYCONE_FUZZ=50 $(BIN)/python -m pytest tests/judge
	STEADYCONE_FUZZ=5 $(BIN)/python -m pytest tests/edge/test_round_replay.py
	STEADYCONE_FUZZ=10 $(BIN)/python -m pytest tests/web/test_without_right.py tests/records/test_gate_one_by_one.py -k without

MUTANTS ?= records/verify.py records/rules*.py procedures/rounds/judge.py

mutants: $(DEV)  ## change the program for the worse, bit by bit, and see whether a test notices (MUTANTS=practice); writes docs/mutants.md
	$(BIN)/python -m tools.mutants --map tests/records tests/edge tests/laws tests/published tests/reference
	$(BIN)/python -m tools.mutants --run $(MUTANTS) --page

package: $(DEV)  ## build the wheel under build/dist
	@rm -rf build/dist build/lib build/bdist.*
	$(BIN)/python -m pip --disable-pip-version-check --no-input -q wheel --no-deps --no-build-isolation --wheel-dir build/dist .
	@rm -rf build/lib build/bdist.*

lock:  ## choose versions again and write requirements/*.txt with hashes
	@command -v uv >/dev/null || { echo "make lock needs uv. Install it: $(PYTHON) -m pip install uv"; exit 1; }
	@for set in run dev bench; do \
		uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-emit-index-url \
			--custom-compile-command "make lock" requirements/$$set.in -o requirements/$$set.txt || exit 1; \
	done

clean:  ## remove the environment and everything built
	rm -rf .venv build

# --- the environment ---------------------------------------------------------

define need-python
	@command -v $(PYTHON) >/dev/null || { echo "Python is missing. Install 3.11 or newer; on Debian or Ubuntu: apt install python3 python3-venv"; exit 1; }
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "$(PYTHON) is older than 3.11. Install a newer one and name it: make PYTHON=python3.12 demo"; exit 1; }
	@$(PYTHON) -c 'import ensurepip, venv' 2>/dev/null || { echo "$(PYTHON) has no venv. On Debian or Ubuntu: apt install python3-venv"; exit 1; }
endef

need-git:
	@command -v git >/dev/null || { echo "git is missing; the tests read the list of files from it. On Debian or Ubuntu: apt install git"; exit 1; }

# Installed where that is allowed; else the command to run is named.
define install-if-root
	@command -v $(1) >/dev/null || { test "$$(id -u)" = 0 && command -v apt-get >/dev/null && echo "Installing $(2)." \
		&& apt-get update -qq >/dev/null && apt-get install -y -qq $(2) >/dev/null; } || true
	@command -v $(1) >/dev/null || { echo "$(1) is missing; $(3). On Debian or Ubuntu: apt install $(2)"; exit 1; }
endef

need-browser:
	$(call install-if-root,chromium,chromium,the pages are tested in it)

$(JS):
	$(call install-if-root,npm,npm,it brings the compiler that checks the types of the pages' scripts)
	@mkdir -p build/js && cp tools/js/package.json tools/js/package-lock.json tools/js/.npmrc build/js/
	@cd build/js && npm ci --silent
	@rm -f build/js/.js-* && touch $@

.venv/bin/python:
	$(need-python)
	@echo "Setting up .venv; this happens once."
	@$(PYTHON) -m venv .venv

$(RUN): | .venv/bin/python
	@echo "Installing requirements/run.txt and steadycone itself."
	@$(BIN)/python $(PIP_INSTALL) --require-hashes -r requirements/run.txt
	@$(BIN)/python $(PIP_INSTALL) --no-deps --no-build-isolation -e .
	@$(BIN)/python -m compileall -q src  # also where PYTHONDONTWRITEBYTECODE is set: a cold start must not compile
	@rm -f .venv/.run-* && touch $@

$(DEV): | $(RUN)
	@echo "Installing requirements/dev.txt."
	@$(BIN)/python $(PIP_INSTALL) --require-hashes -r requirements/dev.txt
	@rm -f .venv/.dev-* && touch $@

$(BENCH):
	$(need-python)
	@test -x $(BENCH_ENV)/bin/python || $(PYTHON) -m venv $(BENCH_ENV)
	@echo "Installing requirements/bench.txt in $(BENCH_ENV)."
	@$(BENCH_ENV)/bin/python $(PIP_INSTALL) --require-hashes -r requirements/bench.txt
	@$(BENCH_ENV)/bin/python $(PIP_INSTALL) --no-deps --no-build-isolation -e .
	@rm -f $(BENCH_ENV)/.bench-* && touch $@

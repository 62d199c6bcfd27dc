# make run     the board of this computer's bay; without a terminal, a household rehearsed
# make test    every check (also: make check); each piece has its own name below
# make bench   measure every row of the speed table into docs/; bench-quick is a smoke run of it
# make mutants change the rules a little, 1,000 times, and see that a test fails each time
# make exports rehearse days, export them in every form, have each file judged by other programs
# make sbom    list what readbell stands on, with licences, as CycloneDX in build/sbom.json
# make torture kill, cut the power, fill the disk, turn the clock: half an hour, into docs/torture.md
# make format  rewrite the files as the format check wants them
# make lock    write the pins in requirements/ anew (LOCK_FLAGS=--upgrade for newer ones)
# make clean   remove all that these commands made

.NOTPARALLEL:
.PHONY: run test check format format-check lint types imports tests cover bench bench-quick torture \
	torture-nightly exports mutants sbom lock clean

# The newest Python that works and can make a virtual environment.
PYTHON ?= $(shell for version in 3.14 3.13 3.12 3.11; do \
	python$$version -c 'import ensurepip, venv' 2>/dev/null && { echo python$$version; exit; }; \
	done; echo python3)
BIN := .venv/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check -qq
INSTALL_PINNED := $(PIP) install --require-hashes --requirement
INSTALL_READBELL := $(PIP) install --no-deps --no-build-isolation --editable .

run: .venv/.run-ready
	@if [ -t 0 ] && [ -t 1 ]; then $(BIN)/readbell board; else \
		echo "No terminal to draw on, so a household is rehearsed here, line by line:"; \
		$(BIN)/readbell rehearse demo_scenarios/household_of_six.toml --unattended --pace 200 \
			--journal "$$(mktemp -d)/household.journal"; fi

test: check

check: format-check lint types imports tests cover

format: .venv/.dev-ready
	@$(BIN)/ruff format app tests benchmarks docs
	@$(BIN)/ruff check --select I --fix app tests benchmarks docs

format-check: .venv/.dev-ready
	@echo "Format:"
	@$(BIN)/ruff format --check app tests benchmarks docs

lint: .venv/.dev-ready
	@echo "Lint:"
	@$(BIN)/ruff check app tests benchmarks docs

types: .venv/.dev-ready
	@echo "Types:"
	@$(BIN)/mypy

imports: .venv/.dev-ready
	@echo "Import contracts:"
	@$(BIN)/lint-imports --no-logo

# One more than there are cores: many a test waits for a program.
WORKERS ?= $(shell echo $$(($$(getconf _NPROCESSORS_ONLN 2>/dev/null || echo 1) + 1)))

# The fixed profile makes Hypothesis try the same cases on every run.
tests: .venv/.dev-ready
	@echo "Tests:"
	@$(BIN)/pytest -n $(WORKERS) --dist worksteal --hypothesis-profile=ci --cov --cov-report=

cover: tests
	@echo "Branches covered in the core (all of them):"
	@$(BIN)/coverage report --include='app/readbell/core/*' --fail-under=100
	@echo "Branches covered in all of readbell (90 % or more):"
	@$(BIN)/coverage report --fail-under=90

# Minutes, and a machine left alone meanwhile; ROWS="A1 T4" measures those alone and keeps the others.
bench: .venv/.dev-ready
	@$(BIN)/python -m benchmarks $(ROWS)

bench-quick: .venv/.dev-ready
	@$(BIN)/python -m benchmarks --quick $(ROWS)

# Days are rehearsed, exported in every form, and each file is judged by programs made elsewhere.
exports: .venv/.dev-ready
	@$(BIN)/pytest -v -n 0 tests/outside/test_exports_of_a_day.py \
		tests/outside/test_fhir.py tests/outside/test_hl7.py tests/outside/test_hl7_by_hand.py \
		tests/outside/test_hl7_published.py

# TRIALS="kills power" runs those alone; SEED=2 tries other instants; the short run is in the tests.
SEED ?= 1
torture: .venv/.dev-ready
	@PYTHONPATH=tests $(BIN)/python -m torture --seed $(SEED) $(TRIALS)

# Other acts each night; a failing play is printed step by step, and its seed brings it back.
NIGHT ?= $(shell date +%Y%m%d)
torture-nightly: .venv/.dev-ready
	@echo "A bay against its model, and two stations of one, 10,000 steps each (NIGHT=$(NIGHT)):"
	@READBELL_MACHINE_STEPS=10000 $(BIN)/pytest -q -p no:cacheprovider \
		--hypothesis-seed=$(NIGHT) tests/machine

# A few minutes; fails on whatever lives and is not in docs/mutants.md.
mutants: .venv/.dev-ready
	@PYTHONPATH=tests $(BIN)/python -m mutation

# From the pins, installed apart from everything else: what a user gets, and nothing that makes it.
sbom: .venv/.made requirements/run.txt
	@.venv/bin/python -m venv --clear build/sbom/tool
	@.venv/bin/python -m venv --clear --without-pip build/sbom/pinned
	@build/sbom/tool/bin/pip --disable-pip-version-check -qq install cyclonedx-bom
	@build/sbom/tool/bin/pip --disable-pip-version-check -qq --python build/sbom/pinned/bin/python \
		install --require-hashes --no-deps --requirement requirements/run.txt
	@build/sbom/tool/bin/cyclonedx-py environment --pyproject pyproject.toml --output-reproducible \
		--output-file build/sbom.json build/sbom/pinned/bin/python
	@echo "Wrote build/sbom.json"

.venv/.made:
	@python="$(PYTHON)"; \
	"$$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null || { \
		echo "readbell needs Python 3.11 or newer, and $$python is not:" \
			"install one, or name one with 'make PYTHON=...'." >&2; exit 1; }; \
	echo "Making .venv with $$python"; \
	"$$python" -m venv --clear .venv
	@touch $@

.venv/.run-ready: .venv/.made requirements/run.txt pyproject.toml
	@echo "Installing readbell and what it needs"
	@$(INSTALL_PINNED) requirements/run.txt
	@$(INSTALL_READBELL)
	@touch $@

.venv/.dev-ready: .venv/.made requirements/dev.txt pyproject.toml
	@echo "Installing readbell and what its checks need"
	@$(INSTALL_PINNED) requirements/dev.txt
	@$(INSTALL_READBELL)
	@touch $@

# Index and links stay out of the pins, so that each place may use its own mirror. Extras stay in:
# without its own a pin does not hold for coverage[toml], and a newer one that appears is refused.
COMPILE = build/lock/bin/uv pip compile pyproject.toml --quiet --no-config --universal \
	--python-version 3.11 --group build --generate-hashes --no-emit-index-url \
	--no-emit-find-links --no-strip-extras --custom-compile-command "make lock" $(LOCK_FLAGS)

lock:
	@python="$(PYTHON)"; "$$python" -m venv --clear build/lock
	@build/lock/bin/pip --disable-pip-version-check -qq install uv
	@$(COMPILE) --output-file requirements/run.txt >/dev/null
	@$(COMPILE) --extra dev --constraint requirements/run.txt \
		--output-file requirements/dev.txt >/dev/null
	@echo "Wrote requirements/run.txt and requirements/dev.txt"

clean:
	rm -rf .venv build dist htmlcov .coverage .coverage.* .hypothesis .import_linter_cache \
		.mypy_cache .pytest_cache .ruff_cache
	find app tests -name __pycache__ -type d -prune -exec rm -rf {} +

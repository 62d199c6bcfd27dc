# make run     the board of this computer's bay; without a terminal, a household rehearsed
# make test    every check (also: make check); each piece has its own name below
# make format  rewrite the files as the format check wants them
# make lock    write the pins in requirements/ anew (LOCK_FLAGS=--upgrade for newer ones)
# make clean   remove all that these commands made

.NOTPARALLEL:
.PHONY: run test check format format-check lint types imports tests cover lock clean

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
	@$(BIN)/ruff format app tests docs
	@$(BIN)/ruff check --select I --fix app tests docs

format-check: .venv/.dev-ready
	@echo "Format:"
	@$(BIN)/ruff format --check app tests docs

lint: .venv/.dev-ready
	@echo "Lint:"
	@$(BIN)/ruff check app tests docs

types: .venv/.dev-ready
	@echo "Types:"
	@$(BIN)/mypy

imports: .venv/.dev-ready
	@echo "Import contracts:"
	@$(BIN)/lint-imports --no-logo

# The fixed profile makes Hypothesis try the same cases on every run.
tests: .venv/.dev-ready
	@echo "Tests:"
	@$(BIN)/pytest -n auto --hypothesis-profile=ci --cov --cov-report=

cover: tests
	@echo "Branches covered in the core (all of them):"
	@$(BIN)/coverage report --include='app/readbell/core/*' --fail-under=100
	@echo "Branches covered in all of readbell (90 % or more):"
	@$(BIN)/coverage report --fail-under=90

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

# Index and links stay out of the pins, so that each place may use its own mirror.
COMPILE = build/lock/bin/uv pip compile pyproject.toml --quiet --no-config --universal \
	--python-version 3.11 --group build --generate-hashes --no-emit-index-url \
	--no-emit-find-links --custom-compile-command "make lock" $(LOCK_FLAGS)

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

# Firm Footing. Two commands do everything on a fresh machine: `make demo` and `make test`.
# They need python3 (3.11 to 3.14), make and pip; the rest is put into .venv, and nothing outside
# this folder is touched, but for three packages of Debian's when you are root there (see pdf-libraries).

SHELL := /bin/bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := help

PYTHON ?= python3
PORT ?= 8000
WORKERS ?= 2

BIN := .venv/bin
PY := $(BIN)/python
LOCKS := requirements requirements-dev requirements-uv
PDF_PACKAGES := libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0

# A user's own settings of the installer must not change what is installed, and summer time must
# come from the pinned tables, not from whatever this machine happens to carry.
export UV_NO_CONFIG := 1
export PYTHONTZPATH :=
export PIP_DISABLE_PIP_VERSION_CHECK := 1
export PORT

.PHONY: help install demo test test-wheels test-fast test-long check bench measure messages pictures serve worker beat scale-demo lock lock-check \
	doctor clean python pdf-libraries format

help: ## say what each command does
	@awk 'BEGIN { FS = ":.*## " } /^[a-z-]+:.*## / { printf "  make %-12s %s\n", $$1, $$2 }' Makefile

# --- From nothing to .venv ---------------------------------------------------------------------

install: .venv/.dev.stamp .venv/.node.stamp pdf-libraries ## put all that running and testing needs into .venv

python:
	@command -v "$(PYTHON)" >/dev/null || { echo "No $(PYTHON) found. Install Python 3.11 or newer, or say which: make PYTHON=/path/to/python3 ..."; exit 1; }
	@"$(PYTHON)" -c 'import sys; sys.exit(not (3, 11) <= sys.version_info[:2] < (3, 15))' || { \
		echo "Firm Footing needs Python 3.11, 3.12, 3.13 or 3.14; $(PYTHON) is $$("$(PYTHON)" -V 2>&1). Say which to use: make PYTHON=python3.12 ..."; exit 1; }

# The fast installer comes hash-pinned into .venv; where it cannot be had, pip does the same work slowly.
.venv/.uv.stamp: requirements-uv.txt | python
	@test -x $(PY) || "$(PYTHON)" -m venv .venv || { rm -rf .venv; \
		echo "Python could not make .venv. On Debian: sudo apt-get install -y python3-venv"; exit 1; }
	@$(PY) -m pip install --quiet --require-hashes --no-deps -r requirements-uv.txt || \
		echo "The fast installer could not be had; pip will be used instead (about a minute longer)."
	@touch $@

# --no-deps: the lock file is the whole truth, nothing is looked up beside it.
install_from = $(PY) -m uv pip install --quiet --python $(PY) --require-hashes --no-deps -r $(1) 2>/dev/null || \
	$(PY) -m pip install --quiet --require-hashes --no-deps -r $(1)

.venv/.run.stamp: requirements.txt .venv/.uv.stamp
	@echo "Installing what running needs into .venv ..."
	@$(call install_from,requirements.txt)
	@touch $@

.venv/.dev.stamp: requirements-dev.txt .venv/.uv.stamp
	@echo "Installing what running and testing need into .venv ..."
	@$(call install_from,requirements-dev.txt)
	@touch .venv/.run.stamp $@

# A second reader of invitations, for tests only; without npm its tests say why they are left out.
.venv/.node.stamp: tests/clinic/invitations/js/package-lock.json .venv/.uv.stamp
	@if command -v npm >/dev/null; then npm ci --silent --prefix $(<D) >/dev/null || echo "npm could not bring the second calendar reader."; fi
	@touch $@

# WeasyPrint draws the printed papers with Pango, which no Python package carries. As root on Debian
# it is installed; elsewhere you are told the one command, and everything but the papers works.
find_library = "$(PYTHON)" -c 'import ctypes, sys; [ctypes.CDLL(name) for name in sys.argv[1:]]' $(1) 2>/dev/null

pdf-libraries: | python
	@if [ "$$(uname -s)" != Linux ]; then \
		[ -e /opt/homebrew/lib/libpango-1.0.dylib ] || [ -e /usr/local/lib/libpango-1.0.dylib ] || \
			echo "Printed papers (PDF) are off: no Pango found. Everything else works. To switch them on: brew install pango"; \
	elif $(call find_library,libpango-1.0.so.0 libpangoft2-1.0.so.0 libharfbuzz-subset.so.0); then :; \
	elif [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null; then \
		echo "Installing Pango for the printed papers ..."; \
		{ apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq -o Dpkg::Use-Pty=0 --no-install-recommends $(PDF_PACKAGES); } >/dev/null || \
			echo "That did not work: printed papers (PDF) are off. Everything else works."; \
	elif ! $(call find_library,libpango-1.0.so.0 libpangoft2-1.0.so.0); then \
		echo "Printed papers (PDF) are off: no Pango found. Everything else works. To switch them on:"; \
		echo "  sudo apt-get install -y --no-install-recommends $(PDF_PACKAGES)"; \
	fi

# --- Running -----------------------------------------------------------------------------------

demo: .venv/.run.stamp pdf-libraries ## from nothing to a running, filled clinic (PORT=8000)
	@exec $(PY) manage.py demo --port $(PORT)

serve: .venv/.run.stamp ## the production web process (and the sender, where no REDIS_URL is set)
	@exec $(PY) manage.py serve

worker: .venv/.run.stamp ## a production worker and its clock (BEAT=no: a further worker without one)
	@mkdir -p var
	@trap 'kill $$(jobs -p) 2>/dev/null; wait' EXIT TERM INT; \
	if [ "$${BEAT:-yes}" != no ]; then \
		$(PY) -m celery -A clinic.conf.celery beat --loglevel=INFO --schedule var/beat-schedule --pidfile= & \
	fi; \
	$(PY) -m celery -A clinic.conf.celery worker --loglevel=INFO --hostname "worker-$$$$@%h" & \
	wait -n

scale-demo: install ## PostgreSQL, Redis, web, workers and clock on this machine, filled (PORT, WORKERS=2)
	@exec $(PY) tests/support/with_services.py -- $(PY) -m tests.support.scale_demo --workers $(WORKERS)

# --- Proving -----------------------------------------------------------------------------------

test: install ## from nothing to a green suite: on SQLite, then on PostgreSQL with Redis and a browser
	@exec $(PY) -m tests.support.legs

test-wheels: install ## the services tests once more, with the servers that come as Python wheels
	@exec $(PY) -m tests.support.legs --leg short --services wheels

test-fast: install ## the quick leg only: SQLite, nothing slow
	@exec $(PY) -m pytest -q -m "not services and not browser and not slow and not long"

test-long: install ## the long searches: thousands of random courses for each promise (many minutes)
	@exec $(PY) -m pytest -q -n 2 -m long

check: install ## format, lint, types, imports, templates, migrations, deployment, lock files, docs
	@$(PY) -m tests.support.checks

bench: install ## one table of speeds, as ratios measured in one run
	@exec $(PY) -m tests.bench.run

measure: install ## a picture of our code's habits, beside what is usual for us
	@exec $(PY) -m tests.support.measure

messages: install ## gather every text into the catalogue (needs GNU gettext)
	@$(PY) manage.py makemessages -l en_GB --ignore=.venv --ignore=tests --ignore=var --ignore=staticfiles --add-location=file --no-wrap

pictures: install ## take the README's pictures of the demo as it is today
	@exec $(PY) -m tests.support.pictures

format: install ## put the code into its one format
	@$(BIN)/ruff check --fix --quiet . ; $(BIN)/ruff format .

doctor: ## say what this machine has, and what is off without it
	@if [ -x $(PY) ]; then $(PY) -m tests.support.doctor; else "$(PYTHON)" -m tests.support.doctor; fi

# --- Keeping -----------------------------------------------------------------------------------

lock: install ## pin every package again, with hashes and without host names
	@for name in $(LOCKS); do \
		$(PY) -m uv pip compile --quiet --upgrade --universal --python-version 3.11 --generate-hashes --no-header $$name.in -o $$name.txt; \
	done
	@$(MAKE) --no-print-directory lock-check

lock-check: ## the lock files name no host and no index
	@! grep -nE '://|--index|--extra-index|--find-links|--trusted-host' $(LOCKS:=.txt) || { echo "A lock file names a host."; exit 1; }

clean: ## remove what is made again by itself (.venv and caches); the data in var/ stays
	rm -rf .venv staticfiles .pytest_cache .mypy_cache .ruff_cache .import_linter_cache .hypothesis .coverage
	find . -name __pycache__ -type d -prune -exec rm -rf {} +

# Needs only Python 3.11 or later and make; everything else goes into .build/venv.

PYTHON ?= python3

VENV := .build/venv
BIN := $(VENV)/bin
# Made when the packages of the lock are in: to run the service, and to work on it.
RUN := $(VENV)/run.stamp
DEV := $(VENV)/dev.stamp
INSTALL = $(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes
# Demo and tests speak to the service on loopback; a proxy in the environment must not answer.
export no_proxy := $(or $(no_proxy),$(NO_PROXY),localhost),127.0.0.1
export NO_PROXY := $(no_proxy)

.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.NOTPARALLEL:
.PHONY: help demo serve test lint unit spec-check bench spec lock clean

help:  ## What can be made
	@sed -n 's/^\([a-z-]*\):.*  ## /\1\t/p' $(MAKEFILE_LIST) | expand -t 12

demo: $(RUN)  ## Take off an invented surface and print it as a carpenter reads it
	$(BIN)/python -m service demo

serve: $(RUN)  ## Serve on 127.0.0.1:8080 (TAKEOFF_HOST, TAKEOFF_PORT) until Ctrl-C
	$(BIN)/python -m service serve

test: lint spec-check unit  ## All that CI runs

lint: $(DEV)  ## Style, types, and which room may see which
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-logo --cache-dir .build/imports

unit: $(DEV)
	$(BIN)/python -m pytest -q --cov --cov-report=term </dev/null

spec-check: $(DEV)
	$(BIN)/python -m service openapi --check

bench: $(DEV)  ## Measure the service beside its own floor; table and .build/bench.json
	$(BIN)/python -m tests.benchmark

spec: $(DEV)  ## Write openapi/openapi.json from the code
	$(BIN)/python -m service openapi

# One resolution for every machine and Python version, without names of hosts. Newer releases are
# taken in only when asked for: make lock UPGRADE=--upgrade
PIN = $(BIN)/uv pip compile --quiet --universal --fork-strategy fewest --python-version 3.11 \
	--generate-hashes --no-annotate \
	--custom-compile-command 'make lock' $(UPGRADE)

lock: $(DEV)  ## Pin both locks anew from pyproject.toml
	$(BIN)/python -m pip install --quiet uv
	$(PIN) pyproject.toml --output-file docker/requirements.lock
	$(PIN) pyproject.toml --group dev --constraint docker/requirements.lock \
	  --output-file docker/requirements-dev.lock

clean:  ## Remove everything made
	rm -rf .build .hypothesis .ruff_cache .mypy_cache .pytest_cache .import_linter_cache
	find service tests -name __pycache__ -type d -prune -exec rm -rf {} +

$(BIN)/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null || { \
	  echo '$(PYTHON) is not Python 3.11 or later: make PYTHON=/path/to/python3.11 ...'; exit 1; }
	@$(PYTHON) -m venv $(VENV)

$(RUN): docker/requirements.lock | $(BIN)/python
	@echo 'installing the packages of docker/requirements.lock into $(VENV) ...'
	@$(INSTALL) -r docker/requirements.lock
	@touch $@

$(DEV): docker/requirements-dev.lock $(RUN)
	@echo 'installing the packages of docker/requirements-dev.lock into $(VENV) ...'
	@$(INSTALL) -r docker/requirements-dev.lock
	@touch $@

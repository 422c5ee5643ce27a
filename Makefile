# Needs only Python 3.11 or later and make; everything else goes into .build/venv.

PYTHON ?= python3

VENV := .build/venv
BIN := $(VENV)/bin
# Made when the packages of the lock are in: to run the service, to work on it, bulk runs at large, to
# hold manifests to their schemas.
RUN := $(VENV)/run.stamp
DEV := $(VENV)/dev.stamp
BULK := $(VENV)/bulk.stamp
# The npm packages that tests/callers runs, and the schemas that manifests are held to.
CALLERS := .build/callers/callers.stamp
MANIFESTS := $(VENV)/manifests.stamp
# A lock names all that is installed: `--no-deps` takes its lines and resolves nothing anew, whatever
# the index has gained since; `pip check` says so if a line is missing.
PIP_INSTALL = -m pip install --quiet --disable-pip-version-check --require-hashes --no-deps
define install
@$(1)/python $(PIP_INSTALL) -r $(2)
@found=$$($(1)/python -m pip --disable-pip-version-check check) || { echo "$(2): $$found"; exit 1; }
endef
# Demo and tests speak to the service on loopback; a proxy in the environment must not answer.
export no_proxy := $(or $(no_proxy),$(NO_PROXY),localhost),127.0.0.1
export NO_PROXY := $(no_proxy)
# Each test starts processes that read the whole service: none is to compile it anew.
export PYTHONDONTWRITEBYTECODE :=

.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.PHONY: help demo serve test test-callers callers-tools clients image image-base lint unit \
	spec-check versions same-bytes bench bench-bulk bench-plans bench-cutting wide hostile load \
	soak mutants spec released digests lock audit sbom clean

help:  ## What can be made
	@sed -n 's/^\([a-z-]*\):.*  ## /\1\t/p' $(MAKEFILE_LIST) | expand -t 12

demo: $(RUN)  ## Take off an invented surface and print it as a carpenter reads it; JOB=coffers another
	$(BIN)/python -m service demo $(JOB)

serve: $(RUN)  ## Serve on 127.0.0.1:8080 (TAKEOFF_HOST, TAKEOFF_PORT) until Ctrl-C
	$(BIN)/python -m service serve

# What one core does alone goes two at a time; what asks for all of them goes alone.
test: $(DEV)  ## All that needs Python alone; CI runs test-callers after it
	@$(MAKE) --no-print-directory --jobs=2 --output-sync=target lint spec-check versions
	@$(MAKE) --no-print-directory unit

lint: $(DEV)  ## Style, types, and which room may see which
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-logo --cache-dir .build/imports

# A file, or what says that it shares a server (`xdist_group`), goes to one process of as many as
# `tests/side_by_side.py` says, in its order.
SIDE_BY_SIDE := -n auto --dist loadgroup --no-loadscope-reorder

unit: $(DEV)
	$(BIN)/python -m pytest -q $(SIDE_BY_SIDE) --cov --cov-report=term </dev/null

spec-check: $(DEV)
	$(BIN)/python -m service openapi --check

# Does a target for every other Python that is found here, in an environment of its own.
define on_each_python
+@$(BIN)/python -m tests.digests.pythons | while read -r version python; do \
  $(MAKE) --no-print-directory $(1) VENV=.build/python$$version PYTHON="$$python" || exit 1; \
done
endef

versions: $(RUN)  ## Check the digests of answers on each Python from 3.11 to 3.13 that is here
	$(call on_each_python,same-bytes)

same-bytes: $(RUN)
	@$(BIN)/python -m tests.digests --check
	@$(BIN)/python -m service openapi --check

# A browser or an office that does not start at once on a busy machine is tried once more.
CALL := CALLERS=1 $(BIN)/python -m pytest -q $(SIDE_BY_SIDE) \
	-o faulthandler_timeout=0 -o cache_dir=.build/callers/pytest tests/callers

test-callers: $(DEV) $(BULK) $(MANIFESTS) $(CALLERS)  ## What needs more than Python: Node, a browser, images
	$(CALL) </dev/null || $(CALL) --last-failed --last-failed-no-failures none </dev/null

# A program of Debian's, and the package that has it. Of kubectl the one of Debian 12 is too old for
# docker/kubernetes; there its maker's must be at hand.
PROGRAMS := node:nodejs npm:npm chromium:chromium soffice:libreoffice-calc buildah:buildah \
	bwrap:bubblewrap mmdebstrap:mmdebstrap docker-compose:docker-compose promtool:prometheus \
	pdftotext:poppler-utils curl:curl kubectl:kubernetes-client

callers-tools:  ## Bring what test-callers runs: of Debian where it is absent, of npm by its lock
	@for one in $(PROGRAMS); do \
	  command -v $${one%%:*} >/dev/null || set -- "$$@" $${one#*:}; done; \
	/usr/bin/python3 -c 'import uno' 2>/dev/null && dpkg -s libreoffice-script-provider-python >/dev/null 2>&1 || \
	  set -- "$$@" python3-uno libreoffice-script-provider-python; \
	test $$# = 0 || { apt-get update -q && DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends "$$@"; }
	@$(MAKE) --no-print-directory $(CALLERS)

image:  ## Build the image surface-takeoff:<version> (LOCK=, BASE=, ENGINE=, IMAGE=)
	@bash docker/build.sh

image-base:  ## Where no registry is reached: localhost/base:bookworm for BASE=, from Debian's packages
	@bash docker/base.sh

clients: $(DEV) $(CALLERS)  ## Write the typed clients of openapi/clients from the document
	$(BIN)/python -m tests.callers.clients

bench: $(DEV)  ## Measure the service beside its own floor, or beside another commit (BASE=<commit>)
	$(BIN)/python -m tests.benchmark $(BASE)

bench-plans: $(DEV)  ## What usual jobs take in feet and joints, by each way of saving; table
	$(BIN)/python -m tests.benchmark.plans

bench-cutting: $(DEV)  ## Solve the cutting instances (DATA=folder SEED=1 EFFORT=standard), verify, table
	$(BIN)/python -m tests.benchmark.cutting $(if $(DATA),--data '$(DATA)') \
	  $(if $(SEED),--seed $(SEED)) $(if $(EFFORT),--effort $(EFFORT))

wide: $(DEV)  ## Try the laws on TIMES=10 as many examples of another SEED=1 (LAWS=tests/property)
	LAWS_TIMES=$(or $(TIMES),10) $(BIN)/python -m pytest -q $(SIDE_BY_SIDE) \
	  --hypothesis-seed=$(or $(SEED),1) -o faulthandler_timeout=0 $(or $(LAWS),tests/property) </dev/null

hostile: $(DEV)  ## Send 50 times as many hostile requests as make test does
	HOSTILE=$(or $(TIMES),25) $(BIN)/python -m pytest -q \
	  -o faulthandler_timeout=0 tests/contract/hostile tests/contract/test_schemathesis.py </dev/null

load: $(DEV)  ## Load the service past its knee, kill its processes, stop it; table and .build/load.json
	$(BIN)/python -m tests.load

soak: $(DEV)  ## MINUTES=10 of mixed work without a pause; memory by the minute, .build/soak.json
	$(BIN)/python -m tests.load.soak --minutes $(or $(MINUTES),10)

bench-bulk: $(DEV) $(BULK)  ## Bulk runs of ROOMS=5000 drawn rooms: one process, two, a cluster of two
	$(BIN)/python -m tests.benchmark.bulk --rooms $(or $(ROOMS),5000)

mutants: $(DEV)  ## Change the core line by line and see whether a test notices (ROOM=units MOST=60 SEED=1)
	$(BIN)/python -m tests.mutants $(if $(ROOM),--room $(ROOM)) $(if $(MOST),--most $(MOST)) \
	  $(if $(SEED),--seed $(SEED))

spec: $(DEV)  ## Write openapi/openapi.json from the code
	$(BIN)/python -m service openapi

released: $(DEV)  ## Keep the document as the released one, which the next may not break
	$(BIN)/python -m tests.contract.test_breaking

digests: $(RUN)  ## Write the digests of answers anew, where answers were meant to change
	$(BIN)/python -m tests.digests

# One resolution for every machine and Python version, without names of hosts. Newer releases are
# taken in only when asked for: make lock UPGRADE=--upgrade
PIN = $(BIN)/uv pip compile --quiet --universal --fork-strategy fewest --python-version 3.11 \
	--generate-hashes --no-annotate \
	--custom-compile-command 'make lock' $(UPGRADE)

lock: $(DEV)  ## Pin all locks anew from pyproject.toml
	$(BIN)/python -m pip install --quiet uv
	$(PIN) pyproject.toml --output-file docker/requirements.lock
	$(PIN) pyproject.toml --group dev --constraint docker/requirements.lock \
	  --output-file docker/requirements-dev.lock
	$(PIN) pyproject.toml --extra traces --constraint docker/requirements-dev.lock \
	  --output-file docker/requirements-traces.lock
	$(PIN) pyproject.toml --extra bulk --constraint docker/requirements-dev.lock \
	  --output-file docker/requirements-bulk.lock
	$(PIN) --group manifests --constraint docker/requirements-dev.lock \
	  --constraint docker/requirements-bulk.lock --output-file docker/requirements-manifests.lock
	$(PIN) --group callers --constraint docker/requirements-dev.lock \
	  --output-file docker/requirements-callers.lock
	$(PIN) --group audit --constraint docker/requirements-dev.lock \
	  --output-file docker/requirements-audit.lock
	$(BIN)/python -m tests.locks

AUDIT := .build/audit/audit.stamp

# Every package is pinned with its digests (a test of `make test` says so too), and none has a
# published weakness. Where the index tells no advisories (a mirror), the audit fails: then
# `make audit ADVISORIES=no` checks the locks alone, and says what it left out.
audit: $(DEV) $(AUDIT)  ## Check the locks, and ask the package index for known weaknesses
	$(BIN)/python -m pytest -q tests/architecture/test_locks.py tests/locks </dev/null
ifeq ($(ADVISORIES),no)
	@echo 'The locks are sound. No advisories were asked for.'
else
	.build/audit/bin/pip-audit --strict --require-hashes --disable-pip \
	  -r docker/requirements.lock -r docker/requirements-dev.lock
endif

sbom: $(AUDIT)  ## Write the bill of materials (CycloneDX) of the service to .build/sbom.json
	.build/audit/bin/cyclonedx-py requirements docker/requirements.lock --pyproject pyproject.toml \
	  --of JSON --output-reproducible --output-file .build/sbom.json

$(AUDIT): docker/requirements-audit.lock
	@$(PYTHON) -m venv .build/audit
	$(call install,.build/audit/bin,docker/requirements-audit.lock)
	@touch $@

$(CALLERS): tests/callers/tools/package-lock.json docker/requirements-callers.lock
	@command -v npm >/dev/null || { echo 'npm is not here: make callers-tools brings it'; exit 1; }
	@mkdir -p $(@D)
	@cp tests/callers/tools/package.json tests/callers/tools/package-lock.json $(@D)
	@npm ci --prefix $(@D) --no-audit --no-fund --silent
	@$(PYTHON) -m venv $(@D)/venv
	$(call install,$(@D)/venv/bin,docker/requirements-callers.lock)
	@touch $@

clean:  ## Remove everything made
	rm -rf .build .hypothesis .ruff_cache .mypy_cache .pytest_cache .import_linter_cache
	find service tests -name __pycache__ -type d -prune -exec rm -rf {} +

$(BIN)/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null || { \
	  echo '$(PYTHON) is not Python 3.11 or later: make PYTHON=/path/to/python3.11 ...'; exit 1; }
	@$(PYTHON) -m venv $(VENV)

$(RUN): docker/requirements.lock | $(BIN)/python
	@echo 'installing the packages of docker/requirements.lock into $(VENV) ...'
	$(call install,$(BIN),docker/requirements.lock)
	@touch $@

$(DEV): docker/requirements-dev.lock $(RUN)
	@echo 'installing the packages of docker/requirements-dev.lock into $(VENV) ...'
	$(call install,$(BIN),docker/requirements-dev.lock)
	@touch $@

$(BULK): docker/requirements-bulk.lock $(DEV)
	@echo 'installing the packages of docker/requirements-bulk.lock into $(VENV) ...'
	$(call install,$(BIN),docker/requirements-bulk.lock)
	@touch $@

$(MANIFESTS): docker/requirements-manifests.lock $(BULK)
	@echo 'installing the packages of docker/requirements-manifests.lock into $(VENV) ...'
	$(call install,$(BIN),docker/requirements-manifests.lock)
	@touch $@

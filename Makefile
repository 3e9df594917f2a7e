# Two commands for a newcomer: make demo, make test. The rest is for those who work on it.
SHELL := /bin/bash
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
SERVE ?= 1
STAMP := $(VENV)/.installed
export PYTHONUNBUFFERED := 1

.PHONY: demo test test-postgres test-browser bench check lock screenshots clean packages checkers mutants messages \
  lighthouse tamper soak saved load faults fuzz test-objectstore

demo: $(STAMP) packages
	$(BIN)/python manage.py demo $(if $(filter 0,$(SERVE)),--no-serve,)

test: $(STAMP) packages checkers
	$(BIN)/python -m pytest -q -n auto

test-postgres: $(STAMP) packages checkers
	.ci/postgres $(BIN)/python -m pytest -q -n 2 $(TESTS)

# Against a server that speaks S3, run for it and thrown away.
test-objectstore: $(STAMP) packages checkers
	.ci/objectstore $(BIN)/python -m pytest -q tests/files tests/running
	LEVELPEG_VAR=$$(mktemp -d) .ci/objectstore $(BIN)/python -m tests.running.drill drill

test-browser: $(STAMP) packages
	@.ci/packages "The browser tests need" chromium
	$(BIN)/python -m pytest -q -m browser -p no:randomly -n 2 --dist loadfile $(BROWSER)

screenshots: $(STAMP) packages
	@.ci/packages "The pictures need" chromium poppler-utils
	$(BIN)/python -m tests.browser.screenshots

# So many rounds, drawn from a seed that it says: make soak ROUNDS=1000 SEED=7.
soak: $(STAMP) packages
	@.ci/packages "The browser needs" chromium
	$(BIN)/python -m tests.soak $(or $(ROUNDS),1000) $(SEED)

# Random changes of evidence, as with the database's password and the disk: make tamper ROUNDS=5000 SEED=7.
tamper: $(STAMP) packages
	$(BIN)/python -m tests.tamper $(or $(ROUNDS),5000) $(SEED)

# The API is asked what its description allows, and what it does not: so many drawn cases an operation.
fuzz: $(STAMP) packages
	CASES=$(or $(CASES),200) $(BIN)/python -m pytest -q -s -n 0 --timeout=0 tests/api/test_schema.py

# From tap to disk on a slowed processor, beside a bare write.
saved: $(STAMP) packages
	@.ci/packages "The browser needs" chromium
	$(BIN)/python -m tests.browser.saved

# Tablets at once, seconds between two answers, minutes: make load TABLETS=200 GAP=20 MINUTES=12. TABLETS=most
# looks how many a database carries. DB=sqlite in place of a PostgreSQL of its own.
load: $(STAMP) packages
	$(if $(filter sqlite,$(DB)),DATABASE_URL=,LEVELPEG_TEST_FSYNC=on .ci/postgres) \
	  $(BIN)/python -m tests.load $(or $(TABLETS),200) $(or $(GAP),20) $(or $(MINUTES),12)

# Web, worker, database, disk, clock and store go at random while tablets work: make faults DB=sqlite FAULTS=20 SEED=7.
faults: $(STAMP) packages
	$(BIN)/python -m tests.faults $(or $(DB),both) $(or $(FAULTS),12) $(SEED)

lighthouse: $(STAMP) packages
	@.ci/packages "Lighthouse needs" chromium
	@command -v npm >/dev/null || .ci/packages "Lighthouse needs" nodejs npm
	npm ci --prefix .ci/lighthouse --no-audit --no-fund --ignore-scripts --silent
	$(BIN)/python -m tests.browser.lighthouse

bench: $(STAMP) packages
	$(BIN)/python -m tests.bench $(PARTS)

# Hours for all of them; make mutants MUTANTS='*[258]' tries three in ten.
mutants: $(STAMP)
	$(BIN)/mutmut run --max-children 1 $(if $(MUTANTS),'$(MUTANTS)',)
	$(BIN)/mutmut results --all true | $(BIN)/python -m tests.charges.mutants

check: $(STAMP)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/djlint templates --lint --quiet
	$(BIN)/python manage.py makemigrations --check --dry-run
	.ci/migrations $(BIN)/python
	.ci/deploy-check $(BIN)/python

# Holes that are known in the libraries of the lock, where the service that knows them can be reached.
audit: $(STAMP)
	$(BIN)/pip-audit --disable-pip --require-hashes -r requirements.lock -f json --progress-spinner off 2>/dev/null \
	  | .ci/audit

# What the code says, into the catalogs of every language, and compiled beside them.
messages: $(STAMP)
	$(BIN)/python manage.py messages

lock: $(STAMP)
	$(BIN)/pip-compile --quiet --extra dev --generate-hashes --allow-unsafe --strip-extras --no-emit-index-url \
	  --no-emit-find-links --no-emit-options --no-header --output-file requirements.lock pyproject.toml

packages:
	@.ci/packages "Records need Pango and faces for names in other scripts" libpango-1.0-0 libpangoft2-1.0-0 \
	  libharfbuzz-subset0 fonts-noto-core fonts-noto-cjk

checkers:
	@.ci/packages "The tests check records with" poppler-utils openssl

$(STAMP): requirements.lock
	@.ci/venv $(PYTHON) $(VENV)
	@touch $@

clean:
	rm -rf $(VENV) var

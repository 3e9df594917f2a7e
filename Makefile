# Two commands for a newcomer: make demo, make test. The rest is for those who work on it.
SHELL := /bin/bash
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
SERVE ?= 1
STAMP := $(VENV)/.installed
export PYTHONUNBUFFERED := 1

.PHONY: demo test test-postgres test-browser bench check lock screenshots clean pango

demo: $(STAMP) pango
	$(BIN)/python manage.py demo $(if $(filter 0,$(SERVE)),--no-serve,)

test: $(STAMP) pango
	$(BIN)/python -m pytest -q -n auto

test-postgres: $(STAMP) pango
	.ci/postgres $(BIN)/python -m pytest -q -n 2

test-browser: $(STAMP) pango
	.ci/chromium $(BIN)/python -m pytest -q -m browser

bench: $(STAMP) pango
	$(BIN)/python -m tests.bench

check: $(STAMP)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/djlint templates --lint --quiet
	$(BIN)/python manage.py makemigrations --check --dry-run
	LEVELPEG_PRODUCTION=1 LEVELPEG_SECRET_KEY=$$($(BIN)/python -c "import secrets; print(secrets.token_urlsafe(64))") \
	  LEVELPEG_HOSTS=levelpeg.example RECORD_PKCS12_FILE=/etc/levelpeg/seal.p12 \
	  $(BIN)/python manage.py check --deploy --fail-level WARNING

lock: $(STAMP)
	$(BIN)/pip-compile --quiet --extra dev --generate-hashes --allow-unsafe --strip-extras --no-emit-index-url \
	  --no-emit-find-links --no-emit-options --no-header --output-file requirements.lock pyproject.toml

pango:
	@.ci/pango

$(STAMP): requirements.lock
	@.ci/venv $(PYTHON) $(VENV)
	@touch $@

clean:
	rm -rf $(VENV) var static_built

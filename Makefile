# Everything a newcomer needs: `make demo`, then `make test`.
PYTHON ?= python3
VENV   := .venv
BIN    := $(VENV)/bin
OUT    ?= pitwright-out

.PHONY: demo test check bench nightly pictures lock clean

$(VENV)/core.stamp: requirements.lock pyproject.toml
	test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install -q --disable-pip-version-check --require-hashes -r requirements.lock
	$(BIN)/python -m pip install -q --disable-pip-version-check --no-deps --no-build-isolation -e .
	touch $@

$(VENV)/dev.stamp: $(VENV)/core.stamp requirements-dev.lock
	$(BIN)/python -m pip install -q --disable-pip-version-check --require-hashes -r requirements-dev.lock
	touch $@

demo: $(VENV)/core.stamp  ## install what is needed and run the main job on the example pit
	$(BIN)/pitwright demo --out $(OUT)

test: $(VENV)/dev.stamp  ## install what is needed and pass the tests
	$(BIN)/python -m pytest -n 2 -m "not nightly"

check: $(VENV)/dev.stamp  ## strict types and lint
	$(BIN)/ruff check src tests bench
	$(BIN)/ruff format --check src tests bench
	$(BIN)/mypy

bench: $(VENV)/dev.stamp  ## measure against named peers
	$(BIN)/python -m bench

nightly: $(VENV)/dev.stamp  ## what is too long for `make test`
	$(BIN)/python -m pytest -n 2 -m nightly

pictures: $(VENV)/core.stamp  ## for maintainers: draw the README's picture again from the real sheet
	$(BIN)/python tools/picture.py

lock:  ## for maintainers: renew both locks (needs uv)
	uv pip compile --universal --python-version 3.11 --generate-hashes --no-emit-index-url --quiet \
	  --custom-compile-command "make lock" pyproject.toml requirements-build.in -o requirements.lock
	uv pip compile --universal --python-version 3.11 --generate-hashes --no-emit-index-url --quiet \
	  --custom-compile-command "make lock" --extra dev -c requirements.lock pyproject.toml requirements-build.in -o requirements-dev.lock

clean:
	rm -rf $(VENV) $(OUT) .mypy_cache .ruff_cache .hypothesis

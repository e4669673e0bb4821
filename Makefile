# `make demo` and `make test` each do all the set-up they need.
PYTHON ?= python3
VENV   := .venv
BIN    := $(VENV)/bin
STAMP  := $(VENV)/.installed
export PIP_DISABLE_PIP_VERSION_CHECK := 1

# types of the scripts of the browser; the one place that names the version
TYPESCRIPT := 5.9.3
TSC := build/typescript-$(TYPESCRIPT)/node_modules/typescript/bin/tsc

.PHONY: setup demo test soak fuzz spoil load bench figures lint generated programs tour screens mutate clean

setup: $(STAMP)

$(STAMP): pyproject.toml constraints.txt
	$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "Python 3.11 or newer is needed")'
	test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install -q -c constraints.txt -e '.[dev]'
	touch $(STAMP)

demo: setup
	$(BIN)/jambwright demo --out build/demo

$(TSC):
	sh scripts/programs.sh nodejs npm
	mkdir -p build/typescript-$(TYPESCRIPT)
	npm install --silent --no-save --no-package-lock --no-audit --no-fund --prefix build/typescript-$(TYPESCRIPT) typescript@$(TYPESCRIPT)

lint: setup $(TSC)
	$(BIN)/ruff check src tests benchmarks scripts
	$(BIN)/ruff format --check src tests benchmarks scripts
	$(BIN)/mypy
	$(BIN)/lint-imports
	node $(TSC)

generated: setup
	$(BIN)/python scripts/generated.py

programs:
	sh scripts/programs.sh

test: lint programs
	$(BIN)/pytest -n 2

# real programs killed while they write; many hands on one house, for hours: kills, restores, clashes, lies; and
# every property on examples that `make test`, which takes the same every time, has not seen
soak: setup programs
	$(BIN)/python scripts/killed.py --times 20
	JAMBWRIGHT_RULES=100000 $(BIN)/pytest --hypothesis-profile chance tests/store/test_many_hands.py
	$(BIN)/pytest -n 2 --hypothesis-profile chance tests/always

# spoilt files for every reader, guided by the code they reach; SECONDS for each
SECONDS ?= 600
fuzz: setup
	$(BIN)/python scripts/fuzz.py --seconds $(SECONDS)

# fifty phones alone, then beside one hostile client; LOAD_SECONDS for each
LOAD_SECONDS ?= 60
load: setup
	$(BIN)/python scripts/load.py --seconds $(LOAD_SECONDS)

# spoilt houses and tables through the whole way; thousands of each take hours
spoil: setup
	$(BIN)/python scripts/spoilt_houses.py --check 100000 --plan 5000 --gather 10000

tour: setup programs
	PYTHONPATH=tests $(BIN)/python scripts/tour.py

# every screen, in every state, at seven sizes, light and dark; a quarter of an hour or so on two cores
screens: setup programs
	PYTHONPATH=tests $(BIN)/python scripts/screens.py

bench: setup programs
	$(BIN)/pytest benchmarks --benchmark-only -o addopts= -o python_files="bench_*.py" -q

# the simulated figures that README.md quotes; bench writes the pages of cutting, scheduling and phones
figures: setup programs
	for page in misreads fit_chances real_walls adjustment_speed phone_look; do PYTHONPATH=tests $(BIN)/python benchmarks/$$page.py || exit 1; done

# which changes of the hand-over code no test notices; an hour or so on two cores. mutmut makes the changes and
# tells which tests reach them (it is run on one of them for that), our own loop runs the tests
MOST ?= 10
mutate: setup
	$(BIN)/python -m pip install -q 'mutmut>=3.8,<4'
	mkdir -p build
	rm -f build/mutants.json
	$(BIN)/mutmut run 'jambwright.record.read.x__damaged__mutmut_1' >build/mutmut.log
	OMP_NUM_THREADS=1 $(BIN)/python scripts/mutants.py --most $(MOST)

clean:
	rm -rf $(VENV) build

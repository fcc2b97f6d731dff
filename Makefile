# Two commands set everything up on a bare Debian 12: `make demo` and `make test`. Each installs what is
# missing (as root; anyone else is told what to ask for before anything is built), builds in build/ and runs.

BUILD = build
PREFIX = /usr/local
EXAMPLE = examples/graduated-bob.json

# What each command needs, as Debian 12 packages. docs/decisions.md says why each is there.
NEED_BUILD = gcc libc6-dev meson ninja-build pkg-config libjsmn-dev libcairo2-dev libpango1.0-dev libqrencode-dev libqpdf-dev libsqlite3-dev libmicrohttpd-dev fonts-inter \
	fonts-dejavu-core clang lld wasi-libc libclang-rt-14-dev-wasm32 node:nodejs npm:npm
NEED_TEST = $(NEED_BUILD) g++ libcmocka-dev libgsl-dev libproj-dev python3-jsonschema qpdf poppler-utils libxml2-utils zbar-tools chromium
NEED_CI = $(NEED_TEST) clang-format clang-tidy libclang-rt-14-dev libomp-14-dev llvm shellcheck mandoc

LENGTHWISE = $(BUILD)/src/cli/lengthwise
# The program carries the page, which carries the core as wasm32.
PAGE = -Dpage=enabled -Dwasm=enabled

.PHONY: demo serve test install bench renew format clean deps deps-test deps-ci build

demo: build
	$(LENGTHWISE) predict $(EXAMPLE)
	$(LENGTHWISE) sheet $(EXAMPLE) --output $(BUILD)/demo.pdf
	@echo "The sheet to cut by is in $(BUILD)/demo.pdf."
	@echo "To plan a cut by hand, in your browser, with a book of invented people: make serve"

# Opens the page in the browser with a book of invented people, which stays until `make clean`. Ctrl-C ends it.
serve: build
	tools/demo-book $(LENGTHWISE) examples $(BUILD)/demo-book.sqlite
	$(LENGTHWISE) serve --book $(BUILD)/demo-book.sqlite

test: deps-test
	tools/configure $(BUILD) --buildtype=release -Dtests=enabled $(PAGE)
	ninja -C $(BUILD)
	meson test -C $(BUILD) --no-rebuild --print-errorlogs

build: deps
	tools/configure $(BUILD) --buildtype=release $(PAGE)
	ninja -C $(BUILD) src/cli/lengthwise

# Installs the program, the library, the header, the manual and the completion, built for PREFIX.
install: deps
	tools/configure $(BUILD) --buildtype=release $(PAGE) --prefix="$(abspath $(PREFIX))"
	ninja -C $(BUILD)
	$(if $(DESTDIR),DESTDIR="$(abspath $(DESTDIR))") meson install -C $(BUILD) --no-rebuild

# Times every stage and keeps the figures. Wants a quiet machine.
bench: deps
	tools/configure $(BUILD) --buildtype=release $(PAGE)
	ninja -C $(BUILD) bench/bench_cut bench/bench_fall src/cli/lengthwise
	$(BUILD)/bench/bench_cut | tee bench/cut.csv
	$(BUILD)/bench/bench_fall | tee bench/fall.csv
	python3 bench/load.py $(LENGTHWISE) | tee bench/load.csv
	if command -v node >/dev/null && ninja -C $(BUILD) src/wasm/page.wasm; then \
		node bench/cut_node.mjs $(BUILD)/src/wasm/page.wasm examples | tee -a bench/cut.csv; \
		node bench/fall_node.mjs $(BUILD)/src/wasm/page.wasm examples/uniform-layers.json | tee -a bench/fall.csv; fi
	if command -v chromium >/dev/null; then \
		cd page && LW_PROGRAM="$(abspath $(LENGTHWISE))" npx --no-install vite-node bench/follow.ts | tee ../bench/page.csv; fi

# Writes again what is committed but comes from tables and from what the program prints or draws. Look at the
# pictures in tests/golden before they are committed: test_golden holds what is drawn to them.
GOLDEN = examples/graduated-bob.json
renew: build
	$(LENGTHWISE) schema >schema/plan.schema.json
	$(LENGTHWISE) fields >docs/plan-fields.md
	$(LENGTHWISE) fields --json >page/tests/table.json
	$(LENGTHWISE) serve --openapi >schema/openapi.json
	python3 tests/test_readme.py README.md $(LENGTHWISE) --renew
	ninja -C $(BUILD) tests/specimen
	python3 tests/test_look.py docs/drawing.md $(BUILD)/tests/specimen --renew
	for side in front left; do $(LENGTHWISE) head --plan $(GOLDEN) --side $$side --height 200 --detail normal \
		--png tests/golden/bust-$$side.png >/dev/null || exit 1; done
	$(LENGTHWISE) sheet $(GOLDEN) --page 1 --dpi 40 --date 2026-03-01 -o tests/golden/page-glance.png
	$(LENGTHWISE) sheet $(GOLDEN) --page 2 --dpi 40 --date 2026-03-01 -o tests/golden/page-steps.png

format:
	git ls-files '*.c' '*.h' | xargs clang-format -i

clean:
	rm -rf $(BUILD)

deps:
	@tools/need $(NEED_BUILD)
deps-test:
	@tools/need $(NEED_TEST)
deps-ci:
	@tools/need $(NEED_CI)

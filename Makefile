# Maulstick. `make run` builds everything and says where the page is.

ADDR ?= 127.0.0.1:8088
# How hard brotli tries, 0 to 11: 5 is quick, 11 is for what is given away.
LEVEL ?= 5
CHROMIUM ?= chromium
export CHROMIUM
# The decoders of AVIF and HEIC come along, in a box of their own: libraries of the
# machine are left alone.
export GOFLAGS := $(GOFLAGS) -tags=nodynamic

TOOLS := $(CURDIR)/.tools
AXE := axe-core@4.14.1
# Runs Go's tests in a browser.
RUNNER := github.com/agnivade/wasmbrowsertest@v0.11.0
# A display of its own, and Mesa's software renderer on it.
DISPLAYED := LIBGL_ALWAYS_SOFTWARE=1 xvfb-run -a

# How long each target is fuzzed: by make test, and by make soak, where 5m for each of 19
# targets takes about 100 minutes in all.
FUZZ ?= 3s
SOAK ?= 5m

.PHONY: build dist run test check unit twins fuzz soak bench shots icons tools clean

build:
	go run ./web/pack -level $(LEVEL)
	CGO_ENABLED=0 go build -trimpath -o bin/maulstick ./cmd/maulstick

# A folder for any static web server, packed as small as can be.
dist:
	$(MAKE) build LEVEL=11
	rm -rf dist
	bin/maulstick site -o dist

run: build
	bin/maulstick serve -addr $(ADDR)

# Everything, in the order in which a fault shows soonest.
test: tools check build unit twins fuzz

check:
	@unformatted=$$(gofmt -l cmd render wasm web) && if [ -n "$$unformatted" ]; then \
		echo "not formatted by gofmt:"; echo "$$unformatted"; exit 1; fi
	go vet ./...
	GOOS=js GOARCH=wasm go vet ./wasm/... ./render/gpu ./render/survey ./render/sheet
	GOOS=js GOARCH=wasm go vet -tags=darkroom ./wasm/darkroom ./render/photo

# One package at a time: the page tests and the graphics tests need the machine
# for themselves. Those of the graphics run on the display here, and once more
# in a browser as twins.
unit:
	$(DISPLAYED) go test -count=1 -p 1 -timeout 60m ./...

twins: $(TOOLS)/bin/in-browser
	GOOS=js GOARCH=wasm go test -count=1 -timeout 30m -exec $(TOOLS)/bin/in-browser ./render/gpu

# Every reader of what others wrote, on bytes that no one wrote.
fuzz:
	@.ci/fuzz $(FUZZ)

# The browser killed 500 times while it writes, where make test kills it 25 times, 200
# random paintings checked where it checks 20, and every target fuzzed for long.
soak: tools build
	$(DISPLAYED) go test -count=1 -timeout 12h -run TestKilledWhileWriting ./web -kills 500
	go test -count=1 -timeout 12h -v -run 'PerfectCopies|Repainted' ./render/check -scenes 200
	@.ci/fuzz $(SOAK)

bench: tools build
	@.ci/tools bench
	go test -run '^$$' -bench 'Libraries|Engine' -benchtime 1x -p 1 -timeout 60m ./render ./render/survey ./render/sheet
	go test -run '^$$' -bench 'Decoding|Callipers' -benchtime 1x -p 1 -timeout 60m ./render/check ./web/pack
	$(DISPLAYED) go test -run '^$$' -bench . -benchtime 1x -p 1 -timeout 60m ./render/gpu ./web

# The picture of the screen in the README.
shots: build
	go run ./web/shot -keys tray-line,part-lines,use-diagonals,lines-fainter,lines-fainter,tray-place,from-y -touch 0.471,0.452 -o web/shot/easel.png

# The icons as pixels, from their drawings.
icons:
	@set -e; cd web/icons; for icon in maulstick:180 maulstick:192 maulstick:512 maulstick-maskable:512; do \
		drawing=$${icon%:*}; side=$${icon#*:}; profile=$$(mktemp -d); \
		$(CHROMIUM) --headless --no-sandbox --user-data-dir=$$profile --hide-scrollbars --force-device-scale-factor=1 \
			--window-size=$$side,$$side --screenshot=$$PWD/$$drawing-$$side.png file://$$PWD/$$drawing.svg; \
		rm -rf $$profile; done

# Says exactly what lacks; installs it where that is possible.
tools: $(TOOLS)/node_modules/axe-core/axe.min.js $(TOOLS)/bin/in-browser
	@.ci/tools

$(TOOLS)/node_modules/axe-core/axe.min.js: Makefile
	@.ci/tools
	npm install --prefix $(TOOLS) --no-save --no-audit --no-fund $(AXE)
	touch $@

# The runner looks for a browser called headless_shell before any other, and is
# given few environment variables, since a page takes only a few.
$(TOOLS)/bin/in-browser: Makefile
	@.ci/tools
	mkdir -p $(TOOLS)/bin
	GOBIN=$(TOOLS)/bin go install $(RUNNER)
	printf '#!/bin/sh\nexec %s --no-sandbox --use-gl=angle --use-angle=swiftshader --enable-unsafe-swiftshader "$$@"\n' \
		"$$(command -v $(CHROMIUM))" >$(TOOLS)/bin/headless_shell
	printf '#!/bin/sh\nexec env -i HOME="$$HOME" PATH=%s/bin:/usr/bin:/bin wasmbrowsertest "$$@"\n' "$(TOOLS)" >$@
	chmod +x $(TOOLS)/bin/headless_shell $@

clean:
	rm -rf bin dist .tools
	git clean -fdXq web/dist

#!/bin/sh
# The checks beside `go test ./...`: form, vet, static analysis, known
# vulnerabilities, races, order of tests, modules, and a little fuzzing.
#
#	deploy/check.sh
#
# FUZZ_SECONDS (3) is for each fuzz target; RACE_PACKAGES limits the race tests.
set -eu
if [ -z "${CHECK_NESTED:-}" ]; then
	cd "$(dirname "$0")/.."
	. deploy/stages.sh
	stage 'tools' tools
fi

formatted() {
	unformatted=$(gofmt -l bot cmd commands sizing store)
	[ -z "$unformatted" ] || {
		echo "gofmt would change:"
		echo "$unformatted"
		return 1
	}
}

# unused fails for functions that no program reaches. What only tests call stands in
# test files, or in the packages that are stand-ins and suites for tests.
unused() {
	report=$(go run golang.org/x/tools/cmd/deadcode@v0.52.0 ./... | grep -Ev '^(bot/platformtest|commands/commandstest|commands/picture/picturetest|sizing/sheet/sheettest|store/storetest|store/[a-z]+/[a-z]+test)/' || true)
	[ -z "$report" ] || {
		echo "$report"
		return 1
	}
}

# vulnerabilities fails for known ones in what go.mod asks for. Those of the Go
# toolchain are told, and so is a database that cannot be reached.
vulnerabilities() {
	report=$(mktemp)
	status=0
	timeout 180 go run golang.org/x/vuln/cmd/govulncheck@v1.9.0 ./... >"$report" 2>&1 || status=$?
	if grep 'Found in:' "$report" | grep -qv '@go[0-9]'; then
		cat "$report"
		rm -f "$report"
		return 1
	fi
	if grep -q 'Found in:' "$report"; then
		echo "note: the Go toolchain has known vulnerabilities; a newer one mends them"
		grep -A3 '^Vulnerability' "$report" || true
	elif [ "$status" != 0 ]; then
		echo "note: the vulnerability database could not be asked; nothing was checked"
		tail -n 3 "$report"
	else
		tail -n 1 "$report"
	fi
	rm -f "$report"
}

races() {
	if [ "$(go env CGO_ENABLED)" != 1 ] || ! command -v "$(go env CC)" >/dev/null; then
		echo "note: no C compiler, so no race detector; the tests run in random order without it"
		go test -short -shuffle=on ./...
		return
	fi
	# Short tests leave out many cases of one goroutine, which go test ./... checks, and
	# check a fifth as many random ones; some need more than that leaves.
	# shellcheck disable=SC2086 # one word for each package
	RAPID_CHECKS=300 go test -race -short -shuffle=on ${RACE_PACKAGES:-./...}
}

# fuzz FOLDER TARGET runs one target of the built tests for a little while. A run that
# fails without leaving an input that makes it fail has run into its own deadline, and is
# tried once more.
fuzz() {
	marker=$(mktemp)
	for attempt in 1 2; do
		(cd "$1" && "$built/fuzz.test" -test.run '^$' -test.fuzz "^$2\$" -test.fuzztime "${FUZZ_SECONDS:-3}s" -test.fuzzminimizetime 1s \
			-test.fuzzcachedir "$(go env GOCACHE)/fuzz/larkfold/$1") >"$marker.out" 2>&1 && return 0
		[ "$attempt" = 1 ] && [ -z "$(find . -path '*/testdata/fuzz/*' -newer "$marker")" ] || break
	done
	cat "$marker.out"
	return 1
}

# fuzzing builds the tests of a folder once for all its targets.
fuzzing() {
	built=$(mktemp -d)
	for folder in $(grep -rl --include='*_test.go' '^func Fuzz' bot cmd commands sizing store | xargs -n1 dirname | sort -u); do
		go test -c -fuzz=. -o "$built/fuzz.test" "./$folder" || return 1
		for target in $(grep -ho '^func Fuzz[A-Za-z0-9]*' "$folder"/*_test.go | cut -d' ' -f2); do
			echo "$folder $target"
			fuzz "$folder" "$target" || return 1
		done
	done
	rm -rf "$built"
}

stage 'gofmt' formatted
stage 'go vet' go vet ./...
stage 'staticcheck' go tool staticcheck ./...
stage 'deadcode' unused
stage 'go mod tidy -diff' go mod tidy -diff
stage 'go mod verify' go mod verify
stage 'govulncheck' vulnerabilities
stage 'race and shuffle' races
stage 'fuzz' fuzzing
echo "all checks passed in $(($(date +%s) - started)) s"

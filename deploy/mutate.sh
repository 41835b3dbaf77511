#!/bin/sh
# Mutation tests: changes one sign of a package's code after the other and counts
# the changes that its own tests notice.
#
#	deploy/mutate.sh ./commands/ask ./bot
#	PART=8 deploy/mutate.sh ./sizing/trace
#
# PART (1) tries the signs of about one line in so many of what is committed, for
# packages that would take too long; SEED (1) says which lines. WORKERS (1) tests run
# at once. A mutant has TIMES (8) times as long as the tests took unchanged; few may
# run out of it, so run it on a machine with nothing else to do. LEAST (0) is the
# share of covered mutants, in percent, that must be noticed. A package is given up
# after MINUTES (30).
set -eu
cd "$(dirname "$0")/.."
[ $# -gt 0 ] || {
	sed -n '2,/^set/s/^# \{0,1\}//p' "$0"
	exit 2
}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
GOBIN=$scratch go install github.com/go-gremlins/gremlins/cmd/gremlins@v0.6.0

# lines copies a file and marks the lines whose hash falls to the sample.
lines() {
	awk -v seed="${SEED:-1}" -v part="${PART:-1}" -v file="$1" 'BEGIN {
		for (i = 32; i < 127; i++) code[sprintf("%c", i)] = i
	} {
		hash = seed
		line = file FNR $0
		for (i = 1; i <= length(line); i++) hash = (hash * 31 + code[substr(line, i, 1)]) % 2147483647
		print $0 (hash % part == 0 ? " " : "")
	}' "$1"
}

# sample leaves a copy whose last commit changed the lines to try, and no others.
sample() {
	git clone -q . "$scratch/sample"
	cd "$scratch/sample"
	git config user.name mutate
	git config user.email mutate@localhost
	git config diff.relative true # the tool knows the files of a package by their bare names
	for file in "$1"/*.go; do
		lines "$file" >"$scratch/marked" && cp "$scratch/marked" "$file"
	done
	git commit -q --allow-empty -am 'the lines to try are different'
	git checkout -q HEAD~1 -- .
	git commit -q --allow-empty -m 'as they are'
}

for package in "$@"; do
	echo "== $package"
	(
		changed=
		[ "${PART:-1}" = 1 ] || {
			sample "$package"
			changed="--diff HEAD~1"
		}
		cd "$package"
		# shellcheck disable=SC2086 # two words or none
		timeout "${MINUTES:-30}m" "$scratch/gremlins" unleash --workers "${WORKERS:-1}" --timeout-coefficient "${TIMES:-8}" \
			--threshold-efficacy "${LEAST:-0}" $changed "$PWD"
	)
	rm -rf "$scratch/sample"
done

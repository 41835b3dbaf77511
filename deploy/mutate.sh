#!/bin/sh
# Mutation tests: changes one sign of a package's code after the other and counts
# the changes that its own tests notice.
#
#	deploy/mutate.sh ./commands/ask ./bot
#
# WORKERS (1) tests run at once. A mutant has TIMES (8) times as long as the tests
# took unchanged; few may run out of it, so run it on a machine with nothing else
# to do. LEAST (0) is the share of covered mutants, in percent, that must be
# noticed. A package is given up after MINUTES (30).
set -eu
cd "$(dirname "$0")/.."
[ $# -gt 0 ] || {
	sed -n '2,/^set/s/^# \{0,1\}//p' "$0"
	exit 2
}
tool=$(mktemp -d)
trap 'rm -rf "$tool"' EXIT
GOBIN=$tool go install github.com/go-gremlins/gremlins/cmd/gremlins@v0.6.0
for package in "$@"; do
	echo "== $package"
	timeout "${MINUTES:-30}m" "$tool/gremlins" unleash --workers "${WORKERS:-1}" --timeout-coefficient "${TIMES:-8}" \
		--threshold-efficacy "${LEAST:-0}" "$package"
done

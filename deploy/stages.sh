# Helpers of check.sh and of the continuous integration: stages that are named and
# timed. To be read by a shell with `.`; it runs nothing by itself.

started=$(date +%s)

# stage NAME COMMAND... runs a command and says how long it took; a failure ends
# the script.
stage() {
	name=$1
	shift
	echo "== $name"
	begun=$(date +%s)
	if ! "$@"; then
		echo "== $name FAILED after $(($(date +%s) - begun)) s"
		exit 1
	fi
	echo "== $name: $(($(date +%s) - begun)) s"
}

# tools finds Go, and where they can be had the units program that some tests
# compare with, and the PostgreSQL that others start as a server of their own.
# Without them those tests are skipped; but where PostgreSQL should have been
# installed they fail, which is what TEST_WITH_POSTGRESQL asks for.
tools() {
	root=
	[ "$(id -u)" != 0 ] || root=yes
	if [ -n "$root" ] && command -v apt-get >/dev/null; then
		export TEST_WITH_POSTGRESQL=required
		wanted=
		command -v units >/dev/null || wanted=units
		command -v go >/dev/null || wanted="$wanted golang-go"
		command -v initdb >/dev/null || [ -n "$(ls /usr/lib/postgresql/*/bin/initdb 2>/dev/null)" ] || wanted="$wanted postgresql"
		if [ -n "$wanted" ]; then
			export DEBIAN_FRONTEND=noninteractive
			# shellcheck disable=SC2086 # one word for each package
			timeout 180 sh -c 'apt-get -qq update && apt-get -qq -y install '"$wanted" >/dev/null 2>&1 ||
				echo "note: not installed: $wanted"
		fi
	fi
	if ! command -v go >/dev/null; then
		echo "Go is needed: https://go.dev/doc/install"
		return 1
	fi
	go version
}

PATH=$PATH:/usr/local/go/bin

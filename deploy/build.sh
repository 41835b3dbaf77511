#!/bin/sh
# Builds what an operator downloads: for every machine one archive with the static
# program and the pages of deploy, and their checksums.
#
#	deploy/build.sh [VERSION [FOLDER]]
#
# VERSION is what `larkfold version` says, by default what git calls this state.
# FOLDER, by default dist, must not exist. The same state gives the same bytes.
set -eu
cd "$(dirname "$0")/.."
version=${1:-$(git describe --tags --always --dirty)}
folder=${2:-dist}
mkdir "$folder"
folder=$(cd "$folder" && pwd)
seconds=$(git log -1 --format=%ct 2>/dev/null || echo 0)
staging=$(mktemp -d)
trap 'rm -rf "$staging"' EXIT

# build MACHINE GOARCH [GOARM]
build() {
	name=larkfold-$version-linux-$1
	mkdir "$staging/$name"
	CGO_ENABLED=0 GOOS=linux GOARCH=$2 GOARM=${3:-} go build -trimpath \
		-ldflags "-s -w -X main.release=$version" -o "$staging/$name/larkfold" ./cmd/larkfold
	(cd deploy && cp README.md larkfold.service larkfold.env larkfold-admin nginx.conf alerts.yml dashboard.json privacy-notice.md terms-of-use.md several.md several.sh nginx-several.conf postgresql.conf "$staging/$name")
	chmod -R u=rwX,go=rX "$staging/$name"
	tar -C "$staging" --sort=name --owner=0 --group=0 --numeric-owner --mtime="@$seconds" -cf - "$name" |
		gzip -9n >"$folder/$name.tar.gz"
}

build amd64 amd64
build arm64 arm64
build armv7 arm 7
cd "$folder"
sha256sum ./*.tar.gz | sed 's, \./, ,' >SHA256SUMS
cat SHA256SUMS

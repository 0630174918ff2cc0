#!/bin/sh
# Sets up a Debian or Ubuntu machine: system packages, then Wallward in .venv. Run it from the
# top of the checkout; "sh tests/machine.sh --tests" adds what the tests need.
set -eu
cd "$(dirname "$0")/.."

packages="python3 python3-venv
 libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0
 fonts-noto-core fonts-noto-cjk"
extra=""
if [ "${1:-}" = "--tests" ]; then
    packages="$packages poppler-utils qpdf gettext"
    extra="[tests]"
fi

missing=""
for package in $packages; do
    dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q "ok installed" ||
        missing="$missing $package"
done
if [ -n "$missing" ]; then
    as_root=""
    [ "$(id -u)" = 0 ] || as_root="sudo"
    export DEBIAN_FRONTEND=noninteractive
    $as_root apt-get update -q
    # shellcheck disable=SC2086
    $as_root apt-get install -q -y --no-install-recommends $missing
fi

[ -x .venv/bin/python ] || /usr/bin/python3 -m venv .venv
.venv/bin/python -m pip install -q --disable-pip-version-check -e ".$extra"

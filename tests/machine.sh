#!/bin/sh
# Sets up a Debian or Ubuntu machine: system packages, then Wallward in .venv. Run it from the
# top of the checkout; "sh tests/machine.sh --tests" adds what the tests need. PYTHON names
# another Python than the system's.
set -eu
cd "$(dirname "$0")/.."

stop() {
    echo "machine.sh: $1" >&2
    exit 1
}

python="${PYTHON:-/usr/bin/python3}"
expect_python() {
    "$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))' ||
        stop "Wallward needs Python 3.11 or newer and $("$python" --version) is older; \
name a newer one: PYTHON=/usr/bin/python3.12 sh tests/machine.sh"
}

# certificates, because Debian's pip reads the system's
packages="ca-certificates python3 python3-venv
 libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0
 fonts-noto-core fonts-noto-cjk"
extra=""
case "${1:-}" in
    "") ;;
    --tests)
        packages="$packages poppler-utils qpdf gettext chromium"
        extra="[tests]"
        ;;
    *) stop "the only option is --tests" ;;
esac

command -v apt-get >/dev/null && command -v dpkg-query >/dev/null ||
    stop "this needs Debian or Ubuntu, with apt-get; elsewhere install Python 3.11 with venv, \
Pango, HarfBuzz and the Noto fonts, then: python3 -m venv .venv && .venv/bin/pip install -e ."
[ ! -x "$python" ] || expect_python # before anything is installed in vain

missing=""
for package in $packages; do
    # the folded list is split into words on purpose
    dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q "ok installed" ||
        missing="$missing $package"
done
if [ -n "$missing" ]; then
    as_root=""
    if [ "$(id -u)" != 0 ]; then
        command -v sudo >/dev/null || stop "as root, run: apt-get install$missing"
        as_root="sudo"
    fi
    options="-q -o Acquire::Retries=3 -o DPkg::Lock::Timeout=120"
    # shellcheck disable=SC2086
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get $options update
    # shellcheck disable=SC2086
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get $options install -y \
        --no-install-recommends $missing
fi
expect_python

# a .venv that was left half-made has no pip
.venv/bin/python -m pip --version >/dev/null 2>&1 || "$python" -m venv --clear .venv
.venv/bin/python -m pip install -q --disable-pip-version-check -e ".$extra"

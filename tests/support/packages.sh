# SPDX-License-Identifier: GPL-3.0-or-later
# Sourced by sample-data/run and tests/run: need_packages NAME ... installs what is missing
# where apt is at hand, with sudo where not root; elsewhere it prints the list and stops.

need_packages() {
    missing=
    if command -v dpkg-query >/dev/null 2>&1 && command -v apt-get >/dev/null 2>&1; then
        for package in "$@"; do
            state=$(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null) || state=
            [ "$state" = installed ] || missing="$missing $package"
        done
        [ -n "$missing" ] || return 0
        as_root=
        if [ "$(id -u)" -ne 0 ]; then
            if ! command -v sudo >/dev/null 2>&1; then
                echo "Please install, as root:$missing" >&2
                exit 1
            fi
            as_root=sudo
        fi
        echo "Installing:$missing" >&2
        $as_root apt-get update -q >&2
        # shellcheck disable=SC2086
        $as_root env DEBIAN_FRONTEND=noninteractive \
            apt-get install -q -y --no-install-recommends $missing >&2
    else
        for tool in cmake cc pkg-config; do
            command -v "$tool" >/dev/null 2>&1 || missing=yes
        done
        [ -z "$missing" ] && pkg-config --exists gsl libcjson && return 0
        echo "This is no Debian. Please install what these Debian packages hold:" >&2
        echo "  $*" >&2
        exit 1
    fi
}

bt_build_packages="gcc libc6-dev make cmake pkg-config libgsl-dev libcsv-dev libcjson-dev
    libsuitesparse-dev libcairo2-dev libpango1.0-dev libxml2-dev libqhull-dev fonts-dejavu-core"
bt_test_packages="libcriterion-dev libglpk-dev libasan8 libubsan1 clang clang-format
    groff-base mandoc dpkg-dev file doxygen"

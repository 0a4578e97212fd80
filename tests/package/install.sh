#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# usage: install.sh BUILD PREFIX: installs the build tree into the new folder PREFIX.
set -eu
rm -rf "$2"
cmake --install "$1" --prefix "$2"

#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Ratios measured in one run.  Never a test: a missed goal is printed, and only results
# that disagree (or programs that fail) give an exit status other than 0.
#
# usage: run.sh BENCHES PROGRAM SAMPLE
#   BENCHES  folder with the built bench programs
#   PYTHON   environment: interpreter that has SciPy (default: python3)
set -u
if [ $# -ne 3 ]; then
    sed -n 's/^# \(usage.*\)/\1/p' "$0" >&2
    exit 2
fi
# One thread each; memory given back stays with the process (glibc), so that repetitions
# measure work and not the kernel handing out the same pages again.
export OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1
export MALLOC_TRIM_THRESHOLD_=1000000000 MALLOC_MMAP_THRESHOLD_=1000000000
here=$(dirname "$0")
python=${PYTHON:-python3}
folder=$(mktemp -d) || exit 1
trap 'rm -rf "$folder"' EXIT
trap 'exit 1' HUP INT TERM
result=0

# Peers in Python only where there is SciPy.
if "$python" -c 'import scipy' >/dev/null 2>&1; then
    zone_peer="$python $here/peer_zone.py"
    edge_peer="$python $here/peer_straightedge.py"
    draws_peer="$python $here/peer_draws.py"
    scatter_peer="$python $here/peer_edges.py"
else
    echo "SciPy is not installed: the ratios to it are left out"
    zone_peer= edge_peer= draws_peer= scatter_peer=
fi

"$1/bench_network" "$folder" || exit 1
[ -z "$zone_peer" ] || "$python" "$here/peer_scipy.py" "$folder" || result=1
"$1/bench_process" "$1/bench_loader" "$2" flatness "$3" || result=1
# shellcheck disable=SC2086
"$1/bench_zone" "$folder" $zone_peer || result=1
"$1/bench_scan_fit" "$folder" || result=1
# shellcheck disable=SC2086
"$1/bench_straightedge" $edge_peer || result=1
"$1/bench_figure" || result=1
# shellcheck disable=SC2086
"$1/bench_draws" "$folder" $draws_peer || result=1
# shellcheck disable=SC2086
"$1/bench_edges" "$folder" $scatter_peer || result=1
"$1/bench_coverage" || result=1
"$1/bench_layout" || result=1
[ ! -x "$1/bench_scan" ] || "$1/bench_scan" "$folder" "$2" || result=1
exit $result

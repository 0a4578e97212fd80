#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Ratios measured in one run.  Never a test: a missed goal is printed, and only results
# that disagree (or programs that fail) give an exit status other than 0.
#
# usage: run.sh BENCH_NETWORK BENCH_PROCESS BENCH_LOADER PROGRAM SAMPLE
#   PYTHON  environment: interpreter that has SciPy (default: python3)
set -u
if [ $# -ne 5 ]; then
    sed -n 's/^# \(usage.*\)/\1/p' "$0" >&2
    exit 2
fi
# One thread each; memory given back stays with the process (glibc), so that repetitions
# measure work and not the kernel handing out the same pages again.
export OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1
export MALLOC_TRIM_THRESHOLD_=1000000000 MALLOC_MMAP_THRESHOLD_=1000000000
here=$(dirname "$0")
folder=$(mktemp -d) || exit 1
trap 'rm -rf "$folder"' EXIT
trap 'exit 1' HUP INT TERM
result=0
"$1" "$folder" || exit 1
"$2" "$3" "$4" flatness "$5" || result=1
"${PYTHON:-python3}" "$here/peer_scipy.py" "$folder"
case $? in
0 | 77) ;;
127) echo "Python is not installed: the ratios to SciPy are left out" ;;
*) result=1 ;;
esac
exit $result

# SPDX-License-Identifier: GPL-3.0-or-later
"""Largest gap under an edge along all rows and columns of a grid, with NumPy.

    peer_straightedge.py HEIGHTS NX NY SPAN

HEIGHTS holds NX * NY doubles, row after row, points 1 mm apart.  Prints the gap in mm
and the processor time in ms without reading.  For each left end, all lines at once: the highest
chord over a point has the steepest slope to any point at or behind it.
"""
import sys
import time

import numpy as np


def largest_gap(z, span):
    best = 0.0
    n = z.shape[1]
    for left in range(n - 1):
        right = min(left + span, n - 1)
        distance = np.arange(1, right - left + 1, dtype=float)
        rise = z[:, left + 1:right + 1] - z[:, left:left + 1]
        slope = np.maximum.accumulate((rise / distance)[:, ::-1], axis=1)[:, ::-1]
        best = max(best, float((slope * distance - rise).max()))
    return best


def main():
    nx, ny, span = (int(text) for text in sys.argv[2:5])
    z = np.fromfile(sys.argv[1]).reshape(ny, nx)
    start = time.process_time()
    gap = max(largest_gap(z, span), largest_gap(np.ascontiguousarray(z.T), span))
    print("%.17g %.3f" % (gap, 1e3 * (time.process_time() - start)))


main()

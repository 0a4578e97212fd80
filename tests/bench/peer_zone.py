# SPDX-License-Identifier: GPL-3.0-or-later
"""Least-squares plane and minimum zone of many points, with NumPy and HiGHS.

    peer_zone.py POINTS

POINTS holds x, y, z of each point as doubles.  Prints the vertical width in mm and the
processor time in ms without reading.  Exchange: the linear programme of few points, then
the points that stick out most are added, until none does.
"""
import sys
import time

try:
    import numpy as np
    from scipy.optimize import linprog
except ImportError:
    sys.exit(77)


def programme(u, h):
    """Least half width w with |h - u q| <= w; returns q and w."""
    one = np.ones((len(h), 1))
    a = np.vstack([np.hstack([-u, -one]), np.hstack([u, -one])])
    b = np.concatenate([-h, h])
    free = (None, None)
    found = linprog([0, 0, 0, 1], A_ub=a, b_ub=b, bounds=[free, free, free, (0, None)],
                    method="highs-ds",
                    options={"primal_feasibility_tolerance": 1e-10,
                             "dual_feasibility_tolerance": 1e-10})
    return found.x[:3], found.x[3]


def width(points):
    size = np.ptp(points[:, :2], axis=0) / 2
    u = np.column_stack([np.ones(len(points)),
                         (points[:, :2] - points[:, :2].mean(axis=0)) / size])
    h = points[:, 2] - points[:, 2].mean()
    h = h - u @ np.linalg.lstsq(u, h, rcond=None)[0]
    r = h
    chosen = np.empty(0, dtype=int)
    while True:
        order = np.concatenate([np.argpartition(r, 64)[:64], np.argpartition(r, -64)[-64:]])
        chosen = np.union1d(chosen, order)
        q, half = programme(u[chosen], h[chosen])
        r = h - u @ q
        if np.abs(r).max() <= half * (1 + 1e-10):
            return 2 * np.abs(r).max()


def main():
    points = np.fromfile(sys.argv[1]).reshape(-1, 3)
    start = time.process_time()
    found = width(points)
    print("%.17g %.3f" % (found, 1e3 * (time.process_time() - start)))


main()

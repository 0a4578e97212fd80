# SPDX-License-Identifier: GPL-3.0-or-later
"""Width of the minimum zone of many draws over the same places, with NumPy and SciPy.

    peer_draws.py PLACES HEIGHTS N SOME WIDTHS

PLACES holds N pairs of doubles, HEIGHTS N doubles a draw.  Writes the widths of all
draws, by an exchange over all draws at once, to WIDTHS, and prints the processor times in
us a draw: of that exchange, of SciPy's linear programme over the first SOME draws, and of
NumPy's normal numbers; then how far the two widths differ at most.
"""
import sys
import time

import numpy as np
from scipy.optimize import linprog


def exchange(base, h):
    """Dual simplex over all draws at once, the inverse of each basis carried along."""
    draws, n = h.shape
    columns = np.empty((2, n, 4))
    for k, side in enumerate((1.0, -1.0)):
        columns[k, :, :3] = side * base
        columns[k, :, 3] = 1
    u, v = base[:, 1], base[:, 2]
    point = np.array([np.argmin(u + v), np.argmin(u - v), np.argmax(u - v),
                      np.argmax(u + v)])
    weight = np.array([np.linalg.det(np.delete(base[point], k, 0)) * (-1) ** k
                       for k in range(4)])
    side = np.where((h[:, point] @ weight < 0)[:, None], -1, 1) * np.sign(weight)
    start = np.linalg.inv(np.array([columns[int(s < 0), p] for s, p in
                                    zip(np.sign(weight), point)]).T)
    inverse = np.repeat(start[None], draws, 0)
    inverse[:, :, :3] *= (side[:, :1] * np.sign(weight[0]))[:, :, None]
    height = side * h[:, point]
    width = np.zeros(draws)
    todo = np.arange(draws)
    slack = 1e-13 * np.abs(h).max()
    while todo.size:
        y = np.einsum("mk,mkj->mj", height, inverse)
        r = h[todo] - y[:, :3] @ base.T
        into = np.abs(r).argmax(1)
        rows = np.arange(todo.size)
        most = r[rows, into]
        done = np.abs(most) <= y[:, 3] + slack
        width[todo[done]] = 2 * np.abs(most[done])
        keep = ~done
        todo, inverse, height = todo[keep], inverse[keep], height[keep]
        into, most = into[keep], most[keep]
        rows = np.arange(todo.size)
        pivot = np.einsum("mkj,mj->mk", inverse, columns[(most < 0).astype(int), into])
        ratio = np.where(pivot > 1e-11, inverse[:, :, 3], np.inf) / np.where(
            pivot > 1e-11, pivot, 1)
        out = ratio.argmin(1)
        row = inverse[rows, out] / pivot[rows, out][:, None]
        inverse -= pivot[:, :, None] * row[:, None, :]
        inverse[rows, out] = row
        height[rows, out] = np.abs(h[todo, into]) * np.sign(h[todo, into] * most)
    return width


def programme(base, z):
    n = len(z)
    ones = np.ones((n, 1))
    rows = np.vstack([np.hstack([-base, -ones]), np.hstack([base, -ones])])
    result = linprog([0, 0, 0, 1], A_ub=rows, b_ub=np.hstack([-z, z]),
                     bounds=[(None, None)] * 3 + [(0, None)], method="highs")
    return 2 * result.fun


def main():
    n, some = int(sys.argv[3]), int(sys.argv[4])
    place = np.fromfile(sys.argv[1]).reshape(n, 2)
    h = np.fromfile(sys.argv[2]).reshape(-1, n)
    low, high = place.min(0), place.max(0)
    base = np.hstack([np.ones((n, 1)), 2 * (place - low) / (high - low) - 1])
    start = time.process_time()
    width = exchange(base, h)
    middle = time.process_time()
    by_programme = np.array([programme(base, z) for z in h[:some]])
    end = time.process_time()
    np.random.default_rng(1).standard_normal(h.shape)
    last = time.process_time()
    width.tofile(sys.argv[5])
    print("%.4f %.4f %.4f %.3g" % (
        1e6 * (middle - start) / len(h), 1e6 * (end - middle) / some,
        1e6 * (last - end) / len(h), np.abs(width[:some] - by_programme).max()))


main()

# SPDX-License-Identifier: GPL-3.0-or-later
"""Cup, largest opening and largest kink over random edges, vectorised with NumPy.

    peer_edges.py PANEL DRAWS ROUNDS

PANEL: one line with e, u_e, scatter and u_taper, then a line a board with width,
thickness, taper and, for its back and its front edge, 1 for a run with the show face to
the fence and -1 for the other.  Prints the processor time of each round in ms, then
median and 95 % point of cup, opening and kink.
"""
import sys
import time

import numpy as np


def draw(rng, draws, errors, board):
    e, u_e, scatter, u_taper = errors
    width, thickness, taper, back, front = board.T
    y = np.cumsum(width)[:-1]
    share = -np.minimum(y, width.sum() - y) / 2
    thin = np.minimum((thickness + taper / 2)[:-1], (thickness - taper / 2)[1:])
    n = len(width)
    angle = rng.standard_normal((draws, n))
    angle *= u_taper / width
    angle += taper / width
    kink = rng.standard_normal((draws, n - 1))
    other = rng.standard_normal((draws, n - 1))
    kink += other
    kink *= scatter
    kink -= angle[:, :-1] * (front[:-1] < 0)
    kink += angle[:, 1:] * (back[1:] < 0)
    kink += (e + u_e * rng.standard_normal((draws, 1))) * (front[:-1] + back[1:])
    cup = np.abs(kink @ share)
    np.abs(kink, out=kink)
    most = kink.max(1)
    kink *= thin
    opening = kink.max(1)
    ranks = [int(np.floor(p * draws + 0.5)) - 1 for p in (0.5, 0.95)]
    return [np.partition(v, ranks)[ranks] for v in (cup, opening, most)]


def main():
    rows = [[float(v) for v in line.split()] for line in open(sys.argv[1])]
    errors, board = rows[0], np.array(rows[1:])
    rng = np.random.default_rng(1)
    for _ in range(int(sys.argv[3])):
        start = time.process_time()
        spread = draw(rng, int(sys.argv[2]), errors, board)
        print(1000 * (time.process_time() - start))
    for v in spread:
        print(*v)


main()

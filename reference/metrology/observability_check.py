#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Rank and null space of straightedge, sagitta, level and height readings on a
9 x 5 grid (x index 0..8, y index 0..4).  Prints a CSV.  Needs numpy only.

A gap reading on a line at distance s is  g = a + b*s - h(point); a and b are
free for every line.  "unseen" counts the independent height shapes that can be
cancelled by some choice of the free numbers."""
import numpy as np

NX, NY = 9, 5
n = NX * NY
idx = lambda i, j: j * NX + i
X, Y = (a.ravel() for a in np.meshgrid(np.arange(NX, dtype=float), np.arange(NY, dtype=float)))
SHAPES = {"1": np.ones(n), "x": X, "y": Y, "xy": X * Y, "x^2": X**2, "y^2": Y**2,
          "x^2+y^2": X**2 + Y**2, "x^2*y": X * X * Y, "x*y^2": X * Y * Y, "|x-4|": abs(X - 4)}
TOL = 1e-9


def gaps(lines):
    m = len(lines)
    rows = []
    for k, line in enumerate(lines):
        for s, p in line:
            r = np.zeros(n + 2 * m)
            r[p], r[n + 2 * k], r[n + 2 * k + 1] = -1, 1, s
            rows.append(r)
    return np.array(rows)


def sagitta(triples, zero):
    """plunger at the middle point, feet at the outer two; zero: list of zero-error group numbers or None"""
    g = 0 if zero is None else max(zero) + 1
    rows = []
    for k, (a, m, b) in enumerate(triples):
        r = np.zeros(n + g)
        r[m] += 1
        r[a] -= .5
        r[b] -= .5
        if g:
            r[n + zero[k]] = 1
        rows.append(r)
    return np.array(rows)


def slopes(pairs, zero):
    g = 0 if zero is None else max(zero) + 1
    rows = []
    for k, (a, b) in enumerate(pairs):
        r = np.zeros(n + g)
        r[b], r[a] = 1, -1
        if g:
            r[n + zero[k]] = 1
        rows.append(r)
    return np.array(rows)


def setups(groups):
    rows = []
    for k, pts in enumerate(groups):
        for p in pts:
            r = np.zeros(n + 3 * len(groups))
            r[p] = 1
            r[n + 3 * k:n + 3 * k + 3] = 1, X[p], Y[p]
            rows.append(r)
    return np.array(rows)


def report(name, A):
    used = [p for p in range(n) if np.any(A[:, p])]
    A = A[:, used + list(range(n, A.shape[1]))]
    s, Vt = np.linalg.svd(A)[1:]
    rank = int((s > TOL * s[0]).sum())
    H = Vt[rank:].T[:len(used)]
    q, sv, _ = np.linalg.svd(H, full_matrices=False)
    q = q[:, sv > 1e-9]
    def inside(v):
        v = v[used] / np.linalg.norm(v[used])
        return np.linalg.norm(v - q @ (q.T @ v)) < 1e-8
    names = [k for k, v in SHAPES.items() if inside(v)]
    name = name.replace(",", ";")
    print(f"{name},{A.shape[0]},{len(used)},{A.shape[1] - len(used)},{rank},{q.shape[1]},{A.shape[0] - rank},{' '.join(names)}")


leng = [[(i, idx(i, j)) for i in range(NX)] for j in range(NY)]
cross = [[(j, idx(i, j)) for j in range(NY)] for i in range(NX)]
d1 = [[(k, idx(2 * k, k)) for k in range(5)]]
d2 = [[(k, idx(8 - 2 * k, k)) for k in range(5)]]
print("configuration,readings,heights,nuisance,rank,unseen_shapes,redundancy,unseen_shapes_found_among_the_named_ones")
report("straightedge: 5 lengthwise", gaps(leng))
report("straightedge: 9 crosswise", gaps(cross))
report("straightedge: 5 lengthwise + 9 crosswise", gaps(leng + cross))
report("straightedge: 5 + 9 + one diagonal", gaps(leng + cross + d1))
report("straightedge: 5 + 9 + both diagonals", gaps(leng + cross + d1 + d2))
report("straightedge: 5 + 9 + short oblique line of 3 points", gaps(leng + cross + [[(0, idx(0, 0)), (1, idx(2, 1)), (2, idx(4, 2))]]))
report("straightedge: 5 + 9 + oblique line of only 2 points", gaps(leng + cross + [[(0, idx(0, 0)), (1, idx(8, 4))]]))
report("straightedge: 5 lengthwise + 2 end crosswise", gaps(leng + [cross[0], cross[8]]))
report("straightedge: 5 lengthwise + 2 end crosswise + one diagonal", gaps(leng + [cross[0], cross[8]] + d1))
report("straightedge: 5 lengthwise + 1 end crosswise + one diagonal", gaps(leng + [cross[0]] + d1))
report("straightedge: 5 lengthwise + both diagonals", gaps(leng + d1 + d2))
report("straightedge: 4 edges + 2 diagonals", gaps([leng[0], leng[4], cross[0], cross[8]] + d1 + d2))
report("straightedge: 4 edges + 2 centre lines + 2 diagonals", gaps([leng[0], leng[4], leng[2], cross[0], cross[8], cross[4]] + d1 + d2))
report("straightedge: 4 edges + 2 centre lines and no diagonal", gaps([leng[0], leng[4], leng[2], cross[0], cross[8], cross[4]]))
tx = [(idx(i - 1, j), idx(i, j), idx(i + 1, j)) for j in range(NY) for i in range(1, NX - 1)]
tx2 = [(idx(i - 2, j), idx(i, j), idx(i + 2, j)) for j in range(NY) for i in range(2, NX - 2)]
ty = [(idx(i, j - 1), idx(i, j), idx(i, j + 1)) for i in range(NX) for j in range(1, NY - 1)]
ob = [(idx(0, 0), idx(1, 1), idx(2, 2))]
lo = [(idx(0, 0), idx(4, 2), idx(8, 4)), (idx(8, 0), idx(4, 2), idx(0, 4))]
z = lambda *c: [k for k, m in enumerate(c) for _ in range(m)]
report("sagitta: along x, zero known", sagitta(tx, None))
report("sagitta: along x and y, zero known", sagitta(tx + ty, None))
report("sagitta: along x and y + one oblique, zero known", sagitta(tx + ty + ob, None))
report("sagitta: along x and y, one unknown zero", sagitta(tx + ty, z(len(tx) + len(ty))))
report("sagitta: along x and y + one oblique, one unknown zero", sagitta(tx + ty + ob, z(len(tx) + len(ty) + 1)))
report("sagitta: along x and y + both long diagonals, one unknown zero", sagitta(tx + ty + lo, z(len(tx) + len(ty) + 2)))
report("sagitta: along x and y, separate unknown zeros", sagitta(tx + ty, z(len(tx), len(ty))))
report("sagitta: two spans along x + y + one oblique, one unknown zero", sagitta(tx + tx2 + ty + ob, z(len(tx) + len(tx2) + len(ty) + 1)))
px = [(idx(i, j), idx(i + 1, j)) for j in range(NY) for i in range(NX - 1)]
py = [(idx(i, j), idx(i, j + 1)) for i in range(NX) for j in range(NY - 1)]
pd = [(idx(2 * k, k), idx(2 * k + 2, k + 1)) for k in range(4)]
gl = [j for j in range(NY) for _ in range(NX - 1)] + [NY + i for i in range(NX) for _ in range(NY - 1)]
report("level slopes: lengthwise only, zero known", slopes(px, None))
report("level slopes: lengthwise + one crosswise edge, zero known", slopes(px + py[:4], None))
report("level slopes: both ways, zero known", slopes(px + py, None))
report("level slopes: both ways, one zero for x and one for y", slopes(px + py, z(len(px), len(py))))
report("level slopes: both ways, own zero for every line", slopes(px + py, gl))
report("level slopes: own zero for every line + one diagonal", slopes(px + py + pd, gl + [NY + NX] * 4))
report("heights: one set-up, unknown offset", np.hstack([np.eye(n), np.ones((n, 1))]))
report("heights: one set-up, unknown offset and tilt", np.c_[np.eye(n), np.ones(n), X, Y])
left = [p for p in range(n) if X[p] <= 4]
report("heights: two set-ups sharing one straight row of points", setups([left, [p for p in range(n) if X[p] >= 4]]))
report("heights: two set-ups sharing one point", setups([left, [p for p in range(n) if X[p] >= 5] + [idx(4, 2)]]))
report("heights: two set-ups sharing three points not in line", setups([left, [p for p in range(n) if X[p] >= 5] + [idx(4, 0), idx(4, 4), idx(3, 2)]]))

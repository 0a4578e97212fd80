#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Form figures of the heights `volcano` of R, recomputed from the data set itself.

    /usr/bin/python3 volcano_check.py           compare with the two tables beside it
    /usr/bin/python3 volcano_check.py --write   write them

Needs Rscript (Debian: r-base-core), NumPy and SciPy (python3-scipy).  Heights and
places are whole numbers, so every figure is first found in floating point by a
library (R lm, NumPy lstsq, SciPy HiGHS), then in exact rational arithmetic, and the
two must agree; written is the exact one, rounded once."""
import math
import os
import subprocess
import sys
from fractions import Fraction as F

import numpy as np
from scipy.optimize import linprog

HERE = os.path.dirname(os.path.abspath(__file__))
STEP = 10  # 10 m of the map are 10 mm here, 1 m of height is 1 mm


def from_r():
    """Heights [87, 61] and the coefficients of lm, both from R."""
    code = ("v <- datasets::volcano; cat(dim(v), v, '\\n'); options(digits = 17);"
            "x <- 10 * (row(v) - 1); y <- 10 * (col(v) - 1); u <- x / 430 - 1;"
            "w <- y / 300 - 1; z <- c(v); x <- c(x); y <- c(y); u <- c(u); w <- c(w);"
            "cat(coef(lm(z ~ x + y)), '\\n');"
            "cat(coef(lm(z ~ u + w + I(u^2) + I(u * w) + I(w^2))), '\\n')")
    out = subprocess.run(["Rscript", "--vanilla", "-e", code], check=True,
                         stdout=subprocess.PIPE, text=True).stdout.split("\n")
    first = [int(t) for t in out[0].split()]
    z = np.array(first[2:]).reshape((first[0], first[1]), order="F")
    return z, [[float(t) for t in line.split()] for line in out[1:3]]


def solve(rows, right):
    """Exact solution of a square system, Gauss-Jordan."""
    m = [[F(v) for v in row] + [F(r)] for row, r in zip(rows, right)]
    n = len(m)
    for k in range(n):
        pivot = next(i for i in range(k, n) if m[i][k])
        m[k], m[pivot] = m[pivot], m[k]
        m[k] = [v / m[k][k] for v in m[k]]
        for i in range(n):
            if i != k and m[i][k]:
                m[i] = [a - m[i][k] * b for a, b in zip(m[i], m[k])]
    return [row[n] for row in m]


def least_squares(columns, z, from_lm):
    """Exact normal equations of whole numbers, held to NumPy and to R."""
    dot = lambda a, b: sum(int(s) * int(t) for s, t in zip(a, b))
    exact = solve([[dot(a, b) for b in columns] for a in columns],
                  [dot(a, z) for a in columns])
    numeric = np.linalg.lstsq(np.array(columns, float).T, z.astype(float), rcond=None)[0]
    assert np.allclose([float(v) for v in exact], numeric, rtol=1e-9, atol=1e-12)
    if from_lm is not None:
        assert np.allclose([float(v) for v in exact], from_lm, rtol=1e-9, atol=1e-12)
    return exact


def zone(x, y, z):
    """Least vertical separation: HiGHS, then its contacts solved and proved exactly."""
    one = np.ones(len(z))
    up = np.column_stack((-one, -x, -y, -one))  # z - a - b x - c y <= t
    down = np.column_stack((one, x, y, -one))
    r = linprog([0, 0, 0, 1], A_ub=np.vstack((up, down)), b_ub=np.concatenate((-z, z)),
                bounds=[(None, None)] * 4, method="highs-ds")
    assert r.status == 0
    contact = [(int(k) % len(z), 1 if k < len(z) else -1)
               for k in np.flatnonzero(np.abs(r.ineqlin.marginals) > 1e-12)]
    assert len(contact) == 4
    rows = [[1, int(x[k]), int(y[k]), s] for k, s in contact]
    a, b, c, t = solve(rows, [int(z[k]) for k, _ in contact])
    # primal: every point lies between the planes; dual: weights that prove it least
    assert all(abs(int(h) - a - b * int(p) - c * int(q)) <= t for p, q, h in zip(x, y, z))
    weight = solve([[row[k] * row[3] if k < 3 else 1 for row in rows] for k in range(4)],
                   [0, 0, 0, 1])
    assert all(w >= 0 for w in weight)
    assert abs(float(2 * t) - 2 * r.fun) <= 1e-7
    name = " ".join("%s(%d %d)" % ("+" if s > 0 else "-", x[k], y[k])
                    for k, s in sorted(contact))
    return 2 * t, name


def largest_gap(lines, span):
    """Every chord no longer than the span over every point between its ends."""
    best = F(0)
    for m in range(2, span // STEP + 1):
        for k in range(1, m):
            height = (lines[:, :-m] * (m - k) + lines[:, m:] * k -
                      lines[:, k:lines.shape[1] - m + k] * m)
            best = max(best, F(int(height.max()), m))
    return best


def figures():
    v, (lm_plane, lm_form) = from_r()
    nx, ny = v.shape
    y, x = (g.ravel() * STEP for g in np.meshgrid(np.arange(ny), np.arange(nx),
                                                  indexing="ij"))
    z = v.T.ravel()
    one = np.ones(len(z), int)
    a, b, c = least_squares([one, x, y], z, lm_plane)
    res = [int(h) - a - b * int(p) - c * int(q) for p, q, h in zip(x, y, z)]
    square = sum(r * r for r in res) / len(res)
    # u = U/(nx - 1), v = V/(ny - 1) with U, V whole: exact
    hx, hy = nx - 1, ny - 1
    U, V = 2 * x // STEP - hx, 2 * y // STEP - hy
    p = least_squares([one, U, V, U * U, U * V, V * V], z, None)
    p = [p[0], p[1] * hx, p[2] * hy, p[3] * hx ** 2, p[4] * hx * hy, p[5] * hy ** 2]
    assert np.allclose([float(t) for t in p], lm_form, rtol=1e-9, atol=1e-12)
    width, contacts = zone(x, y, z)
    ls, six = "R lm; NumPy lstsq; exact", "six-term form over the extent; R lm; exact"
    out = [("plane_a_mm", a, ls), ("plane_b", b, ls), ("plane_c", c, ls),
           ("peak_mm", max(res), "over the plane; exact"),
           ("valley_mm", min(res), "over the plane; exact"),
           ("range_mm", max(res) - min(res), "over the plane; exact"),
           ("rms_mm", math.sqrt(square), "over the plane; divisor n; exact but the root"),
           ("bow_mm", -p[3], six), ("cup_mm", -p[5], six), ("twist_mm", 4 * p[4], six),
           ("zone_vertical_mm", width, "HiGHS; contacts (x y) " + contacts +
            " solved and proved exactly")]
    for span in (100, 300):
        for name, lines in (("along", v.T), ("across", v)):
            out.append(("gap_%s_%d_mm" % (name, span), largest_gap(lines, span),
                        "every chord; exact"))
    grid = "x_mm,y_mm,z_mm\n" + "".join("%d,%d,%d\n" % t for t in zip(x, y, z))
    table = "quantity,value,how\n" + "".join(
        "%s,%.17g,%s\n" % (q, float(value), how) for q, value, how in out)
    return {"volcano_grid.csv": grid, "volcano_expected.csv": table}


def main():
    same = True
    for name, text in figures().items():
        path = os.path.join(HERE, name)
        if sys.argv[1:] == ["--write"]:
            with open(path, "w", newline="") as f:
                f.write(text)
        else:
            with open(path, newline="") as f:
                here = f.read() == text
            print(name, "is as recomputed" if here else "DIFFERS")
            same = same and here
    return 0 if same else 1


if __name__ == "__main__":
    sys.exit(main())

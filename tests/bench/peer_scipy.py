#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Time SciPy on the networks that bench_network wrote, print ratios to its times.

usage: peer_scipy.py FOLDER

Two peers: the bare solve (sparse LU of the normal matrix, already formed, and one
right side), and solve + redundancies the way a SciPy user would: the rows of A or the
columns of the identity as many right sides, or a dense inverse where that is faster.
Processor time, as there.  Results are compared first.  Exit status 0, 1 (results differ), 77 (no SciPy).
"""
import os
import sys
import time

try:
    import numpy as np
    import scipy.linalg
    import scipy.sparse as sparse
    from scipy.sparse.linalg import splu
except ImportError as missing:
    print(f"SciPy is not installed ({missing}): its ratios are left out")
    sys.exit(77)

# points, goal for the bare solve (None: printed only), goal with redundancies
SIZES = [("9x5", None, 20), ("30x15", None, 50), ("100x50", None, 400),
         ("200x100", 1, 500)]
SMALL = 1200  # unknowns
BLOCK = 256
# SciPy's default, and the ordering meant for symmetric matrices
ORDERS = [{}, {"permc_spec": "MMD_AT_PLUS_A", "diag_pivot_thresh": 0.0,
               "options": {"SymmetricMode": True}}]


class Network:
    def __init__(self, path):
        data = np.fromfile(path)
        n, nobs, ngroup, nfigure = (int(v) for v in data[:4])
        self.ours, self.sigma0 = data[4:6]
        pins = data[6:9].astype(int)
        at = 9

        def take(*shape):
            nonlocal at
            size = int(np.prod(shape))
            at += size
            return data[at - size:at].reshape(shape)

        row = take(nobs, 5)
        self.figure = take(nfigure, n)
        self.height, self.redundancy = take(n), take(nobs)
        self.value, self.u = take(nfigure), take(nfigure)
        self.n, self.nobs, self.total = n, nobs, n + 2 * ngroup
        point, group = row[:, 0].astype(int), row[:, 1].astype(int)
        edge, self.y = row[:, 2], row[:, 3] / row[:, 4]
        index = np.arange(nobs)
        ones = np.ones(nobs)
        weight = 1 / row[:, 4]
        self.a = sparse.csr_matrix(
            (np.concatenate([-weight, weight * ones, weight * edge]),
             (np.tile(index, 3),
              np.concatenate([point, n + 2 * group, n + 2 * group + 1]))),
            shape=(nobs, self.total))
        held = np.zeros(self.total)
        held[pins] = 1e3
        self.normal = (self.a.T @ self.a + sparse.diags(held)).tocsc()
        self.right = self.a.T @ self.y


def bare(net, order):
    return splu(net.normal, **order).solve(net.right)


def by_rows(net, order):
    """Redundancies from one right side a reading."""
    lu = splu(net.normal, **order)
    x = lu.solve(net.right)
    part = np.empty(net.nobs)
    for k in range(0, net.nobs, BLOCK):
        rows = net.a if net.nobs <= BLOCK else net.a[k:k + BLOCK]
        dense = rows.toarray()
        part[k:k + BLOCK] = np.einsum("ij,ji->i", dense, lu.solve(dense.T))
    return x, 1 - part


def by_columns(net, order):
    """Redundancies from one right side an unknown: fewer than the readings."""
    lu = splu(net.normal, **order)
    x = lu.solve(net.right)
    part = np.zeros(net.nobs)
    columns = net.a.tocsc()
    for k in range(0, net.total, BLOCK):
        last = min(k + BLOCK, net.total)
        one = np.zeros((net.total, last - k))
        one[np.arange(k, last), np.arange(last - k)] = 1
        mine = columns[:, k:last].tocoo()
        inverse = net.a @ lu.solve(one)
        part += np.bincount(mine.row, mine.data * inverse[mine.row, mine.col],
                            net.nobs)
    return x, 1 - part


def by_dense(net, _):
    inverse = scipy.linalg.inv(net.normal.toarray(), check_finite=False)
    a = net.a.toarray()
    return inverse @ net.right, 1 - np.einsum("ij,ij->i", a @ inverse, a)


def timed(call, budget):
    """Best of as many runs as fit into budget seconds, one at least."""
    best, end = np.inf, time.process_time() + budget
    while True:
        start = time.process_time()
        result = call()
        stop = time.process_time()
        best = min(best, stop - start)
        if stop >= end:
            return best, result


def agrees(net, x, redundancy):
    def off(a, b):
        return np.max(np.abs(a - b)) / np.max(np.abs(b))

    h = x[:net.n]
    dof = net.nobs - (net.total - 3)
    rest = net.y - net.a @ x
    checks = [("heights", off(net.height, h), 1e-9),
              ("figures", off(net.value, net.figure @ h), 1e-9),
              ("sigma0", abs(np.sqrt(rest @ rest / dof) / net.sigma0 - 1), 1e-9)]
    if redundancy is not None:
        checks += [("redundancies", off(net.redundancy, redundancy), 1e-7),
                   ("sum of redundancies", abs(redundancy.sum() / dof - 1), 1e-7)]
    for what, got, limit in checks:
        if not got <= limit:
            print(f"peer_scipy: {what} differ by {got:.2g}, allowed {limit:.2g}",
                  file=sys.stderr)
            return False
    return True


def line(name, net, took, peer, goal):
    ratio = took / net.ours
    state = "" if goal is None else "met" if ratio >= goal else "MISSED"
    print(f"{name:>7} {net.nobs:6d}  {net.ours * 1e3:10.3f}  {took * 1e3:10.3f}  "
          f"{peer:<32} {ratio:8.2f}  {goal if goal else '':>6}  {state}", flush=True)


def run(name, path, bare_goal, full_goal):
    net = Network(path)
    found = []
    for order in ORDERS:
        took, x = timed(lambda: bare(net, order), 1)
        if not agrees(net, x, None):
            return False
        found.append((took, order))
    took, order = min(found, key=lambda f: f[0])
    line(name, net, took, "SciPy, bare sparse LU solve", bare_goal)
    ways = [("columns", by_columns)]
    if net.total <= SMALL:  # beyond, both take longer than columns by far
        ways += [("rows", by_rows), ("dense", by_dense)]
    best = None
    for how, way in ways:
        took, (x, redundancy) = timed(lambda: way(net, order), 1)
        if not agrees(net, x, redundancy):
            return False
        if best is None or took < best[0]:
            best = took, how
    line(name, net, best[0], f"SciPy, with redundancies, {best[1]}", full_goal)
    return True


def main():
    if len(sys.argv) != 2:
        print("usage: peer_scipy.py FOLDER", file=sys.stderr)
        return 2
    for name, bare_goal, full_goal in SIZES:
        if not run(name, os.path.join(sys.argv[1], name + ".bin"), bare_goal,
                   full_goal):
            return 1
    return 0


sys.exit(main())

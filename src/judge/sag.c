/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/judge/sag.h"

#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

/* Overhang and sag of the least-sag supports, reference/beams.csv; checks.py, 7. */
#define LEAST_OVERHANG 0.223149
#define LEAST_SAG 0.00026973

/* Weight of a strip 1 mm wide over its stiffness, q/(E I), 1/mm3. */
static double load_over_stiffness(double thickness, double E, double density)
{
    const double q = density * 1e-9 * BT_SAG_GRAVITY * thickness;

    return q / (E * thickness * thickness * thickness / 12);
}

/* A node is an end or a support; unknowns: its height and slope. */
struct beam {
    size_t nnode;
    double *x;   /* [nnode] ascending, node 0 at 0, the last at the length */
    bool *holds; /* [nnode] a support that carries */
    bool *is_support;
    double load;            /* q/(E I) */
    double *full;           /* [2 nnode][2 nnode] stiffness over E I */
    double *force, *solved; /* [2 nnode] */
};

/* Cubic element: stiffness over E I, and the uniform load (downwards) at its nodes. */
static void add_element(struct beam *b, size_t node)
{
    const double l = b->x[node + 1] - b->x[node];
    const double k[4][4] = {{12, 6 * l, -12, 6 * l},
                            {6 * l, 4 * l * l, -6 * l, 2 * l * l},
                            {-12, -6 * l, 12, -6 * l},
                            {6 * l, 2 * l * l, -6 * l, 4 * l * l}};
    const double f[4] = {l / 2, l * l / 12, l / 2, -l * l / 12};
    const size_t n = 2 * b->nnode;

    for (size_t i = 0; i < 4; i++) {
        b->force[2 * node + i] -= b->load * f[i];
        for (size_t j = 0; j < 4; j++)
            b->full[(2 * node + i) * n + 2 * node + j] += k[i][j] / (l * l * l);
    }
}

/* Heights and slopes with the supports that hold; false where the system is singular.
 */
static bool solve(struct beam *b, gsl_matrix *m, gsl_vector *v, gsl_permutation *p)
{
    const size_t n = 2 * b->nnode;
    int sign;

    for (size_t i = 0; i < n; i++) {
        const bool held = i % 2 == 0 && b->holds[i / 2];

        gsl_vector_set(v, i, held ? 0 : b->force[i]);
        for (size_t j = 0; j < n; j++)
            gsl_matrix_set(m, i, j, held ? i == j : b->full[i * n + j]);
    }
    if (gsl_linalg_LU_decomp(m, p, &sign) != 0 || gsl_linalg_LU_svx(m, p, v) != 0)
        return false;
    for (size_t i = 0; i < n; i++) {
        b->solved[i] = gsl_vector_get(v, i);
        if (!isfinite(b->solved[i]))
            return false;
    }
    return true;
}

/* Force with which a support pushes up, over E I. */
static double reaction(const struct beam *b, size_t node)
{
    const size_t n = 2 * b->nnode;
    double r = -b->force[2 * node];

    for (size_t j = 0; j < n; j++)
        r += b->full[2 * node * n + j] * b->solved[j];
    return r;
}

/*
 * Let go of supports that would pull and take back those that the strip sinks below,
 * one at a time, until none does either.  The bound is for rounding, which alone could
 * make it go round.
 */
static enum bt_status settle(struct beam *b, gsl_matrix *m, gsl_vector *v,
                             gsl_permutation *p)
{
    for (size_t step = 0; step < 8 * b->nnode + 8; step++) {
        size_t worst = b->nnode;
        double most = 1e-9 * b->load * b->x[b->nnode - 1];
        const double deep = most * pow(b->x[b->nnode - 1], 3);

        if (!solve(b, m, v, p))
            return BT_ESINGULAR;
        for (size_t i = 0; i < b->nnode; i++)
            if (b->holds[i] && -reaction(b, i) > most) {
                most = -reaction(b, i);
                worst = i;
            }
        for (size_t i = 0; worst == b->nnode && i < b->nnode; i++)
            if (b->is_support[i] && !b->holds[i] && b->solved[2 * i] < -deep)
                worst = i;
        if (worst == b->nnode)
            return BT_OK;
        b->holds[worst] = !b->holds[worst];
    }
    return BT_ESINGULAR;
}

/* Height at x: the element's cubic and the load's own quartic, -q s^2 (l - s)^2/(24
 * EI).
 */
static double height_at(const struct beam *b, double x)
{
    size_t i = 0;
    double l, s, t, w0, w1, a0, a1;

    while (i + 2 < b->nnode && x > b->x[i + 1])
        i++;
    l = b->x[i + 1] - b->x[i];
    s = x - b->x[i];
    t = s / l;
    w0 = b->solved[2 * i];
    a0 = b->solved[2 * i + 1];
    w1 = b->solved[2 * i + 2];
    a1 = b->solved[2 * i + 3];
    return w0 * (1 - 3 * t * t + 2 * t * t * t) + a0 * s * (1 - t) * (1 - t) +
           w1 * (3 - 2 * t) * t * t + a1 * s * t * (t - 1) -
           b->load * s * s * (l - s) * (l - s) / 24;
}

/* Nodes: both ends and every support; a support at an end is that end. */
static void place_nodes(const struct bt_sag_request *r, struct beam *b)
{
    b->x[b->nnode++] = 0;
    for (size_t i = 0; i < r->nsupport; i++) {
        if (r->support[i] > b->x[b->nnode - 1]) {
            b->x[b->nnode] = r->support[i];
            b->nnode++;
        }
        b->is_support[b->nnode - 1] = b->holds[b->nnode - 1] = true;
    }
    if (b->x[b->nnode - 1] < r->length)
        b->x[b->nnode++] = r->length;
}

static enum bt_status check(const struct bt_sag_request *r, size_t n, const double at[],
                            struct bt_error *err)
{
    const double above[] = {r->length, r->thickness, r->E, r->density};
    static const char *const name[] = {"length", "thickness", "stiffness", "density"};
    const double middle = r->length / 2;

    for (size_t i = 0; i < 4; i++)
        if (!(above[i] > 0) || !isfinite(above[i]))
            return bt_error_set(err, BT_EINPUT, 0, 0, "%s must be more than 0",
                                name[i]);
    for (size_t i = 0; i < r->nsupport; i++)
        if (!(r->support[i] >= 0) || !(r->support[i] <= r->length) ||
            (i && !(r->support[i] > r->support[i - 1])))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "supports must increase and lie under the panel");
    if (r->nsupport < 2 || r->support[0] > middle ||
        r->support[r->nsupport - 1] < middle)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the panel would tip over: it needs a support on either "
                            "side of its middle");
    for (size_t i = 0; i < n; i++)
        if (!(at[i] >= 0) || !(at[i] <= r->length))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "a place beyond the end of the panel");
    return BT_OK;
}

static enum bt_status bend(const struct bt_sag_request *r, struct beam *b, size_t n,
                           const double at[], double z[])
{
    gsl_matrix *m = gsl_matrix_alloc(2 * b->nnode, 2 * b->nnode);
    gsl_vector *v = gsl_vector_alloc(2 * b->nnode);
    gsl_permutation *p = gsl_permutation_alloc(2 * b->nnode);
    enum bt_status status = m && v && p ? BT_OK : BT_ENOMEM;

    b->load = load_over_stiffness(r->thickness, r->E, r->density);
    for (size_t i = 0; i + 1 < b->nnode; i++)
        add_element(b, i);
    if (status == BT_OK)
        status = settle(b, m, v, p);
    for (size_t i = 0; i < n && status == BT_OK; i++)
        z[i] = height_at(b, at[i]);
    gsl_matrix_free(m);
    gsl_vector_free(v);
    gsl_permutation_free(p);
    return status;
}

enum bt_status bt_sag_heights(const struct bt_sag_request *request, size_t n,
                              const double at[], double z[], struct bt_error *err)
{
    const size_t room = request->nsupport + 2;
    struct beam b = {0};
    enum bt_status status = check(request, n, at, err);

    if (status != BT_OK)
        return status;
    b.x = bt_alloc(room, sizeof *b.x);
    b.holds = bt_alloc(room, sizeof *b.holds);
    b.is_support = bt_alloc(room, sizeof *b.is_support);
    b.full = bt_alloc(4 * room * room, sizeof *b.full);
    b.force = bt_alloc(2 * room, sizeof *b.force);
    b.solved = bt_alloc(2 * room, sizeof *b.solved);
    if (b.x && b.holds && b.is_support && b.full && b.force && b.solved) {
        place_nodes(request, &b);
        status = bend(request, &b, n, at, z);
    } else {
        status = BT_ENOMEM;
    }
    bt_free(b.x);
    bt_free(b.holds);
    bt_free(b.is_support);
    bt_free(b.full);
    bt_free(b.force);
    bt_free(b.solved);
    if (status != BT_OK)
        bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    return status;
}

static bool usable(double length, double thickness, double E, double density)
{
    return length > 0 && thickness > 0 && E > 0 && density > 0;
}

double bt_sag_most(double length, double thickness, double E, double density)
{
    if (!usable(length, thickness, E, density))
        return NAN;
    return 5.0 / 384 * load_over_stiffness(thickness, E, density) * pow(length, 4);
}

double bt_sag_least(double length, double thickness, double E, double density,
                    double at[2])
{
    if (!usable(length, thickness, E, density))
        return NAN;
    at[0] = LEAST_OVERHANG * length;
    at[1] = length - at[0];
    return LEAST_SAG * load_over_stiffness(thickness, E, density) * pow(length, 4);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/unseen.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/dense.h"
#include "surface/network_private.h"

/* What is at work while names are given. */
struct naming {
    const struct bt_system *sys;
    const struct bt_network *net;
    size_t n;
    double *null; /* [nnull][n] orthonormal: unseen shapes, planes taken off */
    size_t nnull;
    double *named; /* [nnull][n] orthonormal: shapes named so far */
    size_t nnamed;
    double *trial, *rest; /* [n] */
    double tolerance;
    struct bt_unseen *out;
    size_t *count;
};

static double shape_at(enum bt_unseen_kind kind, double at, double x, double y)
{
    switch (kind) {
    case BT_UNSEEN_TWIST:
        return x * y;
    case BT_UNSEEN_BOW:
        return x * x;
    case BT_UNSEEN_CUP:
        return y * y;
    case BT_UNSEEN_BOWL:
        return x * x + y * y;
    case BT_UNSEEN_HINGE_X:
        return fabs(x - at);
    case BT_UNSEEN_HINGE_Y:
        return fabs(y - at);
    case BT_UNSEEN_X2Y:
        return x * x * y;
    case BT_UNSEEN_XY2:
        return x * y * y;
    case BT_UNSEEN_POINTS:
        break;
    }
    return 0;
}

static double length_of(size_t n, const double v[])
{
    return sqrt(bt_dense_dot(n, v, v));
}

/* rest = v - (its part in the space of the orthonormal rows). */
static void outside(size_t n, size_t rows, const double space[], const double v[],
                    double rest[])
{
    memcpy(rest, v, n * sizeof *rest);
    for (int pass = 0; pass < 2; pass++)
        for (size_t k = 0; k < rows; k++) {
            const double along = bt_dense_dot(n, rest, space + k * n);
            for (size_t p = 0; p < n; p++)
                rest[p] -= along * space[k * n + p];
        }
}

/*
 * Name the shape if it is unseen as a whole and not made up of those named before; at:
 * in scaled places.
 */
static enum bt_status try_name(struct naming *w, enum bt_unseen_kind kind, double at)
{
    const size_t n = w->n;
    double before = 0, size;
    enum bt_status status;

    if (w->nnamed == w->nnull || *w->count + 1 >= BT_UNSEEN_MAX)
        return BT_OK;
    for (size_t p = 0; p < n; p++) {
        const double x = (w->sys->point[p].x - w->sys->centre[0]) / w->sys->scale;
        const double y = (w->sys->point[p].y - w->sys->centre[1]) / w->sys->scale;
        w->trial[p] = shape_at(kind, at, x, y);
        before += w->trial[p] * w->trial[p];
    }
    status = bt_network_take_off_plane(w->net, w->trial);
    if (status != BT_OK)
        return status;
    size = length_of(n, w->trial);
    if (!(size > 1e-6 * sqrt(before))) /* on these points it is a plane */
        return BT_OK;
    outside(n, w->nnull, w->null, w->trial, w->rest);
    if (!(length_of(n, w->rest) <= w->tolerance * size))
        return BT_OK;
    outside(n, w->nnamed, w->named, w->trial, w->rest);
    if (!(length_of(n, w->rest) > 1e-3 * w->tolerance * size &&
          length_of(n, w->rest) > 1e-6 * size))
        return BT_OK;
    for (size_t p = 0; p < n; p++)
        w->named[w->nnamed * n + p] = w->rest[p] / length_of(n, w->rest);
    w->nnamed++;
    w->out[*w->count] = (struct bt_unseen){.kind = kind, .count = 1};
    if (kind == BT_UNSEEN_HINGE_X || kind == BT_UNSEEN_HINGE_Y)
        w->out[*w->count].at =
            at * w->sys->scale + w->sys->centre[kind == BT_UNSEEN_HINGE_Y];
    (*w->count)++;
    return BT_OK;
}

static bool has_name(const struct naming *w, enum bt_unseen_kind kind)
{
    for (size_t i = 0; i < *w->count; i++)
        if (w->out[i].kind == kind)
            return true;
    return false;
}

/*
 * Hinges along each place that points have, one axis.  Where bow (or cup) as a whole is
 * unseen, nothing ties the panel together along that axis and single hinges say no
 * more.
 */
static enum bt_status try_hinges(struct naming *w, enum bt_unseen_kind kind)
{
    const int axis = kind == BT_UNSEEN_HINGE_Y;
    enum bt_status status = BT_OK;

    if (has_name(w, axis ? BT_UNSEEN_CUP : BT_UNSEEN_BOW))
        return BT_OK;
    for (size_t p = 0; p < w->n && status == BT_OK && w->nnamed < w->nnull; p++) {
        const double place = axis ? w->sys->point[p].y : w->sys->point[p].x;
        status = try_name(w, kind, (place - w->sys->centre[axis]) / w->sys->scale);
    }
    return status;
}

/* One entry for all that has no name. */
static void gather_rest(struct naming *w)
{
    struct bt_unseen *u = &w->out[*w->count];

    if (w->nnamed >= w->nnull)
        return;
    *u = (struct bt_unseen){.kind = BT_UNSEEN_POINTS, .count = w->nnull - w->nnamed};
    for (size_t k = 0; k < w->nnull; k++) { /* trial: what each shape moves most */
        w->trial[k] = 0;
        for (size_t p = 0; p < w->n; p++)
            w->trial[k] = fmax(w->trial[k], fabs(w->null[k * w->n + p]));
    }
    for (size_t p = 0; p < w->n; p++) {
        bool moves = false;
        for (size_t k = 0; k < w->nnull; k++)
            moves = moves || fabs(w->null[k * w->n + p]) > w->tolerance * w->trial[k];
        if (moves) {
            if (u->nmoving < 3)
                u->example[u->nmoving] = p;
            u->nmoving++;
        }
    }
    (*w->count)++;
}

static enum bt_status prepare(struct naming *w)
{
    const size_t n = w->n, k = w->net->nshape - w->net->nplane;

    w->null = bt_alloc(k * n, sizeof *w->null);
    w->named = bt_alloc(k * n, sizeof *w->named);
    w->trial = bt_alloc(2 * n, sizeof *w->trial);
    if (!w->null || !w->named || !w->trial)
        return BT_ENOMEM;
    w->rest = w->trial + n;
    memcpy(w->null, w->net->shape + w->net->nplane * n, k * n * sizeof *w->null);
    for (size_t s = 0; s < k; s++) {
        const enum bt_status status =
            bt_network_take_off_plane(w->net, w->null + s * n);
        if (status != BT_OK)
            return status;
    }
    w->nnull = bt_dense_orthonormalise(k, n, w->null, 1e-9);
    return BT_OK;
}

enum bt_status bt_unseen_name(const struct bt_network *net,
                              struct bt_unseen out[BT_UNSEEN_MAX], size_t *n)
{
    static const enum bt_unseen_kind simple[] = {BT_UNSEEN_TWIST, BT_UNSEEN_BOW,
                                                 BT_UNSEEN_CUP, BT_UNSEEN_BOWL};
    const struct bt_system *sys = &((const struct bt_inverse *)net->inverse)->sys;
    struct naming w = {
        .sys = sys, .net = net, .n = net->npoint, .out = out, .count = n};
    enum bt_status status = BT_OK;

    *n = 0;
    if (net->nshape == net->nplane)
        return BT_OK;
    w.tolerance = sys->shape_tolerance;
    status = prepare(&w);
    for (size_t i = 0; i < sizeof simple / sizeof *simple && status == BT_OK; i++)
        status = try_name(&w, simple[i], 0);
    if (status == BT_OK)
        status = try_hinges(&w, BT_UNSEEN_HINGE_X);
    if (status == BT_OK)
        status = try_hinges(&w, BT_UNSEEN_HINGE_Y);
    if (status == BT_OK)
        status = try_name(&w, BT_UNSEEN_X2Y, 0);
    if (status == BT_OK)
        status = try_name(&w, BT_UNSEEN_XY2, 0);
    if (status == BT_OK)
        gather_rest(&w);
    bt_free(w.null);
    bt_free(w.named);
    bt_free(w.trial);
    return status;
}

/* Ends of a usual line, as shares of the rectangle. */
static const double usual_ends[BT_USUAL_LINES][4] = {
    [BT_LINE_AC] = {0, 0, 1, 1},        [BT_LINE_BD] = {1, 0, 0, 1},
    [BT_LINE_ALONG] = {0, 0.5, 1, 0.5}, [BT_LINE_ACROSS] = {0.5, 0, 0.5, 1},
    [BT_LINE_BACK] = {0, 0, 1, 0},      [BT_LINE_FRONT] = {0, 1, 1, 1},
    [BT_LINE_LEFT] = {0, 0, 0, 1},      [BT_LINE_RIGHT] = {1, 0, 1, 1}};

/* Distance off a line within which a place counts as on it, mm. */
static const double off_line = 3;

/* Distance along the line, or NaN for a place beside it. */
static double along_line(const struct bt_rectangle *r, enum bt_usual_line line,
                         const struct bt_point *p)
{
    const double *e = usual_ends[line];
    const double x0 = r->x0 + e[0] * (r->x1 - r->x0),
                 y0 = r->y0 + e[1] * (r->y1 - r->y0);
    const double dx = (e[2] - e[0]) * (r->x1 - r->x0);
    const double dy = (e[3] - e[1]) * (r->y1 - r->y0);
    const double length = hypot(dx, dy);
    const double off = ((p->x - x0) * dy - (p->y - y0) * dx) / length;

    if (!(fabs(off) <= off_line))
        return NAN;
    return ((p->x - x0) * dx + (p->y - y0) * dy) / length;
}

/* How many of the shapes are bent along a line: the rank of what is left of them over
 * its places when the straight part is taken off. */
static size_t shown_by(const struct naming *w, const struct bt_rectangle *r,
                       enum bt_usual_line line, double bent[])
{
    const size_t n = w->n;
    size_t straight, kept = 2;

    memset(bent, 0, (w->nnull + 2) * n * sizeof *bent);
    for (size_t p = 0; p < n; p++) {
        const double s = along_line(r, line, &w->sys->point[p]);
        if (isnan(s))
            continue;
        bent[p] = 1;
        bent[n + p] = s;
        for (size_t k = 0; k < w->nnull; k++)
            bent[(k + 2) * n + p] = w->null[k * n + p];
    }
    straight = bt_dense_orthonormalise(2, n, bent, 1e-9);
    if (straight < 2)
        return 0; /* fewer than two places of its own */
    for (size_t k = 0; k < w->nnull; k++) {
        double *row = bent + (kept)*n;
        if (length_of(n, bent + (k + 2) * n) <= 1e-6)
            continue;
        memmove(row, bent + (k + 2) * n, n * sizeof *row);
        if (bt_dense_orthonormalise(kept + 1, n, bent, 1e-6) == kept + 1)
            kept++;
    }
    return kept - 2;
}

enum bt_status bt_unseen_best_line(const struct bt_network *net,
                                   const struct bt_rectangle *rectangle,
                                   struct bt_unseen_line *out)
{
    const struct bt_system *sys = &((const struct bt_inverse *)net->inverse)->sys;
    struct naming w = {.sys = sys, .net = net, .n = net->npoint};
    double *bent = NULL;
    enum bt_status status = BT_OK;

    *out = (struct bt_unseen_line){BT_LINE_AC, 0, 0};
    if (net->nshape == net->nplane)
        return BT_OK;
    status = prepare(&w);
    if (status == BT_OK) {
        bent = bt_alloc((w.nnull + 2) * w.n, sizeof *bent);
        status = bent ? BT_OK : BT_ENOMEM;
    }
    out->of = w.nnull;
    for (int line = 0; line < BT_USUAL_LINES && status == BT_OK; line++) {
        const size_t shows = shown_by(&w, rectangle, (enum bt_usual_line)line, bent);
        if (shows > out->shows) {
            out->line = (enum bt_usual_line)line;
            out->shows = shows;
        }
    }
    bt_free(bent);
    bt_free(w.null);
    bt_free(w.named);
    bt_free(w.trial);
    return status;
}

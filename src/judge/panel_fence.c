/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <float.h>
#include <gsl/gsl_cdf.h>
#include <math.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/judge/causes.h"

/* Of a lean in e (bt_edge_lean): exactly, so that errors that cancel leave nothing. */
static double slope_of(enum bt_run run)
{
    return run == BT_RUN_IN ? 1 : -1;
}

static enum bt_run other(enum bt_run run)
{
    return run == BT_RUN_IN ? BT_RUN_OUT : BT_RUN_IN;
}

/* How an edge was run where board `way` went the other way; nboard: as planned, beyond
 * it: the same face for all. */
static enum bt_run run_of(const struct bt_panel_fence_request *r, size_t board,
                          bool front, size_t way)
{
    const enum bt_run run = front ? r->run[board].front : r->run[board].back;

    if (way > r->nboard)
        return BT_RUN_IN;
    return board == way ? other(run) : run;
}

/* An edge as it lies in the panel: what it adds to the kink of its joint. */
struct edge {
    double slope, rest; /* in e */
    double per_taper;   /* rad per mm of the board's own taper */
};

static struct edge edge_of(const struct bt_panel_fence_request *r, size_t board,
                           bool front, size_t way)
{
    const bool turned = r->run[board].turned;
    struct bt_strip laid = r->strip[board];
    const enum bt_run run = run_of(r, board, front, way);
    const double lean = laid.taper / laid.width;

    laid.taper = turned ? -laid.taper : laid.taper;
    return (struct edge){.slope = slope_of(run),
                         .rest = bt_edge_lean(&laid, front, run, 0),
                         .per_taper = run == BT_RUN_IN
                                          ? 0
                                          : (front == turned ? 1 : -1) /
                                                (laid.width * (1 + lean * lean))};
}

/* Kinks slope e + rest, those that are seen, with their covariance. */
struct rows {
    size_t n;
    size_t *joint;        /* [n] */
    double *slope, *kink; /* [n]; kink less rest */
    double *covariance;   /* [n * n], then its Cholesky factor */
};

static void rows_clear(struct rows *rows)
{
    bt_free(rows->joint);
    bt_free(rows->slope);
    bt_free(rows->kink);
    bt_free(rows->covariance);
}

static bool rows_make(const struct bt_panel_fence_request *r, struct rows *rows)
{
    const size_t most = r->nboard - 1;

    *rows = (struct rows){.n = 0};
    rows->joint = bt_alloc(most, sizeof *rows->joint);
    rows->slope = bt_alloc(most, sizeof *rows->slope);
    rows->kink = bt_alloc(most, sizeof *rows->kink);
    rows->covariance = bt_alloc(most, most * sizeof *rows->covariance);
    if (!rows->joint || !rows->slope || !rows->kink || !rows->covariance)
        return false;
    for (size_t j = 0; j < most; j++)
        if (r->kink[j].seen)
            rows->joint[rows->n++] = j;
    return true;
}

/* Of the readings alone. */
static double read_covariance(const struct bt_panel_fence_request *r, size_t i,
                              size_t j)
{
    if (r->covariance)
        return r->covariance[i * (r->nboard - 1) + j];
    return i == j ? r->kink[i].u * r->kink[i].u : 0;
}

static void rows_fill(const struct bt_panel_fence_request *r, size_t way,
                      struct rows *rows)
{
    const double taper = r->u_taper * r->u_taper;

    for (size_t k = 0; k < rows->n; k++) {
        const size_t j = rows->joint[k];
        const struct edge at = edge_of(r, j, true, way);
        const struct edge to = edge_of(r, j + 1, false, way);
        /* the front edge of the board that the joint before has the back edge of */
        const struct edge back = edge_of(r, j, false, way);
        double *row = rows->covariance + k * rows->n;

        rows->slope[k] = at.slope + to.slope;
        rows->kink[k] = r->kink[j].value - at.rest - to.rest;
        for (size_t l = 0; l <= k; l++)
            row[l] = read_covariance(r, j, rows->joint[l]);
        row[k] += 2 * r->scatter * r->scatter +
                  taper * (at.per_taper * at.per_taper + to.per_taper * to.per_taper);
        if (k && rows->joint[k - 1] + 1 == j)
            row[k - 1] += taper * at.per_taper * back.per_taper;
    }
}

/* Cholesky in place, lower; false where it is no covariance. */
static bool rows_factor(struct rows *rows)
{
    const size_t n = rows->n;
    double *c = rows->covariance;

    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j <= i; j++) {
            const double before = c[i * n + j];
            double rest = before;

            for (size_t k = 0; k < j; k++)
                rest -= c[i * n + k] * c[j * n + k];
            if (j < i)
                c[i * n + j] = rest / c[j * n + j];
            else if (rest > (double)n * DBL_EPSILON * before)
                c[i * n + i] = sqrt(rest);
            else
                return false;
        }
    return true;
}

/* v becomes L^-1 v. */
static void rows_solve(const struct rows *rows, double v[])
{
    const size_t n = rows->n;

    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k < i; k++)
            v[i] -= rows->covariance[i * n + k] * v[k];
        v[i] /= rows->covariance[i * n + i];
    }
}

/* false where the covariance is none. */
static bool fit(const struct bt_panel_fence_request *r, size_t way, struct rows *rows,
                struct bt_panel_fence *out)
{
    double saa = 0, say = 0, syy = 0;
    bool depends = false;

    *out = (struct bt_panel_fence){.e = {NAN, NAN, false},
                                   .forgotten = way < r->nboard ? way : r->nboard,
                                   .same_face = way > r->nboard,
                                   .dof = rows->n,
                                   .chi2_p = NAN};
    rows_fill(r, way, rows);
    for (size_t k = 0; k < rows->n; k++)
        depends = depends || rows->slope[k] != 0;
    if (!rows_factor(rows))
        return false;
    rows_solve(rows, rows->slope);
    rows_solve(rows, rows->kink);
    for (size_t k = 0; k < rows->n; k++) {
        saa += rows->slope[k] * rows->slope[k];
        say += rows->slope[k] * rows->kink[k];
        syy += rows->kink[k] * rows->kink[k];
    }
    out->chi2 = syy;
    if (depends) {
        out->e = (struct bt_measured){say / saa, 1 / sqrt(saa), true};
        out->dof = rows->n - 1;
        out->chi2 = fmax(0, syy - say * say / saa);
    }
    if (out->dof > 0)
        out->chi2_p = gsl_cdf_chisq_Q(out->chi2, (double)out->dof);
    return true;
}

/* How badly a way fits kinks and fence. */
static double cost(const struct bt_panel_fence_request *r,
                   const struct bt_panel_fence *way)
{
    const double off = way->e.value - r->fence.value;
    const double u2 = way->e.u * way->e.u + r->fence.u * r->fence.u;

    return way->e.seen && r->fence.seen && u2 > 0 ? way->chi2 + off * off / u2
                                                  : way->chi2;
}

static bool usable(const struct bt_strip *s)
{
    return s->width > 0 && isfinite(s->width) && s->thickness > 0 &&
           isfinite(s->thickness) && isfinite(s->taper);
}

static enum bt_status check(const struct bt_panel_fence_request *r,
                            struct bt_error *err)
{
    if (r->nboard < 2)
        return bt_error_set(err, BT_EINPUT, 0, 0, "a joint needs two boards");
    for (size_t b = 0; b < r->nboard; b++)
        if (!usable(&r->strip[b]))
            return bt_error_set(err, BT_EINPUT, b, 0,
                                "width and thickness of a board must be over 0 mm and "
                                "its taper a number");
    if (!(r->scatter >= 0) || !isfinite(r->scatter) || !(r->u_taper >= 0) ||
        !isfinite(r->u_taper))
        return bt_error_set(err, BT_EINPUT, r->nboard, 0,
                            "scatter and taper's u must not be below 0");
    for (size_t j = 0; j + 1 < r->nboard; j++)
        if (r->kink[j].seen && (!isfinite(r->kink[j].value) || !(r->kink[j].u > 0) ||
                                !isfinite(r->kink[j].u)))
            return bt_error_set(err, BT_EINPUT, j, 0,
                                "a kink must be a number with u over 0");
    return BT_OK;
}

/* As planned, and the way that costs least; false where the covariance is none. */
static bool choose(const struct bt_panel_fence_request *r, struct rows *rows,
                   struct bt_panel_fence *out)
{
    const double enough = 2 * log(20 * ((double)r->nboard + 1));
    struct bt_panel_fence planned, best, one;

    if (!fit(r, r->nboard, rows, &planned))
        return false;
    best = planned;
    for (size_t way = 0; way <= r->nboard + 1; way++) {
        if (!fit(r, way, rows, &one))
            return false;
        if (one.e.seen && cost(r, &one) < cost(r, &best))
            best = one;
    }
    *out = cost(r, &planned) - cost(r, &best) > enough ? best : planned;
    return true;
}

enum bt_status bt_panel_fence_find(const struct bt_panel_fence_request *request,
                                   struct bt_panel_fence *out, struct bt_error *err)
{
    enum bt_status status = check(request, err);
    struct rows rows;

    if (status != BT_OK)
        return status;
    if (!rows_make(request, &rows))
        status = bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    else if (!choose(request, &rows, out))
        status =
            bt_error_set(err, BT_EINPUT, 0, 0,
                         "the kinks' covariance has a combination whose variance is "
                         "not over 0");
    rows_clear(&rows);
    return status;
}

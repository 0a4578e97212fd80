/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <gsl/gsl_cdf.h>
#include <math.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/judge/causes.h"

/* Of a lean in e (bt_edge_lean): exactly, so that errors that cancel leave nothing. */
static double slope_of(enum bt_run run)
{
    return run == BT_RUN_IN ? 1 : -1;
}

/* One kink, slope e + rest, with its weight. */
struct row {
    double slope, rest, weight, kink;
};

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

static struct row row_of(const struct bt_panel_fence_request *r, size_t joint,
                         size_t way)
{
    const struct bt_strip *back = &r->strip[joint], *front = &r->strip[joint + 1];
    const enum bt_run at = run_of(r, joint, true, way);
    const enum bt_run to = run_of(r, joint + 1, false, way);
    const double ta = r->u_taper / back->width, tb = r->u_taper / front->width;
    const double u = r->kink[joint].u;

    return (struct row){
        .slope = slope_of(at) + slope_of(to),
        .rest = bt_edge_lean(back, true, at, 0) + bt_edge_lean(front, false, to, 0),
        .weight = 1 / (u * u + 2 * r->scatter * r->scatter + ta * ta + tb * tb),
        .kink = r->kink[joint].value};
}

static struct bt_panel_fence fit(const struct bt_panel_fence_request *r, size_t way)
{
    struct bt_panel_fence out = {.e = {NAN, NAN, false},
                                 .forgotten = way < r->nboard ? way : r->nboard,
                                 .same_face = way > r->nboard,
                                 .chi2_p = NAN};
    double saa = 0, say = 0, syy = 0;
    size_t n = 0;

    for (size_t j = 0; j + 1 < r->nboard; j++) {
        struct row row;
        double y;

        if (!r->kink[j].seen)
            continue;
        row = row_of(r, j, way);
        y = row.kink - row.rest;
        saa += row.weight * row.slope * row.slope;
        say += row.weight * row.slope * y;
        syy += row.weight * y * y;
        n++;
    }
    out.dof = n;
    out.chi2 = syy;
    if (saa > 0) {
        out.e = (struct bt_measured){say / saa, 1 / sqrt(saa), true};
        out.dof = n - 1;
        out.chi2 = fmax(0, syy - say * say / saa);
    }
    if (out.dof > 0)
        out.chi2_p = gsl_cdf_chisq_Q(out.chi2, (double)out.dof);
    return out;
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

enum bt_status bt_panel_fence_find(const struct bt_panel_fence_request *request,
                                   struct bt_panel_fence *out, struct bt_error *err)
{
    const enum bt_status status = check(request, err);
    const double enough = 2 * log(20 * ((double)request->nboard + 1));
    struct bt_panel_fence planned, best;

    if (status != BT_OK)
        return status;
    planned = best = fit(request, request->nboard);
    for (size_t way = 0; way <= request->nboard + 1; way++) {
        const struct bt_panel_fence one = fit(request, way);

        if (one.e.seen && cost(request, &one) < cost(request, &best))
            best = one;
    }
    *out = cost(request, &planned) - cost(request, &best) > enough ? best : planned;
    return BT_OK;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/joint/fence.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "joint/fence_check.h"
#include "joint/fence_fit.h"
#include "joint/fence_next.h"

/* What a combination needs while it is made. */
struct work {
    const struct bt_fence_request *request;
    struct bt_fence_row *row, *part; /* ncheck + 1: all, and some of them */
    size_t *order;                   /* of the checks along the fence */
    size_t nplace;                   /* stations that have a place */
    double cutter;                   /* NaN not known */
    struct bt_fence_model model;
    struct bt_fence_room room;
    double tau2, enlarge; /* tau2 0 where it is not known */
};

static void work_free(struct work *w)
{
    bt_free(w->row);
    bt_free(w->part);
    bt_free(w->order);
    bt_fence_room_free(&w->room);
}

static bool work_alloc(struct work *w, const struct bt_fence_request *request)
{
    size_t n = request->ncheck;

    memset(w, 0, sizeof *w);
    w->request = request;
    return (w->row = bt_alloc(n + 1, sizeof *w->row)) &&
           (w->part = bt_alloc(n + 1, sizeof *w->part)) &&
           (w->order = bt_alloc(n, sizeof *w->order)) &&
           bt_fence_room_alloc(&w->room, n + 1);
}

/* Checks along the fence, those without a station last; equals as they came. */
static void sort_checks(struct work *w)
{
    const struct bt_fence_check *check = w->request->check;

    for (size_t i = 0; i < w->request->ncheck; i++) {
        size_t k = i;

        for (; k > 0 &&
               (check[i].station < check[w->order[k - 1]].station ||
                (!isnan(check[i].station) && isnan(check[w->order[k - 1]].station)));
             k--)
            w->order[k] = w->order[k - 1];
        w->order[k] = i;
    }
}

/* Gather checks into stations, at the mean place of their checks. */
static void gather(struct work *w, struct bt_fence_result *result)
{
    const struct bt_fence_request *r = w->request;
    struct bt_fence_station *station = NULL;
    double start = 0.0;

    for (size_t k = 0; k < r->ncheck; k++) {
        double at = r->check[w->order[k]].station;
        bool same =
            station && (isnan(at) ? isnan(station->station)
                                  : at - start < r->same_station || !(at > start));

        if (!same) {
            station = &result->station[result->nstation++];
            station->station = start = at;
            if (!isnan(at))
                w->nplace++;
        }
        station->count++;
        station->station += (at - station->station) / (double)station->count;
        w->row[w->order[k]].station = result->nstation - 1;
    }
}

static void find_cutter(struct work *w, const struct bt_fence_result *result)
{
    const struct bt_fence_request *r = w->request;

    w->cutter = r->cutter;
    if (isnan(w->cutter) && !isnan(r->length))
        w->cutter = r->length / 2.0;
    else if (isnan(w->cutter) && w->nplace > 0)
        w->cutter = result->station[0].station / 2.0 +
                    result->station[w->nplace - 1].station / 2.0;
}

static void fill_rows(struct work *w, const struct bt_fence_result *result)
{
    for (size_t i = 0; i < w->request->ncheck; i++) {
        const struct bt_fence_check *check = &w->request->check[i];
        struct bt_fence_row *row = &w->row[i];
        double at = result->station[row->station].station;

        bt_fence_check_error(check, &row->y, &row->u);
        row->own = bt_fence_has_own(check) ? check->u_own : 0.0;
        row->instrument = bt_fence_has_own(check) ? check->instrument : -1;
        row->lever = isnan(at) ? 0.0 : at - w->cutter;
    }
    w->model = (struct bt_fence_model){.n = w->request->ncheck,
                                       .row = w->row,
                                       .nstation = result->nstation,
                                       .slope = w->nplace >= 3};
}

static struct bt_measured measured(double value, double variance)
{
    return (struct bt_measured){.value = value, .u = sqrt(variance), .seen = true};
}

static struct bt_measured not_seen(void)
{
    return (struct bt_measured){.value = NAN, .u = NAN, .seen = false};
}

/* Weighted mean of the first n rows of w->part. */
static bool mean(struct work *w, size_t n, double tau2, struct bt_measured *m)
{
    struct bt_fence_model part = {.n = n, .row = w->part};
    struct bt_fence_fit fit;

    if (!bt_fence_fit(&part, tau2, &w->room, &fit))
        return false;
    *m = measured(fit.e, fit.var_e * bt_fence_enlarge(&fit));
    return true;
}

static bool station_means(struct work *w, struct bt_fence_result *result)
{
    for (size_t s = 0; s < result->nstation; s++) {
        size_t n = 0;

        for (size_t i = 0; i < w->model.n; i++)
            if (w->row[i].station == s)
                w->part[n++] = w->row[i];
        if (!mean(w, n, 0.0, &result->station[s].e))
            return false;
    }
    return true;
}

/* The mean of a kind brought to the cutter with the slope of the whole, whose u counts
 * with the mean lever. */
static bool kind_mean(struct work *w, enum bt_fence_kind kind,
                      struct bt_fence_result *result)
{
    struct bt_fence_kind_mean *k = &result->kind[kind];
    double slope = w->model.slope ? result->slope.value : 0.0;
    struct bt_measured lever;

    k->e = not_seen();
    for (size_t i = 0; i < w->model.n; i++)
        if (w->request->check[i].kind == kind) {
            w->part[k->count] = w->row[i];
            w->part[k->count++].y -= slope * w->row[i].lever;
        }
    if (k->count == 0)
        return true;
    if (!mean(w, k->count, w->tau2, &k->e))
        return false;
    if (!w->model.slope)
        return true;
    for (size_t i = 0; i < k->count; i++)
        w->part[i].y = w->part[i].lever;
    if (!mean(w, k->count, w->tau2, &lever))
        return false;
    k->e.u = hypot(k->e.u, lever.value * result->slope.u);
    return true;
}

/* The slope through two stations, which is no part of e. */
static bool slope_of_two(struct work *w, struct bt_fence_result *result)
{
    struct bt_fence_model two = w->model;
    struct bt_fence_fit fit;

    two.slope = true;
    if (!bt_fence_fit(&two, 0.0, &w->room, &fit))
        return false;
    result->slope = measured(fit.slope, fit.var_slope * bt_fence_enlarge(&fit));
    return true;
}

static void find_twist(struct work *w, struct bt_fence_result *result)
{
    double length = w->request->length;

    result->twist = not_seen();
    if (!result->slope.seen)
        return;
    if (isnan(length))
        length = result->station[w->nplace - 1].station - result->station[0].station;
    result->twist = (struct bt_measured){.value = result->slope.value * length,
                                         .u = result->slope.u * length,
                                         .seen = true};
}

/* Whether the checks agree, and which fits least. */
static bool agreement(struct work *w, struct bt_fence_result *result)
{
    struct bt_fence_fit fit;

    if (!bt_fence_fit(&w->model, 0.0, &w->room, &fit))
        return false;
    result->chi2 = fit.q;
    result->chi2_p = NAN;
    result->dof = fit.dof;
    result->agree = BT_FENCE_UNCHECKED;
    result->worst = w->model.n;
    result->worst_score = NAN;
    if (fit.dof > 0) {
        result->chi2_p = gsl_cdf_chisq_Q(fit.q, (double)fit.dof);
        result->agree = result->chi2_p >= 1.0 - w->request->confidence
                            ? BT_FENCE_AGREE
                            : BT_FENCE_DISAGREE;
    }
    return fit.dof < 2 ||
           bt_fence_worst(&w->model, &w->room, &result->worst, &result->worst_score);
}

static bool whole_fit(struct work *w, struct bt_fence_result *result)
{
    struct bt_fence_fit fit;

    if (!bt_fence_tau2(&w->model, &w->room, &w->tau2))
        return false;
    result->scatter = sqrt(w->tau2);
    if (isnan(w->tau2))
        w->tau2 = 0.0;
    if (!bt_fence_fit(&w->model, w->tau2, &w->room, &fit))
        return false;
    w->enlarge = bt_fence_enlarge(&fit);
    result->e = measured(fit.e, fit.var_e * w->enlarge);
    result->undecided = !(fabs(result->e.value) >= 2.0 * result->e.u);
    result->slope = not_seen();
    result->slope_dof = w->nplace > 2 ? w->nplace - 2 : 0;
    if (w->model.slope)
        result->slope = measured(fit.slope, fit.var_slope * w->enlarge);
    return w->nplace != 2 || slope_of_two(w, result);
}

static bool combine(struct work *w, struct bt_fence_result *result)
{
    sort_checks(w);
    gather(w, result);
    find_cutter(w, result);
    fill_rows(w, result);
    if (!whole_fit(w, result) || !station_means(w, result) || !agreement(w, result))
        return false;
    find_twist(w, result);
    for (int kind = 0; kind < BT_FENCE_KINDS; kind++)
        if (!kind_mean(w, (enum bt_fence_kind)kind, result))
            return false;
    return bt_fence_next(w->request, &w->model, w->row, w->tau2, w->enlarge, w->cutter,
                         &w->room, result);
}

enum bt_status bt_fence_combine(const struct bt_fence_request *request,
                                struct bt_fence_result *result, struct bt_error *err)
{
    enum bt_status status = bt_fence_validate(request, err);
    struct bt_fence_result made = {0};
    struct work w;

    if (status != BT_OK)
        return status;
    if (!work_alloc(&w, request) ||
        !(made.station = bt_alloc(request->ncheck, sizeof *made.station)))
        status = bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    else if (!combine(&w, &made))
        status = bt_error_set(err, BT_EINPUT, 0, 0,
                              "the uncertainties are too large or too small to compute "
                              "with");
    if (status == BT_OK)
        *result = made;
    else
        bt_fence_result_clear(&made);
    work_free(&w);
    return status;
}

void bt_fence_result_clear(struct bt_fence_result *result)
{
    if (!result)
        return;
    bt_free(result->station);
    memset(result, 0, sizeof *result);
}

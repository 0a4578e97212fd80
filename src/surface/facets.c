/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/facets.h"

#include <math.h>

#include "benchtrue/base/alloc.h"
#include "surface/facets_fit.h"
#include "surface/network_private.h"
#include "surface/shared.h"

/* A model is preferred when its Akaike weight is this or more. */
static const double sure = 0.95;

static const double degrees = 57.295779513082320877; /* 180/pi */

static enum bt_status check(size_t n, const double joint[],
                            const struct bt_rectangle *r, struct bt_error *err)
{
    if (!(r->x1 > r->x0) || !(r->y1 > r->y0))
        return bt_error_set(err, BT_EINPUT, 0, 0, "the panel's rectangle has no area");
    for (size_t j = 0; j < n; j++) {
        if (!(joint[j] > r->y0) || !(joint[j] < r->y1))
            return bt_error_set(err, BT_EINPUT, j, 0,
                                "joint %zu does not lie within the panel", j + 1);
        if (j && !(joint[j] > joint[j - 1]))
            return bt_error_set(err, BT_EINPUT, j, 0,
                                "joint %zu does not lie in front of the one before",
                                j + 1);
    }
    return BT_OK;
}

/*
 * Akaike's criterion of second order.  With the stated u, -2 ln L is the weighted sum
 * of squares but for a constant that both models share.  Nuisance unknowns are common
 * to both models: each takes one reading away.
 */
static double aicc(const struct bt_system *sys, const struct bt_facets_fit *fit)
{
    const double n = (double)sys->nobs - (double)sys->m, k = (double)fit->rank;

    return n - k - 1 > 0 ? fit->chi_square + 2 * k + 2 * k * (k + 1) / (n - k - 1)
                         : NAN;
}

static const struct bt_measured not_seen = {NAN, NAN, false};

/* Kinks, in degrees of slope; true where one is seen at least. */
static bool read_kinks(const struct bt_facets_fit *fit, double degree_a_unit,
                       struct bt_facets *facets)
{
    bool any = false;

    for (size_t j = 0; j < facets->njoint; j++) {
        const size_t term = BT_FACETS_COMMON + j;
        struct bt_measured *m = &facets->kink[j].degree;

        *m = not_seen;
        if (!bt_facets_fit_sees(fit, term))
            continue;
        m->value = bt_facets_fit_value(fit, term) * degree_a_unit;
        m->u = bt_facets_fit_u(fit, term) * degree_a_unit;
        m->seen = any = true;
    }
    return any;
}

/* Those of the readings' own errors. */
static void read_covariance(const struct bt_facets_fit *fit, double degree_a_unit,
                            struct bt_facets *facets)
{
    const size_t n = facets->njoint;

    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++)
            facets->covariance[i * n + j] =
                facets->kink[i].degree.seen && facets->kink[j].degree.seen
                    ? bt_facets_fit_covariance(fit, BT_FACETS_COMMON + i,
                                               BT_FACETS_COMMON + j) *
                          degree_a_unit * degree_a_unit
                    : NAN;
}

/* One more error, known by what was projected last. */
static void add_effect(const struct bt_facets_fit *fit, double degree_a_unit,
                       struct bt_facets *facets)
{
    const size_t n = facets->njoint;

    for (size_t i = 0; i < n; i++) {
        const double effect =
            bt_facets_fit_value(fit, BT_FACETS_COMMON + i) * degree_a_unit;
        struct bt_measured *m = &facets->kink[i].degree;

        if (m->seen)
            m->u = hypot(m->u, effect);
        for (size_t j = 0; j < n; j++) /* NaN stays */
            facets->covariance[i * n + j] +=
                effect * bt_facets_fit_value(fit, BT_FACETS_COMMON + j) * degree_a_unit;
    }
}

/*
 * Errors that several readings share, known by what they do to the heights.  What they
 * do to the readings beyond that is orthogonal to all heights, and so to every term.
 */
static void project_heights(const struct bt_system *sys, const double height[],
                            struct bt_facets_fit *fit)
{
    for (size_t i = 0; i < fit->rows; i++) {
        fit->column[i] = 0;
        for (int k = 0; i < sys->nobs && k < sys->obs[i].npoint; k++)
            fit->column[i] += sys->a[4 * i + (size_t)k] * height[sys->obs[i].point[k]];
    }
    bt_facets_fit_project(fit);
}

static void add_shared(const struct bt_network *net, const struct bt_system *sys,
                       struct bt_facets_fit *fit, double degree_a_unit,
                       struct bt_facets *facets)
{
    for (size_t s = 0; s < net->nshared; s++) {
        project_heights(sys, net->shared + s * net->npoint, fit);
        add_effect(fit, degree_a_unit, facets);
    }
}

/* More u of one kink; how it goes with the others stays. */
static void widen(size_t j, double more, struct bt_facets *facets)
{
    const size_t n = facets->njoint;
    struct bt_measured *m = &facets->kink[j].degree;
    const double u = m->u;

    if (!(more > 0))
        return;
    m->u = hypot(u, more);
    for (size_t i = 0; i < n; i++) {
        facets->covariance[i * n + j] *= m->u / u;
        facets->covariance[j * n + i] *= m->u / u;
    }
}

/* Readings whose rounding may be one error, kink by kink as bt_network_figure. */
static enum bt_status add_alike(const struct bt_network *net,
                                const struct bt_system *sys, struct bt_facets_fit *fit,
                                double degree_a_unit, struct bt_facets *facets)
{
    struct bt_alike *alike;

    if (!net->nalike)
        return BT_OK;
    alike = bt_alloc(facets->njoint, sizeof *alike);
    if (!alike)
        return BT_ENOMEM;
    for (size_t i = 0; i < net->nalike; i++) {
        project_heights(sys, net->alike + i * net->npoint, fit);
        for (size_t j = 0; j < facets->njoint; j++)
            bt_alike_add(&alike[j], net->alike_of[i],
                         bt_facets_fit_value(fit, BT_FACETS_COMMON + j) *
                             degree_a_unit);
    }
    for (size_t j = 0; j < facets->njoint; j++)
        if (facets->kink[j].degree.seen)
            widen(j, sqrt(bt_alike_more(&alike[j])), facets);
    bt_free(alike);
    return BT_OK;
}

static enum bt_facets_preferred prefer(double weight)
{
    if (weight >= sure)
        return BT_FACETS_FACETED;
    return weight <= 1 - sure ? BT_FACETS_SMOOTH : BT_FACETS_TOO_CLOSE;
}

static enum bt_status compare(const struct bt_network *net,
                              const struct bt_rectangle *rectangle,
                              const double joint[], struct bt_facets *facets)
{
    const struct bt_system *sys = &((const struct bt_inverse *)net->inverse)->sys;
    const double degree_a_unit = 2 / (rectangle->y1 - rectangle->y0) * degrees;
    const struct bt_facets_model faceted = {rectangle, false, facets->njoint, joint,
                                            NULL};
    const struct bt_facets_model smooth = {rectangle, true, 0, NULL, NULL};
    struct bt_facets_fit f = {0}, s = {0};
    enum bt_status status = bt_facets_fit_make(sys, &faceted, &f);

    if (status == BT_OK)
        status = bt_facets_fit_make(sys, &smooth, &s);
    if (status == BT_OK) {
        const bool comparable = read_kinks(&f, degree_a_unit, facets) &&
                                bt_facets_fit_sees(&s, BT_FACETS_COMMON);
        facets->aicc_faceted = aicc(sys, &f);
        facets->aicc_smooth = aicc(sys, &s);
        read_covariance(&f, degree_a_unit, facets);
        add_shared(net, sys, &f, degree_a_unit, facets);
        status = add_alike(net, sys, &f, degree_a_unit, facets);
        if (comparable && !isnan(facets->aicc_faceted) && !isnan(facets->aicc_smooth)) {
            const double ahead = facets->aicc_faceted - facets->aicc_smooth;
            facets->weight_faceted = 1 / (1 + exp(ahead / 2));
            facets->preferred = prefer(facets->weight_faceted);
        }
    }
    bt_facets_fit_clear(&f);
    bt_facets_fit_clear(&s);
    return status;
}

enum bt_status bt_facets_fit(const struct bt_network *net, size_t n,
                             const double joint[], const struct bt_rectangle *rectangle,
                             struct bt_facets *facets, struct bt_error *err)
{
    struct bt_facets made = {.njoint = n,
                             .preferred = BT_FACETS_NOT_SEEN,
                             .aicc_faceted = NAN,
                             .aicc_smooth = NAN,
                             .weight_faceted = NAN};
    enum bt_status status = check(n, joint, rectangle, err);

    if (status != BT_OK)
        return status;
    if (n > 0) {
        made.kink = bt_alloc(n, sizeof *made.kink);
        made.covariance = bt_alloc(n, n * sizeof *made.covariance);
        status = made.kink && made.covariance ? BT_OK : BT_ENOMEM;
        for (size_t j = 0; status == BT_OK && j < n; j++)
            made.kink[j].y = joint[j];
        if (status == BT_OK)
            status = compare(net, rectangle, joint, &made);
    }
    if (status == BT_OK) {
        *facets = made;
        return BT_OK;
    }
    bt_facets_clear(&made);
    return bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
}

void bt_facets_clear(struct bt_facets *facets)
{
    if (!facets)
        return;
    bt_free(facets->kink);
    bt_free(facets->covariance);
    *facets = (struct bt_facets){.preferred = BT_FACETS_NOT_SEEN,
                                 .aicc_faceted = NAN,
                                 .aicc_smooth = NAN,
                                 .weight_faceted = NAN};
}

const char *bt_facets_text(enum bt_facets_preferred preferred)
{
    switch (preferred) {
    case BT_FACETS_FACETED:
        return "faceted";
    case BT_FACETS_SMOOTH:
        return "smooth";
    case BT_FACETS_TOO_CLOSE:
        return "too close to call";
    case BT_FACETS_NOT_SEEN:
        break;
    }
    return "not seen";
}

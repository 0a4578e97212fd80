/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/form.h"

#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/dense.h"
#include "surface/form_rows.h"
#include "surface/network_private.h"
#include "surface/shared.h"

enum { TERMS = 6, TERM_BOW = 3, TERM_TWIST = 4, TERM_CUP = 5 };

/* Singular values below this share of the largest leave a term undetermined. */
static const double rank_tolerance = 1e-9;

/* A term counts as determined when this little of it lies in the null space. */
static const double share_tolerance = 1e-12;

static void terms(const struct bt_rectangle *r, const struct bt_point *p,
                  double out[TERMS])
{
    const double u = (2 * p->x - r->x0 - r->x1) / (r->x1 - r->x0);
    const double v = (2 * p->y - r->y0 - r->y1) / (r->y1 - r->y0);

    out[0] = 1;
    out[1] = u;
    out[2] = v;
    out[TERM_BOW] = u * u;
    out[TERM_TWIST] = u * v;
    out[TERM_CUP] = v * v;
}

/*
 * Rows of the pseudo-inverse of x[rows][TERMS] for one term: coefficients that give the
 * term from the right-hand side.  determined: false where the rows leave it open.
 */
struct inverse_rows {
    size_t rows;
    double *left; /* [rows][TERMS] left singular vectors */
    double right[TERMS * TERMS];
    double singular[TERMS];
};

static enum bt_status decompose(size_t rows, double x[], struct inverse_rows *out)
{
    gsl_matrix_view a = gsl_matrix_view_array(x, rows, TERMS);
    gsl_matrix_view v = gsl_matrix_view_array(out->right, TERMS, TERMS);
    gsl_vector_view s = gsl_vector_view_array(out->singular, TERMS);

    out->rows = rows;
    out->left = x;
    return gsl_linalg_SV_decomp_jacobi(&a.matrix, &v.matrix, &s.vector) == GSL_SUCCESS
               ? BT_OK
               : BT_ESINGULAR;
}

static bool term_row(const struct inverse_rows *inv, int term, double c[])
{
    double open = 0;

    memset(c, 0, inv->rows * sizeof *c);
    for (int k = 0; k < TERMS; k++) {
        const double v = inv->right[term * TERMS + k];
        if (!(inv->singular[k] > rank_tolerance * inv->singular[0])) {
            open += v * v;
            continue;
        }
        for (size_t i = 0; i < inv->rows; i++)
            c[i] += v / inv->singular[k] * inv->left[i * TERMS + (size_t)k];
    }
    return open <= share_tolerance;
}

/* rows of zeros are added where there are fewer than terms, as the SVD wants. */
static size_t padded(size_t rows)
{
    return rows < TERMS ? TERMS : rows;
}

static const struct bt_measured not_seen = {NAN, NAN, false};

static enum bt_status term_figure(const struct bt_network *net,
                                  const struct inverse_rows *inv, int term,
                                  double scale, double c[], struct bt_measured *out)
{
    enum bt_status status;

    *out = not_seen;
    if (!term_row(inv, term, c))
        return BT_OK;
    for (size_t i = 0; i < net->npoint; i++)
        c[i] *= scale;
    status = bt_network_figure(net, c, &out->value, &out->u, &out->seen);
    return status;
}

/* The terms at the points of net, decomposed; x is to be given back. */
static enum bt_status decompose_heights(const struct bt_network *net,
                                        const struct bt_rectangle *rectangle,
                                        double **x, struct inverse_rows *inv)
{
    const struct bt_point *point = ((const struct bt_inverse *)net->inverse)->sys.point;
    const size_t rows = padded(net->npoint);

    *x = bt_alloc(rows, TERMS * sizeof **x);
    if (!*x)
        return BT_ENOMEM;
    for (size_t p = 0; p < net->npoint; p++)
        terms(rectangle, &point[p], *x + TERMS * p);
    return decompose(rows, *x, inv);
}

static enum bt_status fit_heights(const struct bt_network *net,
                                  const struct bt_rectangle *rectangle,
                                  struct bt_form *form)
{
    double *x = NULL, *c = bt_alloc(padded(net->npoint), sizeof *c);
    struct inverse_rows inv;
    enum bt_status status = c ? BT_OK : BT_ENOMEM;

    if (status == BT_OK)
        status = decompose_heights(net, rectangle, &x, &inv);
    if (status == BT_OK)
        status = term_figure(net, &inv, TERM_BOW, -1, c, &form->bow);
    if (status == BT_OK)
        status = term_figure(net, &inv, TERM_CUP, -1, c, &form->cup);
    if (status == BT_OK)
        status = term_figure(net, &inv, TERM_TWIST, 4, c, &form->twist);
    bt_free(x);
    bt_free(c);
    return status;
}

enum bt_status bt_form_row(const struct bt_network *net,
                           const struct bt_rectangle *rectangle,
                           enum bt_doubt_of figure, double c[])
{
    const int term = figure == BT_DOUBT_CUP   ? TERM_CUP
                     : figure == BT_DOUBT_BOW ? TERM_BOW
                                              : TERM_TWIST;
    double *x = NULL, *row = bt_alloc(padded(net->npoint), sizeof *row);
    struct inverse_rows inv;
    enum bt_status status = row ? BT_OK : BT_ENOMEM;

    memset(c, 0, net->npoint * sizeof *c);
    if (status == BT_OK)
        status = decompose_heights(net, rectangle, &x, &inv);
    if (status == BT_OK && term_row(&inv, term, row))
        for (size_t i = 0; i < net->npoint; i++)
            c[i] = (term == TERM_TWIST ? 4 : -1) * row[i];
    bt_free(x);
    bt_free(row);
    return status;
}

/* What the readings would show of each term of the form, weighted. */
static void direct_rows(const struct bt_system *sys,
                        const struct bt_rectangle *rectangle, double x[])
{
    for (size_t i = 0; i < sys->nobs; i++)
        for (int k = 0; k < sys->obs[i].npoint; k++) {
            double t[TERMS];
            terms(rectangle, &sys->point[sys->obs[i].point[k]], t);
            for (int j = 0; j < TERMS; j++)
                x[TERMS * i + (size_t)j] += sys->a[4 * i + (size_t)k] * t[j];
        }
}

/* u of sum c y with what the readings share. */
static enum bt_status direct_u(const struct bt_readings *readings, const double c[],
                               double *u)
{
    double *dy = bt_alloc(readings->nobs, sizeof *dy);
    double square = bt_dense_dot(readings->nobs, c, c);
    size_t group = 0;

    if (!dy)
        return BT_ENOMEM;
    while (bt_shared_next(readings, &group, dy)) {
        double share = 0;
        for (size_t i = 0; i < readings->nobs; i++)
            share += c[i] * dy[i] / readings->obs[i].u;
        square += share * share;
    }
    *u = sqrt(square + bt_alike_of_readings(readings, c));
    bt_free(dy);
    return BT_OK;
}

/*
 * Coefficients of the term of twist over the weighted readings, c[padded(nobs)]; the
 * six terms are fitted to the readings, not to heights, and twist alone is taken of
 * them.
 */
static enum bt_status direct_row(const struct bt_system *sys,
                                 const struct bt_rectangle *rectangle, double c[],
                                 bool *determined)
{
    const size_t rows = padded(sys->nobs);
    double *x = bt_alloc(rows, TERMS * sizeof *x);
    struct inverse_rows inv;
    enum bt_status status = x ? BT_OK : BT_ENOMEM;

    *determined = false;
    if (status == BT_OK)
        direct_rows(sys, rectangle, x);
    for (int j = 0; status == BT_OK && j < TERMS; j++)
        status = bt_system_take_off_groups(sys, TERMS, x + j);
    if (status == BT_OK)
        status = decompose(rows, x, &inv);
    if (status == BT_OK)
        *determined = term_row(&inv, TERM_TWIST, c);
    bt_free(x);
    return status;
}

static enum bt_status direct_twist(const struct bt_readings *readings,
                                   const struct bt_system *sys,
                                   const struct bt_rectangle *rectangle, double c[],
                                   struct bt_form *form)
{
    bool determined;
    enum bt_status status = direct_row(sys, rectangle, c, &determined);

    if (status != BT_OK || !determined)
        return status;
    status = direct_u(readings, c, &form->twist.u);
    form->twist.u *= 4;
    form->twist.value = 4 * bt_dense_dot(sys->nobs, c, sys->y);
    form->twist.seen = true;
    form->twist_from_readings = true;
    return status;
}

static enum bt_status twist_from_readings(const struct bt_readings *readings,
                                          const struct bt_rectangle *rectangle,
                                          struct bt_form *form)
{
    struct bt_system sys;
    double *c = bt_alloc(padded(readings->nobs), sizeof *c);
    enum bt_status status = c ? bt_system_build(readings, &sys, NULL) : BT_ENOMEM;

    if (status == BT_OK) {
        status = direct_twist(readings, &sys, rectangle, c, form);
        bt_system_clear(&sys);
    }
    bt_free(c);
    return status;
}

enum bt_status bt_form_direct_row(const struct bt_readings *readings,
                                  const struct bt_rectangle *rectangle, double gain[])
{
    struct bt_system sys;
    double *c = bt_alloc(padded(readings->nobs), sizeof *c);
    enum bt_status status = c ? bt_system_build(readings, &sys, NULL) : BT_ENOMEM;
    bool determined = false;

    if (status == BT_OK) {
        status = direct_row(&sys, rectangle, c, &determined);
        bt_system_clear(&sys);
    }
    for (size_t i = 0; i < readings->nobs; i++)
        gain[i] = determined ? 4 * c[i] / readings->obs[i].u : 0;
    bt_free(c);
    return status;
}

static bool has_sticks(const struct bt_readings *readings)
{
    for (size_t i = 0; i < readings->nobs; i++)
        if (readings->obs[i].kind == BT_READ_WIND)
            return true;
    return false;
}

enum bt_status bt_form_fit(const struct bt_readings *readings,
                           const struct bt_network *net,
                           const struct bt_rectangle *rectangle, struct bt_form *form,
                           struct bt_error *err)
{
    struct bt_form fit = {.rectangle = *rectangle};
    enum bt_status status;

    if (!isfinite(rectangle->x1 - rectangle->x0) ||
        !isfinite(rectangle->y1 - rectangle->y0))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the panel's rectangle is not finite");
    if (!(rectangle->x1 > rectangle->x0) || !(rectangle->y1 > rectangle->y0))
        return bt_error_set(err, BT_EINPUT, 0, 0, "the panel's rectangle has no area");
    status = fit_heights(net, rectangle, &fit);
    if (status == BT_OK && !fit.twist.seen && has_sticks(readings))
        status = twist_from_readings(readings, rectangle, &fit);
    if (status == BT_OK)
        *form = fit;
    else
        bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    return status;
}

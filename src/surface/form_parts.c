/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/form_parts.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/surface/scan.h"
#include "surface/shared.h"

enum { TERMS = 6, TERM_BOW = 3, TERM_TWIST = 4, TERM_CUP = 5 };

static struct bt_form_values values_of(const struct bt_form *form)
{
    return (struct bt_form_values){form->bow.value, form->cup.value, form->twist.value};
}

/* ---- errors that readings share ---- */

/* Room for what one shared error does. */
struct work {
    struct bt_readings all; /* with the error in place of each value */
    double *dy_all;         /* [all.nobs] */
    double *dy;             /* [net->nobs] */
    double *dh;             /* [net->npoint] */
};

static enum bt_status take_work(const struct bt_readings *r,
                                const struct bt_flatness *f, struct work *w)
{
    w->all = *r;
    w->all.obs = bt_alloc(r->nobs, sizeof *w->all.obs);
    w->dy_all = bt_alloc(r->nobs, sizeof *w->dy_all);
    w->dy = bt_alloc(f->net->nobs, sizeof *w->dy);
    w->dh = bt_alloc(f->net->npoint, sizeof *w->dh);
    if (!w->all.obs || !w->dy_all || !w->dy || !w->dh)
        return BT_ENOMEM;
    memcpy(w->all.obs, r->obs, r->nobs * sizeof *w->all.obs);
    return BT_OK;
}

static void give_back(struct work *w)
{
    bt_free(w->all.obs);
    bt_free(w->dy_all);
    bt_free(w->dy);
    bt_free(w->dh);
}

/* The form that the error in dy_all would show, were it all that was read: figures are
 * linear in the readings. */
static enum bt_status effect_of(const struct bt_flatness *f,
                                const struct bt_rectangle *rectangle, struct work *w,
                                struct bt_form_values *effect, struct bt_error *err)
{
    struct bt_network net = *f->net;
    struct bt_form form;
    enum bt_status status;

    for (size_t i = 0; i < w->all.nobs; i++)
        w->all.obs[i].value = w->dy_all[i];
    for (size_t i = 0; i < net.nobs; i++)
        w->dy[i] = w->dy_all[bt_flatness_reading(f, i)];
    status = bt_network_response(f->net, w->dy, w->dh);
    if (status != BT_OK)
        return status;
    net.height = w->dh;
    status = bt_form_fit(&w->all, &net, rectangle, &form, err);
    if (status == BT_OK)
        *effect = values_of(&form);
    return status;
}

static enum bt_status find_shares(const struct bt_readings *r,
                                  const struct bt_flatness *f,
                                  const struct bt_rectangle *rectangle,
                                  struct bt_form_parts *out, struct bt_error *err)
{
    struct work w = {.dy = NULL};
    enum bt_status status = take_work(r, f, &w);
    size_t group = 0, room = 0;

    while (status == BT_OK && bt_shared_next(r, &group, w.dy_all)) {
        struct bt_form_share *grown =
            bt_grow(out->share, &room, out->nshare + 1, sizeof *grown);

        status = BT_ENOMEM;
        if (!grown)
            break;
        out->share = grown;
        grown[out->nshare].instrument =
            group > r->ngroup ? -1 : r->group[group - 1].instrument;
        status = effect_of(f, rectangle, &w, &grown[out->nshare].effect, err);
        if (status == BT_OK)
            out->nshare++;
    }
    give_back(&w);
    return status;
}

/* What is left of u once the shared part is taken off; rounding may leave less than
 * nothing where there is next to nothing else. */
static double without(double u, double square)
{
    return sqrt(fmax(u * u - square, 1e-12 * u * u));
}

static void find_own(struct bt_form_parts *out)
{
    const struct bt_form *form = &out->form;
    double bow = 0, cup = 0, twist = 0;

    for (size_t k = 0; k < out->nshare; k++) {
        const struct bt_form_values *e = &out->share[k].effect;

        bow += e->bow * e->bow;
        cup += e->cup * e->cup;
        twist += e->twist * e->twist;
    }
    out->own.bow = form->bow.seen ? without(form->bow.u, bow) : NAN;
    out->own.cup = form->cup.seen ? without(form->cup.u, cup) : NAN;
    out->own.twist = form->twist.seen ? without(form->twist.u, twist) : NAN;
}

/* ---- shapes finer than the form ---- */

struct sums {
    double n, zz, uu;
    double a[TERMS * TERMS], b[TERMS]; /* of products of the terms, and with z */
};

static struct sums sum_up(const struct bt_flatness *f, const struct bt_rectangle *r)
{
    const double half_x = (r->x1 - r->x0) / 2, half_y = (r->y1 - r->y0) / 2;
    struct sums s = {.n = 0};

    for (size_t p = 0; p < f->net->npoint; p++) {
        const double u = (f->used->point[p].x - r->x0) / half_x - 1;
        const double v = (f->used->point[p].y - r->y0) / half_y - 1;
        const double t[TERMS] = {1, u, v, u * u, u * v, v * v};

        if (isnan(f->z[p]))
            continue;
        for (int i = 0; i < TERMS; i++) {
            for (int j = 0; j <= i; j++)
                s.a[TERMS * i + j] += t[i] * t[j];
            s.b[i] += t[i] * f->z[p];
        }
        s.n++;
        s.zz += f->z[p] * f->z[p];
        s.uu += f->u[p] * f->u[p];
    }
    return s;
}

/* The coefficients c of a term by least squares have c . c = (A^-1)_kk, A the sums of
 * products. */
static void find_misfit(const struct bt_flatness *f, const struct bt_rectangle *r,
                        struct bt_form_values *out)
{
    struct sums s = sum_up(f, r);
    gsl_matrix_view a = gsl_matrix_view_array(s.a, TERMS, TERMS);
    gsl_vector_view b = gsl_vector_view_array(s.b, TERMS);
    double explained = 0, square;

    *out = (struct bt_form_values){NAN, NAN, NAN};
    if (!(s.n >= TERMS) || gsl_linalg_cholesky_decomp1(&a.matrix))
        return;
    for (int i = 0; i < TERMS; i++)
        if (!(s.a[(TERMS + 1) * i] > 1e-6 * sqrt(s.n)))
            return; /* a term that the places leave nearly open */
    *out = (struct bt_form_values){0, 0, 0};
    if (!(s.n > TERMS))
        return;
    gsl_blas_dtrsv(CblasLower, CblasNoTrans, CblasNonUnit, &a.matrix, &b.vector);
    for (int i = 0; i < TERMS; i++)
        explained += s.b[i] * s.b[i];
    square = (s.zz - explained) / (s.n - TERMS) - s.uu / s.n;
    if (!(square > 0) || gsl_linalg_cholesky_invert(&a.matrix))
        return;
    out->bow = sqrt(square * s.a[(TERMS + 1) * TERM_BOW]);
    out->cup = sqrt(square * s.a[(TERMS + 1) * TERM_CUP]);
    out->twist = 4 * sqrt(square * s.a[(TERMS + 1) * TERM_TWIST]);
}

/* ---- all of it ---- */

static enum bt_status form_of(const struct bt_readings *r, const struct bt_flatness *f,
                              const struct bt_rectangle *rectangle,
                              struct bt_form *form, struct bt_error *err)
{
    const struct bt_scan scan = {r->npoint, r->point, r->scan, r->scan_u};
    struct bt_scan_figures figures;
    enum bt_status status;

    if (!r->scan)
        return bt_form_fit(r, f->net, rectangle, form, err);
    status = bt_scan_form(&scan, rectangle, &figures, NULL, NULL, err);
    if (status == BT_OK)
        *form = figures.form;
    return status;
}

enum bt_status bt_form_parts_find(const struct bt_readings *readings,
                                  const struct bt_flatness *flatness,
                                  const struct bt_rectangle *rectangle,
                                  struct bt_form_parts *out, struct bt_error *err)
{
    enum bt_status status;

    memset(out, 0, sizeof *out);
    status = form_of(readings, flatness, rectangle, &out->form, err);
    if (status == BT_OK && !readings->scan)
        status = find_shares(readings, flatness, rectangle, out, err);
    if (status == BT_OK) {
        find_own(out);
        find_misfit(flatness, rectangle, &out->misfit);
    }
    if (status == BT_ENOMEM)
        bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    return status;
}

void bt_form_parts_clear(struct bt_form_parts *parts)
{
    if (!parts)
        return;
    bt_free(parts->share);
    memset(parts, 0, sizeof *parts);
}

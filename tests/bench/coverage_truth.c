/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "coverage_truth.h"

#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/surface/zone.h"

const double panel_joint[PANEL_JOINTS] = {120, 240, 360, 480};

/* Singular values below this share of the largest are 0: those of these schemes lie
 * either above 1e-4 or at rounding. */
static const double nothing = 1e-9;

static void *take(size_t count, size_t size)
{
    void *block = calloc(count ? count : 1, size);

    if (!block)
        abort();
    return block;
}

/* ---- figures as rows ---- */

static void form_terms(const struct bt_point *p, double out[6])
{
    const double u = 2 * p->x / PANEL_LENGTH - 1, v = 2 * p->y / PANEL_WIDTH - 1;

    out[0] = 1;
    out[1] = u;
    out[2] = v;
    out[3] = u * u;
    out[4] = u * v;
    out[5] = v * v;
}

/* a = U S V', in place of a; rows of zeros are put below where there are too few. */
static void decompose(gsl_matrix *a, gsl_matrix *v, gsl_vector *s)
{
    gsl_vector *work = gsl_vector_alloc(a->size2);

    if (!work || gsl_linalg_SV_decomp(a, v, s, work))
        abort();
    gsl_vector_free(work);
}

/* Rows of the pseudo-inverse of the six terms; all 0 where places leave one open. */
static void make_rows(struct truth *t)
{
    static const struct {
        size_t term;
        double factor;
    } figure[TRUE_LINEAR] = {{5, -1}, {3, -1}, {4, 4}};
    gsl_matrix *a = gsl_matrix_calloc(t->n < 6 ? 6 : t->n, 6);
    gsl_matrix *v = gsl_matrix_alloc(6, 6);
    gsl_vector *s = gsl_vector_alloc(6);

    for (size_t i = 0; i < t->n; i++)
        form_terms(&t->p[i], gsl_matrix_ptr(a, i, 0));
    decompose(a, v, s);
    for (int f = 0; f < TRUE_LINEAR; f++) {
        t->row[f] = take(t->n, sizeof *t->row[f]);
        t->sees[f] = true;
        for (size_t k = 0; k < 6; k++) {
            const double part = gsl_matrix_get(v, figure[f].term, k);
            const double size = gsl_vector_get(s, k);

            if (!(size > nothing * gsl_vector_get(s, 0))) {
                t->sees[f] = t->sees[f] && fabs(part) <= nothing;
                continue;
            }
            for (size_t i = 0; i < t->n; i++)
                t->row[f][i] +=
                    figure[f].factor * part / size * gsl_matrix_get(a, i, k);
        }
    }
    gsl_matrix_free(a);
    gsl_matrix_free(v);
    gsl_vector_free(s);
}

/* ---- what the readings cannot see ---- */

/* Heights less their mean plane. */
static void level(const struct truth *t, double h[])
{
    double m[3][4] = {{0}};

    for (size_t i = 0; i < t->n; i++) {
        const double term[4] = {1, t->p[i].x / PANEL_LENGTH - 0.5,
                                t->p[i].y / PANEL_WIDTH - 0.5, h[i]};
        for (int r = 0; r < 3; r++)
            for (int c = 0; c < 4; c++)
                m[r][c] += term[r] * term[c];
    }
    for (int r = 0; r < 3; r++)
        for (int k = 0; k < 3; k++)
            for (int c = 3; k != r && c >= r; c--)
                m[k][c] -= m[k][r] / m[r][r] * m[r][c];
    for (size_t i = 0; i < t->n; i++)
        h[i] -= m[0][3] / m[0][0] +
                m[1][3] / m[1][1] * (t->p[i].x / PANEL_LENGTH - 0.5) +
                m[2][3] / m[2][2] * (t->p[i].y / PANEL_WIDTH - 0.5);
}

/* One shape of the heights that no reading shows, of length at most 1. */
static void mark_unseen(struct truth *t, double shape[])
{
    level(t, shape);
    for (size_t i = 0; i < t->n; i++)
        t->moved[i] = t->moved[i] || fabs(shape[i]) > 1e-7;
    for (int f = 0; f < TRUE_LINEAR; f++) {
        double dot = 0, size = 0;

        for (size_t i = 0; i < t->n; i++) {
            dot += t->row[f][i] * shape[i];
            size += t->row[f][i] * t->row[f][i];
        }
        t->sees[f] = t->sees[f] && fabs(dot) <= 1e-7 * sqrt(size);
    }
}

/* Columns: heights, then three nuisance unknowns a group, each scaled to 1 at most;
 * one that no reading has is a singular vector without heights. */
static gsl_matrix *equations(const struct bt_readings *r)
{
    const size_t columns = r->npoint + 3 * r->ngroup;
    gsl_matrix *a = gsl_matrix_calloc(r->nobs > columns ? r->nobs : columns, columns);

    if (!a)
        abort();
    for (size_t i = 0; i < r->nobs; i++) {
        const struct bt_obs *o = &r->obs[i];
        double scale = 0;

        for (int k = 0; k < o->npoint; k++)
            scale = fmax(scale, fabs(o->coef[k]));
        for (int k = 0; k < o->npoint; k++)
            gsl_matrix_set(a, i, o->point[k], o->coef[k] / scale);
        for (int j = 0; j < 3 && o->group >= 0; j++)
            gsl_matrix_set(a, i, r->npoint + 3 * (size_t)o->group + (size_t)j,
                           o->basis[j] / scale);
    }
    for (size_t k = r->npoint; k < columns; k++) {
        gsl_vector_view column = gsl_matrix_column(a, k);
        const double most =
            fmax(gsl_vector_max(&column.vector), -gsl_vector_min(&column.vector));
        if (most > 0)
            gsl_vector_scale(&column.vector, 1 / most);
    }
    return a;
}

static void find_unseen(const struct bt_readings *r, struct truth *t)
{
    gsl_matrix *a = equations(r);
    gsl_matrix *v = gsl_matrix_alloc(a->size2, a->size2);
    gsl_vector *s = gsl_vector_alloc(a->size2);
    double *shape = take(t->n, sizeof *shape);

    t->moved = take(t->n, sizeof *t->moved);
    decompose(a, v, s);
    for (size_t k = 0; k < s->size; k++) {
        if (gsl_vector_get(s, k) > nothing * gsl_vector_get(s, 0))
            continue;
        for (size_t i = 0; i < t->n; i++)
            shape[i] = gsl_matrix_get(v, i, k);
        mark_unseen(t, shape);
    }
    for (size_t i = 0; i < t->n; i++)
        t->nmoved += t->moved[i];
    free(shape);
    gsl_matrix_free(a);
    gsl_matrix_free(v);
    gsl_vector_free(s);
}

/* ---- chords ---- */

static bool on_diagonal(const struct bt_point *p, bool ac)
{
    const double y = ac ? p->y : PANEL_WIDTH - p->y;

    return fabs(p->x * PANEL_WIDTH - y * PANEL_LENGTH) <=
           3 * hypot(PANEL_LENGTH, PANEL_WIDTH);
}

/* Do both places lie on one line of that direction? */
static bool together(const struct bt_point *p, const struct bt_point *q,
                     enum bt_edge_direction direction)
{
    switch (direction) {
    case BT_EDGE_ALONG:
        return fabs(p->y - q->y) <= 3;
    case BT_EDGE_ACROSS:
        return fabs(p->x - q->x) <= 3;
    case BT_EDGE_DIAGONAL_AC:
        return on_diagonal(p, true) && on_diagonal(q, true);
    case BT_EDGE_DIAGONAL_BD:
        return on_diagonal(p, false) && on_diagonal(q, false);
    default:
        return false;
    }
}

static bool is_chord(const struct truth *t, struct chord *c)
{
    const struct bt_point *l = &t->p[c->left], *m = &t->p[c->middle];
    const struct bt_point *r = &t->p[c->right];
    const double dx = r->x - l->x, dy = r->y - l->y, length = hypot(dx, dy);

    if (t->moved[c->left] || t->moved[c->middle] || t->moved[c->right] ||
        c->left >= c->right || length > PANEL_SPAN * (1 + 1e-9) ||
        !together(l, m, c->direction) || !together(l, r, c->direction))
        return false;
    c->t = ((m->x - l->x) * dx + (m->y - l->y) * dy) / (length * length);
    return c->t > 0 && c->t < 1;
}

/* Count them first, then keep them. */
static void find_chords(struct truth *t)
{
    for (int pass = 0; pass < 2; pass++) {
        if (pass)
            t->chord = take(t->nchord, sizeof *t->chord);
        t->nchord = 0;
        for (int d = 0; d < BT_EDGE_DIRECTIONS; d++)
            for (size_t k = 0; k < t->n * t->n * t->n; k++) {
                struct chord c = {k % t->n, k / t->n % t->n, k / t->n / t->n, 0,
                                  (enum bt_edge_direction)d};
                if (!is_chord(t, &c))
                    continue;
                if (pass)
                    t->chord[t->nchord] = c;
                t->nchord++;
            }
    }
}

void truth_make(const struct bt_readings *r, struct truth *truth)
{
    memset(truth, 0, sizeof *truth);
    truth->n = r->npoint;
    truth->p = r->point;
    make_rows(truth);
    find_unseen(r, truth);
    find_chords(truth);
}

void truth_clear(struct truth *truth)
{
    for (int f = 0; f < TRUE_LINEAR; f++)
        free(truth->row[f]);
    free(truth->moved);
    free(truth->chord);
}

double truth_linear(const struct truth *truth, int figure, const double h[])
{
    double sum = 0;

    for (size_t i = 0; i < truth->n; i++)
        sum += truth->row[figure][i] * h[i];
    return sum;
}

double truth_range(const struct truth *truth, const double h[])
{
    double *z = take(truth->n, sizeof *z), low = HUGE_VAL, high = -HUGE_VAL;

    memcpy(z, h, truth->n * sizeof *z);
    level(truth, z);
    for (size_t i = 0; i < truth->n; i++) {
        low = fmin(low, z[i]);
        high = fmax(high, z[i]);
    }
    free(z);
    return high - low;
}

/* By the library, whose widths are proved elsewhere. */
double truth_zone(const struct truth *truth, const double h[])
{
    struct bt_zone zone;

    if (bt_zone_fit(truth->n, truth->p, h, &zone, NULL) != BT_OK)
        abort();
    return zone.normal_width;
}

double truth_gap(const struct truth *truth, enum bt_edge_direction direction,
                 const double h[])
{
    double most = NAN;

    for (size_t k = 0; k < truth->nchord; k++) {
        const struct chord *c = &truth->chord[k];

        if (c->direction == direction)
            most = fmax(fmax(most, 0),
                        (1 - c->t) * h[c->left] + c->t * h[c->right] - h[c->middle]);
    }
    return most;
}

/* ---- panels ---- */

static double normal(struct bt_random *random)
{
    double v;

    bt_random_normals(random, 1, &v);
    return v;
}

void panel_draw(struct bt_random *random, size_t n, const struct bt_point p[],
                bool smooth, double h[])
{
    const double more = smooth ? 0 : 1, size = bt_random_uniform(random);
    const bool flat = bt_random_uniform(random) < 0.1;
    const double bow = 0.6 * size * normal(random), cup = 0.5 * size * normal(random);
    const double twist = size * normal(random); /* at the corners, 4T: mm */
    const double rough = more * 0.04 * bt_random_uniform(random);
    const double ripple = more * 0.05 * bt_random_uniform(random);
    const double phase = 6.283185307179586 * bt_random_uniform(random);
    double kink[PANEL_JOINTS];

    for (int k = 0; k < PANEL_JOINTS; k++)
        kink[k] = more * 0.002 * size * normal(random); /* rad */
    for (size_t i = 0; i < n; i++) {
        double term[6];

        form_terms(&p[i], term);
        h[i] = -bow * term[3] - cup * term[5] + twist / 4 * term[4] +
               ripple * sin(6.283185307179586 * p[i].y / panel_joint[0] + phase) +
               rough * normal(random);
        for (int k = 0; k < PANEL_JOINTS; k++)
            h[i] += kink[k] * fmax(p[i].y - panel_joint[k], 0);
        h[i] = flat ? 0 : h[i];
    }
}

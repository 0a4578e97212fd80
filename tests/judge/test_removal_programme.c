/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Least removal against the same problems given to GLPK as linear programmes, and
 * against the minimum zone. */
#include <criterion/criterion.h>
#include <glpk.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>

#include "benchtrue/judge/removal.h"
#include "benchtrue/surface/zone.h"
#include "judge/programme.h"

static void quiet(void)
{
    gsl_set_error_handler_off();
    glp_term_out(GLP_OFF);
}

TestSuite(removal_programme, .init = quiet);

enum { CASES = 1200, MOST = 45, KINDS = 8 };

struct faces {
    size_t n;
    struct bt_point p[MOST];
    double z[MOST], under[MOST], share[MOST];
};

/* Numerical Recipes' linear congruence, so that cases are the same everywhere. */
static double next(unsigned long long *state)
{
    *state = *state * 6364136223846793005ULL + 1442695040888963407ULL;
    return (double)(*state >> 11) / 9007199254740992.0;
}

/* Few places of every kind: grids with whole heights, hollow with the lowest place in
 * the middle, crowned, twisted, steep, scattered. */
static void make_case(size_t k, unsigned long long *state, struct faces *f)
{
    const size_t kind = k % KINDS, columns = 3 + (size_t)(6.0 * next(state));

    f->n = 9 + (size_t)((MOST - 8) * next(state));
    if (f->n <= columns)
        f->n = columns + 3;
    for (size_t i = 0; i < f->n; i++) {
        double x = next(state), y = next(state), z = 2.0 * next(state) - 1.0;

        if (kind <= 4) {
            x = (double)(i % columns) / (double)(columns - 1);
            y = (double)(i / columns) / 5.0;
        }
        if (kind == 1)
            z = floor(4.0 * z);
        if (kind == 2)
            z = (x - 0.5) * (x - 0.5) + (y - 0.4) * (y - 0.4);
        if (kind == 3)
            z = 1.0 - (y - 0.5) * (y - 0.5);
        if (kind == 4)
            z = (x - 0.5) * (y - 0.5) + 0.01 * z;
        if (kind == 5)
            z += 30.0 * x - 70.0 * y + 500.0;
        f->p[i] = (struct bt_point){1500.0 * x, 600.0 * y};
        f->z[i] = z;
        f->under[i] = z - 25.0 + (kind == 6 ? 0.0 : next(state));
        f->share[i] = kind == 7 ? 0.2 + next(state) : 1.0;
    }
}

static double solve(glp_prob *lp)
{
    glp_smcp how;
    double best = NAN;

    glp_init_smcp(&how);
    how.msg_lev = GLP_MSG_OFF;
    how.tol_bnd = how.tol_dj = 1e-11;
    if (glp_simplex(lp, &how) == 0 && glp_get_status(lp) == GLP_OPT)
        best = glp_get_obj_val(lp);
    glp_delete_prob(lp);
    return best;
}

static glp_prob *planes(const struct faces *f, bool second, const double lower[])
{
    glp_prob *lp = glp_create_prob();

    glp_add_cols(lp, 4);
    for (int j = 1; j <= 4; j++)
        glp_set_col_bnds(lp, j, GLP_FR, 0.0, 0.0);
    if (!second)
        glp_set_col_bnds(lp, 4, GLP_FX, 0.0, 0.0);
    glp_add_rows(lp, (second ? 2 : 1) * (int)f->n);
    for (int i = 0; i < (int)f->n; i++)
        for (int side = 0; side < (second ? 2 : 1); side++) {
            const int row = (second ? 2 : 1) * i + side + 1;
            const int index[5] = {0, 1, 2, 3, 4};
            const double value[5] = {0.0, 1.0, f->p[i].x / 1000.0 - 0.75,
                                     f->p[i].y / 1000.0 - 0.3, side ? -1.0 : 0.0};

            glp_set_mat_row(lp, row, 4, index, value);
            glp_set_row_bnds(lp, row, side ? GLP_LO : GLP_UP, side ? lower[i] : f->z[i],
                             side ? lower[i] : f->z[i]);
        }
    return lp;
}

/* Mean of z - plane at its least. */
static double least_mean(const struct faces *f)
{
    glp_prob *lp = planes(f, false, NULL);
    double x = 0.0, y = 0.0, z = 0.0, sum = 0.0;

    for (size_t i = 0; i < f->n; i++) {
        x += f->share[i] * (f->p[i].x / 1000.0 - 0.75);
        y += f->share[i] * (f->p[i].y / 1000.0 - 0.3);
        z += f->share[i] * f->z[i];
        sum += f->share[i];
    }
    glp_set_obj_dir(lp, GLP_MAX);
    glp_set_obj_coef(lp, 1, 1.0);
    glp_set_obj_coef(lp, 2, x / sum);
    glp_set_obj_coef(lp, 3, y / sum);
    return z / sum - solve(lp);
}

static double most_t(const struct faces *f, const double lower[])
{
    glp_prob *lp = planes(f, true, lower);

    glp_set_obj_dir(lp, GLP_MAX);
    glp_set_obj_coef(lp, 4, 1.0);
    return solve(lp);
}

/* Least largest removal among the planes of least volume, to 1e-9 in the volume. */
static double least_depth_of_least(const struct faces *f, double mean)
{
    glp_prob *lp = planes(f, true, f->z);
    const int index[4] = {0, 1, 2, 3}, row = glp_add_rows(lp, 1);
    double x = 0.0, y = 0.0, z = 0.0, sum = 0.0;

    for (size_t i = 0; i < f->n; i++) {
        x += f->share[i] * (f->p[i].x / 1000.0 - 0.75);
        y += f->share[i] * (f->p[i].y / 1000.0 - 0.3);
        z += f->share[i] * f->z[i];
        sum += f->share[i];
    }
    glp_set_mat_row(lp, row, 3, index, (const double[]){0.0, 1.0, x / sum, y / sum});
    glp_set_row_bnds(lp, row, GLP_LO, z / sum - mean - 1e-9, 0.0);
    glp_set_obj_dir(lp, GLP_MAX);
    glp_set_obj_coef(lp, 4, 1.0);
    return -solve(lp);
}

/* Nothing stands under the plane (sign 1) or over it (-1). */
static void holds(const struct faces *f, const double z[], double sign,
                  const struct bt_plane *q, double tol, size_t k)
{
    for (size_t i = 0; i < f->n; i++) {
        const double d = sign * (z[i] - q->a - q->b * f->p[i].x - q->c * f->p[i].y);
        cr_expect(d >= -tol, "case %zu, place %zu: %g beyond the plane", k, i, d);
    }
}

Test(removal_programme, agrees_with_linear_programmes_on_every_kind_of_face)
{
    static struct faces f;
    unsigned long long state = 11;

    for (size_t k = 0; k < CASES; k++) {
        struct bt_removal_face top, bottom;
        struct bt_removal_cut volume, depth;
        struct bt_removal_pair pair;
        struct bt_zone zone;
        struct bt_error err = {0};
        double size = 0.0, want;

        make_case(k, &state, &f);
        for (size_t i = 0; i < f.n; i++)
            size = fmax(size, fabs(f.z[i]));
        size = 2e-9 * fmax(size, 1.0); /* of the reference: tolerance of its simplex */
        top = (struct bt_removal_face){f.n, f.p, f.z, NULL, f.share};
        bottom = (struct bt_removal_face){f.n, f.p, f.under, NULL, f.share};

        cr_assert(bt_removal_least_volume(&top, &volume, &err) == BT_OK, "case %zu: %s",
                  k, err.message);
        want = least_mean(&f);
        cr_expect(fabs(volume.mean - want) <= size, "case %zu: mean %.12g, want %.12g",
                  k, volume.mean, want);
        holds(&f, f.z, 1.0, &volume.plane, 1e-11, k);
        want = least_depth_of_least(&f, volume.mean);
        cr_expect(volume.largest <= want + 1e-6, "case %zu: largest %.12g, want %.12g",
                  k, volume.largest, want);

        cr_assert(bt_removal_least_depth(&top, &depth, &err) == BT_OK, "case %zu: %s",
                  k, err.message);
        want = -most_t(&f, f.z);
        cr_expect(fabs(depth.largest - want) <= size, "case %zu: %.12g, want %.12g", k,
                  depth.largest, want);
        cr_assert(bt_zone_fit(f.n, f.p, f.z, &zone, NULL) == BT_OK);
        cr_expect(fabs(depth.largest - zone.vertical) <= 1e-11,
                  "case %zu: %.15g, zone %.15g", k, depth.largest, zone.vertical);
        holds(&f, f.z, 1.0, &depth.plane, 1e-11, k);

        cr_expect(volume.largest >= depth.largest - 1e-11, "case %zu", k);
        cr_expect(volume.mean <= depth.mean + 1e-11, "case %zu", k);

        cr_assert(bt_removal_parallel(&top, &bottom, &pair, &err) == BT_OK,
                  "case %zu: %s", k, err.message);
        want = most_t(&f, f.under);
        cr_expect(fabs(pair.thickness - want) <= size + 5e-8, "case %zu: %.12g, %.12g",
                  k, pair.thickness, want);
        holds(&f, f.z, 1.0, &pair.top.plane, 1e-11, k);
        holds(&f, f.under, -1.0, &pair.bottom.plane, 1e-11, k);
        cr_expect(fabs(pair.top.plane.a - pair.bottom.plane.a - pair.thickness) <=
                  1e-11);
        cr_expect(pair.top.plane.b == pair.bottom.plane.b &&
                  pair.top.plane.c == pair.bottom.plane.c);
    }
}

/* Of the three-unknown programme itself: no face with shares has its middle outside. */
Test(removal_programme, has_no_plane_over_a_place_that_is_not_surrounded)
{
    const struct bt_point p[] = {{0, 0}, {200, 0}, {200, 200}, {0, 200}};
    const double z[] = {1.0, 0.25, 0.75, 1.0};
    struct programme lp = {.above = {4, p, z}, .middle = {201.0, 100.0}};
    struct programme_answer answer = {.passes = 7};
    struct bt_error err;

    cr_expect_eq(programme_solve(&lp, &answer, &err), BT_ESINGULAR);
    cr_expect_str_eq(err.message, "the places do not surround the middle");
    cr_expect_eq(answer.passes, 7);
    lp.middle.x = 200.0;
    cr_assert_eq(programme_solve(&lp, &answer, &err), BT_OK);
    cr_expect(fabs(answer.best - 0.5) <= 1e-12, "middle of an edge: %g", answer.best);
}

/* A saddle with a ripple, a million places. */
Test(removal_programme, of_a_million_places_holds_for_every_one)
{
    enum { ACROSS = 1250, DOWN = 800, N = ACROSS * DOWN };
    struct bt_point *p = malloc(N * sizeof *p);
    double *z = malloc(N * sizeof *z);
    struct bt_removal_face f = {N, p, z, NULL, NULL};
    struct bt_removal_cut cut;
    struct bt_removal_pair pair;

    cr_assert(p && z);
    for (size_t i = 0; i < N; i++) {
        const double x = (double)(i % ACROSS), y = (double)(i / ACROSS);
        p[i] = (struct bt_point){x, y};
        z[i] = 1e-6 * (x - 500.0) * (x - 500.0) - 2e-6 * (y - 300.0) * (y - 300.0) +
               1e-6 * x * y + 0.01 * sin(0.1 * x) * cos(0.13 * y);
    }
    cr_assert_eq(bt_removal_least_volume(&f, &cut, NULL), BT_OK);
    for (size_t i = 0; i < N; i++)
        if (!(z[i] - cut.plane.a - cut.plane.b * p[i].x - cut.plane.c * p[i].y >=
              -1e-12)) {
            cr_expect(false, "place %zu stands under the plane", i);
            break;
        }
    cr_assert_eq(bt_removal_parallel(&f, &f, &pair, NULL), BT_OK);
    cr_assert_eq(bt_removal_least_depth(&f, &cut, NULL), BT_OK);
    cr_expect(fabs(pair.thickness + cut.largest) <= 1e-12,
              "a face with itself is its zone");
    free(p);
    free(z);
}

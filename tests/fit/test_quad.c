/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <gsl/gsl_multimin.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "benchtrue/fit/quad.h"

#define PI 3.14159265358979323846
#define MOST 40

static const struct bt_wall_profile no_profile[4];
static const bool not_traced[4];

static double noise(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0 - 0.5;
}

static void near(const char *what, double got, double want, double tol)
{
    cr_expect(fabs(got - want) <= tol, "%s: got %.12g, want %.12g", what, got, want);
}

/* Readings as they are typed. */
struct bench {
    size_t n;
    struct bt_opening_reading r[MOST];
    struct bt_quad_result q;
    struct bt_error err;
};

static struct bt_opening_reading *add(struct bench *b, enum bt_opening_kind kind,
                                      int where, double value)
{
    b->r[b->n] = (struct bt_opening_reading){.kind = kind,
                                             .where = where,
                                             .at = NAN,
                                             .value = value,
                                             .x = NAN,
                                             .y = NAN,
                                             .u = kind == BT_OPENING_ANGLE ? 0.002 : 1};
    return &b->r[b->n++];
}

static void sides(struct bench *b, double back, double right, double front, double left)
{
    add(b, BT_OPENING_SIDE, BT_WALL_BACK, back);
    add(b, BT_OPENING_SIDE, BT_WALL_RIGHT, right);
    add(b, BT_OPENING_SIDE, BT_WALL_FRONT, front);
    add(b, BT_OPENING_SIDE, BT_WALL_LEFT, left);
}

static enum bt_status fit(struct bench *b)
{
    return bt_quad_fit(b->n, b->r, no_profile, not_traced, BT_SYSTEM_MM, &b->q,
                       &b->err);
}

static void fit_well(struct bench *b)
{
    cr_assert_eq(fit(b), BT_OK, "%s", b->err.message);
}

Test(quad, rectangle_is_square_at_all_corners)
{
    struct bench b = {0};

    sides(&b, 1200, 500, 1200, 500);
    add(&b, BT_OPENING_DIAGONAL, 0, 1300);
    add(&b, BT_OPENING_DIAGONAL, 1, 1300);
    fit_well(&b);
    for (int k = 0; k < 4; k++)
        near("angle", b.q.figure[BT_QUAD_ANGLE + k].value, PI / 2, 1e-9);
    near("C.x", b.q.corner[2].x, 1200, 1e-6);
    near("C.y", b.q.corner[2].y, 500, 1e-6);
    near("narrower", b.q.figure[BT_QUAD_NARROWER].value, 0, 1e-6);
    cr_expect_eq(b.q.dof, 1);
    near("sigma0", b.q.sigma0, 0, 1e-6);
    cr_expect(!b.q.contradiction);
    bt_quad_clear(&b.q);
}

Test(quad, parallelogram_leans_as_its_diagonals_say)
{
    struct bench b = {0};

    /* A 0,0  B 1000,0  C 1120,500  D 120,500 */
    sides(&b, 1000, hypot(120, 500), 1000, hypot(120, 500));
    add(&b, BT_OPENING_DIAGONAL, 0, hypot(1120, 500));
    fit_well(&b);
    near("lean left", b.q.figure[BT_QUAD_LEAN_LEFT].value, 120, 1e-6);
    near("lean right", b.q.figure[BT_QUAD_LEAN_RIGHT].value, 120, 1e-6);
    near("angle A", b.q.figure[BT_QUAD_ANGLE].value, atan2(500, 120), 1e-9);
    near("angle C", b.q.figure[BT_QUAD_ANGLE + 2].value, atan2(500, 120), 1e-9);
    near("BD", b.q.figure[BT_QUAD_DIAGONAL_BD].value, hypot(880, 500), 1e-6);
    cr_expect_eq(b.q.dof, 0);
    cr_expect(isnan(b.q.sigma0) && isnan(b.q.p) && !b.q.contradiction);
    bt_quad_clear(&b.q);
}

Test(quad, kite_has_diagonals_square_to_each_other)
{
    struct bench b = {0};

    /* symmetric about AC: AB = AD, CB = CD; diagonals from their crossing: A 300, C
     * 800, B and D 400 */
    sides(&b, hypot(300, 400), hypot(800, 400), hypot(800, 400), hypot(300, 400));
    add(&b, BT_OPENING_DIAGONAL, 0, 1100);
    add(&b, BT_OPENING_DIAGONAL, 1, 800);
    fit_well(&b);
    near("chi2", b.q.chi2, 0, 1e-9);
    near("A", b.q.figure[BT_QUAD_ANGLE].value, 2 * atan2(400, 300), 1e-8);
    near("C", b.q.figure[BT_QUAD_ANGLE + 2].value, 2 * atan2(400, 800), 1e-8);
    near("B", b.q.figure[BT_QUAD_ANGLE + 1].value, b.q.figure[BT_QUAD_ANGLE + 3].value,
         1e-8);
    bt_quad_clear(&b.q);
}

/* ---- against another minimiser, with a model of its own ---- */

static double by_hand(const struct bt_opening_reading *r, double b, double cx,
                      double cy, double dx, double dy)
{
    const double ex = cx - dx, ey = cy - dy;

    switch (r->kind) {
    case BT_OPENING_SIDE:
        return r->where == BT_WALL_BACK    ? b
               : r->where == BT_WALL_RIGHT ? sqrt((cx - b) * (cx - b) + cy * cy)
               : r->where == BT_WALL_LEFT  ? sqrt(dx * dx + dy * dy)
                                           : sqrt(ex * ex + ey * ey);
    case BT_OPENING_DIAGONAL:
        return r->where ? sqrt((dx - b) * (dx - b) + dy * dy) : sqrt(cx * cx + cy * cy);
    case BT_OPENING_WIDTH:
        return b + (cx - b) * r->at / cy - dx * r->at / dy;
    case BT_OPENING_DEPTH:
        return dy + (r->at - dx) * ey / ex;
    case BT_OPENING_ANGLE:
        return r->where == 0   ? acos(dx / sqrt(dx * dx + dy * dy))
               : r->where == 1 ? acos((b - cx) / sqrt((cx - b) * (cx - b) + cy * cy))
               : r->where == 2
                   ? acos(((b - cx) * -ex + -cy * -ey) /
                          sqrt((cx - b) * (cx - b) + cy * cy) / hypot(ex, ey))
                   : acos((-dx * ex + -dy * ey) / hypot(dx, dy) / hypot(ex, ey));
    default:
        return NAN;
    }
}

static double misfit(const gsl_vector *x, void *user)
{
    const struct bench *b = user;
    double sum = 0;

    for (size_t i = 0; i < b->n; i++) {
        double z = b->r[i].value - by_hand(&b->r[i], gsl_vector_get(x, 0),
                                           gsl_vector_get(x, 1), gsl_vector_get(x, 2),
                                           gsl_vector_get(x, 3), gsl_vector_get(x, 4));
        z /= b->r[i].u;
        sum += z * z;
    }
    return sum;
}

static double by_simplex(struct bench *b, double x[5])
{
    gsl_multimin_fminimizer *s =
        gsl_multimin_fminimizer_alloc(gsl_multimin_fminimizer_nmsimplex2, 5);
    gsl_multimin_function f = {misfit, 5, b};
    gsl_vector_view at = gsl_vector_view_array(x, 5);
    gsl_vector *step = gsl_vector_alloc(5);
    double least;

    /* begun anew a few times, for a simplex may collapse early */
    for (int again = 0; again < 6; again++) {
        gsl_vector_set_all(step, again ? 1 : 30);
        gsl_multimin_fminimizer_set(s, &f, &at.vector, step);
        for (int k = 0; k < 4000 && gsl_multimin_fminimizer_size(s) > 1e-10; k++)
            if (gsl_multimin_fminimizer_iterate(s))
                break;
        gsl_vector_memcpy(&at.vector, s->x);
    }
    least = s->fval;
    gsl_vector_free(step);
    gsl_multimin_fminimizer_free(s);
    return least;
}

static void measure(struct bench *b, uint64_t *state)
{
    static const struct {
        enum bt_opening_kind kind;
        int where;
        double at;
    } what[] = {{BT_OPENING_SIDE, 0, NAN},     {BT_OPENING_SIDE, 1, NAN},
                {BT_OPENING_SIDE, 2, NAN},     {BT_OPENING_SIDE, 3, NAN},
                {BT_OPENING_DIAGONAL, 0, NAN}, {BT_OPENING_DIAGONAL, 1, NAN},
                {BT_OPENING_WIDTH, 0, 120},    {BT_OPENING_WIDTH, 0, 430},
                {BT_OPENING_DEPTH, 0, 250},    {BT_OPENING_DEPTH, 0, 1100},
                {BT_OPENING_ANGLE, 0, NAN},    {BT_OPENING_ANGLE, 1, NAN},
                {BT_OPENING_ANGLE, 2, NAN},    {BT_OPENING_ANGLE, 3, NAN}};
    const double back = 1500 + 200 * noise(state), cx = back + 120 * noise(state);
    const double cy = 550 + 100 * noise(state), dx = 120 * noise(state);
    const double dy = 550 + 100 * noise(state);

    for (size_t i = 0; i < sizeof what / sizeof *what; i++) {
        struct bt_opening_reading *r = add(b, what[i].kind, what[i].where, 0);

        r->at = what[i].at;
        r->u *= 0.7 + noise(state) * 0.8;
        r->value = by_hand(r, back, cx, cy, dx, dy) + 4 * r->u * noise(state);
    }
}

Test(quad, agrees_with_a_simplex_search_over_a_model_of_its_own)
{
    uint64_t state = 7;

    for (int round = 0; round < 40; round++) {
        struct bench b = {0};
        double x[5], least;

        measure(&b, &state);
        fit_well(&b);
        x[0] = x[1] = 1500;
        x[2] = x[4] = 550;
        x[3] = 0;
        least = by_simplex(&b, x);
        near("chi2", b.q.chi2, least, 1e-6);
        cr_expect(b.q.chi2 <= least + 1e-9, "the simplex found less");
        near("B.x", b.q.corner[1].x, x[0], 2e-3);
        near("C.x", b.q.corner[2].x, x[1], 2e-3);
        near("C.y", b.q.corner[2].y, x[2], 2e-3);
        near("D.x", b.q.corner[3].x, x[3], 2e-3);
        near("D.y", b.q.corner[3].y, x[4], 2e-3);
        bt_quad_clear(&b.q);
    }
}

Test(quad, uncertainty_is_the_scatter_of_many_openings)
{
    uint64_t state = 11;
    double sum[BT_QUAD_FIGURES] = {0}, square[BT_QUAD_FIGURES] = {0},
           u[BT_QUAD_FIGURES];
    const int rounds = 2000;

    for (int k = 0; k < rounds; k++) {
        struct bench b = {0};

        sides(&b, 1500, hypot(10, 520), 1478, hypot(-12, 540));
        add(&b, BT_OPENING_DIAGONAL, 0, hypot(1490, 520));
        add(&b, BT_OPENING_DIAGONAL, 1, hypot(1488, 540));
        for (size_t i = 0; i < b.n; i++)
            for (int j = 0; j < 12; j++)
                b.r[i].value += noise(&state);
        fit_well(&b);
        for (int f = 0; f < BT_QUAD_FIGURES; f++) {
            sum[f] += b.q.figure[f].value;
            square[f] += b.q.figure[f].value * b.q.figure[f].value;
            u[f] = b.q.figure[f].u;
        }
        bt_quad_clear(&b.q);
    }
    for (int f = 0; f < BT_QUAD_FIGURES; f++) {
        const double mean = sum[f] / rounds,
                     scatter = sqrt(square[f] / rounds - mean * mean);

        /* 2000 draws tell a spread to 1.6 %; three times that and some rounding */
        cr_expect(fabs(scatter / u[f] - 1) <= 0.05, "figure %d: %g, %g", f, scatter,
                  u[f]);
    }
}

Test(quad, four_sides_alone_are_a_hinge)
{
    struct bench b = {0};

    sides(&b, 1500, 500, 1480, 510);
    fit_well(&b);
    cr_expect_eq(b.q.rank, 4);
    cr_expect(b.q.figure[BT_QUAD_SIDE].seen);
    cr_expect(!b.q.figure[BT_QUAD_ANGLE].seen && !b.q.figure[BT_QUAD_DIAGONAL_AC].seen);
    cr_expect(isnan(b.q.corner[2].x) && isnan(b.q.cov[0]));
    cr_expect_eq(b.q.nask, 1);
    cr_expect(b.q.ask[0].kind == BT_OPENING_DIAGONAL && b.q.ask[0].where == 0);
    bt_quad_clear(&b.q);
}

Test(quad, two_sides_leave_three_lengths_to_be_measured)
{
    struct bench b = {0};

    add(&b, BT_OPENING_SIDE, BT_WALL_BACK, 1500);
    add(&b, BT_OPENING_SIDE, BT_WALL_LEFT, 500);
    fit_well(&b);
    cr_expect_eq(b.q.rank, 2);
    cr_expect_eq(b.q.nask, 3);
    cr_expect(b.q.ask[0].kind == BT_OPENING_SIDE && b.q.ask[0].where == BT_WALL_RIGHT);
    cr_expect(b.q.ask[1].kind == BT_OPENING_DIAGONAL);
    bt_quad_clear(&b.q);
}

Test(quad, nothing_measured_leaves_all_to_be_measured)
{
    struct bench b = {0};

    fit_well(&b);
    cr_expect_eq(b.q.rank, 0);
    cr_expect_eq(b.q.nask, 5);
    cr_expect(!b.q.figure[BT_QUAD_SIDE].seen);
    bt_quad_clear(&b.q);
}

/* What was asked for, once measured, determines everything. */
Test(quad, what_it_asks_for_is_enough)
{
    static const double truth[] = {1500, 500, 1480, 510};

    for (unsigned mask = 0; mask < 64; mask++) {
        struct bench b = {0};
        struct bt_quad_ask ask[BT_QUAD_ASKS_MOST];
        size_t nask;

        for (int k = 0; k < 4; k++)
            if (mask & 1u << k)
                add(&b, BT_OPENING_SIDE, k, truth[k]);
        for (int k = 0; k < 2; k++)
            if (mask & 16u << k)
                add(&b, BT_OPENING_DIAGONAL, k, 1580);
        fit_well(&b);
        nask = b.q.nask;
        memcpy(ask, b.q.ask, sizeof ask);
        bt_quad_clear(&b.q);
        for (size_t k = 0; k < nask; k++)
            add(&b, ask[k].kind, ask[k].where,
                ask[k].kind == BT_OPENING_SIDE ? truth[ask[k].where] : 1580);
        fit_well(&b);
        cr_expect_eq(b.q.rank, 5, "mask %u: %zu asked, rank %zu", mask, nask, b.q.rank);
        bt_quad_clear(&b.q);
    }
}

Test(quad, names_the_one_reading_that_does_not_agree)
{
    struct bench b = {0};

    /* sides and the first diagonal twice: only the second diagonal stands alone */
    sides(&b, 1200, 500, 1200, 500);
    sides(&b, 1200.4, 500.3, 1199.8, 499.9);
    add(&b, BT_OPENING_DIAGONAL, 0, 1300);
    add(&b, BT_OPENING_DIAGONAL, 0, 1300);
    add(&b, BT_OPENING_DIAGONAL, 1, 1309);
    fit_well(&b);
    cr_expect(b.q.contradiction);
    cr_expect_eq(b.q.nsuspect, 1);
    cr_expect_eq(b.q.equal, 1);
    cr_expect_eq(b.q.suspect[0].reading, 10);
    cr_expect(!b.q.more_than_one);
    near("misfit", b.q.check[10].misfit, 9, 0.5);
    near("without", b.q.suspect[0].figure[BT_QUAD_ANGLE].value, PI / 2, 1e-3);
    bt_quad_clear(&b.q);
}

Test(quad, says_where_more_than_one_reading_must_be_wrong)
{
    struct bench b = {0};

    sides(&b, 1200, 500, 1200, 500);
    sides(&b, 1212, 500, 1215, 500);
    add(&b, BT_OPENING_DIAGONAL, 0, 1300);
    add(&b, BT_OPENING_DIAGONAL, 1, 1300);
    fit_well(&b);
    cr_expect(b.q.contradiction && b.q.more_than_one);
    bt_quad_clear(&b.q);
}

Test(quad, six_lengths_cannot_say_which_of_them_is_wrong)
{
    struct bench b = {0};

    sides(&b, 1200, 500, 1200, 500);
    add(&b, BT_OPENING_DIAGONAL, 0, 1300);
    add(&b, BT_OPENING_DIAGONAL, 1, 1312);
    fit_well(&b);
    cr_expect(b.q.contradiction);
    cr_expect_eq(b.q.equal, 6);
    bt_quad_clear(&b.q);
}

Test(quad, template_gives_the_corners_however_it_lies)
{
    static const struct bt_point on[] = {{100, 0},    {1300, 0},   {1496, 80},
                                         {1484, 320}, {1000, 500}, {200, 500},
                                         {4, 100},    {16, 400}};
    static const int wall[] = {0, 0, 1, 1, 2, 2, 3, 3};

    for (int k = 0; k < 16; k++) {
        const double turn = k * PI / 8 + 0.1, mirror = k & 1 ? -1 : 1;
        struct bench b = {0};

        for (int i = 0; i < 8; i++) {
            struct bt_opening_reading *r = add(&b, BT_OPENING_POINT, wall[i], NAN);
            const double y = mirror * on[i].y;

            r->x = cos(turn) * on[i].x - sin(turn) * y + 340;
            r->y = sin(turn) * on[i].x + cos(turn) * y - 77;
        }
        fit_well(&b);
        cr_expect_eq(b.q.unknowns, 8);
        cr_expect_eq(b.q.rank, 8);
        near("back", b.q.figure[BT_QUAD_SIDE].value, 1500, 1e-5);
        near("C.x", b.q.corner[2].x, 1475, 1e-5);
        near("C.y", b.q.corner[2].y, 500, 1e-5);
        near("D.x", b.q.corner[3].x, 20, 1e-5);
        cr_expect_eq(b.q.mirrored, mirror < 0);
        bt_quad_clear(&b.q);
    }
}

Test(quad, width_meets_the_wall_and_not_its_chord)
{
    const double at[] = {0, 250, 500}, d[] = {0, -6, 0}, u[] = {0.1, 0.1, 0.1};
    struct bt_wall_profile profile[4] = {{0}};
    struct bench b = {0};

    cr_assert_eq(bt_wall_profile_find(3, at, d, u, &profile[BT_WALL_LEFT], NULL),
                 BT_OK);
    sides(&b, 1200, 500, 1200, 500);
    add(&b, BT_OPENING_DIAGONAL, 0, 1300);
    add(&b, BT_OPENING_WIDTH, 0, 1194)->at = 250;
    cr_assert_eq(bt_quad_fit(b.n, b.r, profile, not_traced, BT_SYSTEM_MM, &b.q, &b.err),
                 BT_OK);
    near("chi2", b.q.chi2, 0, 1e-9);
    bt_quad_clear(&b.q);
    bt_wall_profile_clear(&profile[BT_WALL_LEFT]);
}

Test(quad, refuses_a_triangle_that_cannot_close)
{
    struct bench b = {0};

    sides(&b, 1200, 500, 1200, 500);
    add(&b, BT_OPENING_DIAGONAL, 1, 1720);
    cr_expect_eq(fit(&b), BT_EINPUT);
    cr_expect_eq(b.err.row, 4);
    cr_expect_str_eq(b.err.message,
                     "back 1200 mm, left 500 mm and diagonal BD 1720 mm close no "
                     "triangle: the diagonal is too long; measure the three again");
    bt_quad_clear(&b.q);
    b.r[4].value = 600;
    cr_expect_eq(fit(&b), BT_EINPUT);
    cr_expect_str_eq(b.err.message,
                     "back 1200 mm, left 500 mm and diagonal BD 600 mm close no "
                     "triangle: the diagonal is too short; measure the three again");
    bt_quad_clear(&b.q);
}

Test(quad, refuses_what_is_no_number)
{
    struct bench b = {0};

    sides(&b, 1200, 500, NAN, 500);
    cr_expect_eq(fit(&b), BT_EINPUT);
    cr_expect_eq(b.err.row, 2);
    cr_expect_str_eq(b.err.message,
                     "a reading of the opening is no number that can be used");
    bt_quad_clear(&b.q);
}

Test(quad, refuses_a_space_that_crosses_itself)
{
    struct bench b = {0};

    sides(&b, 1000, 500, 1000, 500);
    add(&b, BT_OPENING_ANGLE, 0, 200 * PI / 180)->u = 1e-4;
    add(&b, BT_OPENING_ANGLE, 1, 200 * PI / 180)->u = 1e-4;
    cr_expect_eq(fit(&b), BT_EINPUT);
    cr_expect_str_eq(b.err.message,
                     "what was measured makes no space with four corners: check that "
                     "each reading stands with its own wall, diagonal or corner");
    bt_quad_clear(&b.q);
}

Test(quad, refuses_a_template_without_the_back_wall)
{
    struct bench b = {0};
    struct bt_opening_reading *r;

    sides(&b, 1000, 500, 1000, 500);
    r = add(&b, BT_OPENING_POINT, BT_WALL_LEFT, NAN);
    r->x = 3;
    r->y = 100;
    cr_expect_eq(fit(&b), BT_EINPUT);
    cr_expect_str_eq(b.err.message,
                     "the template shows no two places of the back wall: trace two or "
                     "more, far apart");
    bt_quad_clear(&b.q);
}

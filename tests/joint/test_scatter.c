/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/joint/scatter.h"

#include <criterion/criterion.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_sort.h>
#include <math.h>
#include <string.h>

#include "joint/scatter_normal.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(scatter, .init = quiet_gsl);

enum { MOST = 12, PLAIN = 20000 };

static const double degree = 0.017453292519943295;

/* Fixed, reproducible: from 0 to 1. */
static double next(uint32_t *state)
{
    *state = *state * 1664525u + 1013904223u;
    return (double)(*state >> 8) / 16777216.0;
}

struct panel {
    size_t n;
    struct bt_strip strip[MOST];
    struct bt_board_run run[MOST];
    struct bt_edge_errors errors;
};

static struct panel make_panel(size_t n, uint32_t seed)
{
    struct panel p = {.n = n};

    for (size_t i = 0; i < n; i++) {
        p.strip[i] = (struct bt_strip){60 + 90 * next(&seed), 20 + 8 * next(&seed),
                                       next(&seed) - 0.5};
        p.run[i].back = next(&seed) < 0.5 ? BT_RUN_IN : BT_RUN_OUT;
        p.run[i].front = next(&seed) < 0.5 ? BT_RUN_IN : BT_RUN_OUT;
        p.run[i].turned = next(&seed) < 0.5;
    }
    p.errors = (struct bt_edge_errors){
        .e = 0.1 * degree, .u_e = 0.06 * degree, .scatter = 0.03 * degree};
    p.errors.u_taper = 0.05;
    return p;
}

static struct bt_scatter_result draw(const struct panel *p, size_t draws, uint64_t seed)
{
    struct bt_scatter_result r;
    struct bt_error err = {0};

    memset(&r, 0, sizeof r);
    cr_assert_eq(
        bt_scatter_draw(p->n, p->strip, p->run, &p->errors, draws, seed, &r, &err),
        BT_OK, "%s", err.message);
    return r;
}

/* ---- edge by edge ---- */

struct plain {
    double cup[PLAIN], opening[PLAIN], kink[PLAIN];
};

/* One panel with an error for every edge and a taper for every board, no small angles.
 */
static void draw_plainly(const struct panel *p, gsl_rng *rng, size_t at,
                         struct plain *out)
{
    double y = 0, width = 0, cup = 0, e, taper[MOST];

    e = p->errors.e + p->errors.u_e * gsl_ran_gaussian(rng, 1);
    out->opening[at] = out->kink[at] = 0;
    for (size_t i = 0; i < p->n; i++) {
        width += p->strip[i].width;
        taper[i] = p->strip[i].taper + p->errors.u_taper * gsl_ran_gaussian(rng, 1);
    }
    for (size_t j = 0; j + 1 < p->n; j++) {
        double lean[2], depth[2];

        for (size_t k = 0; k < 2; k++) {
            struct bt_strip s = p->strip[j + k];
            const struct bt_board_run *run = &p->run[j + k];

            s.taper = run->turned ? -taper[j + k] : taper[j + k];
            depth[k] = s.thickness + (k ? -1 : 1) * s.taper / 2;
            lean[k] = bt_edge_lean(&s, k == 0, k ? run->back : run->front,
                                   e + p->errors.scatter * gsl_ran_gaussian(rng, 1));
        }
        y += p->strip[j].width;
        cup -= fmin(y, width - y) / 2 * (lean[0] + lean[1]);
        out->kink[at] = fmax(out->kink[at], fabs(lean[0] + lean[1]));
        out->opening[at] =
            fmax(out->opening[at],
                 fmin(depth[0], depth[1]) * fabs(tan(lean[0]) + tan(lean[1])));
    }
    out->cup[at] = fabs(cup);
}

/*
 * The share of plain draws below a point of many others: binomial about p with a
 * standard deviation of sqrt(p (1 - p)/PLAIN); five of them, and a half for the others.
 */
static void expect_share(double v[PLAIN], double point, double p, const char *name,
                         uint32_t k)
{
    double below = 0;

    for (size_t i = 0; i < PLAIN; i++)
        below += v[i] < point;
    cr_expect(fabs(below / PLAIN - p) <= 5.5 * sqrt(p * (1 - p) / PLAIN),
              "panel %u, %s, %g: %g", k, name, p, below / PLAIN);
}

Test(scatter, equals_draws_edge_by_edge_without_small_angles)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);

    for (uint32_t k = 0; k < 12; k++) {
        struct panel p = make_panel(2 + k % 8, 30 + k);
        struct bt_scatter_result r;
        static struct plain plain;

        if (k % 4 == 1)
            p.errors.u_e = 0;
        if (k % 4 == 2)
            p.errors.scatter = 0;
        if (k % 4 == 3)
            p.errors.u_taper = 0;
        for (size_t i = 0; i < PLAIN; i++)
            draw_plainly(&p, rng, i, &plain);
        r = draw(&p, 200000, k);
        expect_share(plain.cup, r.cup.median, 0.5, "cup", k);
        expect_share(plain.cup, r.cup.p95, 0.95, "cup", k);
        expect_share(plain.opening, r.opening.median, 0.5, "opening", k);
        expect_share(plain.opening, r.opening.p95, 0.95, "opening", k);
        expect_share(plain.kink, r.kink.median, 0.5, "kink", k);
        expect_share(plain.kink, r.kink.p95, 0.95, "kink", k);
    }
    gsl_rng_free(rng);
}

/* The cup is normal; the size of a normal number of known mean and deviation is known.
 */
Test(scatter, the_cup_has_the_u_that_the_section_propagates)
{
    for (uint32_t k = 0; k < 8; k++) {
        struct panel p = make_panel(3 + k, 60 + k);
        struct bt_scatter_result r = draw(&p, 400000, 5);
        struct bt_section s;
        const double want[] = {0.5, 0.95}, got[] = {r.cup.median, r.cup.p95};

        cr_assert_eq(bt_section_evaluate(p.n, p.strip, p.run, &p.errors, &s, NULL),
                     BT_OK);
        for (int i = 0; i < 2; i++) {
            double share = gsl_cdf_ugaussian_P((got[i] - s.cup.value) / s.cup.u) -
                           gsl_cdf_ugaussian_P((-got[i] - s.cup.value) / s.cup.u);

            cr_expect(fabs(share - want[i]) <=
                          5 * sqrt(want[i] * (1 - want[i]) / 400000),
                      "panel %u, %g: %g", k, want[i], share);
        }
        bt_section_clear(&s);
    }
}

Test(scatter, a_kink_and_an_opening_of_one_joint_have_the_u_of_the_section)
{
    for (uint32_t k = 0; k < 8; k++) {
        struct panel p = make_panel(2, 200 + k);
        struct bt_scatter_result r = draw(&p, 400000, 6);
        struct bt_section s;
        const struct bt_measured *m[2];
        const double got[2] = {r.kink.p95, r.opening.p95};

        cr_assert_eq(bt_section_evaluate(p.n, p.strip, p.run, &p.errors, &s, NULL),
                     BT_OK);
        m[0] = &s.joint[0].kink;
        m[1] = &s.joint[0].opening;
        for (int i = 0; i < 2; i++) {
            double share = gsl_cdf_ugaussian_P((got[i] - m[i]->value) / m[i]->u) -
                           gsl_cdf_ugaussian_P((-got[i] - m[i]->value) / m[i]->u);

            /* and a little for what is held constant in an opening */
            cr_expect(fabs(share - 0.95) <= 5 * sqrt(0.95 * 0.05 / 400000) + 1e-4,
                      "panel %u, %d: %g", k, i, share);
        }
        bt_section_clear(&s);
    }
}

Test(scatter, without_any_randomness_every_point_is_the_value_itself)
{
    for (uint32_t k = 0; k < 20; k++) {
        struct panel p = make_panel(2 + k % 10, 90 + k);
        struct bt_scatter_result r;
        struct bt_section s;

        p.errors.u_e = p.errors.scatter = p.errors.u_taper = 0;
        r = draw(&p, 1000 + k, k);
        cr_assert_eq(bt_section_evaluate(p.n, p.strip, p.run, &p.errors, &s, NULL),
                     BT_OK);
        cr_expect_eq(r.draws, 1000 + k);
        cr_expect(r.cup.median == r.cup.p95 &&
                  fabs(r.cup.median - fabs(s.cup.value)) <= 1e-12);
        cr_expect(fabs(r.opening.median - s.largest_opening) <= 1e-12 &&
                  r.opening.p95 == r.opening.median);
        cr_expect(fabs(r.kink.median - s.largest_kink) <= 1e-15 &&
                  r.kink.p95 == r.kink.median);
        bt_section_clear(&s);
    }
}

Test(scatter, one_board_has_no_joints_to_draw)
{
    struct panel p = make_panel(1, 4);
    struct bt_scatter_result r = draw(&p, 100, 1);

    cr_expect(r.cup.p95 == 0 && r.opening.p95 == 0 && r.kink.p95 == 0);
}

static uint64_t fold(uint64_t seed)
{
    static struct normal_source source;
    uint64_t sum = 0;

    normal_start(&source, seed);
    for (int k = 0; k < 20000; k++) {
        double z[NORMALS];
        uint64_t bits;

        normal_fill(&source, z);
        for (int i = 0; i < NORMALS; i++) {
            memcpy(&bits, &z[i], sizeof bits);
            sum = (sum ^ bits) * 0x100000001B3u;
        }
    }
    return sum;
}

/* Kept from one run: another machine, compiler or width of registers must give them. */
Test(scatter, a_seed_gives_the_same_bits_of_normal_numbers_on_every_machine)
{
    cr_expect_eq(fold(1), 0x2f9798eb01a3ec0u, "%llx", (unsigned long long)fold(1));
    cr_expect_eq(fold(77), 0x6314442886ac0cf5u, "%llx", (unsigned long long)fold(77));
}

/* Kept from one run likewise; to what the library's atan, sin and cos may differ by. */
Test(scatter, a_seed_gives_the_same_result_again)
{
    const double want[] = {0x1.b93b2564c5319p-1, 0x1.bb2cfb6a8c42p+0,
                           0x1.5fd35cf8fefc2p-3, 0x1.0a5fd6827fa36p-2,
                           0x1.e1056e162bf6bp-8, 0x1.649a9d375193cp-7};
    struct panel p = make_panel(7, 77);
    struct bt_scatter_result r, again, other;
    double got[6];

    p.strip[3].taper = 0;
    r = draw(&p, 5001, 42);
    again = draw(&p, 5001, 42);
    other = draw(&p, 5001, 43);
    cr_expect_eq(memcmp(&r, &again, sizeof r), 0);
    cr_expect_neq(memcmp(&r, &other, sizeof r), 0);
    got[0] = r.cup.median, got[1] = r.cup.p95;
    got[2] = r.opening.median, got[3] = r.opening.p95;
    got[4] = r.kink.median, got[5] = r.kink.p95;
    for (int k = 0; k < 6; k++)
        cr_expect(fabs(got[k] - want[k]) <= 1e-13 * want[k], "%d: %a", k, got[k]);
}

/* q-th of the sorted draws, q the whole part of p draws + 1/2 (JCGM 101:2008, 7.7),
 * seen on a joint whose kink is the size of one normal number. */
Test(scatter, points_are_the_order_statistics_of_the_guide)
{
    static const size_t counts[] = {1, 2, 3, 9, 10, 11, 63, 64, 65, 200, 1013, 40000};
    struct panel p = make_panel(2, 5);

    p.strip[0].taper = p.strip[1].taper = 0;
    p.run[0].front = BT_RUN_IN;
    p.run[1].back = BT_RUN_OUT;
    p.errors = (struct bt_edge_errors){.scatter = sqrt(0.5)};
    for (size_t k = 0; k < sizeof counts / sizeof *counts; k++) {
        size_t n = counts[k], median = (size_t)floor(0.5 * (double)n + 0.5);
        size_t p95 = (size_t)floor(0.95 * (double)n + 0.5);
        static double size[40064];
        static struct normal_source source;
        struct bt_scatter_result r = draw(&p, n, 9);

        normal_start(&source, 9);
        for (size_t i = 0; i < n; i += NORMALS) {
            double skipped[NORMALS];

            normal_fill(&source, skipped); /* shared */
            normal_fill(&source, size + i);
            normal_fill(&source, skipped); /* fills up the pair of joints */
        }
        for (size_t i = 0; i < n; i++)
            size[i] = fabs(size[i]);
        gsl_sort(size, 1, n);
        median = median ? median : 1;
        cr_expect(fabs(r.kink.median - size[median - 1]) <= 1e-15 * size[median - 1],
                  "%zu draws: %.17g, not %.17g", n, r.kink.median, size[median - 1]);
        cr_expect(fabs(r.kink.p95 - size[p95 - 1]) <= 1e-15 * size[p95 - 1],
                  "%zu draws", n);
    }
}

/* ---- the normal numbers ---- */

enum { CELLS = 200, TAILS = 12 };

/* Chi square of equally likely cells, and of the tail, cells half as likely each. */
Test(scatter, normal_numbers_are_normal_out_into_the_tail)
{
    static struct normal_source source;
    double cell[CELLS] = {0}, tail[TAILS] = {0}, chi = 0, tail_chi = 0, moment[5] = {0};
    const double blocks = 60000, all = blocks * NORMALS;

    normal_start(&source, 20);
    for (int k = 0; k < (int)blocks; k++) {
        double z[NORMALS];

        normal_fill(&source, z);
        for (int i = 0; i < NORMALS; i++) {
            double p = gsl_cdf_ugaussian_P(z[i]);
            double beyond = 2 * gsl_cdf_ugaussian_Q(fabs(z[i]));

            cell[(int)fmin(p * CELLS, CELLS - 1)]++;
            /* each half as likely as the one before */
            if (beyond < 1e-2)
                tail[(int)fmin(-log2(beyond / 1e-2), TAILS - 1)]++;
            moment[2] += z[i] * z[i];
            moment[1] += z[i];
            moment[4] += z[i] * z[i] * z[i] * z[i];
        }
    }
    for (int c = 0; c < CELLS; c++)
        chi += pow(cell[c] - all / CELLS, 2) / (all / CELLS);
    for (int c = 0; c < TAILS; c++) {
        double want = all * 1e-2 * ldexp(1, c < TAILS - 1 ? -c - 1 : 1 - TAILS);

        tail_chi += pow(tail[c] - want, 2) / want;
    }
    cr_expect(gsl_cdf_chisq_Q(chi, CELLS - 1) > 1e-4, "%g", chi);
    cr_expect(gsl_cdf_chisq_Q(tail_chi, TAILS) > 1e-4, "%g", tail_chi);
    cr_expect(fabs(moment[1] / all) <= 5 / sqrt(all));
    cr_expect(fabs(moment[2] / all - 1) <= 5 * sqrt(2 / all));
    cr_expect(fabs(moment[4] / all - 3) <= 5 * sqrt(96 / all));
}

Test(scatter, exponential_and_logarithm_agree_with_the_library)
{
    for (int k = 1; k <= 9000; k++) {
        double x = k * 0.001;

        cr_expect(fabs(normal_exp_minus(x) / exp(-x) - 1) <= 5e-14, "%g", x);
    }
    for (double x = 1; x > 1e-18; x *= 0.99)
        cr_expect(fabs(normal_log(x) - log(x)) <= 2e-14 * fabs(log(x)) + 1e-300, "%g",
                  x);
}

/* ---- refusals ---- */

static void expect_refused(const struct panel *p, size_t draws, size_t row,
                           const char *message)
{
    struct bt_scatter_result r, untouched;
    struct bt_error err = {0};

    memset(&r, 0x5a, sizeof r);
    untouched = r;
    cr_expect_eq(
        bt_scatter_draw(p->n, p->strip, p->run, &p->errors, draws, 1, &r, &err),
        BT_EINPUT, "%s", message);
    cr_expect_str_eq(err.message, message, "%s", err.message);
    cr_expect_eq(err.row, row, "%s: %zu", message, err.row);
    cr_expect_eq(memcmp(&r, &untouched, sizeof r), 0, "%s", message);
}

Test(scatter, refuses_what_cannot_be_drawn)
{
    struct panel p = make_panel(3, 8);

    expect_refused(&p, 0, 3, "no draws are asked for");
    p.errors.scatter = NAN;
    expect_refused(&p, 10, 3, "the scatter of the edges is not a number of 0 or more");
    p.errors.scatter = 1e200;
    expect_refused(&p, 10, 3, "the numbers are too large or too small to compute with");
    p.errors.scatter = 0;
    p.errors.u_taper = 1e300;
    p.run[1].back = BT_RUN_OUT;
    expect_refused(&p, 10, 3, "the numbers are too large or too small to compute with");
    p.errors.u_taper = 0;
    p.strip[2].width = NAN;
    expect_refused(&p, 10, 2, "its width is not a number above 0");
    p.n = 0;
    expect_refused(&p, 10, 0, "there are no boards");
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/judge/sag.h"
#include "support/memory.h"

/* The panel of reference/checks.py, section 7: 25 mm, 700 kg/m3, E 12600 MPa. */
static const double E = 12600, rho = 700, t = 25, L = 1500;

static double unit(void)
{
    return rho * 1e-9 * BT_SAG_GRAVITY * t * pow(L, 4) / (E * t * t * t / 12);
}

static void heights(size_t ns, const double support[], size_t n, const double at[],
                    double z[])
{
    const struct bt_sag_request r = {L, t, E, rho, ns, support};
    struct bt_error err = {.code = BT_OK};

    gsl_set_error_handler_off();
    cr_assert_eq(bt_sag_heights(&r, n, at, z, &err), BT_OK, "%s", err.message);
}

static void near(double got, double want, double tol, const char *what)
{
    cr_expect(fabs(got - want) <= tol, "%s: got %.12g, want %.12g", what, got, want);
}

Test(sag, between_end_supports_is_that_of_the_table_and_of_the_worked_panel)
{
    const double support[] = {0, L}, at[] = {L / 2, L / 4, 0, L};
    double z[4];

    heights(2, support, 4, at, z);
    near(z[0], -5.0 / 384 * unit(), 1e-12, "5/384, reference/beams.csv");
    /* checks.py, section 7, prints 0.6898 mm with g = 9.81 */
    near(z[0] * 9.81 / BT_SAG_GRAVITY, -0.6898, 5e-5, "worked panel");
    near(z[0], -bt_sag_most(L, t, E, rho), 1e-12, "most");
    /* q x (L^3 - 2 L x^2 + x^3)/(24 EI) at L/4 */
    near(z[1], -unit() / 24 * 0.25 * (1 - 2.0 / 16 + 1.0 / 64), 1e-12, "quarter");
    near(z[2], 0, 1e-12, "left support");
    near(z[3], 0, 1e-12, "right support");
}

Test(sag, at_the_least_sag_points_is_alike_in_the_middle_and_at_the_ends)
{
    double support[2], z[3], least = bt_sag_least(L, t, E, rho, support);
    const double at[] = {0, L / 2, L};

    heights(2, support, 3, at, z);
    near(z[0], z[1], 2e-6 * unit(), "end against middle");
    near(z[2], z[0], 1e-12, "both ends");
    near(least, -z[1], 2e-8 * unit(), "0.00026973 q L^4/EI, reference/beams.csv");
    for (double d = -60; d <= 60; d += 20) {
        const double other[] = {support[0] + d, support[1] - d};
        double w[3];

        heights(2, other, 3, at, w);
        cr_expect(d == 0 || -fmin(w[0], w[1]) > least, "moved by %g: %g", d, w[1]);
    }
}

Test(sag, of_two_equal_spans_is_that_of_the_table)
{
    const double support[] = {0, L / 2, L};
    double at[401], z[401], deepest = 0;

    for (int i = 0; i <= 400; i++)
        at[i] = L * i / 400;
    heights(3, support, 401, at, z);
    for (int i = 0; i <= 400; i++)
        deepest = fmin(deepest, z[i]);
    /* 0.00541 q l^4/EI for a span l, from memory in reference/beams.csv: 3 digits */
    near(deepest, -0.00541 * unit() / 16, 1e-5 * unit() / 16, "two spans");
}

Test(sag, lifts_off_a_support_that_would_have_to_pull)
{
    /* a short overhang beside a long span tips up, off its outer support */
    const double three[] = {0, 60, 1500}, two[] = {60, 1500}, at[] = {0, 30, 780};
    double z[3], w[3];

    heights(3, three, 3, at, z);
    heights(2, two, 3, at, w);
    cr_expect(w[0] > 0, "the end rises: %g", w[0]);
    for (int i = 0; i < 3; i++)
        near(z[i], w[i], 1e-12, "as without the support");
}

Test(sag, takes_up_every_support_that_the_strip_would_sink_below)
{
    const double three[] = {0, 700, 800}, two[] = {700, 800}, at[] = {0, 400, 1500};
    double z[3], w[3];

    heights(3, three, 3, at, z);
    heights(2, two, 3, at, w);
    cr_expect(w[0] < 0, "hangs without it: %g", w[0]);
    near(z[0], 0, 1e-12, "held by it");
    cr_expect(z[2] < 0, "the far end hangs: %g", z[2]);
}

Test(sag, is_mirrored_with_its_supports)
{
    const double support[] = {200, 500, 1400}, mirror[] = {100, 1000, 1300};
    const double at[] = {0, 350, 900, 1500}, back[] = {1500, 1150, 600, 0};
    double z[4], w[4];

    heights(3, support, 4, at, z);
    heights(3, mirror, 4, back, w);
    for (int i = 0; i < 4; i++)
        near(z[i], w[i], 1e-12, "mirrored");
}

Test(sag, survives_each_failing_allocation)
{
    const double support[] = {200, 500, 1400}, at[] = {0};
    const struct bt_sag_request r = {L, t, E, rho, 3, support};
    size_t before = memory_live();
    double z = 4;

    gsl_set_error_handler_off();
    for (size_t k = 1;; k++) {
        struct bt_error err = {.code = BT_OK};

        memory_fail_at(k);
        if (bt_sag_heights(&r, 1, at, &z, &err) == BT_OK)
            break;
        cr_expect_eq(err.code, BT_ENOMEM, "call %zu", k);
        cr_expect_eq(z, 4.0, "call %zu: touched", k);
        cr_expect(k < 100);
    }
    memory_fail_at(0);
    cr_expect(memory_calls() == 0);
    cr_expect_eq(memory_live(), before);
}

Test(sag, refuses_what_cannot_lie)
{
    static const double tips[] = {100, 300}, order[] = {900, 300}, beyond[] = {0, 1600};
    static const double well[] = {0, 1500}, nan_support[] = {0, NAN};
    static const struct row {
        struct bt_sag_request r;
        double at;
        size_t row;
        const char *message;
    } rows[] = {
        {{1500, 25, 12600, 700, 2, tips},
         0,
         0,
         "the panel would tip over: it needs a support on either side of its middle"},
        {{1500, 25, 12600, 700, 1, tips},
         0,
         0,
         "the panel would tip over: it needs a support on either side of its middle"},
        {{1500, 25, 12600, 700, 0, tips},
         0,
         0,
         "the panel would tip over: it needs a support on either side of its middle"},
        {{1500, 25, 12600, 700, 2, order},
         0,
         1,
         "supports must increase and lie under the panel"},
        {{1500, 25, 12600, 700, 2, beyond},
         0,
         1,
         "supports must increase and lie under the panel"},
        {{1500, 25, 12600, 700, 2, nan_support},
         0,
         1,
         "supports must increase and lie under the panel"},
        {{0, 25, 12600, 700, 2, well}, 0, 0, "length must be more than 0"},
        {{1500, NAN, 12600, 700, 2, well}, 0, 0, "thickness must be more than 0"},
        {{1500, 25, -1, 700, 2, well}, 0, 0, "stiffness must be more than 0"},
        {{1500, 25, 12600, INFINITY, 2, well}, 0, 0, "density must be more than 0"},
        {{1500, 25, 12600, 700, 2, well},
         1501,
         0,
         "a place beyond the end of the panel"},
        {{1500, 25, 12600, 700, 2, well},
         NAN,
         0,
         "a place beyond the end of the panel"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bt_error err = {.code = BT_OK};
        double z = 4;

        cr_expect_eq(bt_sag_heights(&rows[i].r, 1, &rows[i].at, &z, &err), BT_EINPUT,
                     "row %zu", i);
        cr_expect_str_eq(err.message, rows[i].message);
        cr_expect_eq(err.row, rows[i].row, "row %zu", i);
        cr_expect_eq(z, 4.0, "row %zu: touched", i);
    }
    cr_expect(isnan(bt_sag_most(1500, 25, NAN, 700)));
    cr_expect(isnan(bt_sag_least(0, 25, 12600, 700, (double[2]){0, 0})));
}

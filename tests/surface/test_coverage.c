/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A few of the panels of bench_coverage, in two of its ways of reading: one that sees
 * everything, with errors that readings share, and one that sees little.
 */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <string.h>

#include "benchtrue/judge/limits.h"
#include "benchtrue/surface/draws.h"

#include "bench/coverage_count.h"
#include "bench/coverage_truth.h"

enum { PANELS = 200 };

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(coverage, .init = quiet_gsl);

static const struct scheme *find(const char *name)
{
    size_t s = 0;

    while (s < scheme_count && strcmp(schemes[s].name, name) != 0)
        s++;
    cr_assert_lt(s, scheme_count, "no scheme %s", name);
    return &schemes[s];
}

static struct tally run(const struct scheme *scheme, double scale)
{
    struct tally tally = {0};

    cr_assert(scheme_claims_hold(scheme), "%s", scheme->name);
    cover_run(scheme, &(struct cover_request){0, 1, PANELS, BT_DRAWS_LEAST, scale},
              &tally);
    cr_assert_eq(tally.panels, PANELS);
    cr_expect_eq(tally.failed, 0);
    cr_expect_eq(tally.withheld, 0);
    cr_expect_eq(tally.unseen, 0);
    return tally;
}

Test(coverage, figures_and_intervals_hold_what_is_true_as_often_as_they_say)
{
    const struct scheme *scheme = find("edge tested, both ways round");
    const struct tally tally = run(scheme, 1);

    for (int k = 0; k < COVER_FIGURES; k++) {
        const struct cover *c = &tally.figure[k];

        cr_expect_eq(c->printed, PANELS);
        cr_expect(cover_good(scheme, k, c), "figure %d held in %zu of %zu", k, c->held,
                  c->printed);
        cr_expect(c->just_beyond > PANELS / 2);
        cr_expect(cover_risk_good(c), "figure %d false in %zu of %zu", k, c->just_wrong,
                  c->just_beyond);
    }
}

/* Between the same two leaves at many places for being so smooth: with errors that are
 * all counted as independent cup and bow hold in 85 %. */
Test(coverage, figures_of_a_perfectly_smooth_panel_read_with_feelers_hold)
{
    const struct scheme *scheme = find("feelers, 0, perfectly smooth");
    const struct tally tally = run(scheme, 1);

    for (int k = 0; k < COVER_FIGURES; k++)
        cr_expect(cover_good(scheme, k, &tally.figure[k]),
                  "figure %d held in %zu of %zu", k, tally.figure[k].held,
                  tally.figure[k].printed);
}

Test(coverage, lines_along_print_the_bow_and_nothing_that_they_cannot_see)
{
    const struct scheme *scheme = find("lines along only");
    const struct tally tally = run(scheme, 1);

    for (int k = 0; k < COVER_FIGURES; k++)
        cr_expect_eq(tally.figure[k].printed, k == BT_FIGURE_BOW ? PANELS : 0,
                     "figure %d", k);
    cr_expect(cover_good(scheme, BT_FIGURE_BOW, &tally.figure[BT_FIGURE_BOW]));
}

/* That this many panels can tell: with half the u everything linear misses. */
Test(coverage, half_of_the_true_u_holds_too_seldom_and_calls_too_much_within)
{
    const struct scheme *scheme = find("grid of lines, no diagonals");
    const struct tally tally = run(scheme, 0.5);

    for (int k = 0; k < COVER_FIGURES; k++)
        if (k == BT_FIGURE_CUP || k == BT_FIGURE_BOW) {
            cr_expect(!cover_good(scheme, k, &tally.figure[k]), "figure %d", k);
            cr_expect(!cover_risk_good(&tally.figure[k]), "figure %d", k);
        }
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/judge/limits.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "support/reference.h"

/*
 * bt_p_within knows zones that lie evenly about 0.  A zone from low to high becomes
 * one by moving its middle to 0.  A single upper limit becomes the upper end of a
 * zone so wide that its lower end counts for nothing.
 */
static double p_between(double value, double u, double low, double high)
{
    return bt_p_within(value - 0.5 * (low + high), u, 0.5 * (high - low));
}

static double p_below(double value, double u, double high)
{
    double wide = 100.0 * u;

    return bt_p_within(value - high + wide, u, wide);
}

/* The examples of JCGM 106 in jcgm_checks.csv: inputs as named there. */
struct example {
    const char *example, *quantity;
    double value, u, low, high; /* low NaN: one upper limit */
};

/* Oil: inputs seen, published figure from memory; zener diode: all from memory;
 * guard band: from memory. */
static const struct example examples[] = {
    {"7.3.3 zener diode: v=-5.47 V u=0.05 V limit -5.40 V (upper)", "p_c", -5.47, 0.05,
     NAN, -5.40},
    {"7.4 motor oil: y=13.6 u=1.8 TL=12.5 TU=16.3 mm2/s", "p_c", 13.6, 1.8, 12.5, 16.3},
    {"guard band w = U (k = 2)",
     "p_c of a result exactly at the acceptance limit; one-sided", 8.0, 1.0, NAN, 10.0},
};

/* 1e-12: the recomputed figures have 12 digits. */
Test(limits, gives_the_conformance_probabilities_of_jcgm_106)
{
    struct reference *t = reference_load("metrology/jcgm_checks.csv");

    for (size_t k = 0; k < sizeof examples / sizeof *examples; k++) {
        const struct example *e = &examples[k];
        size_t i = reference_find(t, "example", e->example, 0);
        const char *published = reference_text(t, i, "published");
        double half = 0.5 * pow(10.0, -(double)strlen(strchr(published, '.') + 1));
        double got = isnan(e->low) ? p_below(e->value, e->u, e->high)
                                   : p_between(e->value, e->u, e->low, e->high);

        cr_expect_str_eq(reference_text(t, i, "quantity"), e->quantity);
        cr_expect(fabs(got - reference_number(t, i, "recomputed")) <= 1e-12,
                  "%s: %.15g", e->example, got);
        cr_expect(fabs(got - reference_number(t, i, "published")) <= half, "%s: %.15g",
                  e->example, got);
    }
    reference_free(t);
}

/* The table of z for a one-sided limit, JCGM 106 (from memory); at the z recomputed
 * with 12 digits the probability has to come back to 1e-12. */
Test(limits, gives_the_one_sided_table_of_jcgm_106_back)
{
    static const char *const share[] = {"0.8", "0.9", "0.95", "0.99", "0.999"};
    static const double want[] = {0.8, 0.9, 0.95, 0.99, 0.999};
    struct reference *t = reference_load("metrology/jcgm_checks.csv");

    for (size_t k = 0; k < sizeof want / sizeof *want; k++) {
        char quantity[32];
        double got;
        size_t i;

        snprintf(quantity, sizeof quantity, "z for p_c=%s", share[k]);
        i = reference_find(t, "quantity", quantity, 0);
        got = p_below(-reference_number(t, i, "recomputed"), 1.0, 0.0);
        cr_expect(fabs(got - want[k]) <= 1e-12, "%s: %.15g", share[k], got);
    }
    reference_free(t);
}

Test(limits, counts_both_signs_of_a_figure_alike)
{
    cr_expect(bt_p_within(0.83, 0.21, 1.0) == bt_p_within(-0.83, 0.21, 1.0));
    cr_expect(bt_p_within(-1.9, 0.21, 1.0) == bt_p_within(1.9, 0.21, 1.0));
}

/* At the limit half of the probability lies beyond it, and what lies beyond the
 * other limit is lost too: Phi(0) - Phi(-2 T/u); 0.5 - Q(2) with Q(2) =
 * 0.0227501319481792 (same computation as below). */
Test(limits, takes_off_what_lies_beyond_the_far_limit)
{
    cr_expect(fabs(bt_p_within(1.0, 1.0, 1.0) - (0.5 - 0.0227501319481792)) <= 1e-15);
}

/* Q(10) and Q(37), the normal tail by its continued fraction with 60 digits, computed
 * apart from this program. */
Test(limits, keeps_the_digits_of_small_probabilities)
{
    double got = bt_p_within(3.0, 0.2, 1.0);

    cr_expect(fabs(got / 7.61985302416052607e-24 - 1.0) <= 1e-13, "%.17g", got);
    got = bt_p_within(38.0, 1.0, 1.0);
    cr_expect(fabs(got / 5.72557122252457682e-300 - 1.0) <= 1e-12, "%.17g", got);
}

/* Q(6) = 9.86587645037698e-10 (same computation): what is missing to 1 keeps what a
 * double holds. */
Test(limits, comes_near_one_without_reaching_it_too_soon)
{
    double got = 1.0 - bt_p_within(0.4, 0.1, 1.0);

    cr_expect(fabs(got - 9.86587645037698e-10) <= 1.2e-16, "%.17g", got);
    cr_expect(bt_p_within(0.0, 0.01, 1.0) == 1.0);
}

Test(limits, falls_from_one_to_zero_as_the_figure_grows)
{
    double before = 1.0;

    for (int i = 0; i <= 400; i++) {
        double p = bt_p_within(0.01 * i, 0.17, 1.2);
        cr_expect(p >= 0.0 && p <= before, "%d: %.17g after %.17g", i, p, before);
        before = p;
    }
    cr_expect(before < 1e-30);
}

Test(limits, is_certain_where_u_is_zero)
{
    cr_expect(bt_p_within(1.5, 0.0, 1.5) == 1.0);
    cr_expect(bt_p_within(-1.5, 0.0, 1.5) == 1.0);
    cr_expect(bt_p_within(1.5000001, 0.0, 1.5) == 0.0);
}

Test(limits, gives_nan_for_nan_and_for_what_is_no_limit)
{
    cr_expect(isnan(bt_p_within(NAN, 0.1, 1.0)));
    cr_expect(isnan(bt_p_within(0.5, NAN, 1.0)));
    cr_expect(isnan(bt_p_within(0.5, 0.1, NAN)));
    cr_expect(isnan(bt_p_within(NAN, 0.0, 1.0)));
    cr_expect(isnan(bt_p_within(0.5, -0.1, 1.0)));
    cr_expect(isnan(bt_p_within(0.5, 0.1, 0.0)));
    cr_expect(isnan(bt_p_within(0.5, 0.1, -1.0)));
}

Test(limits, judges_within_over_and_too_close)
{
    struct bt_judgement j = bt_judge(BT_FIGURE_TWIST, -0.6, 0.2, true, 1.5, 0.95);

    cr_expect(j.figure == BT_FIGURE_TWIST && j.limit == 1.5 && j.value == -0.6 &&
              j.u == 0.2);
    cr_expect(j.verdict == BT_WITHIN && j.p_within == bt_p_within(-0.6, 0.2, 1.5));
    cr_expect(bt_judge(BT_FIGURE_CUP, 1.9, 0.2, true, 1.5, 0.95).verdict == BT_OVER);
    cr_expect(bt_judge(BT_FIGURE_CUP, -1.9, 0.2, true, 1.5, 0.95).verdict == BT_OVER);
    cr_expect(bt_judge(BT_FIGURE_BOW, 1.6, 0.2, true, 1.5, 0.95).verdict ==
              BT_TOO_CLOSE);
    cr_expect(bt_judge(BT_FIGURE_BOW, 1.4, 0.2, true, 1.5, 0.95).verdict ==
              BT_TOO_CLOSE);
    cr_expect(bt_judge(BT_FIGURE_BOW, 0.0, 40.0, true, 1.5, 0.95).verdict == BT_OVER,
              "a figure that is hardly known is hardly within");
}

/* The confidence is set to the probability itself, and to its neighbours. */
Test(limits, counts_a_probability_equal_to_the_confidence_as_enough)
{
    double p = bt_p_within(1.2, 0.2, 1.5), q = bt_p_within(1.9, 0.2, 1.5);
    double at = 1.0 - q; /* 1 - at may differ from q by a rounding */

    cr_expect(bt_judge(BT_FIGURE_CUP, 1.2, 0.2, true, 1.5, p).verdict == BT_WITHIN);
    cr_expect(bt_judge(BT_FIGURE_CUP, 1.2, 0.2, true, 1.5, nextafter(p, 1.0)).verdict ==
              BT_TOO_CLOSE);
    cr_expect(bt_judge(BT_FIGURE_CUP, 1.9, 0.2, true, 1.5, at - 1e-15).verdict ==
              BT_OVER);
    cr_expect(bt_judge(BT_FIGURE_CUP, 1.9, 0.2, true, 1.5, at + 1e-15).verdict ==
              BT_TOO_CLOSE);
    cr_expect(bt_judge(BT_FIGURE_CUP, 1.5, 0.0, true, 1.5, 0.75).verdict == BT_WITHIN);
}

static void expect_not_seen(struct bt_judgement j)
{
    cr_expect(j.verdict == BT_NOT_SEEN);
    cr_expect(isnan(j.value) && isnan(j.u) && isnan(j.p_within));
    cr_expect(j.figure == BT_FIGURE_BOW);
}

Test(limits, says_not_seen_for_what_is_not_seen_or_not_a_number)
{
    expect_not_seen(bt_judge(BT_FIGURE_BOW, 0.1, 0.1, false, 1.0, 0.95));
    expect_not_seen(bt_judge(BT_FIGURE_BOW, NAN, 0.1, true, 1.0, 0.95));
    expect_not_seen(bt_judge(BT_FIGURE_BOW, 0.1, NAN, true, 1.0, 0.95));
    expect_not_seen(bt_judge(BT_FIGURE_BOW, 0.1, -0.1, true, 1.0, 0.95));
    expect_not_seen(bt_judge(BT_FIGURE_BOW, 0.1, 0.1, true, NAN, 0.95));
}

Test(limits, begin_with_none_set_at_95_percent)
{
    struct bt_limits none = bt_limits_none();

    cr_expect_str_empty(none.use);
    cr_expect(none.confidence == 0.95);
    cr_expect(isnan(none.local_span));
    for (size_t i = 0; i < BT_FIGURE_COUNT; i++)
        cr_expect(isnan(none.limit[i]));
}

/* The table as it stands in reference/, read here by other code than the generator. */
Test(limits, hold_every_row_of_the_table_of_uses)
{
    struct reference *t = reference_load("use_bands.csv");
    size_t set = 0;

    for (size_t i = 0; i < reference_rows(t); i++) {
        const char *use = reference_text(t, i, "use");
        const char *source = reference_text(t, i, "source");
        const struct bt_band *band = bt_band_find(use, strlen(use));
        size_t k = 0;

        cr_assert_not_null(band, "%s", use);
        while (k < BT_FIGURE_COUNT && strcmp(bt_figure_name((enum bt_figure)k),
                                             reference_text(t, i, "figure")))
            k++;
        cr_assert(k < BT_FIGURE_COUNT);
        cr_expect_str_eq(reference_text(t, i, "unit"), "mm");
        cr_expect(band->limit[k] == reference_number(t, i, "limit"), "%s", use);
        cr_expect(strstr(band->source[k], reference_text(t, i, "status")), "%s", use);
        cr_expect(strncmp(band->source[k], source, strlen(source)) == 0, "%s", use);
    }
    for (size_t i = 0; i < bt_band_count(); i++)
        for (size_t k = 0; k < BT_FIGURE_COUNT; k++) {
            bool none = isnan(bt_band_at(i)->limit[k]);
            cr_expect(none || bt_band_at(i)->limit[k] > 0.0);
            cr_expect(none == (bt_band_at(i)->source[k][0] == '\0'));
            set += none ? 0 : 1;
        }
    cr_expect(set == reference_rows(t));
    reference_free(t);
}

Test(limits, know_the_six_uses)
{
    static const char *const uses[] = {"table top", "bench top", "counter",
                                       "seat",      "shelf",     "door"};

    cr_expect(bt_band_count() == 6);
    for (size_t i = 0; i < 6; i++)
        cr_expect_str_eq(bt_band_at(i)->use, uses[i]);
    cr_expect_null(bt_band_at(6));
}

/* BS 4787-1:1980 as quoted by a door maker: twist 6, bow 4, cup 2 mm. */
Test(limits, hold_the_figures_of_bs_4787_for_a_door)
{
    const struct bt_band *door = bt_band_find("door", 4);

    cr_assert_not_null(door);
    cr_expect(door->limit[BT_FIGURE_CUP] == 2.0 && door->limit[BT_FIGURE_BOW] == 4.0 &&
              door->limit[BT_FIGURE_TWIST] == 6.0 &&
              isnan(door->limit[BT_FIGURE_RANGE]));
    cr_expect_str_eq(door->source[BT_FIGURE_CUP],
                     "BS 4787-1:1980; seen (secondary quotation)");
}

Test(limits, find_a_use_whole_and_in_any_case)
{
    cr_expect(bt_band_find("Table TOP", 9) == bt_band_at(0));
    cr_expect(bt_band_find("shelf life", 5) == bt_band_find("shelf", 5));
    cr_expect_null(bt_band_find("table", 5));
    cr_expect_null(bt_band_find("table tops", 10));
    cr_expect_null(bt_band_find("table\0top", 9));
    cr_expect_null(bt_band_find("", 0));
}

Test(limits, name_figures_and_verdicts)
{
    cr_expect_str_eq(bt_figure_name(BT_FIGURE_CUP), "cup");
    cr_expect_str_eq(bt_figure_name(BT_FIGURE_BOW), "bow");
    cr_expect_str_eq(bt_figure_name(BT_FIGURE_TWIST), "twist");
    cr_expect_str_eq(bt_figure_name(BT_FIGURE_RANGE), "range");
    cr_expect_str_eq(bt_figure_name(BT_FIGURE_ZONE), "zone");
    cr_expect_str_eq(bt_figure_name(BT_FIGURE_LOCAL), "local");
    cr_expect_str_eq(bt_figure_name(BT_FIGURE_COUNT), "unknown figure");
    cr_expect_str_eq(bt_verdict_text(BT_WITHIN), "within");
    cr_expect_str_eq(bt_verdict_text(BT_OVER), "over");
    cr_expect_str_eq(bt_verdict_text(BT_TOO_CLOSE), "too close to call");
    cr_expect_str_eq(bt_verdict_text(BT_NOT_SEEN), "not seen");
    cr_expect_str_eq(bt_verdict_text((enum bt_verdict)7), "unknown verdict");
}

Test(limits, judges_a_largest_figure_by_its_interval)
{
    static const struct {
        double limit, lo, hi;
        enum bt_verdict verdict;
    } rows[] = {
        {1, 0.2, 0.8, BT_WITHIN},         {1, 0.2, 1, BT_WITHIN},
        {1, 0.2, 1.001, BT_TOO_CLOSE},    {1, 1, 1.5, BT_TOO_CLOSE},
        {1, 1.001, 1.5, BT_OVER},         {1, 0, 0, BT_WITHIN},
        {0, 0.2, 0.8, BT_NOT_SEEN},       {-1, 0.2, 0.8, BT_NOT_SEEN},
        {NAN, 0.2, 0.8, BT_NOT_SEEN},     {1, NAN, 0.8, BT_NOT_SEEN},
        {1, 0.2, NAN, BT_NOT_SEEN},       {1, 0.8, 0.2, BT_NOT_SEEN},
        {1, 0.2, INFINITY, BT_TOO_CLOSE},
    };

    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        cr_expect_eq(bt_judge_interval(rows[k].limit, rows[k].lo, rows[k].hi),
                     rows[k].verdict, "row %zu", k);
}

/* w = r U: at w = 1.645 u the specific risk at the acceptance limit is 5 %; with w = 2
 * u it is 2.3 % (JCGM 106:2012, from memory; reference/metrology/jcgm_checks.csv). */
Test(guard_band, is_the_quantile_of_the_confidence_where_one_side_counts)
{
    static const struct {
        double confidence, z;
    } rows[] = {{0.8, 0.841621233573}, {0.9, 1.28155156554},   {0.95, 1.64485362695},
                {0.99, 2.32634787404}, {0.999, 3.09023230617}, {0.977249868052, 2}};

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const double w = bt_guard_band(0.05, 5.4, rows[i].confidence);
        cr_expect(fabs(w - 0.05 * rows[i].z) <= 1e-10, "%g: %.12g", rows[i].confidence,
                  w);
    }
}

Test(guard_band, stands_where_within_begins_with_both_sides_counted)
{
    const double w = bt_guard_band(0.5, 1, 0.95);

    cr_expect(fabs(bt_p_within(1 - w, 0.5, 1) - 0.95) <= 1e-12);
    cr_expect(w > 0.5 * 1.645, "the far side takes its part");
    cr_expect_eq(bt_judge(BT_FIGURE_CUP, 1 - w - 1e-9, 0.5, true, 1, 0.95).verdict,
                 BT_WITHIN);
    cr_expect_eq(bt_judge(BT_FIGURE_CUP, 1 - w + 1e-9, 0.5, true, 1, 0.95).verdict,
                 BT_TOO_CLOSE);
}

Test(guard_band, is_none_where_no_figure_would_be_within)
{
    cr_expect(isnan(bt_guard_band(1, 1, 0.95)));
    cr_expect(isnan(bt_guard_band(NAN, 1, 0.95)));
    cr_expect(isnan(bt_guard_band(-1, 1, 0.95)));
    cr_expect(isnan(bt_guard_band(0.1, 0, 0.95)));
    cr_expect(isnan(bt_guard_band(0.1, 1, 0.5)));
    cr_expect(isnan(bt_guard_band(0.1, 1, 1)));
    cr_expect(isnan(bt_guard_band(0.1, 1, NAN)));
    cr_expect(bt_guard_band(0, 1, 0.95) <= 0);
}

Test(judge, gives_the_risk_of_the_verdict_that_it_gives)
{
    struct bt_judgement j = bt_judge(BT_FIGURE_CUP, 1.0, 0.2, true, 1.5, 0.95);

    cr_expect(fabs(j.risk_accepted - (1 - j.p_within)) <= 1e-15);
    cr_expect(isnan(j.risk_rejected));
    cr_expect(fabs(j.guard - 0.2 * 1.64485362695) <= 1e-10);
    j = bt_judge(BT_FIGURE_CUP, 2.0, 0.2, true, 1.5, 0.95);
    cr_expect(fabs(j.risk_rejected - j.p_within) <= 1e-15);
    cr_expect(isnan(j.risk_accepted));
    j = bt_judge(BT_FIGURE_CUP, 1.5, 0.2, true, 1.5, 0.95);
    cr_expect(isnan(j.risk_accepted) && isnan(j.risk_rejected));
    j = bt_judge(BT_FIGURE_CUP, 1.5, 0.2, false, 1.5, 0.95);
    cr_expect(isnan(j.guard));
}

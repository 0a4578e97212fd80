/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/day.h"
#include "draw/trend_figure.h"
#include "draw/written.h"
#include "support/memory.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(figure_trend, .init = quiet_gsl, .fini = bt_figure_teardown);

/* ---- a cherry shelf over three weeks, invented ---- */

enum { DAYS = 4, GRAPHS = 3 };

static struct bt_job job;
static struct bt_trend_mark mark[GRAPHS][DAYS];
static struct bt_trend_rest rest[GRAPHS];
static struct bt_trend_graph graph[GRAPHS];
static struct bt_trend_figure_input input;

static void fit(int g)
{
    static const struct bt_trend_prior prior = {8.6, 0.348};
    struct bt_trend_point point[DAYS];
    struct bt_error err = {0};

    for (int i = 0; i < DAYS; i++)
        point[i] = (struct bt_trend_point){
            (double)mark[g][i].day, mark[g][i].value.value, mark[g][i].value.u, NULL};
    cr_assert_eq(bt_trend_fit(DAYS, point, 0, &prior, &rest[g], &err), BT_OK, "%s",
                 err.message);
    graph[g].rest = &rest[g];
}

static void shelf(bool fitted)
{
    static const char *const name[GRAPHS] = {"cup", "bow", "twist"};
    static const char *const above[GRAPHS] = {"crowned", "crowned", "A and C high"};
    static const char *const below[GRAPHS] = {"hollow", "hollow", "B and D high"};
    static const char *const verdict[GRAPHS] = {"moved", "settled", "cannot tell"};
    static const double value[GRAPHS][DAYS] = {{-1.47, -1.13, -0.85, -0.69},
                                               {0.02, 0.019, 0.015, 0.016},
                                               {0.7, 0.5, 0.31, -0.19}};
    static const double u[GRAPHS] = {0.03, 0.012, 0.06};
    static const long day[DAYS] = {0, 4, 10, 20};

    memset(&job, 0, sizeof job);
    job.title = (char *)(size_t) "Cherry shelf";
    for (int g = 0; g < GRAPHS; g++) {
        for (int i = 0; i < DAYS; i++)
            mark[g][i] =
                (struct bt_trend_mark){20563 + day[i], {value[g][i], u[g], true}};
        graph[g] = (struct bt_trend_graph){.name = name[g],
                                           .above = above[g],
                                           .below = below[g],
                                           .verdict = verdict[g],
                                           .limit = g == 1 ? NAN : 0.8,
                                           .n = DAYS,
                                           .mark = mark[g]};
        if (fitted)
            fit(g);
    }
    input = (struct bt_trend_figure_input){
        .job = &job,
        .date = "2026-05-10",
        .what = "4 sets of readings, 2026-04-20 to 2026-05-10, top face",
        .ngraph = GRAPHS,
        .graph = graph,
        .next_known = true,
        .next = 20563 + 35};
}

static const char *svg(struct bt_figure_bytes *b)
{
    struct bt_error err = {0};

    cr_assert_eq(bt_figure_trend(&input, BT_FIGURE_SVG, b, &err), BT_OK, "%s",
                 err.message);
    return written_text(b);
}

static void expect_words(const char *text, size_t n, const char *const word[])
{
    for (size_t i = 0; i < n; i++)
        cr_expect_not_null(strstr(text, word[i]), "'%s' is missing", word[i]);
    cr_expect_null(strstr(text, "nan"));
    cr_expect_null(strstr(text, "inf"));
}

/* ---- what it says ---- */

Test(figure_trend, says_each_figure_where_it_ends_and_when_to_look)
{
    static const char *const words[] = {
        "<title>Cherry shelf</title>",
        "4 sets of readings, 2026-04-20 to 2026-05-10, top face",
        "cup: moved",
        "0.69 mm hollow (u 0.03) on 2026-05-10, comes to rest at 0.6",
        "bow: settled",
        "twist: cannot tell",
        "0.19 mm B and D high (u 0.06) on 2026-05-10, comes to rest at",
        "\nlimit\n",
        "2026-04-20\n2026-04-27\n2026-05-04\n",
        "with its 95 % band",
        "twist A and C high / B and D high.",
        "Dashed upright: 2026-05-25, the day to look again.",
    };
    struct bt_figure_bytes b = {0};

    shelf(true);
    expect_words(svg(&b), sizeof words / sizeof *words, words);
    bt_figure_bytes_clear(&b);
}

Test(figure_trend, readings_without_a_fit_are_joined)
{
    static const char *const words[] = {"Joined by straight lines",
                                        "0.69 mm hollow (u 0.03) on 2026-05-10\n"};
    struct bt_figure_bytes b = {0};
    const char *text;

    shelf(false);
    text = svg(&b);
    expect_words(text, 2, words);
    cr_expect_null(strstr(text, "comes to rest"));
    bt_figure_bytes_clear(&b);
}

Test(figure_trend, inches_are_shown_in_thou)
{
    static const char *const words[] = {"In thou.", "27.2 thou hollow (u 1.2)"};
    struct bt_figure_bytes b = {0};

    shelf(false);
    job.system = BT_SYSTEM_IN;
    expect_words(svg(&b), 2, words);
    bt_figure_bytes_clear(&b);
}

Test(figure_trend, a_limit_far_off_is_named_and_not_drawn)
{
    static const char *const words[] = {"limit 0.8 mm, off the scale"};
    struct trend_figure f;
    struct bt_figure_bytes b = {0};

    shelf(true);
    graph[1].limit = 0.8;
    expect_words(svg(&b), 1, words);
    bt_figure_bytes_clear(&b);
    cr_assert_eq(trend_prepare(&input, &f, NULL), BT_OK);
    cr_expect(!f.scale[1].limit_over && !f.scale[1].limit_under);
}

Test(figure_trend, the_limit_stands_on_the_side_of_the_values)
{
    struct trend_figure f;

    shelf(true);
    cr_assert_eq(trend_prepare(&input, &f, NULL), BT_OK);
    cr_expect(f.scale[0].limit_under && !f.scale[0].limit_over);
    cr_expect(f.scale[0].high < 0.8);
    cr_expect(f.scale[2].limit_under && f.scale[2].limit_over);
    cr_expect(!f.scale[1].limit_under && !f.scale[1].limit_over);
}

Test(figure_trend, scales_hold_every_reading_with_its_bar_and_the_band)
{
    struct trend_figure f;

    for (int fitted = 0; fitted < 2; fitted++) {
        shelf(fitted);
        cr_assert_eq(trend_prepare(&input, &f, NULL), BT_OK);
        cr_expect(f.day0 < 20563 && f.day1 > 20563 + 35);
        for (int g = 0; g < GRAPHS; g++) {
            const struct trend_scale *s = &f.scale[g];

            cr_expect(s->low < 0 && s->high > 0, "0 is in it");
            for (int i = 0; i < DAYS; i++) {
                const struct bt_measured *m = &mark[g][i].value;

                cr_expect(m->value - 2 * m->u >= s->low, "%d %d", g, i);
                cr_expect(m->value + 2 * m->u <= s->high, "%d %d", g, i);
            }
            for (int k = 0; fitted && k <= 50; k++) {
                const struct bt_measured m =
                    bt_trend_value(&rest[g], 20563 + (f.day1 - 20563) * k / 50);

                cr_expect(m.value - 2 * m.u >= s->low, "%d %d", g, k);
                cr_expect(m.value + 2 * m.u <= s->high, "%d %d", g, k);
            }
        }
    }
}

Test(figure_trend, nothing_is_written_over_something_else)
{
    static const long far[] = {1, 2, 9, 60, 700, 9000};
    struct trend_figure f;

    for (size_t k = 0; k < sizeof far / sizeof *far; k++)
        for (int fitted = 0; fitted < 2; fitted++) {
            shelf(fitted);
            for (int g = 0; g < GRAPHS; g++)
                for (int i = 0; i < DAYS; i++)
                    mark[g][i].day = 20563 + far[k] * i;
            input.next = 20563 + 4 * far[k];
            for (int g = 0; fitted && g < GRAPHS; g++)
                fit(g);
            job.system = k % 2 ? BT_SYSTEM_IN : BT_SYSTEM_MM;
            graph[0].limit = k % 3 ? 0.8 : 1e-6;
            cr_assert_eq(trend_prepare(&input, &f, NULL), BT_OK);
            written_expect_apart(trend_draw, &f, 10 * k + (size_t)fitted);
        }
}

/* The first is not seen on the last day, the last on none. */
Test(figure_trend, what_is_not_seen_is_passed_over_and_said)
{
    static const char *const words[] = {"0.85 mm hollow (u 0.03) on 2026-04-30\n",
                                        "twist: not seen\nnot seen\n"};
    struct bt_figure_bytes b = {0};

    shelf(false);
    mark[0][3].value = (struct bt_measured){NAN, NAN, false};
    for (int i = 0; i < DAYS; i++)
        mark[2][i].value = (struct bt_measured){NAN, NAN, false};
    graph[2].verdict = "not seen";
    graph[2].limit = NAN;
    expect_words(svg(&b), 2, words);
    bt_figure_bytes_clear(&b);
}

Test(figure_trend, values_that_do_not_move_at_all_have_a_scale)
{
    struct bt_figure_bytes b = {0};

    shelf(false);
    for (int i = 0; i < DAYS; i++)
        mark[1][i].value = (struct bt_measured){0, 0, true};
    expect_words(svg(&b), 0, NULL);
    bt_figure_bytes_clear(&b);
}

Test(figure_trend, pdf_is_one_page_and_png_and_svg_come_out_the_same_twice)
{
    struct bt_figure_bytes a = {0}, b = {0};

    shelf(true);
    for (int format = BT_FIGURE_SVG; format <= BT_FIGURE_PNG; format++) {
        cr_assert_eq(bt_figure_trend(&input, (enum bt_figure_format)format, &a, NULL),
                     BT_OK);
        cr_assert_eq(bt_figure_trend(&input, (enum bt_figure_format)format, &b, NULL),
                     BT_OK);
        cr_expect(a.length == b.length && memcmp(a.bytes, b.bytes, a.length) == 0, "%d",
                  format);
        if (format == BT_FIGURE_PDF)
            cr_expect_eq(written_pages(&a), 1);
        bt_figure_bytes_clear(&a);
        bt_figure_bytes_clear(&b);
    }
}

/* ---- what it refuses ---- */

static void refused(size_t row, const char *message)
{
    struct bt_figure_bytes b = {0};
    struct bt_error err = {0};

    cr_expect_eq(bt_figure_trend(&input, BT_FIGURE_SVG, &b, &err), BT_EINPUT, "%s",
                 message);
    cr_expect_str_eq(err.message, message);
    cr_expect_eq(err.row, row, "%s: row %zu", message, err.row);
    cr_expect_null(b.bytes);
}

Test(figure_trend, refuses_what_cannot_be_drawn)
{
    static const char value[] = "a value over time is not finite";
    static const char limit[] = "the limit of a figure is not a number over 0";
    static const char one_day[] = "readings of one day show no figure over time";
    static const char count[] = "a figure over time shows one to eight figures";

    shelf(true);
    input.ngraph = 0;
    refused(0, count);
    input.ngraph = BT_TREND_GRAPHS_MAX + 1;
    refused(0, count);
    shelf(true);
    mark[1][2].value.value = INFINITY;
    refused(1, value);
    shelf(true);
    mark[2][0].value.u = NAN;
    refused(2, value);
    shelf(true);
    graph[2].limit = 0;
    refused(2, limit);
    graph[2].limit = INFINITY;
    refused(2, limit);
    shelf(true);
    mark[1][2].day = mark[1][0].day - 1;
    refused(1, "the days of a figure do not ascend");
    shelf(true);
    rest[0].tau = NAN;
    refused(0, "an approach to rest is not finite");
    shelf(false);
    for (int g = 0; g < GRAPHS; g++)
        for (int i = 0; i < DAYS; i++)
            mark[g][i].day = 20563;
    refused(0, one_day);
    shelf(false);
    for (int g = 0; g < GRAPHS; g++)
        for (int i = 0; i < DAYS; i++)
            mark[g][i].value.seen = false;
    refused(0, one_day);
}

Test(figure_trend, fails_cleanly_at_every_allocation)
{
    enum bt_status status = BT_ENOMEM;
    size_t k;

    shelf(true);
    for (k = 1; status != BT_OK; k++) {
        struct bt_figure_bytes b = {0};
        struct bt_error err;

        memory_fail_at(k);
        status = bt_figure_trend(&input, BT_FIGURE_SVG, &b, &err);
        cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu: %d", k,
                  (int)status);
        bt_figure_bytes_clear(&b);
        cr_assert_eq(memory_live(), 0, "call %zu leaked", k);
    }
    memory_fail_at(0);
    cr_expect_gt(k, 5);
}

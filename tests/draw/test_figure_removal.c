/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "draw/removal_figure.h"
#include "draw/written.h"
#include "support/memory.h"

enum { MOST = 2600, SPOTS = 16 };

/* The top of an ash table, its depths (invented). */
static struct table {
    struct bt_job job;
    struct bt_set set;
    struct bt_point p[MOST];
    double depth[MOST], joint[2];
    struct bt_chalk chalk;
    struct bt_chalk_spot spot[SPOTS];
    struct bt_removal_figure input;
} t;

static double two_tops(double x, double y)
{
    return fmax(0, 0.9 * exp(-40 * (pow(x - 0.3, 2) + pow(y - 0.5, 2))) - 0.05) +
           fmax(0, 0.6 * exp(-60 * (pow(x - 0.8, 2) + pow(y - 0.3, 2))) - 0.05);
}

static void make_table(size_t across, size_t down, double length, double width,
                       size_t columns, size_t rows)
{
    const struct bt_rectangle r = {0, 0, length, width};
    size_t n = across * down;

    memset(&t, 0, sizeof t);
    for (size_t i = 0; i < n; i++) {
        const double x = (double)(i % across) / (double)(across - 1);
        const double y = (double)(i / across) / (double)(down - 1);

        t.p[i] = (struct bt_point){length * x, width * y};
        t.depth[i] = two_tops(x, y);
    }
    t.joint[0] = width / 3;
    t.joint[1] = 2 * width / 3;
    t.job = (struct bt_job){.title = "Ash table",
                            .system = BT_SYSTEM_MM,
                            .panel = {length, width, 22, "ash"},
                            .njoint = 2,
                            .joint = t.joint};
    t.set.name = "after glue-up";
    strcpy(t.set.date, "2026-03-02");
    cr_assert_eq(bt_chalk_make(n, t.p, t.depth, &r, columns, rows, &t.chalk, NULL),
                 BT_OK);
    t.input = (struct bt_removal_figure){.job = &t.job,
                                         .set = &t.set,
                                         .what = "Plane the high spots only",
                                         .n = n,
                                         .p = t.p,
                                         .depth = t.depth,
                                         .u = 0.03,
                                         .pass = 0.25,
                                         .chalk = &t.chalk,
                                         .spot = t.spot};
    cr_assert_eq(bt_chalk_spots(&t.chalk, 0.01, SPOTS, t.spot, &n, NULL), BT_OK);
    t.input.nspot = n < SPOTS ? n : SPOTS;
}

static void finish(void)
{
    bt_chalk_clear(&t.chalk);
    bt_figure_teardown();
}

TestSuite(figure_removal, .fini = finish);

static struct bt_figure_bytes drawn(enum bt_figure_format format)
{
    struct bt_figure_bytes b = {0};
    struct bt_error err = {0};

    cr_assert_eq(bt_figure_removal(&t.input, format, &b, &err), BT_OK, "%s",
                 err.message);
    return b;
}

static void expect_text(const char *svg, const char *text)
{
    cr_expect(strstr(svg, text), "`%s` is not in the figure", text);
}

Test(figure_removal, says_what_to_take_off_where_in_which_order)
{
    struct bt_figure_bytes b;
    const char *svg;

    make_table(9, 5, 1200, 600, 0, 0);
    b = drawn(BT_FIGURE_SVG);
    svg = written_text(&b);
    expect_text(svg, "Ash table");
    expect_text(svg, "after glue-up, 2026-03-02, top face, 1200 x 600 mm");
    expect_text(svg, "Plane the high spots only");
    expect_text(svg, "High spots, in the order to plane them");
    expect_text(svg, "To chalk on, cell by cell");
    expect_text(svg, "back edge");
    expect_text(svg, "front edge");
    expect_text(svg, "comes off, mm");
    /* x 0.25 is nearest to 0.3: 0.9 exp(-40 x 0.0025) - 0.05 = 0.7644, 4 passes. */
    expect_text(svg, "at C3: 0.76 mm, 4 passes");
    expect_text(svg, "Most that comes off: 0.76 mm (u 0.03), 4 passes.");
    expect_text(svg, "at G2:");
    cr_expect(strstr(svg, "at C3:") < strstr(svg, "at G2:"));
    expect_text(svg, "? not read");
    bt_figure_bytes_clear(&b);
}

Test(figure_removal, is_told_in_thou_where_the_job_is_in_inches)
{
    struct bt_figure_bytes b;
    const char *svg;

    make_table(9, 5, 1200, 600, 0, 0);
    t.job.system = BT_SYSTEM_IN;
    b = drawn(BT_FIGURE_SVG);
    svg = written_text(&b);
    expect_text(svg, "comes off, thou");
    expect_text(svg, "at C3: 30.1 thou");
    bt_figure_bytes_clear(&b);
}

Test(figure_removal, where_nothing_comes_off_says_so_and_has_no_table)
{
    struct bt_figure_bytes b;
    const char *svg;

    make_table(9, 5, 1200, 600, 0, 0);
    memset(t.depth, 0, sizeof t.depth);
    for (size_t i = 0; i < 45; i++)
        t.chalk.cell[i].depth = 0;
    t.input.nspot = 0;
    b = drawn(BT_FIGURE_SVG);
    svg = written_text(&b);
    expect_text(svg, "Nothing comes off.");
    cr_expect(!strstr(svg, "cell by cell"));
    cr_expect(!strstr(svg, "High spot"));
    bt_figure_bytes_clear(&b);
}

Test(figure_removal, without_u_and_pass_neither_is_said)
{
    struct bt_figure_bytes b;
    const char *svg;

    make_table(9, 5, 1200, 600, 0, 0);
    t.input.u = t.input.pass = NAN;
    t.input.what = NULL;
    t.depth[3] = NAN;
    b = drawn(BT_FIGURE_SVG);
    svg = written_text(&b);
    cr_expect(!strstr(svg, "passes"));
    cr_expect(!strstr(svg, "(u "));
    bt_figure_bytes_clear(&b);
}

Test(figure_removal, no_two_texts_lie_over_each_other_on_any_grid)
{
    static const struct {
        size_t across, down, columns, rows;
        double length, width;
    } row[] = {{9, 5, 0, 0, 1200, 600},     {12, 8, 0, 0, 1200, 1200},
               {21, 5, 0, 0, 2400, 300},    {3, 9, 0, 0, 300, 900},
               {50, 50, 26, 99, 1200, 600}, {50, 50, 12, 8, 600, 600},
               {2, 2, 1, 1, 500, 500}};

    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        struct removal_figure f;

        make_table(row[i].across, row[i].down, row[i].length, row[i].width,
                   row[i].columns, row[i].rows);
        cr_assert_eq(removal_prepare(&t.input, &f, NULL), BT_OK);
        written_expect_apart(removal_draw, &f, i);
        removal_clear(&f);
        bt_chalk_clear(&t.chalk);
    }
}

Test(figure_removal, goes_on_on_further_pages_where_the_table_is_long)
{
    struct bt_figure_bytes b;

    make_table(9, 5, 1200, 600, 0, 0);
    b = drawn(BT_FIGURE_PDF);
    cr_expect_eq(written_pages(&b), 1);
    bt_figure_bytes_clear(&b);
    bt_chalk_clear(&t.chalk);
    make_table(50, 50, 1200, 600, 26, 40);
    b = drawn(BT_FIGURE_PDF);
    cr_expect_geq(written_pages(&b), 2);
    bt_figure_bytes_clear(&b);
}

Test(figure_removal, is_the_same_bytes_every_time)
{
    make_table(9, 5, 1200, 600, 0, 0);
    for (int format = BT_FIGURE_SVG; format <= BT_FIGURE_PNG; format++) {
        struct bt_figure_bytes a = drawn((enum bt_figure_format)format);
        struct bt_figure_bytes b = drawn((enum bt_figure_format)format);

        cr_assert_eq(a.length, b.length, "format %d", format);
        cr_expect_eq(memcmp(a.bytes, b.bytes, a.length), 0, "format %d", format);
        bt_figure_bytes_clear(&a);
        bt_figure_bytes_clear(&b);
    }
}

static void refused(size_t row, const char *message)
{
    struct bt_figure_bytes b = {.length = 7};
    struct bt_error err = {0};

    cr_expect_eq(bt_figure_removal(&t.input, BT_FIGURE_SVG, &b, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, message);
    cr_expect_eq(err.row, row);
    cr_expect_eq(b.length, 7, "untouched");
}

Test(figure_removal, refuses_what_it_cannot_draw)
{
    static const char *const place = "a place is not finite or over 1 km away";
    static const char *const depth = "a depth is below 0 or infinite";

    make_table(9, 5, 1200, 600, 0, 0);
    t.input.n = 0;
    refused(0, "no place: nothing to draw");
    t.input.n = 45;
    t.p[4].x = NAN;
    refused(4, place);
    t.p[4].x = 2e6;
    refused(4, place);
    t.p[4].x = 600;
    t.p[6].y = -INFINITY;
    refused(6, place);
    t.p[6].y = 0;
    t.depth[2] = -0.1;
    refused(2, depth);
    t.depth[2] = INFINITY;
    refused(2, depth);
    t.depth[2] = 0;
    t.spot[1].cell = 45;
    refused(1, "a spot lies in a cell that is not there");
}

Test(figure_removal, fails_cleanly_at_every_allocation)
{
    enum bt_status status = BT_ENOMEM;
    size_t k = 1, live;

    make_table(9, 5, 1200, 600, 0, 0);
    live = memory_live();
    for (; status != BT_OK; k++) {
        struct bt_figure_bytes b = {0};
        struct bt_error err = {0};

        cr_assert_lt(k, 2000, "never done");
        memory_fail_at(k);
        status = bt_figure_removal(&t.input, BT_FIGURE_SVG, &b, &err);
        cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu gave %d", k,
                  (int)status);
        if (status == BT_ENOMEM)
            cr_expect_str_eq(err.message, "out of memory");
        bt_figure_bytes_clear(&b);
        cr_assert_eq(memory_live(), live, "call %zu leaked", k);
    }
    cr_expect_gt(k, 10, "nothing was allocated");
    memory_fail_at(0);
}

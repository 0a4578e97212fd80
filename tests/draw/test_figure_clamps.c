/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "draw/clamps_figure.h"
#include "draw/spread.h"
#include "draw/written.h"
#include "support/memory.h"

enum { BOARDS = 60, PLACES = 60 };

/* A glue-up of an oak window seat (invented). */
static struct glue_up {
    struct bt_job job;
    struct bt_board board[BOARDS];
    char name[BOARDS][60];
    struct bt_clamp clamp[2];
    struct bt_clamp_kind kind[2];
    double width[BOARDS];
    struct bt_clamping_request request;
    struct bt_clamping plan;
    struct bt_clamp_place place[PLACES];
    struct bt_stage stage[2];
    size_t order[BOARDS];
    struct bt_clamps_figure input;
} g;

static void make_places(size_t n, double length)
{
    for (size_t k = 0; k < n; k++)
        g.place[k] = (struct bt_clamp_place){
            n > 1 ? 60 + (length - 120) * (double)k / (double)(n - 1) : length / 2,
            k % 3 == 1, k % 2 == 1};
}

static void make_glue_up(size_t nboard, size_t nplace, double length)
{
    static const double width[] = {118, 92, 141.5, 70};
    size_t half = nboard / 2, njoint = nboard - 1;

    memset(&g, 0, sizeof g);
    g.kind[0] = (struct bt_clamp_kind){8, 4000, 900, 12, 40};
    g.kind[1] = (struct bt_clamp_kind){4, NAN, 600, NAN, 0};
    g.clamp[0].name = "pipe clamp";
    g.clamp[1].name = "bar clamp";
    for (size_t i = 0; i < nboard; i++) {
        snprintf(g.name[i], sizeof g.name[i], "Oak %zu", i + 1);
        g.board[i].name = g.name[i];
        g.width[i] = width[i % 4];
        g.order[i] = njoint - 1 - i;
    }
    make_places(nplace, length);
    g.job = (struct bt_job){.title = "Window seat",
                            .date = "2026-03-02",
                            .nboard = nboard,
                            .board = g.board,
                            .nclamp = 2,
                            .clamp = g.clamp};
    g.request = (struct bt_clamping_request){.nboard = nboard,
                                             .width = g.width,
                                             .length = length,
                                             .thickness = 22,
                                             .caul = 40,
                                             .nkind = 2,
                                             .kind = g.kind};
    g.stage[0] = (struct bt_stage){0, half, 11.5, 2};
    g.stage[1] = (struct bt_stage){half, njoint - half, 9, 1};
    g.plan = (struct bt_clamping){.force_joint = 21000,
                                  .needed_spread = nplace,
                                  .needed = nplace,
                                  .nplace = nplace,
                                  .place = g.place,
                                  .force_reached = 24000,
                                  .nstage = 2,
                                  .stage = g.stage,
                                  .order = g.order};
    if (nboard < 3) {
        g.stage[0] = (struct bt_stage){0, njoint, 5, 1};
        g.plan.nstage = njoint;
    }
    g.input = (struct bt_clamps_figure){&g.job, &g.request, &g.plan, NULL};
}

static enum bt_status make(enum bt_figure_format format, struct bt_figure_bytes *b,
                           struct bt_error *err)
{
    return bt_figure_clamps(&g.input, format, b, err);
}

static const char *svg(struct bt_figure_bytes *b)
{
    struct bt_error err = {0};

    cr_assert_eq(make(BT_FIGURE_SVG, b, &err), BT_OK, "%s", err.message);
    return written_text(b);
}

static void expect_words(const char *text, const char *const words[], size_t n)
{
    for (size_t i = 0; i < n; i++)
        cr_expect_not_null(strstr(text, words[i]), "'%s' is missing", words[i]);
}

Test(figure_clamps, says_what_is_followed_at_the_glue_up, .fini = bt_figure_teardown)
{
    static const char *const words[] = {
        "<title>Window seat</title>",
        "Glue-up, 2026-03-02, 5 boards, 1500 x 540 mm, 6 clamps",
        "\n1  pipe clamp\n",
        "\n2  bar clamp\n",
        "\n3  Oak 3\n",
        "\njoint 1, stage 2\n",
        "\njoint 4, stage 1\n",
        "\n276\n",
        "\n60\n",
        "\n1440\n",
        "No clamp is missing.",
        ("Every joint wants 21 kN, the same force through all of them: 3.5 kN from "
         "each "
         "clamp. The clamps shown can give 24 kN."),
        "pipe clamp: 4 of 8 used, each can give 4 kN.",
        "bar clamp: 2 of 4 used, what each can give is not known.",
        "Hatched: cauls along the outer edges, 40 mm wide.",
        "Stage 1: joints 4, 3 (2 pieces side by side); 12 minutes from the first glue",
        "Stage 2: joints 2, 1; 9 minutes",
        "\n5  bar clamp\nbelow\n1164 mm\n",
    };
    struct bt_figure_bytes b;
    const char *text;

    make_glue_up(5, 6, 1500);
    text = svg(&b);
    expect_words(text, words, sizeof words / sizeof *words);
    cr_expect_null(strstr(text, "nan"));
    cr_expect_null(strstr(text, "inf"));
    bt_figure_bytes_clear(&b);
}

Test(figure_clamps, what_is_missing_or_not_known_is_said, .fini = bt_figure_teardown)
{
    static const char *const words[] = {
        "<title>Panel</title>", "undated",
        "2 clamps are missing: 5 needed, 4 by the 45 degree spread, 5 by force.",
        "What the clamps can give is not known.",
        "One joint alone takes longer than the glue stays open.",
        /* not 1600 lbf from each of clamps that can give 900 (November 2026) */
        ("Every joint wants 4700 lbf, the same force through all of them: 2 clamps "
         "more."),
        "\nlong sash: 2 of 8 used, each can give 900 lbf.\n", "\nfrom left, in\n",
        "\n2  short sash\n"};
    static const char *const names[] = {"long sash", "short sash"};
    struct bt_figure_bytes b;
    const char *text;

    make_glue_up(2, 3, 900);
    g.input.kind_name = names;
    g.job.title = g.job.date = NULL;
    g.job.system = BT_SYSTEM_IN;
    g.plan.shortfall = 2;
    g.plan.needed = g.plan.needed_force = 5;
    g.plan.needed_spread = 4;
    g.plan.force_reached = NAN;
    g.plan.open_time_short = true;
    g.request.caul = 0;
    text = svg(&b);
    expect_words(text, words, sizeof words / sizeof *words);
    cr_expect_null(strstr(text, "Hatched"));
    cr_expect_null(strstr(text, "nan"));
    bt_figure_bytes_clear(&b);
}

Test(figure_clamps, one_board_and_no_clamp_are_drawn_as_they_are,
     .fini = bt_figure_teardown)
{
    static const char *const words[] = {"1 board, 700 x 118 mm, 0 clamps",
                                        "\n1  Oak 1\n", "1 clamp is missing: "};
    struct bt_figure_bytes b;
    const char *text;

    make_glue_up(1, 0, 700);
    g.plan.shortfall = g.plan.needed = g.plan.needed_spread = 1;
    text = svg(&b);
    expect_words(text, words, 3);
    cr_expect_null(strstr(text, "Stage"));
    bt_figure_bytes_clear(&b);
}

/* Whether a rectangle is in the SVG, to a hundredth of a mm; any y where it is NaN. */
static bool has_box(const char *text, double x, double y, double wide, double high)
{
    for (const char *p = strstr(text, " d=\"M "); p; p = strstr(p + 1, " d=\"M ")) {
        double at[6];
        const char *c = p + 4;
        int k = 0;

        for (; k < 3 && *c == (k ? 'L' : 'M'); k++) {
            char *end = NULL;

            at[2 * k] = strtod(c + 1, &end);
            at[2 * k + 1] = strtod(end, &end);
            c = end + 1;
        }
        if (k == 3 && fabs(at[0] - x) <= 0.01 &&
            (isnan(y) || fabs(at[1] - y) <= 0.01) &&
            fabs(at[2] - at[0] - wide) <= 0.01 && fabs(at[5] - at[1] - high) <= 0.01)
            return true;
    }
    return false;
}

/* 1320 mm long in the 132 mm between the names: 1 : 10.  Boards of 118 and 92 and a
 * caul of 40 outside each: the panel is 132 x 21, clamp 2 stands in the middle, over
 * panel and cauls, 29 long; its jaws are as wide as they can be drawn. */
Test(figure_clamps, panel_and_clamps_are_to_scale, .fini = bt_figure_teardown)
{
    struct bt_figure_bytes b;
    const char *text;

    make_glue_up(2, 3, 1320);
    text = svg(&b);
    cr_expect(has_box(text, 39, NAN, 132, 21), "no panel");
    cr_expect(has_box(text, 39, NAN, 132, 4), "no caul");
    cr_expect(has_box(text, 105 - 0.78, NAN, 1.56, 29), "no clamp in the middle");
    cr_expect(has_box(text, 39 + 6 - 2, NAN, 4, 2.4), "no jaw at 60 mm");
    cr_expect_not(has_box(text, 39 + 6 - 0.9, NAN, 1.8, 29),
                  "the clamp under the panel hides it");
    cr_expect_not_null(strstr(text, "stroke-dasharray"), "nothing is dashed");
    bt_figure_bytes_clear(&b);
}

Test(figure_clamps, texts_keep_apart_and_on_the_page, .fini = bt_figure_teardown)
{
    static const struct {
        size_t boards, places;
        double length;
    } cases[] = {{1, 1, 300},    {2, 3, 900},    {6, 9, 1500},
                 {24, 14, 2000}, {40, 30, 1200}, {60, 5, 1000},
                 {3, 60, 2400},  {5, 2, 3000},   {12, 7, 400}};

    for (size_t k = 0; k < 2 * sizeof cases / sizeof *cases; k++) {
        struct clamps_figure f;

        make_glue_up(cases[k / 2].boards, cases[k / 2].places, cases[k / 2].length);
        if (k % 2) {
            g.clamp[1].name = "a bar clamp with a name that has no end to speak of";
            g.board[0].name = "a board with a name that has no end to speak of";
            g.job.system = BT_SYSTEM_IN;
        }
        cr_assert_eq(clamps_prepare(&g.input, &f, NULL), BT_OK);
        written_expect_apart(clamps_draw, &f, k);
        clamps_clear(&f);
    }
}

Test(figure_clamps, labels_keep_their_pitch_and_their_order)
{
    static const double at[] = {0, 1, 1.5, 1.5, 9, 20, 20.2};
    double out[7];

    spread(7, at, 2, -10, 20, out);
    for (size_t i = 0; i + 1 < 7; i++)
        cr_expect(out[i + 1] - out[i] >= 2 - 1e-12, "%zu and the next", i);
    cr_expect(fabs(out[4] - 9) <= 1e-12, "one that has room is moved");
    cr_expect(fabs(out[6] - 20) <= 1e-12 && fabs(out[5] - 18) <= 1e-12);
    cr_expect(fabs((out[0] + out[3]) / 2 - 1) <= 1.01, "the group is pushed aside");
    cr_expect(out[0] >= -10);
}

Test(figure_clamps, every_format_is_the_same_twice, .fini = bt_figure_teardown)
{
    make_glue_up(6, 9, 1500);
    for (int f = BT_FIGURE_SVG; f <= BT_FIGURE_PNG; f++) {
        struct bt_figure_bytes one, two;

        cr_assert_eq(make((enum bt_figure_format)f, &one, NULL), BT_OK);
        cr_assert_eq(make((enum bt_figure_format)f, &two, NULL), BT_OK);
        cr_expect(one.length == two.length && one.length > 1000 &&
                      memcmp(one.bytes, two.bytes, one.length) == 0,
                  "format %d", f);
        if (f == BT_FIGURE_PDF)
            cr_expect_eq(written_pages(&one), 1);
        bt_figure_bytes_clear(&one);
        bt_figure_bytes_clear(&two);
    }
}

static void expect_refused(const char *why, size_t row)
{
    struct bt_figure_bytes b = {.length = 7};
    struct bt_error err = {0};

    cr_expect_eq(make(BT_FIGURE_SVG, &b, &err), BT_EINPUT, "%s", why);
    cr_expect_str_eq(err.message, why);
    cr_expect_eq(err.row, row, "%s", why);
    cr_expect_eq(b.length, 7, "the output was touched");
}

Test(figure_clamps, refuses_what_cannot_be_drawn_and_says_why)
{
    static const char stages[] = "the stages do not hold each joint once";

    make_glue_up(4, 3, 900);
    g.request.nboard = 0;
    expect_refused("no board: nothing to clamp", 0);
    make_glue_up(4, 3, 900);
    g.width[2] = NAN;
    expect_refused("the width of a board is not over 0 and finite", 2);
    g.width[2] = INFINITY;
    expect_refused("the width of a board is not over 0 and finite", 2);
    make_glue_up(4, 3, 900);
    g.request.length = 0;
    expect_refused("the length of the panel is not over 0 and finite", 0);
    make_glue_up(4, 3, 900);
    g.request.caul = NAN;
    expect_refused("the width of the caul is not 0 or more and finite", 0);
    make_glue_up(4, 3, 900);
    g.place[1].x = NAN;
    expect_refused("a clamp is off the panel", 1);
    g.place[1].x = 900.1;
    expect_refused("a clamp is off the panel", 1);
    make_glue_up(4, 3, 900);
    g.place[2].kind = 2;
    expect_refused("a clamp is of a kind that is not there", 2);
    make_glue_up(4, 3, 900);
    g.order[1] = g.order[0];
    expect_refused(stages, 0);
    make_glue_up(4, 3, 900);
    g.stage[1].count = 5;
    expect_refused(stages, 1);
    make_glue_up(4, 3, 900);
    g.order[2] = 3;
    expect_refused(stages, 1);
    make_glue_up(4, 3, 900);
    g.plan.nstage = 1;
    expect_refused(stages, 1);
}

Test(figure_clamps, fails_cleanly_at_every_allocation, .fini = bt_figure_teardown)
{
    enum bt_status status = BT_ENOMEM;
    size_t k = 1;

    make_glue_up(3, 4, 900);
    for (; status != BT_OK; k++) {
        struct bt_figure_bytes b = {0};
        struct bt_error err = {0};

        cr_assert_lt(k, 2000, "never done");
        memory_fail_at(k);
        status = make(k % 2 ? BT_FIGURE_PNG : BT_FIGURE_SVG, &b, &err);
        cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu gave %d: %s", k,
                  (int)status, err.message);
        if (status == BT_ENOMEM)
            cr_expect_str_eq(err.message, "out of memory");
        bt_figure_bytes_clear(&b);
        cr_assert_eq(memory_live(), 0, "call %zu leaked", k);
    }
    cr_expect_gt(k, 10, "nothing was allocated");
    memory_fail_at(0);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

#include "benchtrue/draw/figure_plan.h"
#include "draw/written.h"
#include "support/memory.h"

/* A plan for a beech bench top (invented): three lines, one of them read twice, a
 * set-up and a pair of sticks. */
static const struct bt_point place[] = {
    {0, 0},      {900, 0},   {1800, 0},               /* back edge */
    {0, 0},      {900, 300}, {1800, 600},             /* A to C */
    {1800, 600}, {900, 300}, {0, 0},                  /* again, from C */
    {0, 0},      {1800, 0},  {1800, 600}, {0, 600},   /* set-up */
    {0, 0},      {0, 600},   {1800, 0},   {1800, 600} /* sticks */
};
static struct bt_plan_step step[] = {{BT_PLAN_LINE, 0, 0, 3, 3},
                                     {BT_PLAN_LINE, 0, 3, 3, 3},
                                     {BT_PLAN_LINE, 0, 6, 3, 3},
                                     {BT_PLAN_SETUP, 1, 9, 4, 4},
                                     {BT_PLAN_STICKS, 2, 13, 4, 1}};
static const char *const name[] = {"back edge", "diagonal A-C", "diagonal A-C 2",
                                   "set-up 1", "sticks"};
static const struct bt_point support[2] = {{402, 0}, {1398, 0}};

enum { STEPS = sizeof step / sizeof *step, PLACES = sizeof place / sizeof *place };

static struct bench {
    struct bt_point place[PLACES];
    struct bt_job job;
    struct bt_plan_request request;
    struct bt_plan plan;
    struct bt_plan_figure_input input;
} b;

static void set_up(void)
{
    memset(&b, 0, sizeof b);
    memcpy(b.place, place, sizeof place);
    b.job = (struct bt_job){.title = "Bench top", .date = "2026-03-02"};
    b.request = (struct bt_plan_request){.length = 1800, .width = 600};
    b.plan = (struct bt_plan){.nstep = STEPS,
                              .step = step,
                              .nplace = PLACES,
                              .place = b.place,
                              .nreading = 14};
    b.input = (struct bt_plan_figure_input){&b.job, &b.request, &b.plan, name, support};
}

TestSuite(figure_plan, .init = set_up, .fini = bt_figure_teardown);

static const char *svg(struct bt_figure_bytes *bytes)
{
    struct bt_error err = {0};

    cr_assert_eq(bt_figure_plan(&b.input, BT_FIGURE_SVG, bytes, &err), BT_OK, "%s",
                 err.message);
    return written_text(bytes);
}

Test(figure_plan, says_every_step_its_places_and_where_the_battens_lie)
{
    static const char *const words[] = {
        "<title>Bench top</title>",
        ("Where to read next: 5 steps, 14 readings.  Panel 1800 mm along the grain, "
         "600 "
         "mm across, seen from above."),
        "\n1  back edge: 3 places\n",
        "\n3  diagonal A-C 2: 3 places\n",
        "\n4  set-up 1: 4 places\n",
        "\n5  sticks: 1 reading\n",
        "\nbatten, x 402 mm\n",
        "\nbatten, x 1398 mm\n",
        "A dot is a place to read; a line begins at its arrow.",
        "A frame is one set-up of the dial",
        "A heavy bar is a winding stick; two of one number are a pair"};
    struct bt_figure_bytes bytes = {0};
    const char *text = svg(&bytes);

    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        cr_expect_not_null(strstr(text, words[i]), "'%s' is missing", words[i]);
    bt_figure_bytes_clear(&bytes);
}

Test(figure_plan, explains_only_what_is_drawn)
{
    struct bt_figure_bytes bytes = {0};
    const char *text;

    b.plan.step = &step[4];
    b.plan.nstep = 1;
    text = svg(&bytes);
    cr_expect_null(strstr(text, "A dot is a place"));
    cr_expect_null(strstr(text, "A frame is"));
    cr_expect_not_null(strstr(text, "A heavy bar is"));
    bt_figure_bytes_clear(&bytes);
}

Test(figure_plan, inches_are_written_where_the_job_is_in_inches)
{
    struct bt_figure_bytes bytes = {0};

    b.job.system = BT_SYSTEM_IN;
    b.input.support = NULL;
    cr_expect_not_null(strstr(svg(&bytes), "Panel 70 55/64 in along the grain"));
    cr_expect_null(strstr(written_text(&bytes), "batten"));
    bt_figure_bytes_clear(&bytes);
}

Test(figure_plan, nothing_to_read_is_drawn_as_the_bare_panel)
{
    struct bt_figure_bytes bytes = {0};
    const char *text;

    b.plan.nstep = b.plan.nplace = b.plan.nreading = 0;
    text = svg(&bytes);
    cr_expect_not_null(strstr(text, "Where to read next: 0 steps, 0 readings."));
    cr_expect_null(strstr(text, "A dot is"));
    bt_figure_bytes_clear(&bytes);
}

Test(figure_plan, many_steps_go_on_on_further_pages_of_a_pdf)
{
    enum { MANY = 90 };
    static struct bt_plan_step many[MANY];
    static const char *names[MANY];
    struct bt_figure_bytes bytes = {0};

    for (size_t k = 0; k < MANY; k++) {
        many[k] = step[0];
        names[k] = "back edge";
    }
    b.plan.step = many;
    b.plan.nstep = MANY;
    b.input.name = names;
    cr_assert_eq(bt_figure_plan(&b.input, BT_FIGURE_PDF, &bytes, NULL), BT_OK);
    cr_expect_geq(written_pages(&bytes), 2);
    bt_figure_bytes_clear(&bytes);
}

Test(figure_plan, every_format_is_the_same_twice)
{
    for (int format = BT_FIGURE_SVG; format <= BT_FIGURE_PNG; format++) {
        struct bt_figure_bytes one = {0}, two = {0};

        cr_assert_eq(
            bt_figure_plan(&b.input, (enum bt_figure_format)format, &one, NULL), BT_OK);
        cr_assert_eq(
            bt_figure_plan(&b.input, (enum bt_figure_format)format, &two, NULL), BT_OK);
        cr_assert_eq(one.length, two.length);
        cr_expect_eq(memcmp(one.bytes, two.bytes, one.length), 0, "format %d", format);
        bt_figure_bytes_clear(&one);
        bt_figure_bytes_clear(&two);
    }
}

Test(figure_plan, refuses_what_cannot_be_drawn_and_says_why)
{
    static const struct {
        double length, width, x;
        size_t row;
        const char *message;
    } rows[] = {
        {0, 600, 0, 0, "length and width of the panel are not over 0 and finite"},
        {1800, NAN, 0, 0, "length and width of the panel are not over 0 and finite"},
        {INFINITY, 600, 0, 0,
         "length and width of the panel are not over 0 and finite"},
        {1800, 600, NAN, 2, "a place lies off the panel"},
        {1800, 600, 1990, 2, "a place lies off the panel"},
        {1800, 600, -190, 2, "a place lies off the panel"},
    };

    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        struct bt_figure_bytes bytes = {0};
        struct bt_error err = {0};

        set_up();
        b.request.length = rows[k].length;
        b.request.width = rows[k].width;
        b.place[2].x = rows[k].x;
        cr_expect_eq(bt_figure_plan(&b.input, BT_FIGURE_SVG, &bytes, &err), BT_EINPUT,
                     "row %zu", k);
        cr_expect_str_eq(err.message, rows[k].message);
        cr_expect_eq(err.row, rows[k].row);
        cr_expect_null(bytes.bytes);
    }
}

Test(figure_plan, fails_cleanly_at_every_allocation)
{
    enum bt_status status = BT_ENOMEM;
    size_t k = 1;

    for (; status != BT_OK; k++) {
        struct bt_figure_bytes bytes = {0};

        cr_assert_lt(k, 2000, "never done");
        memory_fail_at(k);
        status = bt_figure_plan(&b.input, BT_FIGURE_SVG, &bytes, NULL);
        cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu gave %d", k,
                  (int)status);
        cr_assert(status == BT_OK || !bytes.bytes);
        bt_figure_bytes_clear(&bytes);
        cr_assert_eq(memory_live(), 0, "call %zu leaked", k);
    }
    cr_expect_gt(k, 2, "nothing was allocated");
    memory_fail_at(0);
}

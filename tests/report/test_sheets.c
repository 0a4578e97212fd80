/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "report/sheets_build.h"
#include "support/memory.h"

/* A cherry shelf of 800 x 300 mm, three boards (invented). */
static struct shelf {
    struct bt_job job;
    struct bt_board board[3];
    struct bt_instrument instrument[2];
    struct sheets_build build;
    struct sheets_plan plan;
} s;

static const struct bt_measure_request usual = {
    .aim = {NAN, NAN, NAN}, .edge = NAN, .feet = NAN};

static void set_up(void)
{
    static char empty[] = "", species[] = "black cherry";
    static char name[3][2] = {"1", "2", "3"}, edge[] = "edge", sticks[] = "sticks";

    memset(&s, 0, sizeof s);
    bt_job_init(&s.job);
    s.job.title = s.job.date = s.job.folder = empty;
    s.job.panel = (struct bt_panel){
        .length = 800, .width = 300, .thickness = 20, .species = species};
    s.job.nboard = 3;
    s.job.board = s.board;
    for (int i = 0; i < 3; i++)
        s.board[i] = (struct bt_board){.name = name[i],
                                       .width = 100,
                                       .length = i == 1 ? 700 : NAN,
                                       .species = empty,
                                       .rings = empty};
    s.job.instrument = s.instrument;
    s.instrument[0] = (struct bt_instrument){.name = edge,
                                             .kind = BT_INST_STRAIGHTEDGE,
                                             .u = 0.02,
                                             .resolution = NAN,
                                             .straightness = NAN,
                                             .own_hollow = NAN,
                                             .own_hollow_u = NAN,
                                             .length = NAN};
    s.instrument[1] = s.instrument[0];
    s.instrument[1].name = sticks;
    s.instrument[1].kind = BT_INST_STICKS;
    s.job.ninstrument = 1;
    s.build.job = &s.job;
}

static void tear_down(void)
{
    sheets_plan_clear(&s.plan);
    sheets_clear(&s.build);
    bt_figure_teardown();
}

TestSuite(sheets, .init = set_up, .fini = tear_down);

/* Line `number` of a text, from 1, into out. */
static void line_of(const char *text, int number, char out[200])
{
    while (--number > 0 && text)
        text = strchr(text, '\n') ? strchr(text, '\n') + 1 : NULL;
    snprintf(out, 200, "%.*s", text ? (int)strcspn(text, "\n") : 0, text ? text : "");
}

Test(sheets, each_box_of_a_reading_names_its_line_in_the_file)
{
    struct bt_buffer csv = {0};
    size_t boxes = 0;

    cr_assert_eq(sheets_readings(&s.build, &usual, &s.plan, NULL), BT_OK);
    cr_assert_eq(sheets_done(&s.build), BT_OK);
    cr_assert_eq(s.build.nsheet, 1);
    cr_assert_eq(bt_measure_csv(&s.plan.answer, BT_PLAN_LINE, &csv), BT_OK);
    for (size_t i = 0; i < s.build.nbox; i++) {
        double x, y;
        char line[200], places[60];
        const char *label = strstr(s.build.box[i].label, "x ");

        cr_assert_not_null(label, "%s", s.build.box[i].label);
        cr_assert_eq(sscanf(label, "x %lf, y %lf", &x, &y), 2, "%s", label);
        snprintf(places, sizeof places, ",%g,%g,", x, y);
        line_of(csv.text, atoi(s.build.box[i].row), line);
        cr_expect_not_null(strstr(line, places), "box %s of %s is line %s",
                           s.build.box[i].label, s.build.box[i].row, line);
        boxes++;
    }
    cr_expect_eq(boxes, s.plan.answer.plan.nreading);
    cr_expect_gt(boxes, 5);
    bt_buffer_clear(&csv);
}

Test(sheets, there_is_one_for_each_kind_of_instrument)
{
    s.job.ninstrument = 2;
    cr_assert_eq(sheets_readings(&s.build,
                                 &(struct bt_measure_request){
                                     .aim = {NAN, NAN, 0.1}, .edge = NAN, .feet = NAN},
                                 &s.plan, NULL),
                 BT_OK);
    cr_assert_eq(sheets_done(&s.build), BT_OK);
    for (size_t i = 0; i < s.build.nsheet; i++)
        cr_expect_gt(s.build.sheet[i].nblock, 0);
    cr_expect_str_eq(s.build.sheet[s.build.nsheet - 1].title,
                     "Readings on the panel: winding sticks 'sticks'");
}

Test(sheets, the_maker_s_own_leaves_are_named)
{
    struct bt_feeler feeler[] = {{"paper", 0.1, 0}, {"card", 0.3, 0}};

    s.job.feeler = feeler;
    s.job.nfeeler = 2;
    cr_assert_eq(sheets_readings(&s.build, &usual, &s.plan, NULL), BT_OK);
    cr_expect_not_null(
        strstr(s.build.sheet[0].intro, "Your own leaves: paper 0.1 mm, card 0.3 mm."),
        "%s", s.build.sheet[0].intro);
}

Test(sheets, the_example_of_an_interval_is_in_the_unit_of_the_readings)
{
    cr_assert_eq(sheets_readings(&s.build, &usual, &s.plan, NULL), BT_OK);
    cr_expect_not_null(strstr(s.build.sheet[0].intro, "two leaves as 0.20..0.25 ("));
    cr_expect_not_null(strstr(s.build.sheet[0].intro, "Readings in mm."));
    tear_down();
    s.job.system = BT_SYSTEM_IN;
    s.build.job = &s.job;
    cr_assert_eq(sheets_readings(&s.build, &usual, &s.plan, NULL), BT_OK);
    cr_expect_not_null(strstr(s.build.sheet[0].intro, "two leaves as 8..10 ("));
    cr_expect_not_null(strstr(s.build.sheet[0].intro, "Readings in thou."));
}

Test(sheets, a_dry_joint_is_as_long_as_its_shorter_board)
{
    cr_assert_eq(sheets_dry_fit(&s.build, NULL), BT_OK);
    cr_assert_eq(sheets_done(&s.build), BT_OK);
    cr_expect_eq(s.build.nblock, 2);
    cr_expect_str_eq(s.build.block[0].title, "Joint 1|2");
    cr_expect_eq(s.build.block[0].nbox, 6);
    cr_expect_str_eq(s.build.block[0].box[4].label, "at 700, show face");
    cr_expect_str_eq(s.build.block[0].box[4].row, "show_gap");
    cr_expect_str_eq(s.build.block[0].box[5].row, "other_gap");
}

Test(sheets, without_boards_there_is_no_joint_to_read)
{
    struct bt_error err = {0};

    s.job.nboard = 1;
    cr_expect_eq(sheets_dry_fit(&s.build, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "there is no joint to lay together: name two boards "
                                  "or more in boards.csv");
}

Test(sheets, the_usual_ones_follow_from_what_the_job_states)
{
    struct bt_sheets_request request = {.measure = usual};
    struct bt_figure_bytes pdf = {0};
    struct bt_error err = {0};
    size_t n = 0;

    cr_assert_eq(bt_sheets_make(&s.job, &request, &pdf, &n, &err), BT_OK, "%s",
                 err.message);
    cr_expect_eq(n, 3); /* fence, dry joints, readings */
    bt_figure_bytes_clear(&pdf);
    s.job.nboard = 0;
    cr_assert_eq(bt_sheets_make(&s.job, &request, &pdf, &n, &err), BT_OK);
    cr_expect_eq(n, 1);
    bt_figure_bytes_clear(&pdf);
    s.job.panel.length = NAN;
    cr_expect_eq(bt_sheets_make(&s.job, &request, &pdf, &n, &err), BT_EINPUT);
    cr_expect_str_eq(err.message,
                     "there is nothing to measure yet: state the panel's length and "
                     "width in job.ini, or boards in boards.csv");
}

Test(sheets, fail_cleanly_at_every_allocation)
{
    struct bt_sheets_request request = {.wanted = {[BT_SHEET_DRY_FIT] = true},
                                        .measure = usual};
    enum bt_status status = BT_ENOMEM;
    size_t k = 1;

    s.job.nboard = 2;
    for (; status != BT_OK; k++) {
        struct bt_figure_bytes pdf = {0};
        struct bt_error err = {0};

        cr_assert_lt(k, 3000, "never done");
        memory_fail_at(k);
        status = bt_sheets_make(&s.job, &request, &pdf, NULL, &err);
        cr_assert(status == BT_OK || status == BT_ENOMEM, "%zu: %s", k, err.message);
        bt_figure_bytes_clear(&pdf);
        cr_assert_eq(memory_live(), 0, "call %zu leaked", k);
    }
    memory_fail_at(0);
    cr_expect_gt(k, 20);
}

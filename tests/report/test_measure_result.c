/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/report/measure_result.h"
#include "support/memory.h"

/* A plan for a cherry shelf of 800 x 300 mm, built by hand, so that texts are tested
 * without the search (invented): an edge along the back and from A to C twice, a
 * set-up, a bar across, a level along the front, sticks. */
static const struct bt_point place[] = {
    {0, 0},     {400, 0},   {800, 0},                /* back edge */
    {0, 0},     {400, 150}, {800, 300},              /* A to C */
    {800, 300}, {400, 150}, {0, 0},                  /* again */
    {0, 0},     {800, 0},   {800, 300}, {0, 300},    /* set-up */
    {200, 0},   {200, 100}, {200, 200}, {200, 300},  /* bar */
    {800, 300}, {400, 300}, {0, 300},                /* level */
    {0, 0},     {0, 300},   {800, 0},   {800, 300}}; /* sticks */
static struct bt_plan_step step[] = {
    {BT_PLAN_LINE, 0, 0, 3, 3},   {BT_PLAN_LINE, 0, 3, 3, 3},
    {BT_PLAN_LINE, 0, 6, 3, 3},   {BT_PLAN_SETUP, 1, 9, 4, 4},
    {BT_PLAN_BAR, 2, 13, 4, 2},   {BT_PLAN_LEVEL, 3, 17, 3, 2},
    {BT_PLAN_STICKS, 4, 20, 4, 1}};
enum { STEPS = sizeof step / sizeof *step, PLACES = sizeof place / sizeof *place };

static struct shelf {
    struct bt_job job;
    struct bt_point place[PLACES];
    struct bt_plan_instrument instrument[5];
    struct bt_measure_tool tool[5];
    struct bt_measure_answer answer;
} s;

static void set_up(void)
{
    static char empty[] = "";
    static const struct bt_plan_instrument instruments[] = {
        {BT_PLAN_LINE, 0.0144, 0.05, 0, false, false, 900, NAN},
        {BT_PLAN_SETUP, 0.015, NAN, -1, false, false, NAN, NAN},
        {BT_PLAN_BAR, 0.01, NAN, -1, false, false, 200, NAN},
        {BT_PLAN_LEVEL, 0.0001, NAN, -1, true, false, NAN, NAN},
        {BT_PLAN_STICKS, 0.25, NAN, -1, false, false, 600, NAN}};
    static const struct bt_measure_tool tools[] = {{"edge, \"long\"", false, false},
                                                   {"dial", true, false},
                                                   {"bar", false, true},
                                                   {"level", true, false},
                                                   {"sticks", true, false}};

    memset(&s, 0, sizeof s);
    bt_job_init(&s.job);
    s.job.title = s.job.date = empty;
    memcpy(s.place, place, sizeof place);
    memcpy(s.instrument, instruments, sizeof instruments);
    memcpy(s.tool, tools, sizeof tools);
    s.answer = (struct bt_measure_answer){
        .job = &s.job,
        .request = {.length = 800,
                    .width = 300,
                    .ninstrument = 5,
                    .instrument = s.instrument},
        .instrument = s.instrument,
        .tool = s.tool,
        .aim_source = BT_AIM_TYPED,
        .limit = {NAN, NAN, NAN, NAN},
        .plan = {.nstep = STEPS,
                 .step = step,
                 .nplace = PLACES,
                 .place = s.place,
                 .figure = {{true, 0.1, NAN, 0.03, 0.02, true},
                            {false, NAN, NAN, NAN, NAN, false},
                            {true, 0.2, 0.25, 0.15, 0.1, true},
                            {false, NAN, NAN, NAN, NAN, false}},
                 .nreading = 18,
                 .cost = 60,
                 .dof = 4,
                 .checked = 11,
                 .sound = true,
                 .evaluated = 321}};
}

TestSuite(measure_result, .init = set_up);

static void expect_text(const char *want)
{
    const struct bt_text_options options = {.system = s.job.system};
    struct bt_buffer out = {0};

    cr_assert_eq(bt_text_measure(&s.answer, &options, &out), BT_OK);
    cr_expect_str_eq(out.text, want, "printed\n%s", out.text);
    bt_buffer_clear(&out);
}

Test(measure_result, text_lists_figures_steps_and_what_they_are_reckoned_with)
{
    expect_text(
        "Can be known: every figure wanted. Next: read 3 lines under the straightedge "
        "and 1 set-up of the dial and 1 line with the bar and 1 line with the level "
        "and 1 pair of sticks, 18 readings\n"
        "\n"
        "u of      wanted        now           then\n"
        "cup       0.10 mm       not seen      0.03 mm\n"
        "twist     0.2 mm        0.3 mm        0.15 mm\n"
        "\n"
        "In walking order, from corner A (back left):\n"
        " 1. back edge, A to B, with 'edge, \"long\"': read at 0, 400, 800 mm\n"
        " 2. diagonal A-C, A to C, with 'edge, \"long\"': read at 0, 427, 854 mm\n"
        " 3. diagonal A-C again, C to A, with 'edge, \"long\"': read at 0, 427, 854 "
        "mm\n"
        " 4. set-up 1, with 'dial': read at x 0, 800 by y 0, 300 mm\n"
        " 5. across at x 200 mm, x 200, y 0 to x 200, y 300, with 'bar': step the bar "
        "along, dial at 100, 200 mm\n"
        " 6. front edge, C to D, with 'level': level on two blocks, from one to the "
        "next of 0, 400, 800 mm\n"
        " 7. sticks, with 'sticks': sticks across at x 0, 800, both touching at y 0, "
        "300 mm\n"
        "again: the edge lifted, turned end for end and laid down anew, so that a slip "
        "in one reading of the line shows in the other.\n"
        "A gross error would be noticed in 11 of the 18 readings, which others check.\n"
        "\n"
        "With\n"
        "  straightedge 'edge, \"long\"': u of a reading 0.015 mm, straight within "
        "0.05 mm, length 900 mm\n"
        "  dial 'dial': u of a reading 0.015 mm (assumed: common practice, no source)\n"
        "  bar 'bar': u of a reading 0.010 mm, feet apart by 200 mm (assumed; --feet "
        "says)\n"
        "  level 'level': u of a reading 0.1 mm/m (assumed: common practice, no "
        "source)\n"
        "  winding sticks 'sticks': u of a reading 0.3 mm (assumed: common practice, "
        "no source), length 600 mm\n"
        "Uncertainty wanted: as --aim says.\n");
}

static void expect_csv(enum bt_plan_kind kind, const char *want)
{
    struct bt_buffer out = {0};
    const char *rows;

    cr_assert_eq(bt_measure_csv(&s.answer, kind, &out), BT_OK);
    rows = out.text;
    while (rows && *rows == '#')
        rows = strchr(rows, '\n') + 1;
    cr_expect_str_eq(rows ? rows : "", want);
    bt_buffer_clear(&out);
}

Test(measure_result, rows_of_every_kind_are_ready_to_fill_in)
{
    expect_csv(BT_PLAN_LINE,
               "line,x_mm,y_mm,gap_mm,instrument,note\n"
               "back edge,0,0,,\"edge, \"\"long\"\"\",corner A\n"
               "back edge,400,0,,\"edge, \"\"long\"\"\",\n"
               "back edge,800,0,,\"edge, \"\"long\"\"\",corner B\n"
               "diagonal A-C,0,0,,\"edge, \"\"long\"\"\",corner A\n"
               "diagonal A-C,400,150,,\"edge, \"\"long\"\"\",\n"
               "diagonal A-C,800,300,,\"edge, \"\"long\"\"\",corner C\n"
               "diagonal A-C again,800,300,,\"edge, \"\"long\"\"\",corner C\n"
               "diagonal A-C again,400,150,,\"edge, \"\"long\"\"\",\n"
               "diagonal A-C again,0,0,,\"edge, \"\"long\"\"\",corner A\n");
    expect_csv(BT_PLAN_SETUP, "setup,x_mm,y_mm,height_mm,u_um,instrument,note\n"
                              "set-up 1,0,0,,15,dial,corner A\n"
                              "set-up 1,800,0,,15,dial,corner B\n"
                              "set-up 1,800,300,,15,dial,corner C\n"
                              "set-up 1,0,300,,15,dial,corner D\n");
    expect_csv(BT_PLAN_BAR,
               "foot1_x_mm,foot1_y_mm,dial_x_mm,dial_y_mm,foot2_x_mm,foot2_y_mm,"
               "rise_mm,instrument,note\n"
               "200,0,200,100,200,200,,bar,\n"
               "200,100,200,200,200,300,,bar,\n");
    expect_csv(BT_PLAN_LEVEL,
               "x1_mm,y1_mm,x2_mm,y2_mm,slope_mm_per_m,u_mm_per_m,instrument,note\n"
               "800,300,400,300,,0.1,level,\n"
               "400,300,0,300,,0.1,level,\n");
    expect_csv(BT_PLAN_STICKS, "x1_mm,x2_mm,y1_mm,y2_mm,stick_mm,wind_mm,u_um,"
                               "instrument,note\n"
                               "0,800,0,300,600,,250,sticks,\n");
}

Test(measure_result, a_kind_without_a_step_has_no_rows)
{
    s.answer.plan.nstep = 3;
    expect_csv(BT_PLAN_BAR, "");
}

Test(measure_result, aims_from_limits_leave_half_a_limit_on_either_side)
{
    const struct bt_measure_request request = {{NAN, NAN, NAN}, NAN, NAN, false};
    struct bt_measure_answer answer;

    s.job.panel.length = 800;
    s.job.panel.width = 300;
    s.job.limits = bt_limits_none();
    s.job.limits.limit[BT_FIGURE_CUP] = 1;
    s.job.limits.limit[BT_FIGURE_RANGE] = 2;
    s.job.limits.limit[BT_FIGURE_ZONE] = 1.5;
    cr_assert_eq(bt_measure_answer_find(&s.job, &request, &answer, NULL), BT_OK);
    /* 1.644854: 95 % quantile of the normal distribution (tables). */
    cr_expect(fabs(answer.request.aim[BT_PLAN_CUP] - 1 / (2 * 1.644854)) <= 1e-6);
    cr_expect(fabs(answer.request.aim[BT_PLAN_SURFACE] -
                   1.5 / (2 * 1.644854 * sqrt(2))) <= 1e-6);
    cr_expect(isnan(answer.request.aim[BT_PLAN_BOW]));
    cr_expect_eq(answer.aim_source, BT_AIM_LIMITS);
    cr_expect(!answer.tool[0].name && answer.instrument[0].kind == BT_PLAN_LINE);
    bt_measure_answer_clear(&answer);
}

static void *take(size_t size)
{
    return bt_mem_resize(NULL, size);
}

static enum bt_status write_all(void)
{
    const struct bt_text_options options = {.system = BT_SYSTEM_MM, .details = true};
    struct bt_buffer text = {0}, json = {0}, rows = {0};
    enum bt_status status = bt_text_measure(&s.answer, &options, &text);

    if (status == BT_OK)
        status = bt_json_measure(&s.answer, &json);
    for (int kind = 0; kind < BT_PLAN_KINDS && status == BT_OK; kind++)
        status = bt_measure_csv(&s.answer, (enum bt_plan_kind)kind, &rows);
    bt_buffer_clear(&text);
    bt_buffer_clear(&json);
    bt_buffer_clear(&rows);
    return status;
}

Test(measure_result, writers_fail_cleanly_at_every_allocation)
{
    cJSON_Hooks hooks = {take, bt_free};
    enum bt_status status = BT_ENOMEM;
    size_t k = 1;

    cJSON_InitHooks(&hooks);
    for (; status != BT_OK; k++) {
        cr_assert_lt(k, 20000, "never done");
        memory_fail_at(k);
        status = write_all();
        cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu gave %d", k,
                  (int)status);
        cr_assert_eq(memory_live(), 0, "call %zu leaked", k);
    }
    cr_expect_gt(k, 100);
    memory_fail_at(0);
}

/* A small panel with an edge of 250 mm and a bar of 150 mm; 120 mm on the command line.
 */
Test(measure_result, takes_the_length_that_the_instrument_states)
{
    static char edge[] = "edge", bar[] = "bar";
    struct bt_instrument instrument[] = {{.name = edge,
                                          .kind = BT_INST_STRAIGHTEDGE,
                                          .u = 0.02,
                                          .straightness = NAN,
                                          .resolution = NAN,
                                          .own_hollow = NAN,
                                          .own_hollow_u = NAN,
                                          .length = 250},
                                         {.name = bar,
                                          .kind = BT_INST_BAR,
                                          .u = 0.01,
                                          .straightness = NAN,
                                          .resolution = NAN,
                                          .own_hollow = NAN,
                                          .own_hollow_u = NAN,
                                          .length = 150}};

    for (int typed = 0; typed < 2; typed++) {
        const struct bt_measure_request request = {.aim = {NAN, NAN, 5},
                                                   .edge = typed ? 220 : NAN,
                                                   .feet = typed ? 120 : NAN,
                                                   .afresh = true};
        struct bt_measure_answer answer;
        struct bt_error err = {0};

        s.job.panel.length = 300;
        s.job.panel.width = 200;
        s.job.instrument = instrument;
        s.job.ninstrument = 2;
        cr_assert_eq(bt_measure_answer_find(&s.job, &request, &answer, &err), BT_OK,
                     "%s", err.message);
        cr_assert_eq(answer.request.ninstrument, (size_t)2);
        cr_expect_eq(answer.instrument[0].reach, typed ? 220 : 250);
        cr_expect_eq(answer.instrument[1].reach, typed ? 120 : 150);
        cr_expect_not(answer.tool[1].feet_assumed);
        bt_measure_answer_clear(&answer);
    }
    s.job.instrument = NULL;
    s.job.ninstrument = 0;
}

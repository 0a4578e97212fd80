/* SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The layout of a job: outlines that are no rectangles, places that cut-outs keep
 * clear, what text and figure say; and every allocation failing once in turn.
 */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/draw/figure_layout.h"
#include "benchtrue/report/layout_result.h"
#include "support/memory.h"

static char names[8][4] = {"a", "b", "c", "d", "e", "f", "g", "h"};
static char none[] = "";
static char port[] = "port";

/* Boards of 103 to 110 mm, piece of 1000 x 400 mm. */
static void make_job(struct bt_job *job, struct bt_board board[8], size_t n)
{
    memset(job, 0, sizeof *job);
    job->layout = bt_layout_none();
    job->fixing = bt_fixing_none();
    job->plan = bt_work_plan_none();
    job->panel.length = 1000;
    job->panel.width = 400;
    job->nboard = n;
    job->board = board;
    for (size_t i = 0; i < n; i++)
        board[i] = (struct bt_board){.name = names[i],
                                     .width = 103 + (double)i,
                                     .length = 1040,
                                     .species = none,
                                     .rings = none};
}

static void find(const struct bt_job *job, const struct bt_outline *outline,
                 struct bt_layout_report *r)
{
    struct bt_error err = {0};

    cr_assert_eq(bt_layout_report_find(job, outline, r, &err), BT_OK, "%s",
                 err.message);
}

static void near(double got, double want, double tol, const char *what)
{
    cr_expect(fabs(got - want) <= tol, "%s: got %.10g, want %.10g", what, got, want);
}

static void expect_text(const struct bt_layout_report *r, const char *part)
{
    const struct bt_text_options options = {.details = true};
    struct bt_buffer out = {0};

    cr_assert_eq(bt_text_layout(r, &options, &out), BT_OK);
    cr_expect_not_null(strstr(out.text, part), "printed\n%s\nwithout\n%s", out.text,
                       part);
    bt_buffer_clear(&out);
}

/* The front runs 30 mm askew: the last strip is narrower at the left end by that. */
Test(layout_report, strips_of_an_askew_front_are_told_at_both_ends)
{
    struct bt_point p[] = {{0, 0}, {1000, 0}, {1000, 400}, {0, 370}};
    const struct bt_outline o = {4, p, {0, 1, 2, 3}};
    struct bt_board board[8];
    struct bt_layout_report r;
    struct bt_job job;
    size_t n;

    make_job(&job, board, 4);
    job.layout.turn = 0;
    find(&job, &o, &r);
    n = r.best.plan.n;
    cr_assert(r.best.plan.found && r.shaped && !r.turned.plan.found);
    near(r.best.right[n] - r.best.left[n], 30, 1e-9, "front");
    near(r.best.right[1], r.best.left[1], 1e-9, "joint along the back");
    near(r.best.plan.last, r.best.right[n] - 15 - r.best.right[n - 1], 1e-6, "mean");
    near(r.best.plan.first, r.best.plan.last, 1e-6, "equal at their mean");
    near(r.best.end_left, 20, 1e-9, "end");
    expect_text(&r, "left end      right end     joint at");
    expect_text(&r, "corner A 20 mm from the left end");
    bt_layout_report_clear(&r);
    /* that narrow at its left end it may not be */
    job.layout.narrowest = 80;
    find(&job, &o, &r);
    cr_expect_not(r.best.plan.found);
    cr_expect_eq(bt_layout_report_verdict(&r), BT_OVER);
    expect_text(&r, "without `no strip narrower than 80 mm` there is one");
    bt_layout_report_clear(&r);
}

/* A piece whose long edges both lean by 20 mm: parallel it takes 420 mm of width,
 * turned back 400. */
static struct bt_point leaning[] = {{0, 0}, {1000, 20}, {1000, 420}, {0, 400}};
static const struct bt_outline lean = {4, leaning, {0, 1, 2, 3}};

Test(layout_report, outline_is_turned_where_only_that_fits_the_blank)
{
    struct bt_board board[8];
    struct bt_layout_report r;
    struct bt_job job;

    make_job(&job, board, 4);
    for (size_t i = 0; i < 4; i++)
        board[i].width = 102 + (double)i;
    find(&job, &lean, &r);
    cr_assert(r.best.plan.found && r.needs_turn);
    near(r.best.turn, -atan(0.02), 1e-9, "turn");
    near(r.request.width, 400 * cos(atan(0.02)), 1e-6, "width");
    /* every corner lies on the blank */
    for (size_t i = 0; i < 4; i++) {
        const struct bt_point q = bt_cover_turned(leaning[i], r.best.turn);

        cr_expect(q.x + r.best.at.x >= -1e-9 &&
                  q.x + r.best.at.x <= r.best.blank_length + 1e-9);
        cr_expect(q.y + r.best.at.y >= r.best.plan.trim_back - 1e-9 &&
                  q.y + r.best.at.y <=
                      r.best.plan.blank - r.best.plan.trim_front + 1e-9);
    }
    /* the joints lean with the edges, seen from the piece */
    near(r.best.right[1] - r.best.left[1], 20, 1e-6, "joint");
    expect_text(&r, "turned 1.15 deg, right end to the back");
    bt_layout_report_clear(&r);
    job.layout.turn = 0;
    find(&job, &lean, &r);
    cr_expect_not(r.best.plan.found);
    bt_layout_report_clear(&r);
}

Test(layout_report, turn_that_saves_wood_is_one_of_the_others)
{
    struct bt_board board[8];
    struct bt_layout_report r;
    struct bt_job job;

    make_job(&job, board, 5);
    for (size_t i = 0; i < 4; i++)
        board[i].width = 102 + (double)i;
    board[4].width = 125;
    find(&job, &lean, &r);
    cr_assert(r.best.plan.found && !r.needs_turn && r.turned.plan.found);
    near(r.best.turn, 0, 0, "turn");
    cr_expect(r.turned.plan.wood < r.best.plan.wood);
    expect_text(&r, "outline turned 1.15 deg on the blank: saves wood");
    bt_layout_report_clear(&r);
}

Test(layout_report, joints_stay_off_a_narrow_cut_out_and_off_the_edges_of_a_wide_one)
{
    struct bt_cutout cut[] = {{.name = port,
                               .shape = BT_CUT_CIRCLE,
                               .x = 200,
                               .y = 105,
                               .length = 40,
                               .width = 40,
                               .radius = NAN},
                              {.name = none,
                               .shape = BT_CUT_RECTANGLE,
                               .x = 600,
                               .y = 200,
                               .length = 300,
                               .width = 160,
                               .radius = 20}};
    struct bt_board board[8];
    struct bt_layout_report r;
    struct bt_job job;

    make_job(&job, board, 5);
    job.layout.cutout = cut;
    job.layout.ncutout = 2;
    find(&job, NULL, &r);
    cr_assert_eq(r.request.nclear, 3);
    near(r.clear[0].y, 105, 1e-9, "port");
    near(r.clear[0].within, 30, 1e-9, "port");
    near(r.clear[1].y, 120, 1e-9, "edge");
    near(r.clear[1].within, 10, 1e-9, "edge");
    near(r.clear[2].y, 280, 1e-9, "edge");
    cr_assert(r.best.plan.found);
    cr_expect_eq(r.cut[0].faults | r.cut[1].faults, 0);
    cr_expect_eq(bt_layout_report_verdict(&r), BT_WITHIN);
    bt_layout_report_clear(&r);
    /* over the end: the boards fit, the cut-out does not */
    cut[0].x = 10;
    find(&job, NULL, &r);
    cr_expect_eq(bt_layout_report_verdict(&r), BT_OVER);
    expect_text(&r, "but cut-out port: is not inside the piece. Next: move it");
    bt_layout_report_clear(&r);
}

Test(layout_report, size_and_boards_are_asked_for)
{
    struct bt_board board[8];
    struct bt_layout_report r;
    struct bt_error err = {0};
    struct bt_job job;

    make_job(&job, board, 4);
    job.panel.width = NAN;
    cr_expect_eq(bt_layout_report_find(&job, NULL, &r, &err), BT_EINPUT);
    cr_expect_str_eq(err.message,
                     "the size of the piece is not known: write length and "
                     "width in [panel] or [layout] of job.ini");
    bt_layout_report_clear(&r);
    job.nboard = 0;
    cr_expect_eq(bt_layout_report_find(&job, NULL, &r, &err), BT_EINPUT);
    bt_layout_report_clear(&r);
}

static struct bt_layout_figure figure_of(const struct bt_layout_report *r)
{
    return (struct bt_layout_figure){.job = r->job,
                                     .outline = &r->outline,
                                     .plan = &r->best.plan,
                                     .turn = r->best.turn,
                                     .at = r->best.at,
                                     .blank_length = r->best.blank_length,
                                     .request = &r->request};
}

static bool holds(const struct bt_figure_bytes *out, const char *part)
{
    const size_t n = strlen(part);

    for (size_t i = 0; i + n <= out->length; i++)
        if (memcmp(out->bytes + i, part, n) == 0)
            return true;
    return false;
}

Test(layout_report, figure_names_boards_joints_and_the_place_of_the_outline)
{
    static const char *const parts[] = {"joint 1, ", "Corner A of the piece: ",
                                        "turned 1.15 deg, right end to the back."};
    struct bt_figure_bytes out = {0};
    struct bt_layout_figure in;
    struct bt_board board[8];
    struct bt_layout_report r;
    struct bt_error err = {0};
    struct bt_job job;

    make_job(&job, board, 4);
    for (size_t i = 0; i < 4; i++)
        board[i].width = 102 + (double)i;
    find(&job, &lean, &r);
    in = figure_of(&r);
    cr_assert_eq(bt_figure_layout(&in, BT_FIGURE_SVG, &out, &err), BT_OK, "%s",
                 err.message);
    for (size_t i = 0; i < 3; i++)
        cr_expect(holds(&out, parts[i]), "no '%s'", parts[i]);
    bt_figure_bytes_clear(&out);
    in.blank_length = NAN;
    cr_expect_eq(bt_figure_layout(&in, BT_FIGURE_SVG, &out, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "the length of the blank is not over 0 and finite");
    r.best.plan.found = false;
    cr_expect_eq(bt_figure_layout(&in, BT_FIGURE_SVG, &out, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "no layout to draw");
    bt_layout_report_clear(&r);
    bt_figure_teardown();
}

/* ---- no memory ---- */

static void *take(size_t size)
{
    return bt_mem_resize(NULL, size);
}

static enum bt_status all_of(const struct bt_job *job, const struct bt_outline *outline)
{
    const struct bt_text_options options = {.details = true};
    struct bt_layout_report r;
    struct bt_buffer out = {0};
    struct bt_error err;
    enum bt_status status = bt_layout_report_find(job, outline, &r, &err);

    if (status == BT_OK)
        status = bt_text_layout(&r, &options, &out);
    if (status == BT_OK)
        status = bt_json_layout(&r, &out);
    bt_buffer_clear(&out);
    bt_layout_report_clear(&r);
    return status;
}

static void fail_each(const struct bt_job *job, const struct bt_outline *outline)
{
    enum bt_status status = BT_ENOMEM;
    const size_t before = memory_live();
    size_t k = 1;

    for (; status != BT_OK; k++) {
        cr_assert_lt(k, 20000, "never done");
        memory_fail_at(k);
        status = all_of(job, outline);
        memory_fail_at(0);
        cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu gave %d", k,
                  (int)status);
        cr_assert_eq(memory_live(), before, "call %zu leaked", k);
    }
    cr_expect_gt(k, 20);
}

Test(layout_report, no_memory_is_said_and_leaks_nothing)
{
    cJSON_Hooks hooks = {take, bt_free};
    struct bt_cutout cut = {.name = port,
                            .shape = BT_CUT_CIRCLE,
                            .x = 200,
                            .y = 60,
                            .length = 40,
                            .width = 40,
                            .radius = NAN};
    struct bt_board board[8];
    struct bt_job job;

    cJSON_InitHooks(&hooks);
    make_job(&job, board, 5);
    job.layout.cutout = &cut;
    job.layout.ncutout = 1;
    fail_each(&job, &lean);
    job.layout.narrowest = 104;
    fail_each(&job, NULL);
    cJSON_InitHooks(NULL);
}

Test(layout_report, no_memory_with_more_boards_than_are_proven)
{
    enum { MANY = 22 };
    struct bt_board board[MANY];
    struct bt_board few[8];
    struct bt_job job;

    make_job(&job, few, 4);
    job.nboard = MANY;
    job.board = board;
    for (size_t i = 0; i < MANY; i++) {
        board[i] = few[i % 4];
        board[i].width = 180 + (double)i;
    }
    fail_each(&job, NULL);
}

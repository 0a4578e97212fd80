/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `movement` of one job: what is put together, text, JSON, and memory that fails. */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/report/movement_text.h"
#include "support/memory.h"

enum { BOARDS = 3 };

/* A red oak panel of three boards, 7 % to 11 %, today 8 % (invented). */
struct oak {
    struct bt_job job;
    struct bt_board board[BOARDS];
    struct bt_fixing fixing[2];
};

static void make_oak(struct oak *o)
{
    static const double width[BOARDS] = {100, 120, 80};
    static const char *const rings[BOARDS] = {"bark up", "bark down", "Bark up"};
    static const char *const names[BOARDS] = {"1", "2", "3"};

    memset(o, 0, sizeof *o);
    o->job.title = "Oak seat";
    o->job.panel = (struct bt_panel){900, 300, 22, "red oak"};
    o->job.limits = bt_limits_none();
    o->job.climate = bt_climate_none();
    o->job.layout = bt_layout_none();
    o->job.climate.driest.moisture = 7;
    o->job.climate.dampest.moisture = 11;
    o->job.climate.now.moisture = 8;
    o->job.nboard = BOARDS;
    o->job.board = o->board;
    for (size_t i = 0; i < BOARDS; i++)
        o->board[i] = (struct bt_board){.name = (char *)names[i],
                                        .width = width[i],
                                        .thickness = NAN,
                                        .moisture = NAN,
                                        .species = "",
                                        .rings = (char *)rings[i],
                                        .heart = 80};
    o->job.fixing = bt_fixing_none();
    o->job.fixing.fixing = o->fixing;
    for (size_t i = 0; i < 2; i++)
        o->fixing[i] =
            (struct bt_fixing){.name = "",
                               .x = 100,
                               .y = i ? 150 : 30,
                               .kind = i ? BT_FIXING_ROUND_HOLE : BT_FIXING_SLOT,
                               .direction = NAN,
                               .slot = i ? NAN : 14,
                               .hole = NAN,
                               .screw = 5,
                               .thread = 15,
                               .travel = NAN,
                               .arm = NAN,
                               .at = NAN,
                               .head = NAN,
                               .through = 20};
    o->job.fixing.n = 2;
}

static void near(double got, double want, double tolerance)
{
    cr_expect(fabs(got - want) <= tolerance, "got %.9g, want %.9g", got, want);
}

/* Flat red oak: 0.00369 a percent. */
Test(movement_result, the_panel_and_its_edges_are_told_from_the_fixed_line)
{
    struct oak o;
    struct bt_movement_answer a;

    make_oak(&o);
    o.job.fixing.fixed = BT_FIXED_AT;
    o.job.fixing.fixed_at = 100;
    cr_assert_eq(bt_movement_answer_find(&o.job, NULL, &a, NULL), BT_OK);
    near(a.whole.range, 300 * 0.00369 * 4, 1e-9);
    near(a.back.damp, -100 * 0.00369 * 3, 1e-9);
    near(a.front.damp, 200 * 0.00369 * 3, 1e-9);
    near(a.front.dry, -200 * 0.00369, 1e-9);
    near(a.each[1].range, 120 * 0.00369 * 4, 1e-9);
    near(a.seasons.u_now, 1 / sqrt(3), 1e-9);
    cr_expect_eq(a.now_from, BT_NOW_STATED);
    cr_expect_eq(a.strips, BT_STRIPS_LISTED);
    near(a.length_change.range, 900 * 5e-5 * 4, 1e-12);
    bt_movement_answer_clear(&a);
}

Test(movement_result, boards_that_miss_the_panel_are_taken_in_proportion)
{
    struct oak o;
    struct bt_movement_answer a;

    make_oak(&o);
    o.job.panel.width = 270;
    cr_assert_eq(bt_movement_answer_find(&o.job, NULL, &a, NULL), BT_OK);
    cr_expect_eq(a.strips, BT_STRIPS_SCALED);
    near(a.boards_width, 300, 1e-12);
    near(a.board[1].width, 108, 1e-12);
    near(a.whole.range, 270 * 0.00369 * 4, 1e-9);
    bt_movement_answer_clear(&a);
}

Test(movement_result, a_tight_fixing_near_the_fixed_line_holds_it)
{
    struct oak o;
    struct bt_movement_answer a;

    make_oak(&o);
    cr_assert_eq(bt_movement_answer_find(&o.job, NULL, &a, NULL), BT_OK);
    cr_expect(a.anchored);
    cr_expect_eq(bt_movement_answer_verdict(&a), BT_WITHIN);
    bt_movement_answer_clear(&a);
    o.fixing[1].y = 270;
    cr_assert_eq(bt_movement_answer_find(&o.job, NULL, &a, NULL), BT_OK);
    cr_expect_not(a.anchored);
    cr_expect_eq(a.fixing[1].moves, BT_OVER);
    cr_expect(a.fixing[1].way.off_line);
    bt_movement_answer_clear(&a);
}

/* Heart down, up, down: the rings of the second bend it the other way. */
Test(movement_result, the_form_is_that_of_the_rings)
{
    struct oak o;
    struct bt_movement_answer a;
    struct bt_ring_board board = {.width = 120,
                                  .thickness = 22,
                                  .heart_distance = 80,
                                  .heart_up = true,
                                  .e_radial = 0.00158 * 3,
                                  .e_tangential = 0.00369 * 3};
    struct bt_ring_shape shape;

    make_oak(&o);
    cr_assert_eq(bt_movement_answer_find(&o.job, NULL, &a, NULL), BT_OK);
    cr_assert_eq(bt_ring_shape_of(&board, &shape, NULL), BT_OK);
    cr_assert(a.rings.known);
    near(a.ring[1].damp, shape.cup, 1e-9);
    cr_expect(a.ring[0].damp * a.ring[1].damp < 0);
    cr_expect_not(a.ring[1].heart_taken);
    /* as they lie they are in turn already */
    near(a.rings.laid_damp.cup, a.rings.turned_damp.cup, 1e-12);
    cr_expect(fabs(a.rings.alike_damp.cup) > 2 * fabs(a.rings.turned_damp.cup));
    near(a.gradient_cup, bt_gradient_cup(0.00369, 1, 300, 22), 1e-9);
    bt_movement_answer_clear(&a);
    o.board[2].rings = "";
    cr_assert_eq(bt_movement_answer_find(&o.job, NULL, &a, NULL), BT_OK);
    cr_expect_not(a.rings.known);
    cr_expect(a.ring[1].known && isnan(a.ring[2].dry));
    bt_movement_answer_clear(&a);
}

/* The back edge goes out by 150 x 0.00369 x 3 = 1.66 mm and in by 0.55 mm. */
Test(movement_result, joints_to_walls_are_judged_by_their_sealant)
{
    static const struct {
        double joint, sealant;
        enum bt_verdict verdict;
    } rows[] = {{20, 25, BT_WITHIN},
                {4, 7.5, BT_OVER},
                {0.5, NAN, BT_OVER},
                {12, NAN, BT_WITHIN},
                {7, 25, BT_TOO_CLOSE}};

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bt_opening_plan plan = bt_opening_plan_none();
        const struct bt_movement_piece piece = {.opening = &plan};
        struct oak o;
        struct bt_movement_answer a;

        make_oak(&o);
        o.job.fixing.n = 0;
        plan.back_joint = rows[i].joint;
        plan.sealant = rows[i].sealant;
        cr_assert_eq(bt_movement_answer_find(&o.job, &piece, &a, NULL), BT_OK);
        cr_expect(a.wall[BT_WALL_BACK]);
        cr_expect_not(a.wall[BT_WALL_FRONT]);
        cr_expect(bt_movement_answer_judges(&a));
        cr_expect_eq(bt_movement_answer_verdict(&a), rows[i].verdict, "%zu", i);
        near(a.seal[BT_WALL_BACK].narrowest, rows[i].joint - 150 * 0.00369 * 3, 1e-9);
        bt_movement_answer_clear(&a);
    }
}

/* A back edge on the wall has no joint there, and the wall stops it: all of the
 * movement shows at the front.  A stated joint leaves the middle where it is. */
Test(movement_result, a_piece_pushed_home_stays_at_its_back_edge)
{
    struct bt_opening_plan plan = bt_opening_plan_none();
    const struct bt_movement_piece piece = {.opening = &plan};
    struct oak o;
    struct bt_movement_answer a;

    make_oak(&o);
    plan.joint = 3;
    plan.sealant = 25;
    cr_assert_eq(bt_movement_answer_find(&o.job, &piece, &a, NULL), BT_OK);
    cr_expect(a.home);
    cr_expect_eq(a.fixed_why, BT_FIXED_AT_HOME);
    cr_expect_not(a.wall[BT_WALL_BACK]);
    near(a.back.damp, 0, 1e-12);
    near(a.front.damp, 300 * 0.00369 * 3, 1e-9);
    bt_movement_answer_clear(&a);
    plan.back_joint = 8;
    cr_assert_eq(bt_movement_answer_find(&o.job, &piece, &a, NULL), BT_OK);
    cr_expect_not(a.home);
    cr_expect_eq(a.fixed_why, BT_FIXED_AT_MIDDLE);
    near(a.seal[BT_WALL_BACK].joint, 8, 1e-12);
    near(a.front.damp, 150 * 0.00369 * 3, 1e-9);
    bt_movement_answer_clear(&a);
    plan.back_joint = NAN;
    o.job.fixing.fixed = BT_FIXED_FRONT;
    cr_assert_eq(bt_movement_answer_find(&o.job, &piece, &a, NULL), BT_OK);
    cr_expect_eq(a.fixed_why, BT_FIXED_AS_STATED);
    near(a.seasons.fixed, 300, 1e-12);
    bt_movement_answer_clear(&a);
}

/* Boards of 100, 120 and 80 mm for a piece of 270 mm. */
Test(movement_result, strips_are_those_that_the_trim_leaves_of_the_boards)
{
    static const struct {
        enum bt_layout_trim trim;
        double back, width[BOARDS];
    } rows[] = {{BT_TRIM_ANY, 15, {85, 120, 65}},
                {BT_TRIM_EQUAL, 25, {75, 120, 75}},
                {BT_TRIM_BACK, 30, {70, 120, 80}},
                {BT_TRIM_FRONT, 0, {100, 120, 50}}};

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct oak o;
        struct bt_movement_answer a;

        make_oak(&o);
        o.job.layout.width = 270;
        o.job.layout.length = 880;
        o.job.layout.trim = rows[i].trim;
        cr_assert_eq(bt_movement_answer_find(&o.job, NULL, &a, NULL), BT_OK);
        cr_expect_eq(a.size, BT_SIZE_LAYOUT);
        cr_expect_eq(a.strips, BT_STRIPS_TRIMMED);
        near(a.trim_back, rows[i].back, 1e-9);
        near(a.trim_front, 30 - rows[i].back, 1e-9);
        cr_assert_eq(a.nboard, BOARDS);
        for (size_t k = 0; k < BOARDS; k++)
            near(a.board[k].width, rows[i].width[k], 1e-9);
        near(a.seasons.fixed, 135, 1e-12);
        near(a.whole.range, 270 * 0.00369 * 4, 1e-9);
        near(a.length_change.range, 880 * 5e-5 * 4, 1e-12);
        bt_movement_answer_clear(&a);
    }
}

Test(movement_result, a_board_that_the_trim_takes_away_is_no_strip)
{
    struct oak o;
    struct bt_movement_answer a;

    make_oak(&o);
    o.job.layout.width = 180;
    o.job.layout.trim = BT_TRIM_BACK;
    cr_assert_eq(bt_movement_answer_find(&o.job, NULL, &a, NULL), BT_OK);
    cr_assert_eq(a.nboard, 2);
    cr_expect_str_eq(bt_movement_row(&a, 0)->name, "2");
    near(a.board[0].width, 100, 1e-9);
    bt_movement_answer_clear(&a);
}

/* Boards 3 and 2, the first of them turned over: its heart is then on the other side.
 */
Test(movement_result, strips_are_those_of_the_plan_where_there_is_one)
{
    struct bt_layout_plan plan = {
        .found = true, .n = 2, .board = {2, 1}, .turned = {true}, .start = {0, 75}};
    struct bt_movement_piece piece = {.plan = &plan};
    struct oak o;
    struct bt_movement_answer a;
    double cup;

    make_oak(&o);
    o.job.layout.width = 190;
    cr_assert_eq(bt_movement_answer_find(&o.job, &piece, &a, NULL), BT_OK);
    cr_expect_eq(a.strips, BT_STRIPS_PLAN);
    cr_assert_eq(a.nboard, 2);
    cr_expect_str_eq(bt_movement_row(&a, 0)->name, "3");
    near(a.board[0].width, 75, 1e-12);
    near(a.board[1].width, 115, 1e-12);
    cup = a.ring[0].damp;
    bt_movement_answer_clear(&a);
    plan.turned[0] = false;
    cr_assert_eq(bt_movement_answer_find(&o.job, &piece, &a, NULL), BT_OK);
    cr_expect(a.ring[0].damp * cup < 0);
    bt_movement_answer_clear(&a);
}

/* Half of 900 mm by 0.005 % and 3 points: 0.07 mm. */
Test(movement_result, at_the_end_walls_the_panel_hardly_moves)
{
    struct bt_opening_plan plan = bt_opening_plan_none();
    const struct bt_movement_piece piece = {.opening = &plan};
    struct oak o;
    struct bt_movement_answer a;

    make_oak(&o);
    plan.joint = 5;
    plan.sealant = 12.5;
    plan.front_wall = true;
    cr_assert_eq(bt_movement_answer_find(&o.job, &piece, &a, NULL), BT_OK);
    cr_expect(a.wall[BT_WALL_LEFT] && a.wall[BT_WALL_RIGHT] && a.wall[BT_WALL_FRONT]);
    near(a.seal[BT_WALL_LEFT].narrowest, 5 - 450 * 5e-5 * 3, 1e-12);
    cr_expect_eq(a.seal_verdict[BT_WALL_LEFT], BT_WITHIN);
    bt_movement_answer_clear(&a);
}

Test(movement_result, what_is_missing_is_asked_for)
{
    struct oak o;
    struct bt_movement_answer a;
    struct bt_error err = {0};

    make_oak(&o);
    o.job.nboard = 0;
    o.job.panel.width = NAN;
    cr_expect_eq(bt_movement_answer_find(&o.job, NULL, &a, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "no width is stated: write width in [panel] of "
                                  "job.ini, or boards.csv");
    bt_movement_answer_clear(&a);
    make_oak(&o);
    o.board[1].species = "oaken";
    cr_expect_eq(bt_movement_answer_find(&o.job, NULL, &a, &err), BT_EINPUT);
    cr_expect_eq(err.row, 1);
    cr_expect_eq(strncmp(err.message, "no such species: 'oaken'", 24), 0, "%s",
                 err.message);
    bt_movement_answer_clear(&a);
    make_oak(&o);
    o.job.climate.now.moisture = 80;
    cr_expect_eq(bt_movement_answer_find(&o.job, NULL, &a, &err), BT_EINPUT);
    cr_expect_str_eq(
        err.message,
        "wood at 80 % is too wet to be fitted: let it dry to the room first");
    bt_movement_answer_clear(&a);
}

Test(movement_result, walls_and_ends_are_told_in_words)
{
    static const struct bt_text_options mm = {.system = BT_SYSTEM_MM, .details = true};
    struct bt_opening_plan plan = bt_opening_plan_none();
    const struct bt_movement_piece piece = {.opening = &plan};
    struct bt_buffer out = {0};
    struct oak o;
    struct bt_movement_answer a;

    make_oak(&o);
    o.job.fixing.n = 0;
    o.job.fixing.ends = BT_ENDS_FRAME;
    o.job.fixing.ends_play = 4;
    o.job.fixing.ends_width = 12;
    plan.back_joint = 4;
    plan.sealant = 7.5;
    cr_assert_eq(bt_movement_answer_find(&o.job, &piece, &a, NULL), BT_OK);
    cr_assert_eq(bt_text_movement(&a, &mm, &out), BT_OK);
    cr_expect_eq(strncmp(out.text,
                         "It cannot move as it has to: the joint to the back wall, 4 "
                         "mm today, becomes 2.3 mm to 4.6 mm, more than a sealant of "
                         "7.5 % takes. Next: a joint of ",
                         140),
                 0, "%s", out.text);
    cr_expect_not_null(strstr(out.text, "\nFrame\n  back edge           leave "), "%s",
                       out.text);
    cr_expect_not_null(
        strstr(out.text, "sealant pressed 42 %, stretched 14 %, takes 7.5 %, needs "),
        "%s", out.text);
    bt_buffer_clear(&out);
    bt_movement_answer_clear(&a);
}

/* ---- memory ---- */

static void *take(size_t size)
{
    return bt_mem_resize(NULL, size);
}

static void give(void *block)
{
    bt_mem_resize(block, 0);
}

static enum bt_status find(const struct bt_job *job, bool json)
{
    static const struct bt_text_options details = {.details = true};
    struct bt_opening_plan plan = bt_opening_plan_none();
    const struct bt_movement_piece piece = {.opening = &plan};
    struct bt_movement_answer a;
    struct bt_buffer out = {0};
    struct bt_error err;
    enum bt_status status;

    plan.joint = 5;
    plan.sealant = 25;
    status = bt_movement_answer_find(job, &piece, &a, &err);
    if (status == BT_OK)
        status =
            json ? bt_json_movement(&a, &out) : bt_text_movement(&a, &details, &out);
    bt_buffer_clear(&out);
    bt_movement_answer_clear(&a);
    return status;
}

Test(movement_result, every_allocation_fails_cleanly)
{
    cJSON_Hooks hooks = {take, give};
    struct oak o;

    make_oak(&o);
    cJSON_InitHooks(&hooks);
    for (int json = 0; json < 2; json++) {
        const size_t before = memory_live();
        enum bt_status status = BT_ENOMEM;
        size_t k = 1;

        for (; status != BT_OK; k++) {
            cr_assert_lt(k, 20000, "never done");
            memory_fail_at(k);
            status = find(&o.job, json);
            memory_fail_at(0);
            cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu gave %d", k,
                      (int)status);
            cr_assert_eq(memory_live(), before, "call %zu leaked", k);
        }
        cr_expect_gt(k, 6, "nothing was allocated");
    }
    cJSON_InitHooks(NULL);
}

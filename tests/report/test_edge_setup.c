/* SPDX-License-Identifier: GPL-3.0-or-later */

/* What the joint room is told about a job, and what is taken where the job is silent.
 */
#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

#include "benchtrue/report/edge_setup.h"
#include "report/joint_fixture.h"

#define DEGREE 0.017453292519943295

static char file[] = "fence.csv";

/* The boards of the fixture with a check of the fence at either end. */
static void with_checks(struct joint_fixture *f, double gap_in, double gap_out)
{
    joint_fixture_init(f);
    f->job.fence.ncheck = 2;
    f->job.same_point = 3;
    for (size_t i = 0; i < 2; i++)
        f->check[i] = (struct bt_fence_check){.kind = BT_FENCE_SQUARE,
                                              .station = i ? 900 : 0,
                                              .gap = i ? gap_out : gap_in,
                                              .u_gap = 0.01,
                                              .height = 100,
                                              .opens_at_top = true,
                                              .instrument = -1,
                                              .source = 3 + i};
}

static void expect_near(double got, double want, double tol, const char *what)
{
    cr_expect(fabs(got - want) <= tol, "%s is %.12g, not %.12g", what, got, want);
}

Test(edge_setup, a_fence_that_was_not_checked_is_square_to_a_stated_doubt)
{
    struct bt_edge_setup setup;
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.job.fence.ncheck = 0;
    cr_assert_eq(bt_edge_setup_find(&f.job, &setup, NULL), BT_OK);
    cr_expect_not(setup.fence_read);
    expect_near(setup.errors.e, 0, 0, "e");
    expect_near(setup.errors.u_e, 0.1 * DEGREE, 1e-15, "u of e");
    expect_near(setup.errors.scatter, 0.03 * DEGREE, 1e-15, "scatter");
    expect_near(setup.errors.u_taper, 0.05, 0, "u of a taper");
    cr_expect(setup.scatter_assumed && setup.u_taper_assumed);
    bt_edge_setup_clear(&setup);
}

Test(edge_setup, what_the_job_states_is_not_assumed)
{
    struct bt_edge_setup setup;
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.job.fence.ncheck = 0;
    f.job.fence.scatter = 0.02 * DEGREE;
    f.job.fence.u_taper = 0;
    cr_assert_eq(bt_edge_setup_find(&f.job, &setup, NULL), BT_OK);
    expect_near(setup.errors.scatter, 0.02 * DEGREE, 1e-15, "scatter");
    expect_near(setup.errors.u_taper, 0, 0, "u of a taper");
    cr_expect(!setup.scatter_assumed && !setup.u_taper_assumed);
    bt_edge_setup_clear(&setup);
}

/* Gaps of 0.1 and 0.3 mm at 100 mm: e = atan 0.002 in the mean, a twist of
 * atan 0.003 - atan 0.001 from end to end. */
Test(edge_setup, the_checks_give_e_and_the_twist_of_the_fence_adds_scatter)
{
    const double twist = atan(0.003) - atan(0.001);
    struct bt_edge_setup setup;
    struct joint_fixture f;

    with_checks(&f, 0.1, 0.3);
    cr_assert_eq(bt_edge_setup_find(&f.job, &setup, NULL), BT_OK);
    cr_expect(setup.fence_read);
    expect_near(setup.errors.e, (atan(0.003) + atan(0.001)) / 2, 1e-9, "e");
    cr_expect(setup.errors.u_e > 0 && setup.errors.u_e < 0.1 * DEGREE);
    expect_near(setup.twist_scatter, twist / sqrt(12), 1e-9, "scatter of the twist");
    expect_near(setup.own_scatter, 0.03 * DEGREE, 1e-15, "the edges' own scatter");
    expect_near(setup.errors.scatter, hypot(0.03 * DEGREE, twist / sqrt(12)), 1e-9,
                "scatter");
    bt_edge_setup_clear(&setup);
}

Test(edge_setup, a_check_that_is_refused_is_named_by_file_and_line)
{
    struct bt_edge_setup setup;
    struct bt_error err;
    struct joint_fixture f;

    with_checks(&f, 0.1, 30);
    f.job.fence.file = file;
    cr_assert_eq(bt_edge_setup_find(&f.job, &setup, &err), BT_EINPUT);
    cr_expect_eq(err.row, 1);
    cr_expect_eq(strncmp(err.message, "fence.csv:4: ", 13), 0, "%s", err.message);
    bt_edge_setup_clear(&setup);
}

Test(edge_setup, a_board_without_a_thickness_has_that_of_the_panel)
{
    struct bt_edge_setup setup;
    struct bt_error err;
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.job.fence.ncheck = 0;
    f.board[1].thickness = NAN;
    f.board[2].taper = 0.3;
    f.job.panel.thickness = 26;
    cr_assert_eq(bt_edge_setup_find(&f.job, &setup, NULL), BT_OK);
    cr_expect(setup.panel_thickness);
    expect_near(setup.strip[0].thickness, 28, 0, "thickness of board 1");
    expect_near(setup.strip[1].thickness, 26, 0, "thickness of board 2");
    expect_near(setup.strip[0].taper, 0, 0, "taper of board 1");
    expect_near(setup.strip[2].taper, 0.3, 0, "taper of board 3");
    cr_expect_eq(bt_edge_setup_boards(&setup, &err), BT_OK);
    bt_edge_setup_clear(&setup);

    f.job.panel.thickness = NAN;
    cr_assert_eq(bt_edge_setup_find(&f.job, &setup, NULL), BT_OK);
    cr_expect_eq(bt_edge_setup_boards(&setup, &err), BT_EINPUT);
    cr_expect_str_eq(
        err.message,
        "no thickness is stated: write thickness in [panel] of job.ini, or "
        "a column thickness in boards.csv");
    bt_edge_setup_clear(&setup);
}

Test(edge_setup, without_boards_it_says_what_to_write)
{
    struct bt_edge_setup setup;
    struct bt_error err;
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.job.fence.ncheck = 0;
    f.job.nboard = 0;
    cr_assert_eq(bt_edge_setup_find(&f.job, &setup, NULL), BT_OK);
    cr_expect_eq(bt_edge_setup_boards(&setup, &err), BT_EINPUT);
    cr_expect_str_eq(err.message,
                     "no boards are listed: write boards.csv, a row a board from the "
                     "back edge to the front, with its width and thickness");
    bt_edge_setup_clear(&setup);
}

Test(edge_setup, rules_that_leave_no_way_name_the_board)
{
    struct bt_edge_setup setup;
    struct bt_edge_plan plan = {0};
    struct bt_error err;
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.job.fence.ncheck = 0;
    /* the show face must be at the fence, and may not be: the grain forbids it */
    f.board[1].rule = (struct bt_board_rule){.back_fixed = true,
                                             .front_fixed = true,
                                             .back = BT_RUN_IN,
                                             .front = BT_RUN_IN,
                                             .grain = BT_GRAIN_LEFT};
    cr_assert_eq(bt_edge_setup_find(&f.job, &setup, NULL), BT_OK);
    cr_expect_eq(bt_edge_setup_plan(&setup, &f.job, BT_PATTERN_BEST, &plan, &err),
                 BT_ESINGULAR);
    cr_expect_eq(err.row, 1);
    cr_expect_eq(strncmp(err.message, "board 2: ", 9), 0, "%s", err.message);
    bt_edge_plan_clear(&plan);
    bt_edge_setup_clear(&setup);
}

Test(edge_setup, a_value_within_its_limit_is_never_called_over_however_large_its_u)
{
    static const struct {
        double value, u;
        enum bt_verdict verdict;
    } rows[] = {{0.1, 0.1, BT_WITHIN},
                {0.1, 30, BT_TOO_CLOSE},
                {-0.1, 30, BT_TOO_CLOSE},
                {-2, 0.1, BT_OVER},
                {2, 30, BT_OVER}};

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct bt_measured m = {rows[i].value, rows[i].u, true};

        cr_expect_eq(bt_joint_judge(&m, 1, 0.95).verdict, rows[i].verdict, "row %zu",
                     i);
    }
}

Test(edge_setup, clear_accepts_zeroes_and_null)
{
    struct bt_edge_setup setup = {0};

    bt_edge_setup_clear(&setup);
    bt_edge_setup_clear(NULL);
    cr_expect_eq(setup.nboard, 0);
}

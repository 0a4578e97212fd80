/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fence.csv and [fence]: what is typed becomes checks with their u. */
#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "jobdir.h"

#define DEGREE (3.14159265358979323846 / 180)

/* mm, rad: conversions of typed decimals and sums of a few of them */
#define TOLERANCE 1e-9

static bool near(double got, double want)
{
    return fabs(got - want) <= TOLERANCE;
}

/* A job in mm without readings; ini: the rest of job.ini. */
static void load_fence(struct jobdir *dir, const char *fence, const char *ini)
{
    char text[1000];

    jobdir_make(dir);
    snprintf(text, sizeof text,
             "[job]\nunits = mm\n[panel]\nlength = 1200\nwidth = 300\n%s", ini);
    jobdir_write(dir, "job.ini", text);
    if (fence)
        jobdir_write(dir, "fence.csv", fence);
    jobdir_load_well(dir);
}

static const struct bt_note *fence_note(const struct jobdir *dir, const char *text)
{
    return note_with(dir->job.note, dir->job.nnote, text);
}

Test(fence_file, tells_of_a_file_with_a_header_alone)
{
    struct jobdir dir;

    load_fence(&dir, "kind,station,height,gap,open_at\n", "");
    cr_expect_not_null(fence_note(&dir, "holds no check yet: type one row a check"));
    jobdir_remove(&dir);
    load_fence(&dir, "kind,station,height,gap,open_at\nsquare,120,95,,\n", "");
    cr_expect_null(fence_note(&dir, "holds no check yet"));
    jobdir_remove(&dir);
}

/* ---- kinds ---- */

Test(fence_file, reads_a_square_with_the_side_that_stands_open)
{
    struct jobdir dir;
    const struct bt_fence_check *check;

    load_fence(&dir,
               "kind,station,height,gap,open_at,note\n"
               "# infeed end\nsquare,120,95,0.15..0.20,top,\n"
               "Square,45 cm,3 3/4 in,0.10..0.15,Bottom,\n",
               "");
    cr_assert_eq(dir.job.fence.ncheck, 2);
    check = dir.job.fence.check;
    cr_expect_eq(check[0].kind, BT_FENCE_SQUARE);
    cr_expect(near(check[0].station, 120));
    cr_expect(near(check[0].height, 95));
    cr_expect(near(check[0].gap, 0.175));
    cr_expect(near(check[0].u_gap, 0.025 / sqrt(3)));
    cr_expect(check[0].opens_at_top);
    cr_expect_eq(check[0].source, 3);
    cr_expect(near(check[1].station, 450));
    cr_expect(near(check[1].height, 95.25));
    cr_expect_not(check[1].opens_at_top);
    cr_expect_eq(dir.job.fence.u_origin[BT_U_INTERVAL], 2);
    cr_expect_str_eq(dir.job.fence.file, "fence.csv");
    jobdir_remove(&dir);
}

Test(fence_file, reads_doubled_offcuts_of_equal_and_of_different_width)
{
    struct jobdir dir;
    const struct bt_fence_check *check;

    load_fence(&dir,
               "kind,gap,width,width2,hollow_at\n"
               "doubled,0.20..0.25,82,,fence face\n"
               "doubled,card+0.05,82,64.5,other face\n",
               "[feelers]\ncard = 0.30\n");
    cr_assert_eq(dir.job.fence.ncheck, 2);
    check = dir.job.fence.check;
    cr_expect_eq(check[0].kind, BT_FENCE_DOUBLED);
    cr_expect(isnan(check[0].station));
    cr_expect(near(check[0].width, 82) && near(check[0].width2, 82));
    cr_expect(check[0].hollow_at_fence);
    cr_expect(near(check[1].gap, 0.35));
    cr_expect(near(check[1].width2, 64.5));
    cr_expect_not(check[1].hollow_at_fence);
    cr_expect_eq(check[1].instrument, -1);
    jobdir_remove(&dir);
}

Test(fence_file, reads_an_angle_one_way_and_both_ways)
{
    struct jobdir dir;
    const struct bt_fence_check *check;

    load_fence(&dir,
               "kind,station,reading_deg,turned_deg\n"
               "angle,200,90.2,89.9\nangle,600,90.15,\nangle,700,1.5723 rad,\n",
               "");
    cr_assert_eq(dir.job.fence.ncheck, 3);
    check = dir.job.fence.check;
    cr_expect_eq(check[0].kind, BT_FENCE_ANGLE);
    cr_expect(near(check[0].reading, 90.2 * DEGREE));
    cr_expect(near(check[0].turned, 89.9 * DEGREE));
    cr_expect(near(check[1].reading, 90.15 * DEGREE));
    cr_expect(isnan(check[1].turned));
    cr_expect(near(check[2].reading, 1.5723));
    jobdir_remove(&dir);
}

Test(fence_file, accepts_angles_up_to_10_degrees_from_square)
{
    struct jobdir dir;

    load_fence(&dir, "kind,reading_deg\nangle,80.1\nangle,99.9\n", "");
    cr_expect_eq(dir.job.fence.ncheck, 2);
    jobdir_remove(&dir);
}

Test(fence_file, reads_a_decimal_comma_where_the_separator_is_a_semicolon)
{
    struct jobdir dir;

    load_fence(&dir,
               "kind;height_mm;gap_mm;open_at;reading_deg\n"
               "square;92,5;0,15..0,2;top;\nangle;;;;90,1\n",
               "");
    cr_assert_eq(dir.job.fence.ncheck, 2);
    cr_expect(near(dir.job.fence.check[0].height, 92.5));
    cr_expect(near(dir.job.fence.check[0].gap, 0.175));
    cr_expect(near(dir.job.fence.check[1].reading, 90.1 * DEGREE));
    jobdir_remove(&dir);
}

Test(fence_file, needs_no_side_for_a_gap_that_is_closed)
{
    struct jobdir dir;

    load_fence(&dir,
               "kind,height,gap,open_at,width,hollow_at\n"
               "square,90,0,,,\ndoubled,,0.00,,70,\n",
               "");
    cr_assert_eq(dir.job.fence.ncheck, 2);
    cr_expect(near(dir.job.fence.check[0].gap, 0));
    cr_expect(near(dir.job.fence.check[1].gap, 0));
    jobdir_remove(&dir);
}

/* Where no leaf goes and no side is seen, the fence may be off either way. */
Test(fence_file, takes_a_gap_too_thin_for_any_leaf_to_both_sides_where_none_is_typed)
{
    struct jobdir dir;
    const struct bt_fence_check *check;

    load_fence(&dir,
               "kind,height,gap,open_at\nsquare,90,<0.04,\nsquare,90,<0.04,bottom\n",
               "");
    cr_assert_eq(dir.job.fence.ncheck, 2);
    check = dir.job.fence.check;
    cr_expect(near(check[0].gap, 0));
    cr_expect(near(check[0].u_gap, 0.04 / sqrt(3)));
    cr_expect(near(check[1].gap, 0.02));
    cr_expect(near(check[1].u_gap, 0.02 / sqrt(3)));
    cr_expect_not(check[1].opens_at_top);
    jobdir_remove(&dir);
}

Test(fence_file, counts_checks_that_were_not_taken)
{
    struct jobdir dir;

    load_fence(&dir,
               "kind,station,height,gap,open_at,reading_deg\n"
               "square,100,90,,,\nangle,500,,,,\nangle,800,,,,90.1\n",
               "");
    cr_expect_eq(dir.job.fence.ncheck, 1);
    cr_expect_eq(dir.job.fence.blank, 2);
    cr_expect_not_null(fence_note(&dir, "2 checks not taken"));
    jobdir_remove(&dir);
}

Test(fence_file, may_be_missing_or_hold_no_check)
{
    struct jobdir dir;

    load_fence(&dir, NULL, "");
    cr_expect_eq(dir.job.fence.ncheck, 0);
    cr_expect_str_eq(dir.job.fence.file, "");
    jobdir_remove(&dir);
    load_fence(&dir, "kind,reading_deg\n", "");
    cr_expect_eq(dir.job.fence.ncheck, 0);
    cr_expect_str_eq(dir.job.fence.file, "fence.csv");
    jobdir_remove(&dir);
}

Test(fence_file, notes_a_fraction_that_no_rule_has)
{
    struct jobdir dir;

    load_fence(&dir, "kind,height,gap,open_at\nsquare,90,1/46 in,top\n", "");
    cr_expect_not_null(
        fence_note(&dir, "is '1/46 in' meant? a rule in inches has halves to 64ths"));
    jobdir_remove(&dir);
}

/* ---- how sure ---- */

Test(fence_file, takes_u_of_a_gap_from_column_then_interval_then_resolution_then_digit)
{
    struct jobdir dir;
    const struct bt_fence_check *check;

    load_fence(&dir,
               "kind,height,gap,open_at,u_thou\n"
               "square,90,0.1..0.2,top,1\nsquare,90,0.1..0.2,top,\n"
               "square,90,0.15,top,\n",
               "[instrument try square]\nkind = square\nu = 0.2 mm/m\n"
               "resolution = 0.05 mm\n");
    check = dir.job.fence.check;
    cr_assert_eq(dir.job.fence.ncheck, 3);
    cr_expect(near(check[0].u_gap, 0.0254));
    cr_expect(near(check[1].u_gap, 0.05 / sqrt(3)));
    cr_expect(near(check[2].u_gap, 0.05 / sqrt(12)));
    jobdir_remove(&dir);
    /* 0.1 shares the finest decimal of the column, 1/64 has its own. */
    load_fence(&dir,
               "kind,height,gap,open_at,width,hollow_at\n"
               "square,90,0.1,top,,\ndoubled,,0.12,,70,fence face\n"
               "square,90,1/64 in,top,,\nsquare,90,0,,,\n",
               "");
    check = dir.job.fence.check;
    cr_assert_eq(dir.job.fence.ncheck, 4);
    cr_expect(near(check[0].u_gap, 0.01 / sqrt(12)));
    cr_expect(near(check[1].u_gap, 0.01 / sqrt(12)));
    cr_expect(near(check[2].u_gap, 25.4 / 64 / sqrt(12)));
    cr_expect(near(check[3].u_gap, 0.01 / sqrt(12)));
    cr_expect_eq(dir.job.fence.u_origin[BT_U_DIGIT], 4);
    cr_expect_not_null(
        fence_note(&dir, "uncertainty of the readings: finest digit typed (4)"));
    jobdir_remove(&dir);
}

Test(fence_file, takes_u_of_a_gauge_from_column_then_resolution_then_digit)
{
    struct jobdir dir;
    const struct bt_fence_check *check;

    load_fence(&dir,
               "kind,reading_deg,turned_deg,u_deg\nangle,90.1,,0.2\nangle,90.1,90,\n",
               "[instrument box]\nkind = angle gauge\nu = 0.15 deg\n"
               "resolution = 0.05 deg\n");
    check = dir.job.fence.check;
    cr_assert_eq(dir.job.fence.ncheck, 2);
    cr_expect(near(check[0].u_reading, 0.2 * DEGREE));
    cr_expect(near(check[1].u_reading, 0.05 * DEGREE / sqrt(12)));
    jobdir_remove(&dir);
    load_fence(&dir, "kind,reading_deg,turned_deg\nangle,90.1,90\nangle,90,\n", "");
    check = dir.job.fence.check;
    cr_assert_eq(dir.job.fence.ncheck, 2);
    cr_expect(near(check[0].u_reading, 0.1 * DEGREE / sqrt(12)));
    cr_expect(near(check[1].u_reading, 0.1 * DEGREE / sqrt(12)));
    jobdir_remove(&dir);
}

Test(fence_file, takes_u_of_doubled_offcuts_from_the_feelers_that_the_row_names)
{
    struct jobdir dir;

    load_fence(&dir,
               "kind,gap,width,hollow_at,instrument\n"
               "doubled,0.2,82,fence face,leaves\n",
               "[instrument leaves]\nkind = feelers\nu = 0.012\n");
    cr_assert_eq(dir.job.fence.ncheck, 1);
    cr_expect(near(dir.job.fence.check[0].u_gap, 0.012));
    cr_expect_eq(dir.job.fence.u_origin[BT_U_INSTRUMENT], 1);
    cr_expect_eq(dir.job.fence.check[0].instrument, -1);
    jobdir_remove(&dir);
}

/* ---- square and gauge ---- */

Test(fence_file, shares_the_error_of_the_only_square_that_is_declared)
{
    struct jobdir dir;
    const struct bt_fence_check *check;

    load_fence(&dir,
               "kind,height,gap,open_at,instrument\n"
               "square,90,0.1,top,\nsquare,95,0.2,top,try square\n",
               "[instrument leaves]\nkind = feelers\n"
               "[instrument try square]\nkind = square\nu = 0.2 mm/m\n");
    check = dir.job.fence.check;
    cr_assert_eq(dir.job.fence.ncheck, 2);
    for (int i = 0; i < 2; i++) {
        cr_expect_eq(check[i].instrument, 1);
        cr_expect(near(check[i].u_own, 0.0002));
    }
    cr_expect_not(dir.job.fence.square_assumed);
    cr_expect_null(fence_note(&dir, "own error"));
    jobdir_remove(&dir);
}

Test(fence_file, assumes_and_notes_an_error_of_square_and_gauge_that_is_not_stated)
{
    struct jobdir dir;
    const struct bt_fence_check *check;

    load_fence(&dir,
               "kind,height,gap,open_at,reading_deg\n"
               "square,90,0.1,top,\nangle,,,,90.1\nsquare,80,0.1,top,\n",
               "");
    check = dir.job.fence.check;
    cr_assert_eq(dir.job.fence.ncheck, 3);
    cr_expect(near(check[0].u_own, 0.05 * DEGREE));
    cr_expect(near(check[1].u_own, 0.1 * DEGREE));
    cr_expect_eq(check[0].instrument, check[2].instrument);
    cr_expect_neq(check[0].instrument, check[1].instrument);
    cr_expect(check[0].instrument >= 0 && check[1].instrument >= 0);
    cr_expect(dir.job.fence.square_assumed && dir.job.fence.gauge_assumed);
    cr_expect_not_null(
        fence_note(&dir, "own error of the square not stated: 0.05 deg is taken "
                         "(common practice, no source); state it as u of an "
                         "[instrument NAME] with kind = square"));
    cr_expect_not_null(
        fence_note(&dir, "own error of the angle gauge not stated: 0.1 deg is taken "
                         "(common practice, no source); read it turned end for end "
                         "too, or state it as u of an [instrument NAME] with kind = "
                         "angle gauge"));
    jobdir_remove(&dir);
}

Test(fence_file, assumes_nothing_of_a_gauge_that_was_read_both_ways)
{
    struct jobdir dir;

    load_fence(&dir, "kind,reading_deg,turned_deg\nangle,90.2,89.9\n", "");
    cr_expect_not(dir.job.fence.gauge_assumed);
    cr_expect_null(fence_note(&dir, "own error"));
    jobdir_remove(&dir);
}

/* ---- [fence] ---- */

Test(fence_file, reads_the_keys_of_the_section)
{
    struct jobdir dir;
    const struct bt_fence_setup *fence = &dir.job.fence;

    load_fence(&dir, NULL,
               "[fence]\nlength = 36 in\nheight = 110\ncutter = 457.2\n"
               "feed = left to right\npattern = in and out\nscatter = 0.05 deg\n"
               "taper_u = 0.1\nagainst_grain = no\n");
    cr_expect(near(fence->length, 914.4));
    cr_expect(near(fence->height, 110));
    cr_expect(near(fence->cutter, 457.2));
    cr_expect_eq(fence->feed, BT_FEED_LEFT_TO_RIGHT);
    cr_expect_eq(fence->pattern, BT_PATTERN_IN_AND_OUT);
    cr_expect(near(fence->scatter, 0.05 * DEGREE));
    cr_expect(near(fence->u_taper, 0.1));
    cr_expect_not(fence->against_grain);
    jobdir_remove(&dir);
}

Test(fence_file, leaves_keys_that_are_not_stated_open)
{
    struct jobdir dir;
    const struct bt_fence_setup *fence = &dir.job.fence;

    load_fence(&dir, NULL, "[fence]\n");
    cr_expect(isnan(fence->length) && isnan(fence->height) && isnan(fence->cutter));
    cr_expect(isnan(fence->scatter) && isnan(fence->u_taper));
    cr_expect_eq(fence->feed, BT_FEED_RIGHT_TO_LEFT);
    cr_expect_eq(fence->pattern, BT_PATTERN_BEST);
    cr_expect(fence->against_grain);
    cr_expect_null(fence_note(&dir, "not used"));
    jobdir_remove(&dir);
}

/* ---- boards.csv ---- */

Test(fence_file, takes_what_the_edges_of_a_board_allow_from_the_table_of_boards)
{
    struct jobdir dir;
    const struct bt_board *board;

    jobdir_make(&dir);
    jobdir_write(
        &dir, "job.ini",
        "[job]\nunits = mm\n[fence]\nagainst_grain = no\n[panel]\nwidth = 500\n");
    jobdir_write(&dir, "boards.csv",
                 "board,width,grain,show,fence,against_grain\n"
                 "1,100,left,up,in,yes\n2,100,Right,either,out,no\n3,100,,,in/out,\n"
                 "4,100,,,out/in,\n5,100,,,,\n");
    jobdir_load_well(&dir);
    cr_assert_eq(dir.job.nboard, 5);
    board = dir.job.board;
    cr_expect(board[0].rule.back_fixed && board[0].rule.front_fixed);
    cr_expect_eq(board[0].rule.back, BT_RUN_IN);
    cr_expect_eq(board[0].rule.front, BT_RUN_IN);
    cr_expect_eq(board[0].rule.grain, BT_GRAIN_LEFT);
    cr_expect(board[0].rule.against_grain_allowed && !board[0].rule.may_turn);
    cr_expect_eq(board[1].rule.back, BT_RUN_OUT);
    cr_expect_eq(board[1].rule.front, BT_RUN_OUT);
    cr_expect_eq(board[1].rule.grain, BT_GRAIN_RIGHT);
    cr_expect(!board[1].rule.against_grain_allowed && board[1].rule.may_turn);
    cr_expect_eq(board[2].rule.back, BT_RUN_IN);
    cr_expect_eq(board[2].rule.front, BT_RUN_OUT);
    cr_expect_eq(board[3].rule.back, BT_RUN_OUT);
    cr_expect_eq(board[3].rule.front, BT_RUN_IN);
    cr_expect(!board[4].rule.back_fixed && !board[4].rule.front_fixed);
    cr_expect_eq(board[4].rule.grain, BT_GRAIN_UNKNOWN);
    /* where the row says nothing the section does */
    cr_expect(!board[4].rule.against_grain_allowed);
    cr_expect_not_null(
        fence_note(&dir, "3 boards without grain that may not be fed against it: which "
                         "way that is is not known"));
    jobdir_remove(&dir);
}

/* ---- faults of several rows ---- */

Test(fence_file, lists_every_fault_of_the_file_with_its_line)
{
    struct jobdir dir;

    jobdir_make(&dir);
    jobdir_write(&dir, "job.ini", "[job]\nunits = mm\n[fence]\nlength = 900\n");
    jobdir_write(&dir, "fence.csv",
                 "kind,station,height,gap,open_at,reading_deg\n"
                 "square,1000,90,0.1,,\nsquare,100,90,0.1,top,\nangle,,,,,9\n");
    jobdir_load(&dir, NULL);
    cr_expect_eq(dir.status, BT_EINPUT);
    cr_assert_eq(dir.faults.n, 3);
    cr_expect_eq(dir.faults.item[0].line, 2);
    cr_expect_eq(dir.faults.item[1].line, 2);
    cr_expect_eq(dir.faults.item[2].line, 4);
    jobdir_remove(&dir);
}

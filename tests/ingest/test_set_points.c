/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines and places: what is one point, what is left out, what is noted. */
#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "jobdir.h"

/* mm, rad: conversions of typed decimals and sums of a few of them */
#define TOLERANCE 1e-9

static bool near(double got, double want)
{
    return fabs(got - want) <= TOLERANCE;
}

/* ---- lines ---- */

Test(set_points, takes_each_file_of_a_line_as_its_own_placement)
{
    struct jobdir dir;

    jobdir_make(&dir);
    jobdir_write(&dir, "one.csv",
                 "line,at_mm,gap_mm\nl,0,0.1\nm,0,0.1\nm,500,0.1\n"
                 "l,1000,0.2\n");
    jobdir_write(&dir, "two.csv", "line,at_mm,gap_mm\nl,0,0.1\nl,1000,0.2\n");
    jobdir_write(&dir, "lines.csv",
                 "line,from,to\nl,0 mm 0 mm,1000 mm 0 mm\n"
                 "m,0 mm 50 mm,1000 mm 50 mm\n");
    jobdir_write(&dir, "job.ini", "[readings a]\nfiles = one.csv, two.csv\n");
    jobdir_load_well(&dir);
    cr_expect_eq(dir.job.set[0].readings.ngroup, 3);
    cr_expect_eq(dir.job.set[0].readings.obs[0].group,
                 dir.job.set[0].readings.obs[3].group);
    cr_expect_eq(dir.job.set[0].readings.npoint, 4);
    jobdir_remove(&dir);
}

Test(set_points, takes_a_line_read_with_two_straightedges_as_two_placements)
{
    struct jobdir dir;

    jobdir_load_set(
        &dir,
        "line,x,y,gap,instrument\nback,0,0,0.1,p\nback,600,0,0.2,p\nback,0,0,0.1,q\n"
        "back,600,0,0.1,q\n",
        "[instrument p]\nkind = straightedge\n[instrument q]\nkind = straightedge\n");
    cr_assert_eq(dir.job.set[0].readings.ngroup, 2);
    cr_expect_eq(dir.job.set[0].readings.group[1].instrument, 1);
    jobdir_remove(&dir);
}

Test(set_points, takes_the_places_of_a_line_in_any_order)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(
        &dir, "line,x,y,gap\nback,1200,0,0.1\nback,0,0,0.2\nback,900,0,0.3\n", "");
    set = &dir.job.set[0];
    cr_expect(near(set->readings.obs[0].basis[1], 0));
    cr_expect(near(set->readings.obs[1].basis[1], 1200));
    cr_expect(near(set->readings.obs[2].basis[1], 300));
    jobdir_remove(&dir);
}

Test(set_points, accepts_places_beside_a_line_up_to_1_percent_of_its_length)
{
    struct jobdir dir;

    jobdir_load_set(
        &dir, "line,x,y,gap\nback,0,0,0.1\nback,600,11.9,0.2\nback,1200,0,0.3\n", "");
    cr_expect_eq(dir.job.set[0].readings.nobs, 3);
    jobdir_remove(&dir);
}

Test(set_points, accepts_places_beyond_the_end_of_a_line_by_2_mm)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(&dir, "line,at,gap\nback,-2,0.1\nback,600,0.2\nback,1202,0.3\n",
                    "");
    set = &dir.job.set[0];
    expect_place(set, 2, 0, 1202, 0);
    cr_expect(near(set->readings.obs[0].edge, -1));
    cr_expect(near(set->readings.obs[2].edge, 1));
    jobdir_remove(&dir);
}

Test(set_points, accepts_places_beyond_the_edge_of_the_panel_by_2_mm)
{
    struct jobdir dir;

    jobdir_load_set(&dir, "x,y,height\n-2,0,5.01\n1202,602,5.02\n0,-1.5,5.04\n", "");
    expect_place(&dir.job.set[0], 1, 0, 1202, 602);
    jobdir_remove(&dir);
}

/* ---- what is not there yet ---- */

Test(set_points, counts_blank_cells_and_leaves_out_lines_read_at_one_place)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(
        &dir, "line,at,gap\nback,0,0.1\nback,600,0.2\nback,1200,\nac,0,\nac,500,0.1\n",
        "");
    set = &dir.job.set[0];
    cr_expect_eq(set->readings.nobs, 2);
    cr_expect_eq(set->readings.ngroup, 1);
    cr_expect_eq(set->readings.npoint, 2);
    cr_expect_eq(set->blank, 2);
    cr_expect_eq(set->kinds[BT_READ_GAP], 2);
    cr_expect_not_null(set_note(set, "2 readings not taken"));
    cr_expect_eq(set_note(set, "line 'ac' is read at one place so far")->line, 6);
    jobdir_remove(&dir);
}

Test(set_points, notes_that_nothing_is_read_yet)
{
    struct jobdir dir;

    jobdir_load_set(&dir, "line,at,gap\n", "");
    cr_expect_eq(dir.job.set[0].readings.nobs, 0);
    cr_expect_not_null(set_note(&dir.job.set[0], "nothing read yet"));
    jobdir_remove(&dir);
}

Test(set_points, passes_over_columns_called_note)
{
    struct jobdir dir;

    jobdir_load_set(&dir,
                    "x,y,note,height,Notes on wood\n0,0,dry,5.01,\n600,0,,5.02,x\n"
                    "0,300,,5.04,\n",
                    "");
    cr_expect_eq(dir.job.set[0].readings.nobs, 3);
    jobdir_remove(&dir);
}

/* ---- merging ---- */

Test(set_points, merges_places_nearer_than_same_point_and_notes_both)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(
        &dir,
        "line,x,y,gap\nback,0,0,0.1\nback,600,0,0.2\nback,1200,0,0.1\n"
        "side,0,2.9,0.1\nside,1,600,0.1\ncross,600,3,0.1\ncross,600,600,0.1\n",
        "");
    set = &dir.job.set[0];
    cr_expect_eq(set->readings.npoint, 6);
    cr_expect_eq(set->merged, 1);
    cr_expect_eq(set_note(set,
                          "x 0 mm, y 2.9 mm is taken as one point with x 0 mm, y 0 "
                          "mm")
                     ->line,
                 5);
    cr_expect(near(set->readings.slack, 2.9));
    expect_place(set, 3, 0, 0, 0);
    jobdir_remove(&dir);
}

Test(set_points, never_merges_over_half_the_least_step_of_a_line)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(&dir,
                    "line,x,y,gap\nback,0,0,0.1\nback,2,0,0.2\nback,4,0,0.1\n"
                    "side,0,0.9,0.1\nside,0,600,0.1\ncross,2,1,0.1\ncross,2,600,0.1\n",
                    "");
    set = &dir.job.set[0];
    cr_expect_eq(set->readings.npoint, 6);
    cr_expect_eq(set->merged, 1);
    cr_expect_eq(
        set_note(set,
                 "places nearer than 1 mm count as one point here, for this line has "
                 "a step of 2 mm")
            ->line,
        3);
    jobdir_remove(&dir);
}

Test(set_points, merges_nothing_but_equal_places_where_same_point_is_0)
{
    struct jobdir dir;

    jobdir_make(&dir);
    jobdir_write(&dir, "a.csv",
                 "x_mm,y_mm,height_mm\n0,0,5\n0,0,5.1\n0.01,0,5\n"
                 "9,9,5\n9,0,5\n");
    jobdir_write(&dir, "job.ini",
                 "[job]\nsame_point = 0 mm\n[readings a]\n"
                 "files = a.csv\n");
    jobdir_load_well(&dir);
    cr_expect_eq(dir.job.set[0].readings.npoint, 4);
    cr_expect_eq(dir.job.set[0].merged, 0);
    jobdir_remove(&dir);
}

Test(set_points, counts_every_merge_and_notes_the_first_twenty)
{
    struct jobdir dir;
    char text[4000] = "x_mm,y_mm,height_mm\n";

    for (int i = 0; i < 30; i++)
        sprintf(text + strlen(text), "%d,0,5\n%d,1,5\n", 20 * i, 20 * i);
    jobdir_make(&dir);
    jobdir_write(&dir, "a.csv", text);
    jobdir_load_file(&dir, "a.csv", NULL);
    cr_expect_eq(dir.job.set[0].merged, 30);
    cr_expect_not_null(set_note(&dir.job.set[0], "30 places in all"));
    /* one of how u was found, the merges, and as many repeated readings */
    cr_expect_eq(dir.job.set[0].nnote, 1 + 2 * (20 + 1));
    jobdir_remove(&dir);
}

/* ---- repeats and idle feet ---- */

Test(set_points, keeps_repeated_readings_and_notes_them)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(
        &dir, "line,at,gap\nback,0,0.1\nback,600,0.2\nback,1200,0.1\nback,600,0.25\n",
        "");
    set = &dir.job.set[0];
    cr_expect_eq(set->readings.nobs, 4);
    cr_expect_eq(set->readings.npoint, 3);
    cr_expect_eq(set_note(set, "repeats the reading of line 3; both count")->line, 5);
    jobdir_remove(&dir);
}

Test(set_points, notes_feet_where_nothing_else_is_read)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(
        &dir,
        "foot1_x,foot1_y,dial_x,dial_y,foot2_x,foot2_y,rise\n"
        "0,0,150,0,300,0,0.04\n0,0,150,0,300,0,0.05\n0,0,150,0,400,0,0.05\n",
        "");
    set = &dir.job.set[0];
    cr_expect_eq(set_note(set, "a foot stands at x 400 mm, y 0 mm, which nothing else "
                               "reads")
                     ->line,
                 4);
    cr_expect_not_null(set_note(set, "repeats the reading of line 2"));
    jobdir_remove(&dir);
}

Test(set_points, does_not_note_a_dial_where_nothing_else_is_read)
{
    struct jobdir dir;

    jobdir_load_set(&dir,
                    "foot1_x,foot1_y,dial_x,dial_y,foot2_x,foot2_y,rise\n"
                    "0,0,150,0,300,0,0.04\n0,0,180,0,300,0,0.05\n",
                    "");
    cr_expect_null(set_note(&dir.job.set[0], "which nothing else reads"));
    jobdir_remove(&dir);
}

/* ---- leaving out ---- */

Test(set_points, leaves_out_readings_by_file_and_line)
{
    struct bt_without without[] = {
        {"readings.csv", 3, false}, {"readings.csv", 9, false}, {"other.csv", 2, true}};
    const struct bt_load_options options = {.nwithout = 3, .without = without};
    struct jobdir dir;

    jobdir_make(&dir);
    jobdir_write(&dir, "readings.csv",
                 "x_mm,y_mm,height_mm\n0,0,5\n500,0,5.1\n0,500,5\n500,500,5\n");
    jobdir_write(&dir, "job.ini", "[readings a]\nfiles = readings.csv\n");
    jobdir_load(&dir, &options);
    cr_assert_eq(dir.status, BT_OK);
    cr_expect_eq(dir.job.set[0].readings.nobs, 3);
    cr_expect_eq(dir.job.set[0].readings.npoint, 3);
    cr_expect_eq(dir.job.set[0].skipped, 1);
    cr_expect(without[0].found);
    cr_expect_not(without[1].found);
    cr_expect_not(without[2].found);
    jobdir_remove(&dir);
}

Test(set_points, leaves_out_readings_of_a_bare_file_by_its_last_name)
{
    struct bt_without without[] = {{"bare.csv", 2, false}};
    const struct bt_load_options options = {
        .length = NAN, .width = NAN, .nwithout = 1, .without = without};
    struct jobdir dir;

    jobdir_make(&dir);
    jobdir_write(&dir, "bare.csv", "x_mm,y_mm,height_mm\n0,0,5\n500,0,5.1\n0,500,5\n");
    jobdir_load_file(&dir, "bare.csv", &options);
    cr_expect(without[0].found);
    cr_expect_eq(dir.job.set[0].readings.nobs, 2);
    jobdir_remove(&dir);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the rows of readings files to observations. */
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

/* ---- kinds ---- */

Test(set, reads_gaps_along_named_lines_as_offset_and_slope_minus_height)
{
    struct jobdir dir;
    const struct bt_set *set;
    const struct bt_obs *obs;

    jobdir_load_set(&dir, "line,at,gap_thou\nback,0,2\nback,300,7..9\nback,1200,1\n",
                    "");
    set = &dir.job.set[0];
    cr_assert_eq(set->readings.nobs, 3);
    cr_assert_eq(set->readings.ngroup, 1);
    cr_expect_eq(set->readings.group[0].dim, 2);
    cr_expect_eq(set->readings.group[0].instrument, -1);
    cr_expect(isnan(set->readings.group[0].straightness));
    obs = &set->readings.obs[1];
    cr_expect_eq(obs->kind, BT_READ_GAP);
    cr_expect_eq(obs->group, 0);
    cr_expect(near(obs->coef[0], -1));
    cr_expect(near(obs->basis[0], 1) && near(obs->basis[1], 300));
    cr_expect(near(obs->edge, -0.5));
    cr_expect(near(obs->value, 8 * 0.0254));
    expect_place(set, 1, 0, 300, 0);
    cr_expect_eq(set->source[1].line, 3);
    cr_expect_eq(set->kinds[BT_READ_GAP], 3);
    cr_expect_not(set->one_reference);
    jobdir_remove(&dir);
}

Test(set, finds_places_on_diagonals_mid_sides_and_lines_between_places)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(
        &dir,
        "line,at,gap\nac,0,0.1\nac,670.8203932499369,0.2\nmiddle,0,0.1\nmiddle,1200,0."
        "1\n"
        "half,0,0.1\nhalf,150,0.1\nfree,0,0.1\nfree,25.4,0.2\n",
        "");
    set = &dir.job.set[0];
    expect_place(set, 1, 0, 600, 300);
    expect_place(set, 2, 0, 0, 300);
    expect_place(set, 3, 0, 1200, 300);
    expect_place(set, 4, 0, 600, 0);
    expect_place(set, 5, 0, 600, 150);
    expect_place(set, 6, 0, 100, 50);
    cr_expect_eq(set->readings.ngroup, 4);
    jobdir_remove(&dir);
}

Test(set, measures_given_places_along_the_line_through_the_ones_farthest_apart)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(&dir, "line,x,y,gap\np,300,400,0.2\np,0,0,0.1\np,150,200,0.3\n",
                    "");
    set = &dir.job.set[0];
    cr_expect(near(set->readings.obs[0].basis[1], 0));
    cr_expect(near(set->readings.obs[1].basis[1], 500));
    cr_expect(near(set->readings.obs[2].basis[1], 250));
    cr_expect(near(set->readings.obs[1].edge, 1));
    cr_expect(near(set->readings.obs[2].edge, 0));
    jobdir_remove(&dir);
}

Test(set, reads_heights_with_offset_and_tilt_of_each_set_up)
{
    struct jobdir dir;
    const struct bt_set *set;
    const struct bt_obs *obs;

    jobdir_load_set(
        &dir,
        "x,y,height,setup\n0,0,5.01,1\n600,0,5.02,1\n0,300,5.04,1\n600,0,7.01,2\n"
        "1200,0,7.02,2\n600,300,7.03,2\n",
        "");
    set = &dir.job.set[0];
    cr_assert_eq(set->readings.nobs, 6);
    cr_assert_eq(set->readings.ngroup, 2);
    cr_expect_eq(set->readings.npoint, 5);
    cr_expect_eq(set->readings.group[1].dim, 3);
    obs = &set->readings.obs[5];
    cr_expect_eq(obs->kind, BT_READ_HEIGHT);
    cr_expect_eq(obs->group, 1);
    cr_expect(near(obs->coef[0], 1));
    cr_expect(near(obs->basis[0], 1) && near(obs->basis[1], 600) &&
              near(obs->basis[2], 300));
    cr_expect(near(obs->value, 7.03));
    cr_expect_not(set->one_reference);
    jobdir_remove(&dir);
}

Test(set, takes_heights_without_a_set_up_column_as_one_set_up)
{
    struct jobdir dir;

    jobdir_load_set(&dir, "x,y,height\n0,0,5.01\n600,0,5.02\n0,300,5.04\n", "");
    cr_expect_eq(dir.job.set[0].readings.ngroup, 1);
    cr_expect(dir.job.set[0].one_reference);
    jobdir_remove(&dir);
}

Test(set, gives_a_level_dial_an_offset_only)
{
    struct jobdir dir;

    jobdir_load_set(
        &dir, "x,y,height\n0,0,5.01\n600,0,5.02\n0,300,5.04\n",
        "instrument = gauge\n[instrument gauge]\nkind = dial\nlevel = yes\n");
    cr_assert_eq(dir.job.set[0].readings.ngroup, 1);
    cr_expect_eq(dir.job.set[0].readings.group[0].dim, 1);
    cr_expect(near(dir.job.set[0].readings.obs[1].basis[1], 0));
    jobdir_remove(&dir);
}

Test(set, gives_a_set_up_on_one_line_two_unknowns)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(&dir, "x,y,height\n300,100,5.01\n600,500,5.02\n450,300,5.04\n", "");
    set = &dir.job.set[0];
    cr_expect_eq(set->readings.group[0].dim, 2);
    cr_expect(near(set->readings.obs[1].basis[1], 500));
    cr_expect(near(set->readings.obs[2].basis[1], 250));
    cr_expect(near(set->readings.obs[2].basis[2], 0));
    jobdir_remove(&dir);
}

Test(set, keeps_set_ups_of_two_dials_apart)
{
    struct jobdir dir;

    jobdir_load_set(
        &dir,
        "x,y,height,setup,instrument\n0,0,5.01,1,p\n600,0,5.02,1,p\n0,300,5.04,1,p\n"
        "0,0,7.01,1,q\n600,0,7.02,1,q\n0,300,7.03,1,q\n",
        "[instrument p]\nkind = dial\n[instrument q]\nkind = dial\n");
    cr_expect_eq(dir.job.set[0].readings.ngroup, 2);
    jobdir_remove(&dir);
}

static const char bar[] = "foot1_x,foot1_y,dial_x,dial_y,foot2_x,foot2_y,rise\n"
                          "100,50,250,50,500,50,0.04\n100,50,250,60,500,50,0.05\n";

Test(set, reads_a_bar_as_the_rise_over_the_line_of_its_feet)
{
    struct jobdir dir;
    const struct bt_obs *obs;

    jobdir_load_set(&dir, bar, "");
    obs = &dir.job.set[0].readings.obs[0];
    cr_expect_eq(obs->kind, BT_READ_BAR);
    cr_expect_eq(obs->group, BT_NO_GROUP);
    cr_expect(near(obs->coef[0], 0.375 - 1));
    cr_expect(near(obs->coef[1], 1));
    cr_expect(near(obs->coef[2], -0.375));
    cr_expect(near(obs->value, 0.04));
    jobdir_remove(&dir);
}

Test(set, gives_a_bar_of_unknown_zero_one_unknown_for_all_its_readings)
{
    struct jobdir dir;
    const struct bt_readings *readings;

    jobdir_load_set(&dir, bar,
                    "instrument = b\n[instrument b]\nkind = bar\nzero = unknown\n");
    readings = &dir.job.set[0].readings;
    cr_assert_eq(readings->ngroup, 1);
    cr_expect_eq(readings->group[0].dim, 1);
    cr_expect_eq(readings->group[0].instrument, -1, "no edge");
    cr_expect_eq(readings->obs[0].group, 0);
    cr_expect_eq(readings->obs[1].group, 0);
    cr_expect(near(readings->obs[1].basis[0], 1));
    jobdir_remove(&dir);
}

Test(set, reads_a_slope_in_degrees_as_its_tangent_with_the_u_of_that)
{
    struct jobdir dir;
    const struct bt_obs *obs;
    const double t = tan(atan(1) / 45 * 30);

    jobdir_load_set(&dir,
                    "x1,y1,x2,y2,slope_deg,u_deg\n0,0,400,300,30,0.2\n"
                    "400,300,0,0,-0.1,\n",
                    "");
    obs = &dir.job.set[0].readings.obs[0];
    cr_expect_eq(obs->kind, BT_READ_SLOPE);
    cr_expect(near(obs->value, t));
    cr_expect(near(obs->coef[0], -1. / 500) && near(obs->coef[1], 1. / 500));
    /* tan(0.2 deg) for 0.2 deg itself: 4e-6 of it */
    cr_expect(fabs(obs->u - 0.2 * atan(1) / 45 * (1 + t * t)) <= 1e-7, "%g", obs->u);
    cr_expect(near(obs[1].value, -tan(0.1 * atan(1) / 45)));
    jobdir_remove(&dir);
}

Test(set, reads_a_level_in_mm_per_m_with_its_unknown_zero)
{
    struct jobdir dir;
    const struct bt_readings *readings;

    jobdir_load_set(
        &dir, "x1,y1,x2,y2,slope_mm_per_m\n0,0,600,0,0.4\n600,0,0,0,-0.2\n",
        "instrument = l\n[instrument l]\nkind = level\nzero = unknown\nu = 0.05 "
        "mm/m\n");
    readings = &dir.job.set[0].readings;
    cr_expect(near(readings->obs[0].value, 0.4e-3));
    cr_expect(near(readings->obs[0].u, 0.05e-3));
    cr_assert_eq(readings->ngroup, 1);
    cr_expect(near(readings->obs[1].basis[0], 1));
    cr_expect(near(readings->obs[1].plane[1], -1));
    jobdir_remove(&dir);
}

Test(set, reads_winding_sticks_over_their_own_length)
{
    struct jobdir dir;
    const struct bt_set *set;
    const struct bt_obs *obs;

    jobdir_load_set(&dir, "x1,x2,y1,y2,stick,wind\n50,1150,20,580,700,0.5\n", "");
    set = &dir.job.set[0];
    obs = &set->readings.obs[0];
    cr_expect_eq(obs->kind, BT_READ_WIND);
    cr_expect_eq(obs->npoint, 4);
    expect_place(set, 0, 0, 50, 20);
    expect_place(set, 0, 1, 50, 580);
    expect_place(set, 0, 2, 1150, 20);
    expect_place(set, 0, 3, 1150, 580);
    cr_expect(near(obs->coef[0], 1.25) && near(obs->coef[1], -1.25));
    cr_expect(near(obs->coef[2], -1.25) && near(obs->coef[3], 1.25));
    jobdir_remove(&dir);
}

Test(set, reads_a_scan_without_groups_and_without_merging)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(&dir, "x,y,z\n0,0,0.5\n0.5,0,0.6\n0.5,0,0.6\n0,300,0.7\n", "");
    set = &dir.job.set[0];
    cr_expect_eq(set->readings.npoint, 4);
    cr_expect_eq(set->readings.ngroup, 0);
    cr_expect_eq(set->merged, 0);
    cr_expect_eq(set->kinds[BT_READ_SCAN], 4);
    cr_expect(set->one_reference);
    jobdir_remove(&dir);
}

/* ---- grids ---- */

Test(set, reads_a_grid_of_heights_as_one_set_up)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(&dir, "height_thou@in,0,10,20\n0,5,6,7\n12,8,,9\n", "");
    set = &dir.job.set[0];
    cr_assert_eq(set->readings.nobs, 5);
    cr_expect_eq(set->blank, 1);
    cr_expect_eq(set->readings.ngroup, 1);
    cr_expect_eq(set->readings.group[0].dim, 3);
    expect_place(set, 4, 0, 508, 304.8);
    cr_expect(near(set->readings.obs[4].value, 9 * 0.0254));
    cr_expect_eq(set->source[4].line, 3);
    cr_expect(set->one_reference);
    jobdir_remove(&dir);
}

Test(set, reads_each_row_of_a_grid_of_gaps_along_as_one_line)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(
        &dir, "gap-along_mm@cm,0,30,120\n5,0.1,0.2..0.25,<0.05\n50,0.1,0.2,0.1\n", "");
    set = &dir.job.set[0];
    cr_assert_eq(set->readings.nobs, 6);
    cr_expect_eq(set->readings.ngroup, 2);
    expect_place(set, 1, 0, 300, 50);
    cr_expect(near(set->readings.obs[1].basis[1], 300));
    cr_expect(near(set->readings.obs[1].value, 0.225));
    cr_expect(near(set->readings.obs[1].u, 0.025 / sqrt(3)));
    cr_expect(near(set->readings.obs[2].value, 0.025));
    cr_expect(near(set->readings.obs[2].edge, 1));
    cr_expect_eq(set->readings.obs[3].group, 1);
    jobdir_remove(&dir);
}

Test(set, reads_each_column_of_a_grid_of_gaps_across_as_one_line)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(
        &dir, "gap-across_mm@mm,0,300\n0,0.1,0.2\n200,0.3,0.4\n600,0.1,0.2\n", "");
    set = &dir.job.set[0];
    cr_expect_eq(set->readings.ngroup, 2);
    cr_expect_eq(set->readings.obs[0].group, set->readings.obs[2].group);
    cr_expect_neq(set->readings.obs[0].group, set->readings.obs[1].group);
    cr_expect(near(set->readings.obs[3].basis[1], 200));
    expect_place(set, 3, 0, 300, 200);
    jobdir_remove(&dir);
}

Test(set, reads_a_decimal_comma_where_cells_are_separated_by_semicolons)
{
    struct jobdir dir;

    jobdir_load_set(&dir, "x;y;height\n0;0;5,01\n600,5;0;5,02\n0;300;5.04\n", "");
    expect_place(&dir.job.set[0], 1, 0, 600.5, 0);
    cr_expect(near(dir.job.set[0].readings.obs[0].value, 5.01));
    jobdir_remove(&dir);
}

/* ---- several files and faces ---- */

Test(set, shares_points_between_files_of_different_kinds)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_make(&dir);
    jobdir_write(&dir, "gaps.csv",
                 "line,x_mm,y_mm,gap_mm\nl,0,0,0.1\nl,500,0,0.2\n"
                 "l,1000,0,0.1\n");
    jobdir_write(&dir, "sticks.csv",
                 "x1_mm,x2_mm,y1_mm,y2_mm,stick_mm,wind_mm\n"
                 "0,1000,1,500,600,0.4\n");
    jobdir_write(&dir, "job.ini",
                 "[instrument edge]\nkind = straightedge\nu = 0.02 mm\n[readings a]\n"
                 "files = gaps.csv, sticks.csv\ninstrument = edge\n");
    jobdir_load_well(&dir);
    set = &dir.job.set[0];
    cr_expect_eq(set->readings.nobs, 4);
    cr_expect_eq(set->readings.npoint, 5);
    cr_expect_eq(set->merged, 2);
    /* the edge serves the gaps; the sticks have only their digits */
    cr_expect(near(set->readings.obs[2].u, 0.02));
    cr_expect(near(set->readings.obs[3].u, 0.1 / sqrt(12)));
    cr_expect_str_eq(set_note(set, "'edge' gives no wind readings: not used")->file,
                     "sticks.csv");
    jobdir_remove(&dir);
}

Test(set, keeps_places_of_the_bottom_face_as_read_on_that_face)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(&dir, "x,y,height\n0,100,5.01\n600,0,5.02\n0,300,5.04\n",
                    "face = bottom\n");
    set = &dir.job.set[0];
    cr_expect_eq(set->face, BT_FACE_BOTTOM);
    expect_place(set, 0, 0, 0, 100);
    cr_expect(near(bt_job_panel_y(&dir.job, set, 100), 500));
    jobdir_remove(&dir);
}

Test(set, notes_lines_that_no_file_uses)
{
    struct jobdir dir;

    jobdir_load_set(&dir, "line,at,gap\nback,0,0.1\nback,600,0.2\n", "");
    cr_expect_eq(
        note_with(dir.job.note, dir.job.nnote, "no readings file uses line 'ac'")->line,
        3);
    cr_expect_null(note_with(dir.job.note, dir.job.nnote, "'back'"));
    jobdir_remove(&dir);
}

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

/* A job of 1200 x 600 mm in mm with one set of readings.csv; `more` is the rest of
 * job.ini, beginning with keys of the set. */
static void load(struct jobdir *dir, const char *readings, const char *more)
{
    char text[1000];

    jobdir_make(dir);
    jobdir_write(dir, "readings.csv", readings);
    jobdir_write(dir, "lines.csv",
                 "line,from,to\nback,A,B\nac,A,C\nmiddle,DA,BC\nhalf,AB,DC\n"
                 "free,100 50,10 in 1 1/2 in\n");
    snprintf(text, sizeof text,
             "[job]\nunits = mm\n[panel]\nlength = 1200\nwidth = 600\n"
             "[readings a]\nfiles = readings.csv\n%s",
             more);
    jobdir_write(dir, "job.ini", text);
    jobdir_load_well(dir);
}

static const struct bt_point *point_of(const struct bt_set *set, size_t obs, int k)
{
    return &set->readings.point[set->readings.obs[obs].point[k]];
}

static void expect_place(const struct bt_set *set, size_t obs, int k, double x,
                         double y)
{
    const struct bt_point *at = point_of(set, obs, k);

    cr_expect(near(at->x, x) && near(at->y, y), "reading %zu: %g, %g", obs, at->x,
              at->y);
}

static const struct bt_note *set_note(const struct bt_set *set, const char *text)
{
    return note_with(set->note, set->nnote, text);
}

/* ---- kinds ---- */

Test(set, reads_gaps_along_named_lines_as_offset_and_slope_minus_height)
{
    struct jobdir dir;
    const struct bt_set *set;
    const struct bt_obs *obs;

    load(&dir, "line,at,gap_thou\nback,0,2\nback,300,7..9\nback,1200,1\n", "");
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

    load(&dir,
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

    load(&dir, "line,x,y,gap\np,300,400,0.2\np,0,0,0.1\np,150,200,0.3\n", "");
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

    load(&dir,
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

    load(&dir, "x,y,height\n0,0,5.01\n600,0,5.02\n0,300,5.04\n", "");
    cr_expect_eq(dir.job.set[0].readings.ngroup, 1);
    cr_expect(dir.job.set[0].one_reference);
    jobdir_remove(&dir);
}

Test(set, gives_a_level_dial_an_offset_only)
{
    struct jobdir dir;

    load(&dir, "x,y,height\n0,0,5.01\n600,0,5.02\n0,300,5.04\n",
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

    load(&dir, "x,y,height\n300,100,5.01\n600,500,5.02\n450,300,5.04\n", "");
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

    load(&dir,
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

    load(&dir, bar, "");
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

    load(&dir, bar, "instrument = b\n[instrument b]\nkind = bar\nzero = unknown\n");
    readings = &dir.job.set[0].readings;
    cr_assert_eq(readings->ngroup, 1);
    cr_expect_eq(readings->group[0].dim, 1);
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

    load(&dir,
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

    load(&dir, "x1,y1,x2,y2,slope_mm_per_m\n0,0,600,0,0.4\n600,0,0,0,-0.2\n",
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

    load(&dir, "x1,x2,y1,y2,stick,wind\n50,1150,20,580,700,0.5\n", "");
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

    load(&dir, "x,y,z\n0,0,0.5\n0.5,0,0.6\n0.5,0,0.6\n0,300,0.7\n", "");
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

    load(&dir, "height_thou@in,0,10,20\n0,5,6,7\n12,8,,9\n", "");
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

    load(&dir, "gap-along_mm@cm,0,30,120\n5,0.1,0.2..0.25,<0.05\n50,0.1,0.2,0.1\n", "");
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

    load(&dir, "gap-across_mm@mm,0,300\n0,0.1,0.2\n200,0.3,0.4\n600,0.1,0.2\n", "");
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

    load(&dir, "x;y;height\n0;0;5,01\n600,5;0;5,02\n0;300;5.04\n", "");
    expect_place(&dir.job.set[0], 1, 0, 600.5, 0);
    cr_expect(near(dir.job.set[0].readings.obs[0].value, 5.01));
    jobdir_remove(&dir);
}

/* ---- uncertainty ---- */

static const char gaps_with_u[] = "line,x,y,gap,u_thou\nback,0,0,0.1..0.16,2\n"
                                  "back,600,0,0.1..0.16,\nback,1200,0,0.25,\n";

Test(set, takes_u_from_column_then_interval_then_instrument)
{
    struct jobdir dir;
    const struct bt_set *set;

    load(&dir, gaps_with_u,
         "instrument = e\n[instrument e]\nkind = straightedge\nu = 0.02\n"
         "resolution = 0.05\n");
    set = &dir.job.set[0];
    cr_expect(near(set->readings.obs[0].u, 0.0508));
    cr_expect(near(set->readings.obs[1].u, 0.03 / sqrt(3)));
    cr_expect(near(set->readings.obs[2].u, 0.02));
    cr_expect_eq(set->u_origin[BT_U_TYPED], 1);
    cr_expect_eq(set->u_origin[BT_U_INTERVAL], 1);
    cr_expect_eq(set->u_origin[BT_U_INSTRUMENT], 1);
    cr_expect_not_null(set_note(set,
                                "uncertainty of the readings: typed in the column u "
                                "(1), from what went and what did not (1), u of the "
                                "instrument (1)"));
    jobdir_remove(&dir);
}

Test(set, takes_u_from_the_resolution_where_the_instrument_has_no_u)
{
    struct jobdir dir;

    load(&dir, gaps_with_u,
         "instrument = e\n[instrument e]\nkind = straightedge\nresolution = 0.05\n");
    cr_expect(near(dir.job.set[0].readings.obs[2].u, 0.05 / sqrt(12)));
    cr_expect_eq(dir.job.set[0].u_origin[BT_U_RESOLUTION], 1);
    jobdir_remove(&dir);
}

Test(set, takes_u_from_the_finest_digit_of_the_column_last)
{
    struct jobdir dir;
    const struct bt_set *set;

    load(&dir, "x,y,height\n0,0,5\n600,0,5.02\n0,300,5.1\n", "");
    set = &dir.job.set[0];
    for (size_t i = 0; i < 3; i++)
        cr_expect(near(set->readings.obs[i].u, 0.01 / sqrt(12)), "%zu", i);
    cr_expect_eq(set->u_origin[BT_U_DIGIT], 3);
    jobdir_remove(&dir);
}

Test(set, takes_the_finest_digit_of_each_file_for_itself)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_make(&dir);
    jobdir_write(&dir, "one.csv", "x_mm,y_mm,height_mm\n0,0,5.125\n9,0,5\n0,9,5\n");
    jobdir_write(&dir, "two.csv", "x_mm,y_mm,height_mm\n0,0,5.1\n9,0,5\n0,9,5\n");
    jobdir_write(&dir, "job.ini", "[readings a]\nfiles = one.csv, two.csv\n");
    jobdir_load_well(&dir);
    set = &dir.job.set[0];
    cr_expect(near(set->readings.obs[1].u, 0.001 / sqrt(12)));
    cr_expect(near(set->readings.obs[4].u, 0.1 / sqrt(12)));
    cr_expect_eq(set->source[4].file, 1);
    jobdir_remove(&dir);
}

Test(set, takes_the_instrument_of_a_row_before_that_of_the_set)
{
    struct jobdir dir;
    const struct bt_set *set;

    load(&dir,
         "line,x,y,gap,instrument\nback,0,0,0.1,\nback,600,0,0.2,thick set\n"
         "back,1200,0,0.1,\n",
         "instrument = e\n[instrument e]\nkind = straightedge\nu = 0.02\n"
         "straightness = 0.03\n[instrument thick set]\nkind = feelers\nu = 0.07\n");
    set = &dir.job.set[0];
    cr_expect(near(set->readings.obs[0].u, 0.02));
    cr_expect(near(set->readings.obs[1].u, 0.07));
    /* one placement of the one edge */
    cr_assert_eq(set->readings.ngroup, 1);
    cr_expect_eq(set->readings.group[0].instrument, 0);
    cr_expect(near(set->readings.group[0].straightness, 0.03));
    jobdir_remove(&dir);
}

Test(set, reads_named_feelers_stacked_and_between)
{
    struct jobdir dir;
    const struct bt_set *set;

    load(&dir,
         "line,x,y,gap\nback,0,0,paper..card\nback,600,0,paper+card\nback,1200,0,0.4\n",
         "[feelers]\npaper = 0.1\ncard = 0.3\n");
    set = &dir.job.set[0];
    cr_expect(near(set->readings.obs[0].value, 0.2));
    cr_expect(near(set->readings.obs[0].u, 0.1 / sqrt(3)));
    cr_expect(near(set->readings.obs[1].value, 0.4));
    cr_expect(near(set->readings.obs[1].u, 0.1 / sqrt(12)));
    jobdir_remove(&dir);
}

/* ---- the edge's own shape ---- */

Test(set, takes_the_hollow_of_the_edge_off_gaps_as_a_parabola)
{
    struct jobdir dir;
    const struct bt_set *set;

    /* An edge hollow by 0.08 on a true surface stands off by 0.08 in the middle, by
     * 0.06 half way out and not at all at its ends. */
    load(&dir,
         "line,x,y,gap\nback,0,0,0.00\nback,300,0,0.06\nback,600,0,0.08\n"
         "back,1200,0,0.00\n",
         "instrument = e\n[instrument e]\nkind = straightedge\nown_hollow = 0.08\n");
    set = &dir.job.set[0];
    for (size_t i = 0; i < 4; i++)
        cr_expect(near(set->readings.obs[i].value, 0), "%zu: %g", i,
                  set->readings.obs[i].value);
    jobdir_remove(&dir);
}

/* ---- lines ---- */

Test(set, takes_each_file_of_a_line_as_its_own_placement)
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

Test(set, takes_a_line_read_with_two_straightedges_as_two_placements)
{
    struct jobdir dir;

    load(&dir,
         "line,x,y,gap,instrument\nback,0,0,0.1,p\nback,600,0,0.2,p\nback,0,0,0.1,q\n"
         "back,600,0,0.1,q\n",
         "[instrument p]\nkind = straightedge\n[instrument q]\nkind = straightedge\n");
    cr_assert_eq(dir.job.set[0].readings.ngroup, 2);
    cr_expect_eq(dir.job.set[0].readings.group[1].instrument, 1);
    jobdir_remove(&dir);
}

Test(set, takes_the_places_of_a_line_in_any_order)
{
    struct jobdir dir;
    const struct bt_set *set;

    load(&dir, "line,x,y,gap\nback,1200,0,0.1\nback,0,0,0.2\nback,900,0,0.3\n", "");
    set = &dir.job.set[0];
    cr_expect(near(set->readings.obs[0].basis[1], 0));
    cr_expect(near(set->readings.obs[1].basis[1], 1200));
    cr_expect(near(set->readings.obs[2].basis[1], 300));
    jobdir_remove(&dir);
}

Test(set, accepts_places_beside_a_line_up_to_1_percent_of_its_length)
{
    struct jobdir dir;

    load(&dir, "line,x,y,gap\nback,0,0,0.1\nback,600,11.9,0.2\nback,1200,0,0.3\n", "");
    cr_expect_eq(dir.job.set[0].readings.nobs, 3);
    jobdir_remove(&dir);
}

Test(set, accepts_places_beyond_the_end_of_a_line_by_2_mm)
{
    struct jobdir dir;
    const struct bt_set *set;

    load(&dir, "line,at,gap\nback,-2,0.1\nback,600,0.2\nback,1202,0.3\n", "");
    set = &dir.job.set[0];
    expect_place(set, 2, 0, 1202, 0);
    cr_expect(near(set->readings.obs[0].edge, -1));
    cr_expect(near(set->readings.obs[2].edge, 1));
    jobdir_remove(&dir);
}

Test(set, accepts_places_beyond_the_edge_of_the_panel_by_2_mm)
{
    struct jobdir dir;

    load(&dir, "x,y,height\n-2,0,5.01\n1202,602,5.02\n0,-1.5,5.04\n", "");
    expect_place(&dir.job.set[0], 1, 0, 1202, 602);
    jobdir_remove(&dir);
}

/* ---- what is not there yet ---- */

Test(set, counts_blank_cells_and_leaves_out_lines_read_at_one_place)
{
    struct jobdir dir;
    const struct bt_set *set;

    load(&dir, "line,at,gap\nback,0,0.1\nback,600,0.2\nback,1200,\nac,0,\nac,500,0.1\n",
         "");
    set = &dir.job.set[0];
    cr_expect_eq(set->readings.nobs, 2);
    cr_expect_eq(set->readings.ngroup, 1);
    cr_expect_eq(set->readings.npoint, 2);
    cr_expect_eq(set->blank, 2);
    cr_expect_eq(set->kinds[BT_READ_GAP], 2);
    cr_expect_eq(set_note(set, "line 'ac' is read at one place so far")->line, 6);
    jobdir_remove(&dir);
}

Test(set, notes_that_nothing_is_read_yet)
{
    struct jobdir dir;

    load(&dir, "line,at,gap\n", "");
    cr_expect_eq(dir.job.set[0].readings.nobs, 0);
    cr_expect_not_null(set_note(&dir.job.set[0], "nothing read yet"));
    jobdir_remove(&dir);
}

Test(set, passes_over_columns_called_note)
{
    struct jobdir dir;

    load(&dir,
         "x,y,note,height,Notes on wood\n0,0,dry,5.01,\n600,0,,5.02,x\n"
         "0,300,,5.04,\n",
         "");
    cr_expect_eq(dir.job.set[0].readings.nobs, 3);
    jobdir_remove(&dir);
}

/* ---- merging ---- */

Test(set, merges_places_nearer_than_same_point_and_notes_both)
{
    struct jobdir dir;
    const struct bt_set *set;

    load(&dir,
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

Test(set, never_merges_over_half_the_least_step_of_a_line)
{
    struct jobdir dir;
    const struct bt_set *set;

    load(&dir,
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

Test(set, merges_nothing_but_equal_places_where_same_point_is_0)
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

Test(set, counts_every_merge_and_notes_the_first_twenty)
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

Test(set, keeps_repeated_readings_and_notes_them)
{
    struct jobdir dir;
    const struct bt_set *set;

    load(&dir, "line,at,gap\nback,0,0.1\nback,600,0.2\nback,1200,0.1\nback,600,0.25\n",
         "");
    set = &dir.job.set[0];
    cr_expect_eq(set->readings.nobs, 4);
    cr_expect_eq(set->readings.npoint, 3);
    cr_expect_eq(set_note(set, "repeats the reading of line 3; both count")->line, 5);
    jobdir_remove(&dir);
}

Test(set, notes_feet_where_nothing_else_is_read)
{
    struct jobdir dir;
    const struct bt_set *set;

    load(&dir,
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

Test(set, does_not_note_a_dial_where_nothing_else_is_read)
{
    struct jobdir dir;

    load(&dir,
         "foot1_x,foot1_y,dial_x,dial_y,foot2_x,foot2_y,rise\n"
         "0,0,150,0,300,0,0.04\n0,0,180,0,300,0,0.05\n",
         "");
    cr_expect_null(set_note(&dir.job.set[0], "which nothing else reads"));
    jobdir_remove(&dir);
}

/* ---- leaving out ---- */

Test(set, leaves_out_readings_by_file_and_line)
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

Test(set, leaves_out_readings_of_a_bare_file_by_its_last_name)
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
    jobdir_remove(&dir);
}

Test(set, keeps_places_of_the_bottom_face_as_read_on_that_face)
{
    struct jobdir dir;
    const struct bt_set *set;

    load(&dir, "x,y,height\n0,100,5.01\n600,0,5.02\n0,300,5.04\n", "face = bottom\n");
    set = &dir.job.set[0];
    cr_expect_eq(set->face, BT_FACE_BOTTOM);
    expect_place(set, 0, 0, 0, 100);
    cr_expect(near(bt_job_panel_y(&dir.job, set, 100), 500));
    jobdir_remove(&dir);
}

Test(set, notes_lines_that_no_file_uses)
{
    struct jobdir dir;

    load(&dir, "line,at,gap\nback,0,0.1\nback,600,0.2\n", "");
    cr_expect_eq(
        note_with(dir.job.note, dir.job.nnote, "no readings file uses line 'ac'")->line,
        3);
    cr_expect_null(note_with(dir.job.note, dir.job.nnote, "'back'"));
    jobdir_remove(&dir);
}

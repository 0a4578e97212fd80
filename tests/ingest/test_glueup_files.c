/* SPDX-License-Identifier: GPL-3.0-or-later */
/* dryfit.csv, [glue] and [clamp NAME]. */
#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "jobdir.h"

/* mm, minutes: conversions of typed decimals */
#define TOLERANCE 1e-9

static bool near(double got, double want)
{
    return fabs(got - want) <= TOLERANCE;
}

static const char four_boards[] = "board,width,length\n1,100,1300\n2,100,1250\n"
                                  "2-3,100,1250\nb,100,\n";

/* A job in mm with boards 1, 2, 2-3 and b; ini: the rest of job.ini. */
static void load_dry_fit(struct jobdir *dir, const char *dry, const char *ini)
{
    char text[1000];

    jobdir_make(dir);
    snprintf(text, sizeof text,
             "[job]\nunits = mm\n[panel]\nlength = 1200\nwidth = 400\n%s", ini);
    jobdir_write(dir, "job.ini", text);
    jobdir_write(dir, "boards.csv", four_boards);
    if (dry)
        jobdir_write(dir, "dryfit.csv", dry);
    jobdir_load_well(dir);
}

/* ---- dryfit.csv ---- */

Test(glueup_files, groups_gaps_by_joint_in_the_order_in_which_they_were_typed)
{
    struct jobdir dir;
    const struct bt_dry_fit *fit;

    load_dry_fit(&dir,
                 "joint,at,show_gap,other_gap,note\n2,0,0.05..0.10,0,\n1,0,0,0,\n"
                 "2,600,0.25,,\n2,1250,0.1,0.05,\n1,1250,,0.1,\n",
                 "");
    cr_assert_eq(dir.job.ndry_fit, 2);
    fit = dir.job.dry_fit;
    cr_expect_eq(fit[0].joint, 0);
    cr_expect_eq(fit[0].ngap, 3);
    cr_expect_eq(fit[1].joint, 1);
    cr_assert_eq(fit[1].ngap, 5);
    cr_expect(fit[1].gap[0].show && !fit[1].gap[1].show);
    cr_expect(near(fit[1].gap[0].gap, 0.075));
    cr_expect(near(fit[1].gap[0].u, 0.025 / sqrt(3)));
    cr_expect(near(fit[1].gap[1].gap, 0));
    cr_expect(near(fit[1].gap[2].at, 600));
    cr_expect(near(fit[1].gap[2].u, 0.01 / sqrt(12)));
    cr_expect_eq(fit[1].gap[4].source, 5);
    cr_expect(near(fit[1].gap[4].gap, 0.05));
    jobdir_remove(&dir);
}

Test(glueup_files, knows_a_joint_by_its_number_or_by_its_two_boards)
{
    static const struct {
        const char *typed;
        size_t joint;
    } rows[] = {{"1", 0},     {"03", 2},    {"1|2", 0},   {"1-2", 0},   {"2 | 1", 0},
                {"2|2-3", 1}, {"2-2-3", 1}, {"2-3-b", 2}, {"b|2-3", 2}, {"2-3 - b", 2}};
    struct jobdir dir;
    char text[200];

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        snprintf(text, sizeof text, "joint,at,show_gap\n%s,10,0.1\n", rows[i].typed);
        load_dry_fit(&dir, text, "");
        cr_assert_eq(dir.job.ndry_fit, 1, "%s", rows[i].typed);
        cr_expect_eq(dir.job.dry_fit[0].joint, rows[i].joint, "%s", rows[i].typed);
        jobdir_remove(&dir);
    }
}

Test(glueup_files, takes_a_joint_to_be_as_long_as_the_shorter_of_its_boards)
{
    struct jobdir dir;

    load_dry_fit(&dir, "joint,at,show_gap\n1,1250,0.1\n2,1250,0.1\n3,1250,0.1\n", "");
    cr_assert_eq(dir.job.ndry_fit, 3);
    cr_expect(near(dir.job.dry_fit[0].length, 1250));
    cr_expect(near(dir.job.dry_fit[2].length, 1250)); /* b states none */
    jobdir_remove(&dir);
}

Test(glueup_files, takes_joints_of_the_job_file_where_there_are_no_boards)
{
    struct jobdir dir;

    jobdir_make(&dir);
    jobdir_write(&dir, "job.ini",
                 "[job]\nunits = in\n[panel]\nlength = 48\nwidth = 16\n"
                 "[boards]\njoints = 4, 8 1/2\n");
    jobdir_write(&dir, "dryfit.csv", "joint,at,other_gap\n2,12,<0.0015\n");
    jobdir_load_well(&dir);
    cr_assert_eq(dir.job.ndry_fit, 1);
    cr_expect_eq(dir.job.dry_fit[0].joint, 1);
    cr_expect(near(dir.job.dry_fit[0].length, 1219.2));
    cr_expect(near(dir.job.dry_fit[0].gap[0].gap, 0.01905));
    jobdir_remove(&dir);
}

Test(glueup_files, reads_stacks_names_and_a_decimal_comma)
{
    struct jobdir dir;

    load_dry_fit(&dir,
                 "joint;at_mm;show_gap_mm;other_gap_thou\n"
                 "1;250,5;paper+0,05;4..5\n",
                 "[feelers]\npaper = 0.1\n");
    cr_assert_eq(dir.job.ndry_fit, 1);
    cr_assert_eq(dir.job.dry_fit[0].ngap, 2);
    cr_expect(near(dir.job.dry_fit[0].gap[0].at, 250.5));
    cr_expect(near(dir.job.dry_fit[0].gap[0].gap, 0.15));
    cr_expect(near(dir.job.dry_fit[0].gap[1].gap, 0.1143));
    jobdir_remove(&dir);
}

Test(glueup_files, takes_u_of_a_joint_from_column_then_interval_then_feelers)
{
    struct jobdir dir;
    const struct bt_dry_gap *gap;

    load_dry_fit(&dir,
                 "joint,at,show_gap,u_mm,instrument\n1,0,0.1..0.2,0.04,\n"
                 "1,10,0.1..0.2,,leaves\n1,20,0.1,,leaves\n",
                 "[instrument leaves]\nkind = feelers\nu = 0.02\n");
    cr_assert_eq(dir.job.dry_fit[0].ngap, 3);
    gap = dir.job.dry_fit[0].gap;
    cr_expect(near(gap[0].u, 0.04));
    cr_expect(near(gap[1].u, 0.05 / sqrt(3)));
    cr_expect(near(gap[2].u, 0.02));
    cr_expect_not_null(note_with(
        dir.job.note, dir.job.nnote,
        "uncertainty of the readings: typed in the column u (1), from what went and "
        "what did not (1), u of the instrument (1)"));
    jobdir_remove(&dir);
}

Test(glueup_files, counts_places_of_a_joint_that_were_not_read)
{
    struct jobdir dir;

    load_dry_fit(&dir, "joint,at,show_gap,other_gap\n1,0,,\n,,,\n1,600,0.1,0\n3,0,,\n",
                 "");
    cr_assert_eq(dir.job.ndry_fit, 1);
    cr_expect_eq(dir.job.dry_fit[0].ngap, 2);
    cr_expect_not_null(
        note_with(dir.job.note, dir.job.nnote, "2 places of a joint not read"));
    jobdir_remove(&dir);
}

Test(glueup_files, may_have_no_dry_fit_or_an_empty_one)
{
    struct jobdir dir;

    load_dry_fit(&dir, NULL, "");
    cr_expect_eq(dir.job.ndry_fit, 0);
    jobdir_remove(&dir);
    load_dry_fit(&dir, "joint,at,show_gap\n", "");
    cr_expect_eq(dir.job.ndry_fit, 0);
    jobdir_remove(&dir);
}

/* ---- [glue] ---- */

Test(glueup_files, reads_the_keys_of_the_glue)
{
    struct jobdir dir;
    const struct bt_glue_setup *glue = &dir.job.glue;
    char text[400];

    cr_assert_geq(bt_glue_count(), 2);
    snprintf(text, sizeof text,
             "[glue]\nkind = %s\ngap = 0.15\nopen_time = 6 min\nclamp_time = 1/2 h\n"
             "temperature = 64.4 F\npressure = 1 MPa\nspread_time = 1.5 min\n"
             "place_time = 0.5 min\ncaul = 30\njoints = 3\n",
             bt_glue_at(1)->name);
    load_dry_fit(&dir, NULL, text);
    cr_expect(glue->kind == bt_glue_at(1));
    cr_expect(near(glue->gap, 0.15));
    cr_expect(near(glue->open_time, 6));
    cr_expect(near(glue->clamp_time, 30));
    cr_expect(near(glue->temperature, 18));
    cr_expect(near(glue->pressure, 1));
    cr_expect(near(glue->spread_time, 1.5));
    cr_expect(near(glue->place_time, 0.5));
    cr_expect(near(glue->caul, 30));
    cr_expect_eq(glue->joints, 3);
    cr_expect_null(note_with(dir.job.note, dir.job.nnote, "not used"));
    jobdir_remove(&dir);
}

Test(glueup_files, leaves_glue_that_is_not_stated_open)
{
    struct jobdir dir;
    const struct bt_glue_setup *glue = &dir.job.glue;

    load_dry_fit(&dir, NULL, "[glue]\nkind =\n");
    cr_expect_null(glue->kind);
    cr_expect(isnan(glue->gap) && isnan(glue->open_time) && isnan(glue->clamp_time));
    cr_expect(isnan(glue->temperature) && isnan(glue->pressure) && isnan(glue->caul));
    cr_expect(isnan(glue->spread_time) && isnan(glue->place_time));
    cr_expect_eq(glue->joints, 0);
    jobdir_remove(&dir);
}

/* ---- [clamp NAME] ---- */

Test(glueup_files, reads_clamps_in_the_order_of_the_job_file)
{
    struct jobdir dir;
    const struct bt_clamp *clamp;

    load_dry_fit(&dir, NULL,
                 "[clamp steel bar]\ncount = 6\nforce = 3.5 kN\nopening = 800\n"
                 "offset = 12\npad = 40\n[clamp pipe]\ncount = 2\nforce = 600 lbf\n");
    cr_assert_eq(dir.job.nclamp, 2);
    clamp = dir.job.clamp;
    cr_expect_str_eq(clamp[0].name, "steel bar");
    cr_expect_eq(clamp[0].line, 6);
    cr_expect_eq(clamp[0].kind.count, 6);
    cr_expect(near(clamp[0].kind.force, 3500));
    cr_expect(near(clamp[0].kind.opening, 800));
    cr_expect(near(clamp[0].kind.offset, 12));
    cr_expect(near(clamp[0].kind.pad, 40));
    cr_expect_eq(clamp[1].kind.count, 2);
    cr_expect(fabs(clamp[1].kind.force - 600 * 4.4482216152605) <= 1e-6);
    cr_expect(isnan(clamp[1].kind.opening) && isnan(clamp[1].kind.offset));
    cr_expect(near(clamp[1].kind.pad, 0));
    jobdir_remove(&dir);
}

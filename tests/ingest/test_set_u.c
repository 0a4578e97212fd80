/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The uncertainty of readings, and the own shape of the edge. */
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

/* ---- uncertainty ---- */

static const char gaps_with_u[] = "line,x,y,gap,u_thou\nback,0,0,0.1..0.16,2\n"
                                  "back,600,0,0.1..0.16,\nback,1200,0,0.25,\n";

Test(set_u, takes_u_from_column_then_interval_then_instrument)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(&dir, gaps_with_u,
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

Test(set_u, takes_u_from_the_resolution_where_the_instrument_has_no_u)
{
    struct jobdir dir;

    jobdir_load_set(
        &dir, gaps_with_u,
        "instrument = e\n[instrument e]\nkind = straightedge\nresolution = 0.05\n");
    cr_expect(near(dir.job.set[0].readings.obs[2].u, 0.05 / sqrt(12)));
    cr_expect_eq(dir.job.set[0].u_origin[BT_U_RESOLUTION], 1);
    jobdir_remove(&dir);
}

Test(set_u, takes_u_from_the_finest_digit_of_the_column_last)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(&dir, "x,y,height\n0,0,5\n600,0,5.02\n0,300,5.1\n", "");
    set = &dir.job.set[0];
    for (size_t i = 0; i < 3; i++)
        cr_expect(near(set->readings.obs[i].u, 0.01 / sqrt(12)), "%zu", i);
    cr_expect_eq(set->u_origin[BT_U_DIGIT], 3);
    jobdir_remove(&dir);
}

/* An eyeballed 1/64 beside leaves of 0.001 in is good to 1/64. */
Test(set_u, takes_a_fraction_for_no_surer_than_its_own_step)
{
    const double thou = 0.0254, inch = 25.4;
    const double step[] = {thou, inch / 64, thou, inch / 32, thou, thou};
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(&dir,
                    "line,x,y,gap_in\nback,0,0,0\nback,200,0,1/64\n"
                    "back,400,0,0.03\nback,600,0,1/32\nback,800,0,0.025\n"
                    "back,1000,0,paper\n",
                    "[feelers]\npaper = 0.1\n");
    set = &dir.job.set[0];
    cr_assert_eq(set->readings.nobs, 6);
    for (size_t i = 0; i < 6; i++)
        cr_expect(near(set->readings.obs[i].u, step[i] / sqrt(12)), "%zu: %g", i,
                  set->readings.obs[i].u);
    jobdir_remove(&dir);
}

Test(set_u, takes_the_finest_fraction_for_a_bare_0_and_a_name_where_no_decimal_is)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(&dir,
                    "line,x,y,gap_in\nback,0,0,0\nback,200,0,1/64\n"
                    "back,400,0,paper\nback,600,0,1/32\n",
                    "[feelers]\npaper = 0.1\n");
    set = &dir.job.set[0];
    cr_assert_eq(set->readings.nobs, 4);
    cr_expect(near(set->readings.obs[0].u, 25.4 / 64 / sqrt(12)));
    cr_expect(near(set->readings.obs[2].u, 25.4 / 64 / sqrt(12)));
    cr_expect(near(set->readings.obs[3].u, 25.4 / 32 / sqrt(12)));
    jobdir_remove(&dir);
}

Test(set_u, counts_whole_thou_as_a_step_of_one_thou_beside_fractions)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(&dir, "x,y,height_thou\n0,0,12\n600,0,1/64 in\n0,300,0\n", "");
    set = &dir.job.set[0];
    cr_expect(near(set->readings.obs[0].u, 0.0254 / sqrt(12)));
    cr_expect(near(set->readings.obs[1].u, 25.4 / 64 / sqrt(12)));
    cr_expect(near(set->readings.obs[2].u, 0.0254 / sqrt(12)));
    jobdir_remove(&dir);
}

Test(set_u, takes_the_finest_digit_of_each_file_for_itself)
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

Test(set_u, takes_the_instrument_of_a_row_before_that_of_the_set)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(
        &dir,
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

Test(set_u, reads_named_feelers_stacked_and_between)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(
        &dir,
        "line,x,y,gap\nback,0,0,paper..card\nback,600,0,paper+card\nback,1200,0,0.4\n",
        "[feelers]\npaper = 0.1\ncard = 0.3\n");
    set = &dir.job.set[0];
    cr_expect(near(set->readings.obs[0].value, 0.2));
    cr_expect(near(set->readings.obs[0].u, 0.1 / sqrt(3)));
    cr_expect(near(set->readings.obs[1].value, 0.4));
    cr_expect(near(set->readings.obs[1].u, 0.1 / sqrt(12)));
    jobdir_remove(&dir);
}

/* ---- gaps between the same two leaves ---- */

/* Numbers say no more than which are the same. */
static void expect_alike(const struct bt_set *set, size_t n, const char *letters)
{
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++) {
            const int a = set->readings.obs[i].alike, b = set->readings.obs[j].alike;

            cr_expect_eq(a == b, letters[i] == letters[j], "readings %zu and %zu", i,
                         j);
            cr_expect_eq(a > 0, letters[i] != '-', "reading %zu", i);
        }
}

Test(set_u, numbers_gaps_between_the_same_two_leaves_of_one_set_alike)
{
    struct jobdir dir;

    jobdir_load_set(&dir,
                    "line,x,y,gap,u,instrument\n"
                    "back,0,0,0.25..0.5,,\nback,300,0,<0.1,,\nback,600,0,0.25..0.5,,\n"
                    "back,900,0,0..0.1,,\nback,1200,0,0,,\n"
                    "front,0,600,0.25..0.5,0.02,\nfront,300,600,0.3..0.4,,\n"
                    "front,600,600,0.375,,\nfront,900,600,0.25..0.5,,thick\n"
                    "front,1200,600,0.25..0.5,,thick\nfront,1000,600,0.25..0.5,,\n",
                    "instrument = e\n[instrument e]\nkind = straightedge\nu = 0.02\n"
                    "[instrument thick]\nkind = feelers\n");
    expect_alike(&dir.job.set[0], 11, "abab----cca");
    jobdir_remove(&dir);
}

static const char *const touching = "the edge touches somewhere, type 0 where it "
                                    "touches (`<` there is wrong by half a leaf)";

Test(set_u, says_where_an_edge_that_lies_on_the_wood_is_typed_as_touching_nowhere)
{
    static const struct {
        const char *gap[5];
        const char *note; /* NULL: none */
    } rows[] = {
        {{"<0.05", "0.3", "0.4", "0.3", "<0.05"},
         "line 'back': 2 places with `<` and none with 0: "},
        {{"0", "<0.05", "0.4", "<0.05", "<0.05"},
         "line 'back': 3 places with `<` and 0 on one side of its middle only: "},
        {{"0.3", "0..0.05", "0.1", "<0.05", "0"},
         "line 'back': 2 places with `<` and 0 on one side of its middle only: "},
        {{"0", "<0.05", "0.4", "<0.05", "0"}, NULL},
        {{"0.3", "<0.05", "0", "<0.05", "0.3"}, NULL}, /* on a crown */
        {{"<0.05", "0.3", "0.4", "0.3", "0.05"}, NULL},
        {{"4.1", "4.2..4.3", "4.3", "4.2", "4.1"}, NULL}, /* on blocks */
    };

    for (size_t r = 0; r < sizeof rows / sizeof rows[0]; r++) {
        struct jobdir dir;
        char text[400] = "line,x,y,gap\n";
        const struct bt_note *note;

        for (int k = 0; k < 5; k++)
            snprintf(text + strlen(text), sizeof text - strlen(text), "back,%d,0,%s\n",
                     300 * k, rows[r].gap[k]);
        jobdir_load_set(&dir, text, "");
        note = set_note(&dir.job.set[0], touching);
        cr_assert_eq(note != NULL, rows[r].note != NULL, "row %zu", r);
        if (note) {
            char want[200];

            snprintf(want, sizeof want, "%s%s", rows[r].note, touching);
            cr_expect_str_eq(note->text, want, "row %zu", r);
            cr_expect_eq(note->line, (size_t)(r == 1 || r == 2 ? 3 : 2), "row %zu", r);
        }
        jobdir_remove(&dir);
    }
}

/* ---- the edge's own shape ---- */

Test(set_u, hands_on_the_hollow_of_the_edge_that_is_taken_off_gaps_as_a_parabola)
{
    struct jobdir dir;
    const struct bt_set *set;

    /* An edge hollow by 0.08 on a true surface stands off by 0.08 in the middle, by
     * 0.06 half way out and not at all at its ends. */
    jobdir_load_set(
        &dir,
        "line,x,y,gap\nback,0,0,0.00\nback,300,0,0.06\nback,600,0,0.08\n"
        "back,1200,0,0.00\n",
        "instrument = e\n[instrument e]\nkind = straightedge\nown_hollow = 0.08\n");
    set = &dir.job.set[0];
    cr_expect(near(set->readings.group[0].own_hollow, 0.08));
    cr_expect(near(set->readings.group[0].own_hollow_u, 0.01 / sqrt(12)));
    for (size_t i = 0; i < 4; i++) {
        const struct bt_obs *o = &set->readings.obs[i];
        cr_expect(near(o->value - 0.08 * (1 - o->edge * o->edge), 0), "%zu: %g", i,
                  o->value);
    }
    jobdir_remove(&dir);
}

/* An edge of 600 mm over 1200 mm was shifted: it is two placements. */
Test(set_u, tells_a_line_that_is_longer_than_its_edge)
{
    static const char readings[] = "line,x,y,gap\na,0,0,0\na,600,0,0.2\na,1200,0,0\n"
                                   "b,0,0,0\nb,300,0,0.1\nb,601,0,0\n"
                                   "c,0,0,0\nc,300,300,0.1\nc,600,600,0\n";
    struct jobdir dir;
    const struct bt_note *note;

    jobdir_load_set(&dir, readings,
                    "instrument = rule\n[instrument rule]\nkind = straightedge\n"
                    "length = 600 mm\n");
    cr_expect_eq(dir.job.set[0].too_long, (size_t)2);
    note = set_note(&dir.job.set[0], "line 'a' is 1200 mm from first to last place, "
                                     "'rule' is 600 mm long");
    cr_assert_not_null(note);
    cr_expect_eq(note->line, (size_t)2);
    cr_expect_null(set_note(&dir.job.set[0], "line 'b' is"));
    cr_expect_not_null(set_note(&dir.job.set[0], "line 'c' is 848"));
    jobdir_remove(&dir);
    jobdir_load_set(&dir, readings,
                    "instrument = rule\n[instrument rule]\nkind = straightedge\n");
    cr_expect_eq(dir.job.set[0].too_long, (size_t)0);
    jobdir_remove(&dir);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a set keeps and notes of its cells: blanks, fractions, units, near places. */
#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "jobdir.h"

Test(set_cells, keeps_which_readings_were_not_taken)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(&dir,
                    "line,at,gap\nback,0,\nback,600,0.2\nback,1200,0.1\nac,300,\n"
                    "ac,600,0.2\n",
                    "");
    set = &dir.job.set[0];
    cr_expect_eq(set->blank, 2);
    cr_assert_eq(set->nblanks, 2);
    cr_expect_eq(set->blanks[0].kind, BT_READ_GAP);
    cr_expect_eq(set->blanks[0].source.line, 2);
    cr_expect_str_eq(set->blanks[0].line, "back");
    cr_expect_str_eq(set->blanks[0].place, "0 mm");
    cr_expect_eq(set->blanks[1].source.line, 5);
    cr_expect_str_eq(set->blanks[1].line, "ac");
    cr_expect_str_eq(set->blanks[1].place, "300 mm");
    jobdir_remove(&dir);
}

Test(set_cells, names_a_blank_cell_of_a_grid_or_of_heights_by_its_place)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_make(&dir);
    jobdir_write(&dir, "a.csv", "gap-along_mm@mm,0,600,1200\n300,0.1,,0.1\n");
    jobdir_write(&dir, "b.csv", "x_mm,y_mm,height_mm\n0,0,1.5\n600,0,\n0,300,1.5\n");
    jobdir_write(&dir, "job.ini", "[readings a]\nfiles = a.csv, b.csv\n");
    jobdir_load_well(&dir);
    set = &dir.job.set[0];
    cr_assert_eq(set->nblanks, 2);
    cr_expect_str_eq(set->blanks[0].line, "300");
    cr_expect_str_eq(set->blanks[0].place, "x 600 mm, y 300 mm");
    cr_expect_eq(set->blanks[1].kind, BT_READ_HEIGHT);
    cr_expect_eq(set->blanks[1].source.file, 1);
    cr_expect_str_eq(set->blanks[1].line, "");
    cr_expect_str_eq(set->blanks[1].place, "x 600 mm, y 0 mm");
    jobdir_remove(&dir);
}

Test(set_cells, keeps_no_more_blank_readings_than_there_is_room_for)
{
    char text[20000] = "line,at,gap\nback,0,0.1\nback,1200,0.1\n";
    struct jobdir dir;

    for (int i = 1; i <= BT_BLANKS_KEPT + 4; i++)
        sprintf(text + strlen(text), "ac,%d,\n", 2 * i);
    jobdir_load_set(&dir, text, "");
    cr_expect_eq(dir.job.set[0].blank, BT_BLANKS_KEPT + 4);
    cr_expect_eq(dir.job.set[0].nblanks, BT_BLANKS_KEPT);
    jobdir_remove(&dir);
}

Test(set_cells, counts_the_readings_that_a_line_of_one_place_loses)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(&dir,
                    "line,at,gap\nback,0,0.1\nback,1200,0.1\nac,300,0.2\nac,300,0.2\n"
                    "ac,600,\n",
                    "");
    set = &dir.job.set[0];
    cr_expect_eq(set->dropped, 2);
    cr_expect_eq(set->first_dropped.line, 4);
    cr_expect_eq(set->first_dropped.file, 0);
    jobdir_remove(&dir);
}

Test(set_cells, asks_after_a_fraction_that_no_rule_has)
{
    struct jobdir dir;
    const struct bt_set *set;
    const struct bt_note *note;

    jobdir_load_set(
        &dir, "line,at_in,gap_in\nback,0,1/64\nback,10 1/3,1/46\nback,20,1/32\n", "");
    set = &dir.job.set[0];
    note = set_note(set, "is '1/46' meant? a rule in inches has halves to 64ths");
    cr_assert_not_null(note);
    cr_expect_eq(note->line, 3);
    cr_expect_not_null(
        set_note(set, "is '10 1/3' meant? a rule in inches has halves to 64ths"));
    cr_expect_null(set_note(set, "'1/64'"));
    jobdir_remove(&dir);
}

Test(set_cells, tells_only_how_many_such_fractions_there_are_after_twenty)
{
    char text[900] = "line,at,gap_in\n";
    struct jobdir dir;

    for (int i = 0; i < 23; i++)
        sprintf(text + strlen(text), "back,%d,1/46\n", 50 * i);
    jobdir_load_set(&dir, text, "");
    cr_expect_not_null(
        set_note(&dir.job.set[0], "23 fractions in all that no rule in inches has"));
    jobdir_remove(&dir);
}

Test(set_cells, asks_after_a_few_readings_in_other_units)
{
    struct jobdir dir;

    jobdir_load_set(&dir,
                    "line,at,gap_in\nback,0,0\nback,200,0.012\nback,400,0.2 mm\n"
                    "back,600,0.012\nback,800,0.014\n",
                    "");
    cr_expect_not_null(set_note(
        &dir.job.set[0], "units are mixed: a reading in mm on line 4, the others "
                         "in inches; is that meant?"));
    jobdir_remove(&dir);
    jobdir_load_set(&dir,
                    "line,at,gap\nback,0,0.1\nback,200,0.3\nback,400,0.2\n"
                    "back,600,12 thou\nback,800,14 thou\n",
                    "");
    cr_expect_null(set_note(&dir.job.set[0], "units are mixed"),
                   "half of them are no slip");
    jobdir_remove(&dir);
}

Test(set_cells, lists_merged_places_only_where_they_are_apart)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(&dir,
                    "line,x,y,gap\nback,0,0,0.1\nback,600,0,0.1\nback,1200,0,0.1\n"
                    "up,600.4,0,0.1\nup,600,300,0.1\nleft,0,2,0.1\nleft,0,600,0.1\n",
                    "");
    set = &dir.job.set[0];
    cr_expect_eq(set->merged, 2);
    cr_expect_null(set_note(set, "x 600.4 mm"));
    cr_expect_not_null(
        set_note(set, "x 0 mm, y 2 mm is taken as one point with x 0 mm, y 0 mm"));
    jobdir_remove(&dir);
}

Test(set_cells, takes_a_line_for_the_same_whatever_its_capitals)
{
    struct jobdir dir;

    jobdir_load_set(&dir,
                    "line,at,gap\nback,0,0.1\nBack,600,0.2\nBACK,1200,0.1\n"
                    "AC,0,0.1\nac,600,0.1\n",
                    "");
    cr_expect_eq(dir.job.set[0].readings.ngroup, 2);
    jobdir_remove(&dir);
    jobdir_load_set(&dir,
                    "line,x,y,gap\nfront,0,600,0.1\nFront,600,600,0.2\n"
                    "front,1200,600,0.1\n",
                    "");
    cr_expect_eq(dir.job.set[0].readings.ngroup, 1);
    jobdir_remove(&dir);
}

/* What a reading on a line that lines.csv does not know is answered. */
static void expect_line_answer(const char *name, const char *answer)
{
    struct jobdir dir;
    char text[120], want[200];

    jobdir_make(&dir);
    snprintf(text, sizeof text, "line,at_mm,gap_mm\n%s,0,0.1\n", name);
    jobdir_write(&dir, "r.csv", text);
    jobdir_write(&dir, "lines.csv",
                 "line,from,to\ndiagonal A-C,0 0,9 6\ndiagonal D-B,0 6,9 0\n");
    jobdir_write(&dir, "job.ini", "[job]\nunits = mm\n[readings a]\nfiles = r.csv\n");
    jobdir_load(&dir, NULL);
    snprintf(want, sizeof want, "a line that is not in lines.csv: '%s', %s", name,
             answer);
    cr_assert_eq(dir.faults.n, 1);
    cr_expect_str_eq(dir.faults.item[0].message, want);
    jobdir_remove(&dir);
}

Test(set_cells, never_offers_a_line_between_other_corners)
{
    expect_line_answer("diagonal B-D", "did you mean 'diagonal D-B'?");
    expect_line_answer("diagnal c-a", "did you mean 'diagonal A-C'?");
    expect_line_answer("diagonal A-B", "known are: diagonal A-C, diagonal D-B");
    expect_line_answer("front", "known are: diagonal A-C, diagonal D-B");
}

Test(set_cells, reads_units_of_columns_behind_a_blank_or_in_parentheses)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_load_set(&dir,
                    "Line,X (mm),Y mm,Gap (in)\nback,0,0,0\nback,600,0,0.1\n"
                    "back,1200,0,0\n",
                    "");
    set = &dir.job.set[0];
    cr_assert_eq(set->readings.nobs, 3);
    cr_expect(fabs(set->readings.obs[1].value - 2.54) <= 1e-12);
    expect_place(set, 1, 0, 600, 0);
    jobdir_remove(&dir);
    jobdir_load_set(&dir,
                    "foot1 x,foot1 y,dial x,dial_y,Foot2 X ( mm ),foot2_y,rise in\n"
                    "0,0,300,0,600,0,0.1\n",
                    "");
    cr_expect(fabs(dir.job.set[0].readings.obs[0].value - 2.54) <= 1e-12);
    jobdir_remove(&dir);
}

Test(set_cells, lists_the_columns_once_however_many_are_unknown)
{
    struct jobdir dir;

    jobdir_make(&dir);
    jobdir_write(&dir, "r.csv", "operator,heigth_mm,weather,x_mm\na,1,b,3\n");
    jobdir_write(&dir, "job.ini", "[readings a]\nfiles = r.csv\n");
    jobdir_load(&dir, NULL);
    cr_assert_eq(dir.faults.n, 3);
    cr_expect_not_null(strstr(dir.faults.item[0].message,
                              "columns of readings are x, y, height, setup"));
    cr_expect_str_eq(dir.faults.item[1].message,
                     "unknown column: 'heigth_mm', did you mean 'height'?");
    cr_expect_str_eq(dir.faults.item[2].message,
                     "unknown column: 'weather', it is none of those either");
    jobdir_remove(&dir);
}

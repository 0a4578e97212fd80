/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "benchtrue/ingest/job.h"
#include "benchtrue/report/save.h"
#include "benchtrue/report/template.h"

static const struct bt_template unstated = {NAN, NAN, NAN, BT_SYSTEM_MM, NULL};
static const struct bt_template shelf = {800, 300, 20, BT_SYSTEM_MM, "shelf"};
static const struct bt_template inches = {61.5 * 25.4, 15.75 * 25.4, NAN, BT_SYSTEM_IN,
                                          ""};

static void expect_holds(const struct bt_template *what, size_t file, const char *want,
                         bool there)
{
    struct bt_buffer out = {0};

    cr_assert_eq(bt_template_text(what, file, &out), BT_OK);
    cr_expect_eq(strstr(out.text, want) != NULL, there, "%s '%s' in:\n%s",
                 there ? "no" : "unwanted", want, out.text);
    bt_buffer_clear(&out);
}

Test(template, marks_the_size_as_an_example_only_where_it_is_one)
{
    expect_holds(&unstated, 0, "# EXAMPLE SIZE, not yours", true);
    expect_holds(&unstated, 0,
                 "\nlength = 1200 mm\nwidth = 600 mm\nthickness = 25 mm\n", true);
    expect_holds(&shelf, 0, "EXAMPLE", false);
    expect_holds(&shelf, 0, "\nlength = 800 mm\nwidth = 300 mm\nthickness = 20 mm\n",
                 true);
    expect_holds(&inches, 0, "\nlength = 61 1/2 in\nwidth = 15 3/4 in\nthickness =\n",
                 true);
}

Test(template, starts_from_the_limits_of_a_use)
{
    expect_holds(&shelf, 0, "\nuse = shelf\n", true);
    expect_holds(&unstated, 0, "\nuse =\n", true);
    expect_holds(&unstated, 0, "of a use: table top, bench top", true);
}

Test(template, holds_eight_lines_of_five_places_with_the_gaps_blank)
{
    struct bt_buffer out = {0};
    size_t rows = 0;

    cr_assert_eq(bt_template_text(&unstated, 3, &out), BT_OK);
    for (const char *c = out.text; (c = strstr(c, ",,")); c += 2)
        rows++;
    cr_expect_eq(rows, 40);
    cr_expect_not_null(strstr(out.text,
                              "\nline,at_mm,gap_mm,note\nback edge,0,,corner A\n"
                              "back edge,300,,\nback edge,600,,middle\n"));
    bt_buffer_clear(&out);
}

Test(template, ends_no_line_beyond_its_end)
{
    /* The diagonal is 1341.64 mm: the last place is 1341.6, not 1341.7. */
    expect_holds(&unstated, 3, "\ndiagonal A-C,1341.6,,corner C\n", true);
    expect_holds(&unstated, 3, "\ndiagonal A-C,670.8,,middle\n", true);
    expect_holds(&inches, 3,
                 "line,at_in,gap_in,note\nback edge,0,,corner A\n"
                 "back edge,15 3/8,,\nback edge,30 3/4,,middle\n",
                 true);
}

/* Each line begins where the one before ended, or at the middle of a side that meets
 * that corner. */
Test(template, goes_round_the_panel_without_running_back_and_forth)
{
    struct bt_buffer out = {0};
    char end[3] = "", name[32], from[3], to[3];
    const char *row;

    cr_assert_eq(bt_template_text(&unstated, 2, &out), BT_OK);
    row = strstr(out.text, "line,from,to\n");
    cr_assert_not_null(row);
    for (row = strchr(row, '\n') + 1; *row; row = strchr(row, '\n') + 1) {
        cr_assert_eq(sscanf(row, "%31[^,],%2[A-D],%2[A-D]\n", name, from, to), 3);
        cr_expect(!*end || strpbrk(from, end), "%s begins at %s, far from %s", name,
                  from, end);
        strcpy(end, to);
    }
    bt_buffer_clear(&out);
}

static void remove_job(const char *folder)
{
    char path[96];

    for (size_t i = 0; i < BT_TEMPLATE_FILES; i++) {
        snprintf(path, sizeof path, "%s/%s", folder, bt_template_name(i));
        bt_save_undo(path);
    }
    bt_save_undo(folder);
}

Test(template, says_where_the_places_of_a_line_count_from)
{
    expect_holds(&shelf, 2,
                 "\n# The places (at) of a line count from its from, which is 0.\n"
                 "line,from,to\n",
                 true);
    expect_holds(&shelf, 2, "\ndiagonal A-C,A,C\n", true);
    expect_holds(&shelf, 2, "\ndiagonal B-D,B,D\n", true);
    expect_holds(&shelf, 3, "\ndiagonal B-D,0,,corner B\n", true);
}

Test(template, names_every_column_of_the_boards)
{
    expect_holds(&shelf, 1, "rings, grain (left, right), show (up, either),\n", true);
    expect_holds(&shelf, 1,
                 "\n# fence (in, out, in/out, out/in), against_grain (yes, no), "
                 "moisture.\nboard,width_mm,note\n",
                 true);
}

/* Take away the # of each example line of the sections for later. */
static void uncomment_later(char *text)
{
    char *to = strstr(text, "# How it lay");

    cr_assert_not_null(to);
    for (char *row = to, *next; *row; row = next) {
        char *is = strstr(row, " = ");

        next = row + strcspn(row, "\n");
        next += *next != '\0';
        if (strncmp(row, "# [", 3) == 0 || (*row == '#' && is && is < next))
            row += 2;
        memmove(to, row, (size_t)(next - row));
        to += next - row;
    }
    *to = '\0';
}

Test(template, gives_examples_of_later_sections_that_can_be_used_as_they_are)
{
    const struct bt_template *const all[] = {&unstated, &inches};

    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        char folder[] = "/tmp/benchtrue_template_XXXXXX", path[96];
        struct bt_faults faults = {0};
        struct bt_buffer out = {0};
        struct bt_job job = {0};
        char *cut;

        cr_assert_not_null(mkdtemp(folder));
        cr_assert_eq(bt_template_write(all[i], folder, NULL), BT_OK);
        cr_assert_eq(bt_template_text(all[i], 0, &out), BT_OK);
        /* The instrument that it names is a comment still. */
        cut = strstr(out.text, "# instrument = straightedge");
        cr_assert_not_null(cut);
        memset(cut, '#', strlen("# instrument = straightedge"));
        uncomment_later(out.text);
        snprintf(path, sizeof path, "%s/job.ini", folder);
        bt_save_undo(path);
        cr_assert_eq(bt_save_file(path, out.text, strlen(out.text), NULL), BT_OK);
        bt_job_init(&job);
        cr_expect_eq(bt_job_load(folder, NULL, &job, &faults), BT_OK, "%zu: %s\n%s",
                     faults.n ? faults.item[0].line : 0,
                     faults.n ? faults.item[0].message : "", out.text);
        cr_expect_eq(job.nclamp, 1);
        cr_expect(job.fence.length > 0, "%s", out.text);
        cr_expect(job.plan.least_thickness > 0, "%s", out.text);
        cr_expect(job.stock.allowance > 0, "%s", out.text);
        cr_expect(job.layout.narrowest > 0, "%s", out.text);
        cr_expect(job.opening.plan.joint > 0, "%s", out.text);
        cr_expect_eq(job.fixing.fixed, BT_FIXED_CENTRE);
        cr_expect(job.climate.driest.moisture < job.climate.dampest.moisture, "%s",
                  out.text);
        bt_job_clear(&job);
        bt_faults_clear(&faults);
        bt_buffer_clear(&out);
        remove_job(folder);
    }
}

/* The two rows of a file that stand under its name in job.ini's comments. */
static void write_shown(const char *folder, const char *name, const char *text)
{
    char path[96], file[256] = "", want[32];
    const char *row;

    snprintf(want, sizeof want, " %s:\n", name);
    row = strstr(text, want);
    cr_assert_not_null(row, "no %s in:\n%s", name, text);
    row += strlen(want);
    for (int i = 0; i < 2; i++) {
        const size_t length = strcspn(row, "\n") + 1;

        cr_assert_eq(strncmp(row, "#   ", 4), 0, "%s: %s", name, row);
        strncat(file, row + 4, length - 4);
        row += length;
    }
    snprintf(path, sizeof path, "%s/%s", folder, name);
    cr_assert_eq(bt_save_file(path, file, strlen(file), NULL), BT_OK);
}

Test(template, shows_a_row_of_each_later_file_that_can_be_used_as_it_is)
{
    static const char *const files[] = {"fence.csv", "stock.csv", "cutouts.csv",
                                        "opening.csv", "fixings.csv"};
    const struct bt_template *const all[] = {&unstated, &inches};
    enum { FILES = sizeof files / sizeof *files };

    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        char folder[] = "/tmp/benchtrue_template_XXXXXX", path[96];
        struct bt_faults faults = {0};
        struct bt_buffer out = {0};
        struct bt_job job = {0};

        cr_assert_not_null(mkdtemp(folder));
        cr_assert_eq(bt_template_write(all[i], folder, NULL), BT_OK);
        cr_assert_eq(bt_template_text(all[i], 0, &out), BT_OK);
        for (size_t k = 0; k < FILES; k++)
            write_shown(folder, files[k], out.text);
        bt_job_init(&job);
        cr_expect_eq(bt_job_load(folder, NULL, &job, &faults), BT_OK, "%s:%zu: %s",
                     faults.n ? faults.item[0].file : "",
                     faults.n ? faults.item[0].line : 0,
                     faults.n ? faults.item[0].message : "");
        cr_expect_eq(job.fence.ncheck, 1);
        cr_expect_eq(job.stock.n, 1);
        cr_expect_eq(job.layout.ncutout, 1);
        cr_expect_eq(job.opening.nreading, 1);
        cr_expect_eq(job.fixing.n, 1);
        bt_job_clear(&job);
        bt_faults_clear(&faults);
        bt_buffer_clear(&out);
        for (size_t k = 0; k < FILES; k++) {
            snprintf(path, sizeof path, "%s/%s", folder, files[k]);
            bt_save_undo(path);
        }
        remove_job(folder);
    }
}

Test(template, passes_check_as_it_is)
{
    const struct bt_template *const all[] = {&unstated, &shelf, &inches};

    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        char folder[] = "/tmp/benchtrue_template_XXXXXX";
        struct bt_faults faults = {0};
        struct bt_job job = {0};

        cr_assert_not_null(mkdtemp(folder));
        cr_assert_eq(bt_template_write(all[i], folder, NULL), BT_OK);
        bt_job_init(&job);
        cr_expect_eq(bt_job_load(folder, NULL, &job, &faults), BT_OK, "%s:%zu: %s",
                     faults.n ? faults.item[0].file : "",
                     faults.n ? faults.item[0].line : 0,
                     faults.n ? faults.item[0].message : "");
        cr_expect_eq(job.nset, 1);
        if (job.nset)
            cr_expect_eq(job.set[0].blank, 40);
        bt_job_clear(&job);
        bt_faults_clear(&faults);
        remove_job(folder);
        cr_expect_neq(access(folder, F_OK), 0, "something was left in %s", folder);
    }
}

Test(template, takes_everything_away_again_where_it_cannot_be_written)
{
    struct bt_error err;

    cr_expect_eq(bt_template_write(&shelf, "/tmp/benchtrue_none/job", &err),
                 BT_ECREATE);
    cr_expect_str_eq(err.message, "/tmp/benchtrue_none/job: cannot be created: No such "
                                  "file or directory");
}

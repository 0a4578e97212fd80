/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `trend`: what it prints, draws and refuses, and how it ends. */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "app/program.h"

static const struct conditions in_samples = {.folder = BT_SAMPLE_DIR};

/* The text of tests/app/expected/NAME, looked at by a human before it was kept. */
static char *expected(const char *name)
{
    char path[512], *text = calloc(1, 65536);
    int file;

    cr_assert_not_null(text);
    snprintf(path, sizeof path, "%s/app/expected/%s", BT_TESTS_DIR, name);
    file = open(path, O_RDONLY);
    cr_assert_geq(file, 0, "no %s", path);
    cr_assert_gt(read(file, text, 65535), 0);
    close(file);
    return text;
}

Test(cli_trend, prints_what_is_expected_for_the_samples)
{
    static const struct {
        const char *args, *file;
        int code;
    } rows[] = {
        {"trend cherry-shelf", "trend-shelf.txt", 1},
        {"trend cherry-shelf --details --units in", "trend-shelf-details-in.txt", 1},
        {"trend reading-room-table", "trend-table.txt", 1},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outcome got = run_under(rows[i].args, &in_samples);
        char *want = expected(rows[i].file);

        cr_expect_eq(got.code, rows[i].code, "%s gave %d", rows[i].args, got.code);
        cr_expect_str_eq(got.out, want, "%s printed\n%s\nnot\n%s", rows[i].args,
                         got.out, want);
        cr_expect_str_eq(got.err, "");
        outcome_clear(&got);
        free(want);
    }
}

/* ---- a job of two sets, invented ---- */

static const char ini[] = "[job]\nunits = mm\n[panel]\nlength = 1200 mm\n"
                          "width = 600 mm\nthickness = 20 mm\n[limits]\ncup = 1 mm\n"
                          "[readings a]\nfiles = a.csv\ndate = 2026-03-02\n"
                          "[readings b]\nfiles = b.csv\ndate = 2026-03-22\n";
static const char flat[] = "height_mm@mm,0,600,1200\n0,5.00,5.00,5.00\n"
                           "300,5.00,5.00,5.00\n600,5.00,5.00,5.00\n";
static const char cupped[] = "height_mm@mm,0,600,1200\n0,5.30,5.30,5.30\n"
                             "300,5.00,5.00,5.00\n600,5.30,5.30,5.30\n";

static void job(char folder[64], const char *first, const char *second)
{
    new_folder(folder);
    put_file(folder, "job.ini", ini);
    put_file(folder, "a.csv", first);
    put_file(folder, "b.csv", second);
}

static struct outcome run_in(const char *folder, const char *args)
{
    const struct conditions there = {.folder = folder};

    return run_under(args, &there);
}

/* Settled 0, moved 1, cannot tell 2. */
Test(cli_trend, exit_status_says_the_verdict)
{
    static const struct {
        const char *second, *args, *begins;
        int code;
    } rows[] = {
        {flat, "trend",
         "Settled: cup changed by less than matters in the 20 "
         "days to 2026-03-22. Next: go on with the work",
         0},
        {cupped, "trend .", "Moved: cup 0.300 mm towards hollow in the 20 days", 1},
        {flat, "trend job.ini --share 0.5", "Cannot tell: cup may have changed", 2}};
    char folder[64];

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outcome got;

        job(folder, flat, rows[i].second);
        got = run_in(folder, rows[i].args);
        cr_expect_eq(got.code, rows[i].code, "%s: %d, %s", rows[i].args, got.code,
                     got.err);
        cr_expect_eq(strncmp(got.out, rows[i].begins, strlen(rows[i].begins)), 0, "%s",
                     got.out);
        outcome_clear(&got);
        remove_folder(folder);
    }
}

Test(cli_trend, json_is_one_object_and_ends_with_the_same_status)
{
    struct outcome got = run_under("trend cherry-shelf --json", &in_samples);
    cJSON *json = cJSON_Parse(got.out);

    cr_assert_not_null(json, "%s", got.err);
    cr_expect_eq(got.code, 1);
    cr_expect_str_eq(cJSON_GetObjectItem(json, "verdict")->valuestring, "moved");
    cr_expect_eq(cJSON_GetArraySize(cJSON_GetObjectItem(json, "sets")), 4);
    cJSON_Delete(json);
    outcome_clear(&got);
}

Test(cli_trend, since_leaves_out_older_sets)
{
    struct outcome got =
        run_under("trend cherry-shelf --since 2026-04-30", &in_samples);

    cr_expect_eq(got.code, 1);
    cr_expect_not_null(
        strstr(got.out, "Left out:  day 4, 2026-04-24: before the day asked for"));
    cr_expect_null(strstr(got.out, "Where it comes to rest"));
    outcome_clear(&got);
}

Test(cli_trend, draws_in_every_format)
{
    static const struct {
        const char *name, *begins;
    } rows[] = {{"t.svg", "<?xml"}, {"t.pdf", "%PDF"}, {"t.PNG", "\x89PNG"}};
    char folder[64], args[256];

    for (size_t i = 0; i < 3; i++) {
        char path[128], head[5] = "";
        struct outcome got;
        int file;

        new_folder(folder);
        snprintf(path, sizeof path, "%s/%s", folder, rows[i].name);
        snprintf(args, sizeof args, "trend cherry-shelf --figure %s", path);
        got = run_under(args, &in_samples);
        cr_expect_eq(got.code, 1, "%s", got.err);
        file = open(path, O_RDONLY);
        cr_assert_geq(file, 0, "%s", path);
        cr_expect_eq(read(file, head, 4), 4);
        cr_expect_eq(strncmp(head, rows[i].begins, 4), 0, "%s", rows[i].name);
        close(file);
        outcome_clear(&got);
        remove_folder(folder);
    }
}

Test(cli_trend, refuses_a_command_line_that_makes_no_sense)
{
    static const struct {
        const char *args, *err;
    } rows[] = {
        {"trend", "benchtrue: trend needs a JOB; benchtrue help trend says more\n"},
        {"trend readings-grid.csv", "benchtrue: trend needs the folder of a job, the "
                                    "one that holds job.ini, not a "
                                    "file: 'readings-grid.csv'\n"},
        {"trend cherry-shelf --since yesterday",
         "benchtrue: --since: not a date: 'yesterday', write year, month and day as "
         "2026-03-16\n"},
        {"trend cherry-shelf --since 2026-02-30",
         "benchtrue: --since: not a date: '2026-02-30', write year, month and day as "
         "2026-03-16\n"},
        {"trend cherry-shelf --share 0",
         "benchtrue: --share is over 0 % and at most 100 %, not '0'\n"},
        {"trend cherry-shelf --share 101",
         "benchtrue: --share is over 0 % and at most 100 %, not '101'\n"},
        {"trend cherry-shelf --share -5",
         "benchtrue: --share is over 0 % and at most 100 %, not '-5'\n"},
        {"trend cherry-shelf --figure t.gif",
         "benchtrue: --figure t.gif: a figure's name ends in .svg, .pdf or .png\n"},
        {"trend cherry-shelf --set 'day 4'",
         "benchtrue: '--set' is no option of trend; benchtrue help trend lists its "
         "options\n"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outcome got = run_under(rows[i].args, &in_samples);

        cr_expect_eq(got.code, 64, "%s: %d", rows[i].args, got.code);
        cr_expect_str_eq(got.err, rows[i].err);
        cr_expect_str_eq(got.out, "");
        outcome_clear(&got);
    }
}

Test(cli_trend, says_why_there_is_nothing_to_compare)
{
    char folder[64];
    struct outcome got;

    got = run_under("trend cherry-shelf --since 2026-05-01", &in_samples);
    cr_expect_eq(got.code, 65);
    cr_expect_str_eq(got.err,
                     "benchtrue: cherry-shelf: a trend needs sets of readings of two "
                     "days, on one face; all that can be compared are of 2026-05-10; "
                     "left out: out of the clamps (before the day asked for), day 4 "
                     "(before the day asked for), day 10 (before the day asked for)\n");
    outcome_clear(&got);
    job(folder, "height_mm@mm,0,600,1200\n0,,,\n", "height_mm@mm,0,600,1200\n0,,,\n");
    got = run_in(folder, "trend --since 2026-03-10");
    cr_expect_eq(got.code, 65);
    cr_expect_str_eq(got.err,
                     "benchtrue: .: a trend needs sets of readings of two days, on one "
                     "face; of this job none can be used: a (no reading yet), b (no "
                     "reading yet)\n");
    outcome_clear(&got);
    remove_folder(folder);
    job(folder, flat, "height_mm@mm,0,600,1200\n0,5.00,5.OO,5.00\n");
    got = run_in(folder, "trend");
    cr_expect_eq(got.code, 65);
    cr_expect_eq(strncmp(got.err, "b.csv:2:", 8), 0, "%s", got.err);
    cr_expect_str_eq(got.out, "");
    outcome_clear(&got);
    remove_folder(folder);
    got = run_under("trend no-such-job", &in_samples);
    cr_expect_eq(got.code, 66);
    outcome_clear(&got);
}

Test(cli_trend, a_figure_that_cannot_be_written_is_told_and_nothing_is_printed)
{
    struct outcome got =
        run_under("trend cherry-shelf --figure no-such-folder/t.svg", &in_samples);

    cr_expect_eq(got.code, 73, "%d", got.code);
    cr_expect_str_eq(got.out, "");
    cr_expect_not_null(strstr(got.err, "no-such-folder/t.svg"));
    outcome_clear(&got);
}

Test(cli_trend, a_full_disk_is_told)
{
    const struct conditions full = {.folder = BT_SAMPLE_DIR, .stdout_to = "/dev/full"};
    struct outcome got = run_under("trend cherry-shelf", &full);

    cr_expect_eq(got.code, 74);
    outcome_clear(&got);
}

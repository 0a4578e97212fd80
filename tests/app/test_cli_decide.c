/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `decide`: what it prints, draws and refuses, and how it ends. */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>
#include <fcntl.h>
#include <math.h>
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

Test(cli_decide, prints_what_is_expected_for_the_samples)
{
    static const struct {
        const char *args, *file;
        int code;
    } rows[] = {
        {"decide reading-room-table --set 'after glue-up'", "decide-table.txt", 1},
        {"decide cherry-shelf --units in", "decide-shelf-in.txt", 0},
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

/* Fence, edges and panel of the sample tell one story: a maker who read it with fresh
 * eyes found 0.158 degrees in the checks and 0.084 in the panel (November 2026). */
Test(cli_decide, the_fence_read_out_of_the_sample_is_the_fence_that_was_checked)
{
    static const char before_u[] =
        "edge angles read out of the panel against the fence: ";
    struct outcome got =
        run_under("decide reading-room-table --set 'after glue-up'", &in_samples);
    const char *at = strstr(got.out, before_u);
    const char *apart = at ? strstr(at, "over (u ") : NULL;

    cr_assert_not_null(at, "%s", got.out);
    apart = apart ? strchr(apart, ')') : NULL;
    cr_assert_not_null(apart, "%s", at);
    cr_expect(fabs(strtod(apart + 2, NULL)) < 2, "%s u apart", apart + 2);
    outcome_clear(&got);
    got = run_under("fence reading-room-table", &in_samples);
    cr_expect_not_null(strstr(got.out,
                              "  same face           0.08 mm at the show face      "
                              "1.7 mm hollow "),
                       "%s", got.out);
    outcome_clear(&got);
}

/* A maker was told to read again a day later by one and in 16 days by the other, and to
 * plane the edges meanwhile (November 2026). */
Test(cli_decide, flatness_and_trend_name_the_same_wait)
{
    struct outcome got =
        run_under("decide reading-room-table --set 'after glue-up'", &in_samples);

    cr_expect_not_null(strstr(got.out, "Next: wait and measure again on 2026-03-18."),
                       "%s", got.out);
    outcome_clear(&got);
    got = run_under("flatness reading-room-table --set 'after glue-up'", &in_samples);
    cr_expect_not_null(strstr(got.out,
                              "Next: wait until it rests (benchtrue decide says "
                              "how long), then take down "),
                       "%s", got.out);
    cr_expect_not_null(strstr(got.out, "read it again on 2026-03-18, 16 days later"),
                       "%s", got.out);
    outcome_clear(&got);
    got = run_under("trend reading-room-table", &in_samples);
    cr_expect_not_null(strstr(got.out, "after the 16 days"), "%s", got.out);
    outcome_clear(&got);
}

/* ---- a job of its own, invented ---- */

static const char ini[] =
    "[job]\nunits = mm\n[panel]\nlength = 1200 mm\nwidth = 600 mm\n"
    "thickness = 24 mm\nspecies = black cherry\n[plan]\nleast_thickness = 20 mm\n"
    "machine_width = 700 mm\n[readings a]\nfiles = a.csv\ndate = 2026-03-02\n";
static const char flat[] = "height_mm@mm,0,600,1200\n0,5.00,5.01,5.00\n"
                           "300,5.00,5.00,5.01\n600,5.00,5.00,5.00\n";
static const char cupped[] = "height_mm@mm,0,600,1200\n0,6.30,6.31,6.30\n"
                             "300,5.00,5.00,5.01\n600,6.30,6.30,6.30\n";

static void job(char folder[64], const char *limits, const char *first)
{
    char text[1024];

    new_folder(folder);
    snprintf(text, sizeof text, "%s%s", ini, limits);
    put_file(folder, "job.ini", text);
    put_file(folder, "a.csv", first);
}

static struct outcome run_in(const char *folder, const char *args)
{
    const struct conditions there = {.folder = folder};

    return run_under(args, &there);
}

/* Leave it 0, to be done 1, cannot tell 2. */
Test(cli_decide, exit_status_says_the_verdict)
{
    static const struct {
        const char *limits, *readings, *begins;
        int code;
    } rows[] = {
        {"[limits]\ncup = 1 mm\n", flat, "Leave it: every limit holds. Next: ", 0},
        {"[limits]\ncup = 1 mm\n", cupped,
         "To be done: hollow 1.298 mm across the width (cup), ", 1},
        {"", cupped, "Cannot tell: the job states no limits. Next: ", 2},
    };
    char folder[64];

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outcome got;

        job(folder, rows[i].limits, rows[i].readings);
        got = run_in(folder, "decide");
        cr_expect_eq(got.code, rows[i].code, "row %zu: %d, %s", i, got.code, got.err);
        cr_expect_eq(strncmp(got.out, rows[i].begins, strlen(rows[i].begins)), 0, "%s",
                     got.out);
        outcome_clear(&got);
        remove_folder(folder);
    }
}

Test(cli_decide, json_is_one_object_that_says_the_same)
{
    struct outcome got;
    char folder[64];
    cJSON *root;

    job(folder, "[limits]\ncup = 1 mm\n", cupped);
    got = run_in(folder, "decide --json");
    cr_expect_eq(got.code, 1);
    root = cJSON_Parse(got.out);
    cr_assert_not_null(root);
    cr_expect_str_eq(cJSON_GetObjectItem(root, "verdict")->valuestring, "to be done");
    cJSON_Delete(root);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(cli_decide, draws_the_removal_map)
{
    static const struct {
        const char *args, *begins;
    } rows[] = {{"decide --figure map.svg", "<?xml"},
                {"decide --figure map.pdf", "%PDF"}};
    char folder[64], path[128], start[8];

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outcome got;
        int file;

        job(folder, "[limits]\ncup = 1 mm\n", cupped);
        got = run_in(folder, rows[i].args);
        cr_expect_eq(got.code, 1, "%s", got.err);
        snprintf(path, sizeof path, "%s/%s", folder, strstr(rows[i].args, "map"));
        file = open(path, O_RDONLY);
        cr_assert_geq(file, 0, "no %s", path);
        cr_expect_eq(read(file, start, sizeof start), sizeof start);
        close(file);
        cr_expect_eq(strncmp(start, rows[i].begins, strlen(rows[i].begins)), 0);
        outcome_clear(&got);
        remove_folder(folder);
    }
}

Test(cli_decide, refuses_with_status_and_message)
{
    static const struct {
        const char *args, *err;
        int code;
    } rows[] = {
        {"decide --set b", "benchtrue: --set: no such set: 'b', did you mean a?\n", 64},
        {"decide --set 'something else'",
         "benchtrue: --set: no such set: 'something else'; benchtrue check names them "
         "all\n",
         64},
        {"decide a.csv",
         "benchtrue: decide needs the folder of a job, the one that holds job.ini, not "
         "a "
         "file: 'a.csv'\n",
         64},
        {"decide --figure map.gif", NULL, 64},
        {"decide nothing-here", NULL, 66},
    };
    char folder[64];

    job(folder, "[limits]\ncup = 1 mm\n", flat);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outcome got = run_in(folder, rows[i].args);

        cr_expect_eq(got.code, rows[i].code, "%s gave %d: %s", rows[i].args, got.code,
                     got.err);
        cr_expect_str_eq(got.out, "", "%s", rows[i].args);
        if (rows[i].err)
            cr_expect_str_eq(got.err, rows[i].err, "%s said %s", rows[i].args, got.err);
        outcome_clear(&got);
    }
    remove_folder(folder);
}

Test(cli_decide, where_nothing_is_taken_off_the_verdict_is_told_without_a_map)
{
    struct outcome got, plain;
    char folder[64];

    job(folder, "[limits]\ncup = 1 mm\n", flat);
    plain = run_in(folder, "decide");
    got = run_in(folder, "decide --figure nowhere/map.svg");
    cr_expect_eq(got.code, plain.code, "%d, not %d", got.code, plain.code);
    cr_expect_str_eq(got.out, plain.out);
    cr_expect_str_eq(got.err, "benchtrue: --figure: nothing is drawn: no choice that "
                              "takes off wood is possible\n");
    outcome_clear(&got);
    outcome_clear(&plain);
    remove_folder(folder);
}

Test(cli_decide, a_job_without_readings_is_refused)
{
    struct outcome got;
    char folder[64];

    new_folder(folder);
    put_file(folder, "job.ini", "[job]\nunits = mm\n");
    got = run_in(folder, "decide");
    cr_expect_eq(got.code, 65);
    cr_expect_str_eq(got.err,
                     "benchtrue: .: there is no set of readings to decide by\n");
    outcome_clear(&got);
    remove_folder(folder);
}

Test(cli_decide, a_figure_that_cannot_be_created_leaves_nothing)
{
    struct outcome got;
    char folder[64];

    job(folder, "[limits]\ncup = 1 mm\n", cupped);
    got = run_in(folder, "decide --figure nowhere/map.svg");
    cr_expect_eq(got.code, 73, "%s", got.err);
    cr_expect_str_eq(got.out, "");
    outcome_clear(&got);
    remove_folder(folder);
}

/* `check` alone told it; decide went on as if there were wood to take off. */
Test(cli_decide, a_least_size_over_that_of_the_panel_is_told_by_check_and_decide)
{
    static const char *const verbs[] = {"check", "decide"};
    char folder[64], args[128];

    new_folder(folder);
    put_file(folder, "job.ini",
             "[job]\nunits = mm\n[panel]\nlength = 1200 mm\nwidth = 600 mm\n"
             "thickness = 24 mm\n[limits]\ncup = 1\n[plan]\nleast_thickness = 24.5 mm\n"
             "least_width = 601 mm\n[readings a]\nfiles = a.csv\n");
    put_file(folder, "a.csv", cupped);
    for (size_t i = 0; i < 2; i++) {
        struct outcome got;

        snprintf(args, sizeof args, "%s %s", verbs[i], folder);
        got = run(args);
        cr_expect_not_null(
            strstr(got.out, "  - job.ini:10: least_thickness is 24.5 mm, the panel "
                            "is only 24 mm thick: nothing may come off\n"),
            "%s: %s%s", verbs[i], got.out, got.err);
        cr_expect_not_null(strstr(got.out,
                                  "  - job.ini:11: least_width is 601 mm, the panel is "
                                  "only 600 mm wide: nothing may come off\n"),
                           "%s: %s%s", verbs[i], got.out, got.err);
        outcome_clear(&got);
    }
    put_file(folder, "job.ini",
             "[job]\nunits = mm\n[panel]\nlength = 1200 mm\nwidth = 600 mm\n"
             "thickness = 24 mm\n[limits]\ncup = 1\n[plan]\nleast_thickness = 24 mm\n"
             "least_width = 600 mm\n[readings a]\nfiles = a.csv\n");
    for (size_t i = 0; i < 2; i++) {
        struct outcome got;

        snprintf(args, sizeof args, "%s %s", verbs[i], folder);
        got = run(args);
        cr_expect_null(strstr(got.out, "the panel is only"), "%s", got.out);
        outcome_clear(&got);
    }
    remove_folder(folder);
}

/* A twist over its limit and nothing else known, and a flat one (both invented). */
static struct outcome decide_two_diagonals(const char *gap)
{
    char folder[64], args[128], rows[256];
    struct outcome got;

    new_folder(folder);
    put_file(folder, "job.ini",
             "[job]\nunits = mm\n[panel]\nlength = 1400 mm\nwidth = 420 mm\n"
             "thickness = 30 mm\n[limits]\ntwist = 0.8 mm\n[plan]\n"
             "least_thickness = 25 mm\n[readings first]\nfiles = a.csv\n"
             "date = 2026-03-02\n");
    snprintf(rows, sizeof rows,
             "line,x_mm,y_mm,gap_mm\nac,0,0,0\nac,700,210,%s\nac,1400,420,0\n"
             "bd,1400,0,0\nbd,700,210,0\nbd,0,420,0\n",
             gap);
    put_file(folder, "a.csv", rows);
    snprintf(args, sizeof args, "decide %s", folder);
    got = run(args);
    remove_folder(folder);
    return got;
}

static size_t times(const char *text, const char *what)
{
    size_t n = 0;

    while ((text = strstr(text, what)) != NULL) {
        text += strlen(what);
        n++;
    }
    return n;
}

Test(cli_decide, cautions_go_with_work_that_is_proposed_and_with_none_else)
{
    struct outcome got = decide_two_diagonals("1.50");

    cr_expect_not_null(strstr(got.out, "\nCautions\n"), "%s", got.out);
    outcome_clear(&got);
    got = decide_two_diagonals("0.10");
    cr_expect_eq(strncmp(got.out, "Leave it", 8), 0, "%s", got.out);
    cr_expect_null(strstr(got.out, "\nCautions\n"), "%s", got.out);
    outcome_clear(&got);
}

Test(cli_decide, what_is_missing_for_two_causes_is_told_in_full_once)
{
    struct outcome got = decide_two_diagonals("1.50");

    cr_expect_eq(times(got.out, "state the boards or joints, and read two places"), 1,
                 "%s", got.out);
    cr_expect_not_null(strstr(got.out, "against a smooth arc: as above\n"), "%s",
                       got.out);
    outcome_clear(&got);
}

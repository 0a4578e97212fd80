/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `fence`: what it prints for the sample, and how it ends. */
#include <criterion/criterion.h>

#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "app/program.h"

static const struct conditions in_samples = {.folder = BT_SAMPLE_DIR};

Test(fence, prints_what_is_expected_for_the_sample)
{
    static const struct {
        const char *args, *file;
    } rows[] = {
        {"fence reading-room-table", "fence.txt"},
        {"fence reading-room-table --details --units in", "fence-details-in.txt"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outcome got = run_under(rows[i].args, &in_samples);

        cr_expect_eq(got.code, 0);
        cr_expect_str_eq(got.err, "");
        expect_file(&got, rows[i].file);
        outcome_clear(&got);
    }
}

Test(fence, inside_a_job_folder_the_job_goes_without_saying)
{
    const struct conditions inside = {.folder = BT_SAMPLE_DIR "/reading-room-table"};
    struct outcome named = run_under("fence reading-room-table", &in_samples);
    struct outcome bare = run_under("fence", &inside);

    cr_expect_eq(bare.code, 0, "%s", bare.err);
    cr_expect_str_eq(bare.out, named.out);
    outcome_clear(&named);
    outcome_clear(&bare);
}

/* A folder with job.ini, fence.csv and boards.csv; NULL: no such file. */
static void expect_end(const char *ini, const char *fence, const char *boards, int code,
                       const char *out, const char *err)
{
    char folder[64], args[128], message[512];
    struct outcome got;

    new_folder(folder);
    put_file(folder, "job.ini", ini);
    if (fence)
        put_file(folder, "fence.csv", fence);
    if (boards)
        put_file(folder, "boards.csv", boards);
    snprintf(args, sizeof args, "fence %s", folder);
    got = run(args);
    cr_expect_eq(got.code, code, "ended with %d, not %d: %s%s", got.code, code, got.out,
                 got.err);
    cr_expect(strncmp(got.out, out, strlen(out)) == 0, "printed\n%s\nnot\n%s", got.out,
              out);
    snprintf(message, sizeof message, err, folder);
    cr_expect_str_eq(got.err, message, "said\n%s\nnot\n%s", got.err, message);
    outcome_clear(&got);
    remove_folder(folder);
}

static const char plain_ini[] = "[job]\nunits = mm\n[fence]\nscatter = 0.01 deg\n"
                                "pattern = same face\n[limits]\ncup = 0.5\n"
                                "[panel]\nlength = 1400\nwidth = 400\nthickness = 28\n";
static const char free_ini[] = "[job]\nunits = mm\n[fence]\nscatter = 0.01 deg\n";
static const char boards_csv[] = "board,width_mm\n1,100\n2,100\n3,100\n4,100\n";
/* 0.17 and 0.02 degrees; the last two contradict each other. */
static const char out_csv[] = "kind,height_mm,gap_mm,open_at,u_mm\n"
                              "square,100,0.30,top,0.005\nsquare,100,0.30,top,0.005\n";
static const char near_csv[] = "kind,height_mm,gap_mm,open_at,u_mm\n"
                               "square,100,0.03,top,0.005\nsquare,100,0.03,top,0.005\n";
static const char quarrel_csv[] =
    "kind,height_mm,gap_mm,open_at,u_mm\nsquare,100,0.03,top,0.005\n"
    "square,100,0.03,top,0.005\nsquare,100,0.30,top,0.005\n";

Test(fence, status_is_that_of_the_planned_cup)
{
    expect_end(plain_ini, out_csv, boards_csv, 1,
               "Over the limit: run as planned (same "
               "face) the panel comes out ",
               "");
    expect_end(plain_ini, quarrel_csv, boards_csv, 2,
               "Not seen: the fence stands 0.1 deg out of square, leaning away from "
               "the table, u 1.6, but the checks contradict each other. Next: take "
               "again the square (fence.csv line 4), which fits the others least.\n",
               "");
}

Test(fence, without_a_limit_status_says_whether_the_fence_is_known)
{
    expect_end(free_ini, out_csv, NULL, 0,
               "Out of square: the fence stands 0.17 deg out "
               "of square, leaning away from the table. ",
               "");
    expect_end(free_ini, near_csv, NULL, 2,
               "Too close to call: the checks cannot tell "
               "this fence from a square one, 0.02 deg with "
               "u 0.06. Next: one more check, ",
               "");
}

Test(fence, an_angle_box_alone_is_no_proof_of_square)
{
    static const char box_csv[] = "kind,reading_deg\nangle,90.0\n";
    char folder[64], args[128];
    struct outcome got;

    new_folder(folder);
    put_file(folder, "job.ini", free_ini);
    put_file(folder, "fence.csv", box_csv);
    snprintf(args, sizeof args, "fence %s", folder);
    got = run(args);
    cr_expect_eq(got.code, 2);
    cr_expect_not_null(strstr(got.out,
                              "An angle gauge that shows tenths of a degree is "
                              "no proof of square: here it is good to 0.21 deg "
                              "(2 u).\n"),
                       "%s", got.out);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(fence, without_checks_it_says_what_to_write)
{
    expect_end(
        plain_ini, NULL, boards_csv, 65, "",
        "benchtrue: %s: no check of the fence is written down: write fence.csv, a "
        "row a check, of kind square, doubled or angle\n");
}

Test(fence, a_file_without_a_check_is_not_asked_for_once_more)
{
    expect_end(
        plain_ini, "kind,height_mm,gap_mm,open_at\n", boards_csv, 65, "",
        "benchtrue: %s: fence.csv has a header and no rows: write a row a check, "
        "of kind square, doubled or angle\n");
    expect_end(
        plain_ini, "kind,height_mm,gap_mm,open_at\nsquare,100,,top\n", boards_csv, 65,
        "",
        "benchtrue: %s: fence.csv has no reading in its rows yet: fill in the gap "
        "or the angle of each check\n");
}

/* `check` told it, the verbs that reckon with the boards did not. */
Test(fence, widths_that_miss_the_panel_are_told_by_each_verb_that_uses_them)
{
    static const char *const verbs[] = {"check", "fence", "edges", "glueup"};
    char folder[64], args[128], text[512];
    struct outcome last;

    new_folder(folder);
    snprintf(text, sizeof text, "%sspecies = oak\n", plain_ini);
    put_file(folder, "job.ini", text);
    put_file(folder, "fence.csv", near_csv);
    put_file(folder, "boards.csv", "board,width_mm\n1,100\n2,100\n3,100\n4,103\n");
    for (size_t i = 0; i < sizeof verbs / sizeof *verbs; i++) {
        struct outcome got;

        snprintf(args, sizeof args, "%s %s", verbs[i], folder);
        got = run(args);
        cr_expect_not_null(
            strstr(got.out, "  - boards.csv: the boards are 403 mm wide together, "
                            "the panel is 400 mm: their joints are not used\n"),
            "%s: %s%s", verbs[i], got.out, got.err);
        cr_expect_eq(strstr(got.out, "uncertainty of the readings") != NULL, i == 0,
                     "%s", got.out);
        outcome_clear(&got);
    }
    put_file(folder, "boards.csv", boards_csv);
    snprintf(args, sizeof args, "edges %s", folder);
    last = run(args);
    cr_expect_null(strstr(last.out, "joints are not used"), "%s", last.out);
    outcome_clear(&last);
    remove_folder(folder);
}

Test(fence, a_bad_row_stops_it_with_its_place)
{
    expect_end(
        plain_ini, "kind,reading_deg\nangle,9\n", boards_csv, 65, "",
        "fence.csv:2:7: an angle of 9 deg: '9', a fence stands near 90: type the "
        "whole angle that the gauge shows, as 89.8 or 90.3\n");
}

Test(fence, is_not_for_a_bare_file_of_readings)
{
    struct outcome got = run_under("fence readings-grid.csv", &in_samples);

    cr_expect_eq(got.code, 64);
    cr_expect_str_eq(got.out, "");
    cr_expect_str_eq(got.err,
                     "benchtrue: fence needs the folder of a job, the one that "
                     "holds job.ini, not a file: 'readings-grid.csv'\n");
    outcome_clear(&got);
}

Test(fence, refuses_options_of_other_verbs)
{
    expect_run(
        "fence x --figure a.svg", 64, "",
        "benchtrue: '--figure' is no option of fence; benchtrue help fence lists "
        "its options\n");
    expect_run(
        "fence x --pattern best", 64, "",
        "benchtrue: '--pattern' is no option of fence; benchtrue help fence lists "
        "its options\n");
    expect_run("fence no-such-job", 66, "", NULL);
}

Test(fence, json_is_one_object_and_nothing_else)
{
    struct outcome got = run_under("fence reading-room-table --json", &in_samples);

    cr_expect_eq(got.code, 0);
    cr_expect_eq(got.out[0], '{');
    cr_expect_str_eq(got.out + strlen(got.out) - 3, "\n}\n");
    cr_expect_str_eq(got.err, "");
    outcome_clear(&got);
}

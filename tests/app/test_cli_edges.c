/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `edges`: what it prints for the sample, and how it ends. */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "app/program.h"

static const struct conditions in_samples = {.folder = BT_SAMPLE_DIR};

Test(edges, prints_what_is_expected_for_the_sample)
{
    static const struct {
        const char *args, *file;
        int code;
    } rows[] = {
        {"edges reading-room-table", "edges.txt", 0},
        {"edges reading-room-table --pattern 'same face' --units in --details",
         "edges-same-face-in.txt", 1},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outcome got = run_under(rows[i].args, &in_samples);

        cr_expect_eq(got.code, rows[i].code, "%s gave %d", rows[i].args, got.code);
        cr_expect_str_eq(got.err, "");
        expect_file(&got, rows[i].file);
        outcome_clear(&got);
    }
}

/* To be deleted. */
static cJSON *json_of(const char *args, int code)
{
    struct outcome got = run_under(args, &in_samples);
    cJSON *json = cJSON_Parse(got.out);

    cr_expect_eq(got.code, code, "%s gave %d: %s", args, got.code, got.err);
    cr_assert_not_null(json, "%s", got.out);
    outcome_clear(&got);
    return json;
}

static double number(const cJSON *json, const char *object, const char *key)
{
    const cJSON *item = cJSON_GetObjectItem(cJSON_GetObjectItem(json, object), key);

    cr_assert(cJSON_IsNumber(item), "no %s.%s", object, key);
    return item->valuedouble;
}

Test(edges, the_same_seed_repeats_the_draws_and_another_does_not)
{
    cJSON *a = json_of("edges reading-room-table --json --draws 3000", 0);
    cJSON *b = json_of("edges reading-room-table --json --draws 3000 --seed 0", 0);
    cJSON *c = json_of("edges reading-room-table --json --draws 3000 --seed 5", 0);

    cr_expect(number(a, "scatter", "drawn") >= 3000 &&
              number(a, "scatter", "drawn") <= 3000);
    cr_expect(fabs(number(a, "scatter", "cup_p95_mm") -
                   number(b, "scatter", "cup_p95_mm")) <= 0);
    cr_expect(fabs(number(a, "scatter", "cup_p95_mm") -
                   number(c, "scatter", "cup_p95_mm")) > 0);
    cr_expect(number(c, "scatter", "seed") >= 5 && number(c, "scatter", "seed") <= 5);
    cJSON_Delete(a);
    cJSON_Delete(b);
    cJSON_Delete(c);
}

Test(edges, an_unknown_pattern_is_refused_with_those_there_are)
{
    expect_run(
        "edges x --pattern zigzag", 64, "",
        "benchtrue: --pattern is one of 'same face', 'alternate boards', 'in and "
        "out', 'best', not 'zigzag'\n");
}

Test(edges, a_figure_is_drawn_into_the_file_and_the_text_is_printed_too)
{
    static const char *const names[] = {"edges.svg", "edges.pdf", "edges.png"};
    char folder[64], args[256];

    new_folder(folder);
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        struct outcome got;
        struct stat file;
        char path[128];

        snprintf(path, sizeof path, "%s/%s", folder, names[i]);
        snprintf(args, sizeof args, "edges reading-room-table --figure %s", path);
        got = run_under(args, &in_samples);
        cr_expect_eq(got.code, 0, "%s", got.err);
        cr_expect_eq(strncmp(got.out, "Within the limit: ", 18), 0);
        cr_expect_eq(stat(path, &file), 0, "no %s", path);
        cr_expect_gt(file.st_size, 1000);
        outcome_clear(&got);
    }
    remove_folder(folder);
}

Test(edges, a_figure_that_cannot_be_written_is_said_and_nothing_is_printed)
{
    struct outcome got;

    expect_run("edges x --figure plan.doc", 64, "", NULL);
    got = run_under("edges reading-room-table --figure /no/such/folder/e.svg",
                    &in_samples);
    cr_expect_eq(got.code, 73, "%s", got.err);
    cr_expect_str_eq(got.out, "");
    outcome_clear(&got);
}

/* A folder with job.ini, boards.csv and dryfit.csv; NULL: no such file. */
static struct outcome run_job(const char *ini, const char *boards, const char *dry,
                              const char *options, char folder[64])
{
    char args[256];
    struct outcome got;

    new_folder(folder);
    put_file(folder, "job.ini", ini);
    if (boards)
        put_file(folder, "boards.csv", boards);
    if (dry)
        put_file(folder, "dryfit.csv", dry);
    snprintf(args, sizeof args, "edges %s %s", folder, options);
    got = run(args);
    remove_folder(folder);
    return got;
}

static const char ini[] = "[job]\nunits = mm\n[panel]\nlength = 1000\nwidth = 300\n"
                          "thickness = 20\n[limits]\ncup = 2\n";
static const char boards_csv[] = "board,width_mm\na,100\nb,100\nc,100\n";

Test(edges, without_a_fence_file_it_says_what_it_takes)
{
    char folder[64];
    struct outcome got = run_job(ini, boards_csv, NULL, "", folder);

    cr_expect_eq(got.code, 0, "%s%s", got.out, got.err);
    cr_expect_eq(strncmp(got.out, "Within the limit: the panel comes out ", 38), 0);
    cr_expect_not_null(strstr(got.out,
                              "Fence:     no check of it: taken as square, known "
                              "to 0.1 deg (common practice, no source)\n"));
    cr_expect_not_null(strstr(got.out,
                              "Spring joint: not computed: no species is "
                              "stated: write species in [panel] of job.ini, or a "
                              "column species in boards.csv.\n"));
    outcome_clear(&got);
}

Test(edges, a_crown_is_a_fault_that_clamps_cannot_cure)
{
    static const char dry[] = "joint,at_mm,show_gap_mm,other_gap_mm,u_mm\n"
                              "1,0,0.4,0.4,0.01\n1,500,0,0,0.01\n1,1000,0.4,0.4,0.01\n";
    char folder[64];
    struct outcome got = run_job(ini, boards_csv, dry, "", folder);

    cr_expect_eq(got.code, 1);
    cr_expect_eq(
        strncmp(got.out,
                "Open: laid together dry joint 1 (boards a and b) does not "
                "close, the largest gap is 0.4 mm. Next: crowned, a fault that "
                "clamps cannot cure: a pass off the middle of both edges until "
                "it touches at the ends.\n",
                strlen("Open: laid together dry joint 1")),
        0, "%s", got.out);
    cr_expect_not_null(
        strstr(got.out, "Next: crowned, a fault that clamps cannot cure"));
    outcome_clear(&got);
}

Test(edges, an_angle_that_opens_one_face_is_to_be_run_again)
{
    static const char dry[] = "joint,at_mm,show_gap_mm,other_gap_mm,u_mm\n"
                              "b|c,0,0.4,0,0.01\nb|c,500,0.4,0,0.01\n"
                              "b|c,1000,0.4,0,0.01\n";
    char folder[64];
    struct outcome got = run_job(ini, boards_csv, dry, "", folder);

    cr_expect_eq(got.code, 1);
    cr_expect_eq(strncmp(got.out,
                         "Open: laid together dry joint 2 (boards b and c) does not "
                         "close, the largest gap is 0.4 mm. Next: run both its edges "
                         "again, each with the face of its mark to the fence.\n",
                         150),
                 0, "%s", got.out);
    outcome_clear(&got);
}

Test(edges, a_pattern_against_the_rules_is_told_and_best_keeps_them)
{
    static const char ruled_csv[] = "board,width_mm,fence\na,100,out\nb,100,\nc,100,\n";
    char folder[64];
    struct outcome got = run_job(ini, ruled_csv, NULL, "--pattern 'same face'", folder);

    cr_expect_eq(got.code, 1);
    cr_expect_eq(
        strncmp(got.out, "Not as allowed: 2 edges of the pattern same face ", 48), 0,
        "%s", got.out);
    cr_expect_not_null(strstr(got.out, "  - a back: in: not the face asked for, which "
                                       "boards.csv does not allow\n"));
    outcome_clear(&got);
    got = run_job(ini, ruled_csv, NULL, "--pattern best", folder);
    cr_expect_eq(got.code, 0, "%s", got.out);
    cr_expect_not_null(strstr(got.out, "\n  a back: out"));
    outcome_clear(&got);
}

static void expect_fault(const char *boards, int code, const char *format)
{
    char folder[64], want[512];
    struct outcome got = run_job(ini, boards, NULL, "--pattern best", folder);

    snprintf(want, sizeof want, format, folder);
    cr_expect_eq(got.code, code);
    cr_expect_str_eq(got.out, "");
    cr_expect(strncmp(got.err, want, strlen(want)) == 0, "said\n%s\nnot\n%s", got.err,
              want);
    outcome_clear(&got);
}

Test(edges, what_it_cannot_plan_it_refuses_with_the_board)
{
    expect_fault(NULL, 65,
                 "benchtrue: %s: no boards are listed: write boards.csv, a row a board "
                 "from the back edge to the front, with its width and thickness\n");
    expect_fault("board,width_mm,grain,fence,against_grain\na,100,,,\n"
                 "b,100,left,in,no\n",
                 65, "benchtrue: %s: boards.csv:3: board b: ");
    expect_fault("board,width_mm\na,100\na,100\n", 65,
                 "boards.csv:3:1: a board twice: 'a' is line 2 of this file already\n");
    expect_fault("board,width_mm\na,0\n", 65, "boards.csv:2:3: width_mm must be more ");
}

Test(edges, where_no_plan_obeys_every_grain_the_board_and_its_rules_are_named)
{
    char folder[64];
    struct outcome got = run_job(ini,
                                 "board,width_mm,grain,fence\n"
                                 "a,100,left,out\nb,100,right,out\nc,100,,\n",
                                 NULL, "", folder);

    cr_expect_not_null(
        strstr(got.out,
               "  - no plan obeys every grain that is known: boards.csv:3: board b: "
               "two rules "
               "exclude each other: its back edge must be run out, and no edge "
               "may be fed against the grain, which asks for in\n"),
        "%s%s", got.out, got.err);
    outcome_clear(&got);
}

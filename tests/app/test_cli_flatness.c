/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `flatness`: what it prints for the sample, and how it ends. */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>
#include <fcntl.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "app/program.h"

static const struct conditions in_samples = {.folder = BT_SAMPLE_DIR};

static struct outcome run_in_samples(const char *args)
{
    return run_under(args, &in_samples);
}

/* The text of tests/app/expected/NAME, looked at by a human before it was kept. */
static char *expected(const char *name)
{
    char path[512], *text = calloc(1, 65536);
    int file;

    snprintf(path, sizeof path, "%s/app/expected/%s", BT_TESTS_DIR, name);
    file = open(path, O_RDONLY);
    cr_assert_geq(file, 0, "no %s", path);
    cr_assert_gt(read(file, text, 65535), 0);
    close(file);
    return text;
}

Test(flatness, prints_what_is_expected_for_the_samples)
{
    static const struct {
        const char *args, *file;
        int code;
    } rows[] = {
        {"flatness reading-room-table --set 'after glue-up'", "after-glue-up.txt", 1},
        {"flatness reading-room-table --set 'after glue-up' --details --units in",
         "after-glue-up-details-in.txt", 1},
        {"flatness reading-room-table", "after-a-light-pass.txt", 0},
        {"flatness readings-grid.csv", "readings-grid.txt", 0},
        {"check reading-room-table", "check.txt", 0},
        {"check readings-grid.csv", "check-grid.txt", 0},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outcome got = run_in_samples(rows[i].args);
        char *want = expected(rows[i].file);

        cr_expect_eq(got.code, rows[i].code, "%s gave %d", rows[i].args, got.code);
        cr_expect_str_eq(got.out, want, "%s printed\n%s\nnot\n%s", rows[i].args,
                         got.out, want);
        cr_expect_str_eq(got.err, "");
        outcome_clear(&got);
        free(want);
    }
}

/* The largest seed there is, and another: the same again, and other ends. */
Test(flatness, draws_as_often_and_from_the_seed_that_is_typed)
{
    static const char *const args[] = {
        "flatness readings-grid.csv --json --draws 150 --seed 18446744073709551615",
        "flatness readings-grid.csv --json --seed=18446744073709551615 --draws=150",
        "flatness readings-grid.csv --json --draws 150 --seed 1"};
    struct outcome got[3];

    for (int k = 0; k < 3; k++) {
        got[k] = run_in_samples(args[k]);
        cr_expect_eq(got[k].code, 0, "%s: %s", args[k], got[k].err);
        cr_expect_not_null(strstr(got[k].out, "\"draws\":\t150"), "%s", got[k].out);
    }
    cr_expect_str_eq(got[0].out, got[1].out);
    cr_expect_neq(strcmp(got[0].out, got[2].out), 0);
    for (int k = 0; k < 3; k++)
        outcome_clear(&got[k]);
}

/* The first set was made with cup 1.66 mm hollow, bow 0.34 mm crowned and twist 0.92 mm
 * with A and C high, the second with 0.58, 0.22 and 0.38; three times the stated u, and
 * 0.02 mm for the boards' own unevenness, which the figures do not model. */
Test(flatness, finds_the_shape_that_the_sample_was_made_from)
{
    static const struct {
        const char *set, *key;
        double value;
    } rows[] = {
        {"after glue-up", "cup_mm", -1.66},
        {"after glue-up", "bow_mm", 0.34},
        {"after glue-up", "twist_mm", 0.92},
        {"after a light pass", "cup_mm", -0.58},
        {"after a light pass", "bow_mm", 0.22},
        {"after a light pass", "twist_mm", 0.38},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char args[128];
        struct outcome got;
        const cJSON *figure;
        cJSON *root;
        double value, u;

        snprintf(args, sizeof args, "flatness reading-room-table --json --set '%s'",
                 rows[i].set);
        got = run_in_samples(args);
        root = cJSON_Parse(got.out);
        cr_assert_not_null(root, "%s", got.err);
        figure = cJSON_GetObjectItem(cJSON_GetObjectItem(root, "form"), rows[i].key);
        cr_assert_not_null(figure);
        value = cJSON_GetObjectItem(figure, "value")->valuedouble;
        u = cJSON_GetObjectItem(figure, "u")->valuedouble;
        cr_expect(fabs(value - rows[i].value) <= 3 * u + 0.02, "%s of %s is %g, u %g",
                  rows[i].key, rows[i].set, value, u);
        cJSON_Delete(root);
        outcome_clear(&got);
    }
}

Test(flatness, prints_one_json_object_and_nothing_else)
{
    struct outcome got = run_in_samples("flatness reading-room-table --json");
    cJSON *root = cJSON_ParseWithOpts(got.out, NULL, 1);

    cr_assert_not_null(root, "%s", got.out);
    cr_expect_str_eq(cJSON_GetObjectItem(root, "set")->valuestring,
                     "after a light pass");
    cr_expect_eq(cJSON_GetArraySize(cJSON_GetObjectItem(root, "heights")), 35);
    cr_expect_eq(got.code, 0);
    cr_expect_str_eq(got.err, "");
    cJSON_Delete(root);
    outcome_clear(&got);
}

Test(flatness, reports_all_sets_and_ends_with_the_worst)
{
    struct outcome got = run_in_samples("flatness reading-room-table --all --json");
    cJSON *root = cJSON_Parse(got.out);

    cr_assert_not_null(root);
    cr_expect_eq(cJSON_GetArraySize(cJSON_GetObjectItem(root, "sets")), 2);
    cr_expect_eq(got.code, 1);
    cJSON_Delete(root);
    outcome_clear(&got);
    got = run_in_samples("flatness reading-room-table --all");
    cr_expect_eq(got.code, 1);
    cr_expect_not_null(strstr(got.out, "Over the limit: "));
    cr_expect_not_null(strstr(got.out, "\nWithin every limit: "));
    cr_expect_null(strstr(got.out, "the latest of"));
    outcome_clear(&got);
}

Test(flatness, leaves_out_a_reading_that_is_named)
{
    struct outcome got =
        run_in_samples("flatness reading-room-table --set 'after glue-up' "
                       "--without after-glue-up.csv:7 --without "
                       "after-glue-up.csv:40");

    cr_expect_eq(got.code, 1);
    cr_expect_not_null(strstr(got.out, "Read:      72 gaps under a straightedge at "),
                       "%s", got.out);
    cr_expect_not_null(strstr(got.out, "; 2 left out as asked\n"), "%s", got.out);
    outcome_clear(&got);
    got = run_in_samples("flatness reading-room-table --set 'after glue-up' --without "
                         "after-glue-up.csv:3");
    cr_expect_eq(got.code, 64);
    cr_expect_str_eq(got.err,
                     "benchtrue: --without: no reading that is reported stands at "
                     "after-glue-up.csv:3\n");
    cr_expect_str_eq(got.out, "");
    outcome_clear(&got);
}

Test(flatness, takes_the_size_of_a_bare_file_from_the_command_line)
{
    struct outcome got = run_in_samples(
        "flatness readings-grid.csv --json --length 1600mm --width '25 in'");
    const cJSON *rectangle;
    cJSON *root = cJSON_Parse(got.out);

    cr_assert_not_null(root, "%s", got.err);
    rectangle = cJSON_GetObjectItem(cJSON_GetObjectItem(root, "form"), "rectangle_mm");
    cr_expect_eq(cJSON_GetArrayItem(rectangle, 2)->valuedouble, 1600);
    cr_expect(fabs(cJSON_GetArrayItem(rectangle, 3)->valuedouble - 635) <= 1e-9);
    cJSON_Delete(root);
    outcome_clear(&got);
    got = run_in_samples("flatness reading-room-table --length 1600mm");
    cr_expect_eq(got.code, 64);
    cr_expect_str_eq(got.err, "benchtrue: --length and --width are for a bare file of "
                              "readings; this job states its size in job.ini\n");
    outcome_clear(&got);
}

Test(flatness, is_coloured_only_on_a_terminal_and_not_where_no_color_is_set)
{
    static const char args[] = "flatness reading-room-table";
    struct conditions terminal = {.folder = BT_SAMPLE_DIR, .terminal = true};
    struct outcome got = run_in_samples(args);

    cr_expect_null(strchr(got.out, '\x1b'));
    outcome_clear(&got);
    got = run_under(args, &terminal);
    cr_expect(strncmp(got.out, "\x1b[1;32mWithin every limit\x1b[0m: ", 30) == 0, "%s",
              got.out);
    outcome_clear(&got);
    terminal.no_color = true;
    got = run_under(args, &terminal);
    cr_expect_null(strchr(got.out, '\x1b'));
    cr_expect(strncmp(got.out, "Within every limit: ", 20) == 0);
    outcome_clear(&got);
}

Test(flatness, says_that_stdout_is_full)
{
    struct conditions full = {.folder = BT_SAMPLE_DIR, .stdout_to = "/dev/full"};
    static const char *const args[] = {
        "flatness reading-room-table --set 'after glue-up'",
        "flatness reading-room-table --json", "check reading-room-table"};

    for (size_t i = 0; i < sizeof args / sizeof *args; i++) {
        struct outcome got = run_under(args[i], &full);

        cr_expect_eq(got.code, 74, "%s", args[i]);
        cr_expect_str_eq(got.err,
                         "benchtrue: the result cannot be written: No space left "
                         "on device\n");
        outcome_clear(&got);
    }
}

static const char two_places[] = "x_mm,y_mm,height_mm\n0,0,1\n900,0,1\n";

/* A job with a limit, and the readings that are given. */
static void put_job(const char *folder, const char *readings)
{
    put_file(folder, "job.ini",
             "[job]\nunits = mm\n[panel]\nlength = 900 mm\nwidth = 400 mm\n[limits]\n"
             "twist = 0.5 mm\n[readings r]\nfiles = r.csv\n");
    put_file(folder, "lines.csv",
             "line,from,to\nb,A,B\nr,B,C\nf,C,D\nl,D,A\np,A,C\nq,B,D\n");
    put_file(folder, "r.csv", readings);
}

static void expect_job(const char *readings, int code, const char *begins)
{
    char room[64], args[128];
    const char *folder = new_folder(room);
    struct outcome got;

    put_job(folder, readings);
    snprintf(args, sizeof args, "flatness %s", folder);
    got = run(args);
    cr_expect_eq(got.code, code, "%d: %s", got.code, got.err);
    cr_expect(strncmp(got.out, begins, strlen(begins)) == 0, "%s", got.out);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(flatness, ends_with_0_1_or_2_as_the_verdict_says)
{
    expect_job(
        "x_mm,y_mm,height_mm,u_mm\n0,0,0,0.02\n900,0,0,0.02\n900,400,0.1,0.02\n"
        "0,400,0,0.02\n450,0,0,0.02\n450,400,0,0.02\n450,200,0,0.02\n0,200,0,0.02\n"
        "900,200,0,0.02\n",
        0, "Within every limit: ");
    expect_job("x_mm,y_mm,height_mm,u_mm\n0,0,0,0.02\n900,0,0,0.02\n900,400,2,0.02\n"
               "0,400,0,0.02\n450,0,0,0.02\n450,400,1,0.02\n450,200,0.5,0.02\n0,200,0,"
               "0.02\n900,200,1,0.02\n",
               1, "Over the limit: twist 2.00 mm (A and C high), limit 0.5 mm. ");
    expect_job("x_mm,y_mm,height_mm,u_mm\n0,0,0,0.3\n900,0,0,0.3\n900,400,0.5,0.3\n"
               "0,400,0,0.3\n450,0,0,0.3\n450,400,0.25,0.3\n450,200,0.125,0.3\n0,200,0,"
               "0.3\n900,200,0.25,0.3\n",
               2, "Too close to call: twist ");
    /* Four edges alone: every corner may be lifted, the readings stay the same. */
    expect_job(
        "line,at_mm,gap_mm\nb,0,0\nb,450,0.1\nb,900,0\nr,0,0\nr,200,0.1\nr,400,0\n"
        "f,0,0\nf,450,0.1\nf,900,0\nl,0,0\nl,200,0.1\nl,400,0\n",
        2,
        "Not seen: twist cannot be told from these readings. Next: read both "
        "diagonals, from A to C and from B to D, with the place where they cross.\n");
}

Test(flatness, computes_nothing_from_a_file_with_a_fault)
{
    char room[64], args[128];
    const char *folder = new_folder(room);
    struct outcome got;

    put_job(folder, "x_mm,y_mm,height_mm\n0,0,1\n900,0,5abc\n");
    snprintf(args, sizeof args, "flatness %s", folder);
    got = run(args);
    cr_expect_eq(got.code, 65);
    cr_expect_str_eq(got.out, "");
    cr_expect(strncmp(got.err, "r.csv:3:", 8) == 0, "%s", got.err);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(flatness, lists_twenty_faults_of_a_file_and_counts_the_rest)
{
    char room[64], args[128], rows[2048] = "x_mm,y_mm,height_mm\n";
    const char *folder = new_folder(room);
    struct outcome got;
    size_t lines = 0;

    for (int i = 0; i < 33; i++)
        strcat(rows, "0,0,abc\n");
    put_job(folder, rows);
    snprintf(args, sizeof args, "flatness %s", folder);
    got = run(args);
    cr_expect_eq(got.code, 65);
    for (const char *c = got.err; *c; c++)
        lines += *c == '\n';
    cr_expect_eq(lines, 21);
    cr_expect_not_null(strstr(got.err, "\nr.csv: and 13 more\n"), "%s", got.err);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(flatness, says_so_where_the_readings_make_no_surface)
{
    char room[64], args[128], err[256];
    const char *folder = new_folder(room);

    put_file(folder, "two.csv", two_places);
    snprintf(args, sizeof args, "flatness %s/two.csv", folder);
    snprintf(err, sizeof err, "benchtrue: %s/two.csv: ", folder);
    {
        struct outcome got = run(args);

        cr_expect_eq(got.code, 65, "%s", got.err);
        cr_expect(strncmp(got.err, err, strlen(err)) == 0, "%s", got.err);
        cr_expect_str_eq(got.out, "");
        outcome_clear(&got);
    }
    remove_folder(folder);
}

Test(flatness, ends_with_66_where_there_is_nothing_to_read)
{
    char room[64], args[128], err[192];
    const char *folder = new_folder(room);
    struct conditions nobody = {.nobody = true};
    struct outcome got;

    expect_run("flatness /tmp/benchtrue_none", 66, "",
               "/tmp/benchtrue_none: there is no such file or folder\n");
    snprintf(err, sizeof err,
             "%s/job.ini: there is no such file: `benchtrue new DIR` writes one to "
             "fill in\n",
             folder);
    snprintf(args, sizeof args, "flatness %s", folder);
    expect_run(args, 66, "", err);
    snprintf(args, sizeof args, "check %s/", folder);
    expect_run(args, 66, "", err);
    put_job(folder, two_places);
    cr_assert_eq(chmod(folder, 0755), 0);
    snprintf(args, sizeof args, "%s/r.csv", folder);
    cr_assert_eq(chmod(args, 0), 0);
    snprintf(args, sizeof args, "flatness %s", folder);
    got = run_under(args, &nobody);
    cr_expect_eq(got.code, 66, "%s", got.err);
    cr_expect_not_null(strstr(got.err, "r.csv: may not be read: permission denied\n"),
                       "%s", got.err);
    cr_expect_str_eq(got.out, "");
    outcome_clear(&got);
    remove_folder(folder);
}

Test(flatness, names_the_sets_there_are_for_one_that_is_not)
{
    struct outcome got =
        run_in_samples("flatness reading-room-table --set 'after glueup'");

    cr_expect_eq(got.code, 65);
    cr_expect_not_null(strstr(got.err, "--set: no such set: 'after glueup'"), "%s",
                       got.err);
    cr_expect_not_null(strstr(got.err, "after glue-up"), "%s", got.err);
    outcome_clear(&got);
}

/* What a fresh reader of the program met with ten pencilled readings. */

static void expect_says(const char *readings, const char *const says[])
{
    char room[64], args[128];
    const char *folder = new_folder(room);
    struct outcome got;

    put_job(folder, readings);
    snprintf(args, sizeof args, "flatness %s", folder);
    got = run(args);
    for (size_t i = 0; says[i]; i++)
        cr_expect_not_null(strstr(got.out, says[i]), "no '%s' in:\n%s", says[i],
                           got.out);
    outcome_clear(&got);
    remove_folder(folder);
}

#define EDGES                                                                          \
    "line,at_mm,gap_mm\nb,0,0\nb,450,0.1\nb,900,0\nr,0,0\nr,200,0.1\nr,400,0\n"        \
    "f,0,0\nf,450,0.1\nf,900,0\n"

Test(flatness, names_the_other_diagonal_after_four_edges_and_one)
{
    static const char *const says[] = {
        "Next: read a line from A to C, over places that other readings touch too.\n",
        NULL};

    expect_says(EDGES "l,0,0\nl,200,0.1\nl,400,0\nq,0,0\nq,492.4,0.2\nq,984.8,0\n",
                says);
}

Test(flatness, names_the_blank_end_that_leaves_a_line_loose)
{
    static const char *const says[] = {
        "Next: 2 readings are not used, because their lines do not hang together with "
        "the others; l has no 0 at corner D (r.csv:11): if the edge touched there, "
        "write 0.\n",
        "  - r.csv:12 to 13: these readings hang loose from the rest and say nothing "
        "of "
        "the panel.",
        "  - l has no 0 at corner D (r.csv:11): if the edge touched there, write 0.\n",
        NULL};

    expect_says(EDGES "l,0,\nl,200,0.1\nl,400,0\np,0,0\np,492.4,0.2\np,984.8,0\n"
                      "q,0,0\nq,492.4,0.2\nq,984.8,0\n",
                says);
}

Test(flatness, tells_the_reading_of_a_line_read_at_one_place)
{
    static const char *const says[] = {
        "  - r.csv:12: left out, because its line or set-up was read at one place "
        "only.\n",
        "  - l has no 0 at corner D (r.csv:11) or corner A (r.csv:13): if the edge "
        "touched there, write 0.\n",
        NULL};

    expect_says(EDGES "l,0,\nl,200,0.1\nl,400,\np,0,0\np,492.4,0.2\np,984.8,0\n"
                      "q,0,0\nq,492.4,0.2\nq,984.8,0\n",
                says);
}

Test(flatness, says_beside_a_clear_verdict_that_nothing_checks_the_readings)
{
    static const char *const says[] = {
        "Within every limit: ",
        "Next: if no reading is wrong, nothing to do; to be sure, read one more line "
        "across the others, for none of these readings checks another.\n",
        NULL};

    expect_says(EDGES "l,0,0\nl,200,0.1\nl,400,0\np,0,0\np,492.4,0.02\np,984.8,0\n"
                      "q,0,0\nq,492.4,0.02\nq,984.8,0\n",
                says);
}

/* One end hollow by more than the cup limit, the panel as a whole within it. */
Test(flatness, points_at_a_gap_that_the_cup_of_the_whole_panel_hides)
{
    char room[64], args[128];
    const char *folder = new_folder(room);
    struct outcome got;

    put_job(folder,
            "line,at,gap\nb,0,0\nb,450,0.1\nb,900,0\nr,0,0\nr,125,0.1\nr,250,0\n"
            "f,0,0\nf,450,0.1\nf,900,0\nl,0,0\nl,125,1.5\nl,250,0\np,0,0\n"
            "p,467,0.02\np,934,0\nq,0,0\nq,467,0.02\nq,934,0\n");
    put_file(folder, "job.ini",
             "[job]\nunits = mm\n[panel]\nlength = 900\nwidth = 250\n[limits]\n"
             "cup = 1 mm\n[readings r]\nfiles = r.csv\n");
    snprintf(args, sizeof args, "flatness %s", folder);
    got = run(args);
    cr_expect_eq(got.code, 0, "%d", got.code);
    cr_expect_not_null(strstr(got.out,
                              "Next: look at the gap of 1.500 mm across at x 0 mm, "
                              "y 125 mm: it is more than the limit for cup, "
                              "which holds for the panel as a whole.\n"),
                       "%s", got.out);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(flatness, judges_a_bare_file_by_the_limits_of_a_use)
{
    char room[64], args[160];
    const char *folder = new_folder(room);
    struct outcome got;

    put_file(folder, "r.csv",
             "x_mm,y_mm,height_mm\n0,0,0\n450,0,0\n900,0,0\n0,200,-1.7\n450,200,-1.7\n"
             "900,200,-1.7\n0,400,0\n450,400,0\n900,400,0\n");
    snprintf(args, sizeof args, "flatness %s/r.csv --use seat", folder);
    got = run(args);
    cr_expect_eq(got.code, 1, "%d: %s", got.code, got.err);
    cr_expect(strncmp(got.out,
                      "Over the limit: hollow 1.70 mm across the width (cup), "
                      "limit 1.5 mm. ",
                      69) == 0,
              "%s", got.out);
    outcome_clear(&got);
    snprintf(args, sizeof args, "flatness %s/r.csv --use sofa", folder);
    expect_run(
        args, 64, "",
        "benchtrue: --use: unknown use: 'sofa', write one of table top, bench top, "
        "counter, seat, shelf, door, or leave it out and state limits of your own "
        "in job.ini\n");
    expect_run("flatness '" BT_SAMPLE_DIR "/reading-room-table' --use seat", 64, "",
               "benchtrue: --use is for a bare file of readings; this job states its "
               "limits in job.ini\n");
    remove_folder(folder);
}

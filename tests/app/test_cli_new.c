/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `new`: the files of a job. */
#include <criterion/criterion.h>

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "app/program.h"

static bool exists(const char *folder, const char *name)
{
    struct stat s;
    char path[256];

    snprintf(path, sizeof path, "%s/%s", folder, name);
    return stat(path, &s) == 0;
}

Test(new, writes_a_job_that_check_accepts_as_it_is)
{
    char room[64], args[256];
    const char *folder = new_folder(room);
    struct outcome got;

    snprintf(
        args, sizeof args,
        "new %s/job --length 1500mm --width 750mm --thickness 27mm --use 'table top'",
        folder);
    got = run(args);
    cr_expect_eq(got.code, 0, "%s", got.err);
    cr_expect_str_eq(got.err, "");
    cr_expect_not_null(strstr(got.out, "/job: job.ini, boards.csv, lines.csv, "
                                       "readings.csv.\nNext: fill in the gaps in "
                                       "readings.csv, then: benchtrue flatness "));
    cr_expect_null(strstr(got.out, "EXAMPLE"));
    outcome_clear(&got);
    snprintf(args, sizeof args, "check %s/job", folder);
    got = run(args);
    cr_expect_eq(got.code, 0, "%s", got.err);
    cr_expect_str_eq(got.err, "");
    cr_expect_not_null(
        strstr(got.out, "Panel:     1500 mm long, 750 mm wide, 27 mm thick"), "%s",
        got.out);
    cr_expect_not_null(strstr(got.out, "nothing read yet; 40 left blank"), "%s",
                       got.out);
    outcome_clear(&got);
    remove_folder(folder);
}

/* Put the same gap into every blank of readings.csv: a flat panel. */
static void fill_gaps(const char *folder)
{
    char path[256], text[8192] = "", filled[8192] = "", *from = text, *blank;
    FILE *file;

    snprintf(path, sizeof path, "%s/readings.csv", folder);
    file = fopen(path, "r");
    cr_assert_not_null(file);
    cr_assert_gt(fread(text, 1, sizeof text - 1, file), 0);
    fclose(file);
    for (; (blank = strstr(from, ",,")); from = blank + 1) {
        strncat(filled, from, (size_t)(blank - from));
        strcat(filled, ",0.10..0.12");
    }
    put_file(folder, "readings.csv", strcat(filled, from));
}

Test(new, asks_for_the_readings_that_show_bow_cup_and_twist)
{
    char room[64], args[256];
    const char *folder = new_folder(room);
    struct outcome got;

    snprintf(args, sizeof args, "new %s --length 1500mm --width 750mm --use counter",
             folder);
    expect_run(args, 0, NULL, "");
    fill_gaps(folder);
    snprintf(args, sizeof args, "flatness %s", folder);
    got = run(args);
    cr_expect_eq(got.code, 0, "%s%s", got.out, got.err);
    cr_expect(strncmp(got.out, "Within every limit: ", 20) == 0, "%s", got.out);
    cr_expect_not_null(strstr(got.out, "Read:      40 gaps under a straightedge at 25 "
                                       "places\n"),
                       "%s", got.out);
    cr_expect_null(strstr(got.out, "not seen"), "%s", got.out);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(new, gives_an_example_size_and_says_so_where_none_is_stated)
{
    char room[64], args[256];
    const char *folder = new_folder(room);
    struct outcome got;

    snprintf(args, sizeof args, "new %s", folder);
    got = run(args);
    cr_expect_eq(got.code, 0, "%s", got.err);
    cr_expect_not_null(strstr(got.out, "The size in job.ini is an EXAMPLE"));
    cr_expect(exists(folder, "job.ini"));
    outcome_clear(&got);
    snprintf(args, sizeof args, "check %s/job.ini", folder);
    expect_run(args, 0, NULL, "");
    remove_folder(folder);
}

Test(new, works_in_the_folder_where_it_is_called)
{
    char room[64];
    const char *folder = new_folder(room);
    struct conditions here = {.folder = folder};
    struct outcome got = run_under("new .", &here);

    cr_expect_eq(got.code, 0, "%s", got.err);
    cr_expect(exists(folder, "readings.csv"));
    outcome_clear(&got);
    remove_folder(folder);
}

Test(new, takes_inches_from_how_the_length_was_typed)
{
    char room[64], args[256];
    const char *folder = new_folder(room);
    struct outcome got;

    snprintf(args, sizeof args, "new %s --length '61 1/2 in' --width '15 3/4\"'",
             folder);
    expect_run(args, 0, NULL, "");
    snprintf(args, sizeof args, "check %s", folder);
    got = run(args);
    cr_expect_eq(got.code, 0, "%s", got.err);
    cr_expect_not_null(strstr(got.out, "Panel:     61 1/2 in long, 15 3/4 in wide\n"),
                       "%s", got.out);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(new, touches_nothing_in_a_folder_that_holds_something)
{
    char room[64], args[256], err[256];
    const char *folder = new_folder(room);

    put_file(folder, "notes.txt", "mine");
    snprintf(args, sizeof args, "new %s", folder);
    snprintf(err, sizeof err,
             "benchtrue: %s: is not empty, and nothing in it is touched; name a new "
             "folder\n",
             folder);
    expect_run(args, 73, "", err);
    cr_expect_not(exists(folder, "job.ini"));
    cr_expect(exists(folder, "notes.txt"));
    remove_folder(folder);
}

Test(new, says_why_a_folder_cannot_be_made)
{
    expect_run("new /tmp/benchtrue_none/x", 73, "",
               "benchtrue: /tmp/benchtrue_none/x: cannot be created: No such file or "
               "directory\n");
}

Test(new, leaves_nothing_where_it_has_no_permission)
{
    char room[64], args[256];
    const char *folder = new_folder(room);
    struct conditions nobody = {.nobody = true};
    struct outcome got;

    cr_assert_eq(chmod(folder, 0555), 0);
    snprintf(args, sizeof args, "new %s/job", folder);
    got = run_under(args, &nobody);
    cr_expect_eq(got.code, 73, "%s", got.err);
    cr_expect_not_null(strstr(got.err, "/job: cannot be created: Permission denied\n"),
                       "%s", got.err);
    cr_expect_str_eq(got.out, "");
    cr_expect_not(exists(folder, "job"));
    outcome_clear(&got);
    /* The folder is there and empty, but nothing may be written into it. */
    snprintf(args, sizeof args, "new %s", folder);
    got = run_under(args, &nobody);
    cr_expect_eq(got.code, 73, "%s", got.err);
    cr_expect_not(exists(folder, "job.ini"));
    cr_expect_not(exists(folder, "job.ini.part"));
    outcome_clear(&got);
    remove_folder(folder);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `report`: the file it writes, and how it ends. */
#include <criterion/criterion.h>

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "app/program.h"

static const struct conditions in_samples = {.folder = BT_SAMPLE_DIR};

enum { ROOM = 1 << 22 };

/* A file's text; to be freed. */
static char *text_of(const char *path)
{
    char *text = calloc(1, ROOM);
    int file = open(path, O_RDONLY);
    ssize_t got, n = 0;

    cr_assert_not_null(text);
    cr_assert_geq(file, 0, "%s", path);
    while ((got = read(file, text + n, (size_t)(ROOM - 1 - n))) > 0)
        n += got;
    close(file);
    return text;
}

static char *report_of(const char *job)
{
    char folder[64], args[200], path[100], *text;
    struct outcome got;

    new_folder(folder);
    snprintf(path, sizeof path, "%s/r.html", folder);
    snprintf(args, sizeof args, "report %s -o %s", job, path);
    got = run_under(args, &in_samples);
    cr_assert_eq(got.code, 0, "%s", got.err);
    cr_expect_eq(strncmp(got.out, "Written: ", 9), 0, "%s", got.out);
    cr_expect_str_eq(got.err, "");
    outcome_clear(&got);
    text = text_of(path);
    remove_folder(folder);
    return text;
}

Test(report, tells_every_stage_that_the_sample_reaches)
{
    static const char *const parts[] = {
        "<h1>Ash top for the reading-room table</h1>",
        "<h2>What is being made</h2>",
        "<td>1500 mm along the grain, 750 mm across, 27 mm thick</td>",
        "<h2>In short</h2>",
        "<td>Through the year</td>",
        "<h2>The rough stock</h2>",
        "<td>cut and ripped first</td>",
        "<h2>Is it flat</h2>",
        "<p class=\"verdict\">Within every limit: hollow 0.575 mm",
        "<h2>What to do</h2>",
        "<td>leave it</td>",
        "<h2>Does it still move</h2>",
        "<h2>The jointer's fence</h2>",
        "<h2>The edges</h2>",
        "<td>1 back: ",
        "<h2>The glue-up</h2>",
        "<h2>Where the joints fall</h2>",
        "<h2>Through the year</h2>",
        "<td>slot, front left</td>",
        "<h2>Cautions</h2>",
        "<h2>How it was reckoned</h2>",
        "Limit of twist for the use table top: common practice, no source.",
        "job.ini  SHA-256 ",
        "after-light-pass.csv  SHA-256 ",
    };
    char *text = report_of("reading-room-table");
    size_t figures = 0;

    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        cr_expect_not_null(strstr(text, parts[i]), "no %s", parts[i]);
    for (const char *at = text; (at = strstr(at, "<figure>")); at++)
        figures++;
    cr_expect_eq(figures, 7, "%zu", figures);
    free(text);
}

Test(report, tells_how_the_piece_is_cut_for_its_opening)
{
    char *text = report_of("oak-window-seat");

    cr_expect_not_null(strstr(text, "<h2>The space that it goes into</h2>"));
    cr_expect_not_null(strstr(text, "<p>Cuts, in this order:</p><ul><li>back edge: "));
    cr_expect_not_null(strstr(text, "The panel has not been read yet"));
    free(text);
}

/* A summary stands before the stages that it sums up. */
Test(report, begins_with_what_every_stage_says)
{
    char *text = report_of("reading-room-table");
    const char *summary = strstr(text, "<h2>In short</h2>");
    const char *stock = strstr(text, "<h2>The rough stock</h2>");

    cr_assert_not_null(summary);
    cr_assert_not_null(stock);
    cr_expect_lt(summary, stock);
    free(text);
}

Test(report, says_what_it_cannot_answer_and_why)
{
    char folder[64], args[200], path[100], *text;
    struct outcome got;

    new_folder(folder);
    put_file(folder, "job.ini",
             "[job]\ntitle = Shelf\nunits = mm\n[panel]\n"
             "length = 900\nwidth = 280\n");
    put_file(folder, "boards.csv", "board,width_mm\n1,140\n2,140\n");
    snprintf(path, sizeof path, "%s/r.html", folder);
    snprintf(args, sizeof args, "report %s -o %s", folder, path);
    got = run(args);
    cr_assert_eq(got.code, 0, "%s", got.err);
    text = text_of(path);
    cr_expect_not_null(strstr(text, "The panel has not been read yet"));
    cr_expect_not_null(strstr(text, "<h2>The edges</h2><p>Not answered: "));
    free(text);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(report, an_opening_that_cannot_be_is_told_first_and_nothing_rests_on_it)
{
    char folder[64], args[200], path[100], *text;
    struct outcome got;

    new_folder(folder);
    put_file(folder, "job.ini",
             "[job]\ntitle = Seat\nunits = mm\n[panel]\nlength = 1500\nwidth = 450\n"
             "species = white oak\n[climate]\ndriest = 6 %\ndampest = 12 %\n");
    put_file(folder, "opening.csv",
             "kind,where,reading_mm\nside,back,1500\n"
             "side,left,400\nside,right,400\nside,front,1500\n"
             "diagonal,AC,2600\n");
    snprintf(path, sizeof path, "%s/r.html", folder);
    snprintf(args, sizeof args, "report %s -o %s", folder, path);
    got = run(args);
    cr_assert_eq(got.code, 0, "%s", got.err);
    text = text_of(path);
    cr_expect_not_null(
        strstr(text, "<td>The space that it goes into</td><td>Not answered: "));
    cr_expect_null(strstr(text, "<h2>Through the year</h2>"));
    free(text);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(report, refuses_with_status_and_message)
{
    static const struct {
        const char *args, *err;
        int code;
    } rows[] = {
        {"report cherry-shelf",
         "benchtrue: report needs the file to write: -o FILE.html or .pdf\n", 64},
        {"report cherry-shelf -o a.png",
         "benchtrue: -o: a report is HTML or PDF: 'a.png' ends in neither .html nor "
         ".pdf\n",
         64},
        {"report cherry-shelf -o a.pdf --paper a3",
         "benchtrue: --paper: no such paper: 'a3', there are a4 and letter\n", 64},
        {"report cherry-shelf -o nowhere/a.html", NULL, 73},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outcome got = run_under(rows[i].args, &in_samples);

        cr_expect_eq(got.code, rows[i].code, "%s gave %d", rows[i].args, got.code);
        cr_expect_str_eq(got.out, "");
        if (rows[i].err)
            cr_expect_str_eq(got.err, rows[i].err);
        outcome_clear(&got);
    }
}

Test(cli_report, a_folder_that_is_no_job_is_told_before_the_missing_file_to_write)
{
    char folder[64], args[128];
    const char *const verbs[] = {"report", "sheet"};

    new_folder(folder);
    for (size_t i = 0; i < 2; i++) {
        struct outcome got;

        snprintf(args, sizeof args, "%s %s", verbs[i], folder);
        got = run(args);
        cr_expect_not_null(strstr(got.err, "job.ini: there is no such file: `benchtrue "
                                           "new DIR` writes one"),
                           "%s", got.err);
        cr_expect_null(strstr(got.err, "-o"), "%s", got.err);
        outcome_clear(&got);
    }
    remove_folder(folder);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */

/* What one who reads a panel for the first time does wrong, and what the program says
 * of it; an oak window seat as `new` lays it out. */
#include <criterion/criterion.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "app/program.h"

enum { ROOM = 16384 };

/* A row of readings.csv by its beginning, and what is written into its empty gap. */
struct fill {
    const char *row, *gap;
};

static const struct fill diagonals[] = {
    {"diagonal A-C,0,", "0"},
    {"diagonal A-C,31 47/64,", "0.055"},
    {"diagonal A-C,63 31/64,", "0"},
    {"diagonal B-D,0,", "0"},
    {"diagonal B-D,31 47/64,", "0.044"},
    {"diagonal B-D,63 31/64,", "0"},
};

static const struct fill centres[] = {
    {"centre across,0,", "0"},         {"centre across,7 7/8,", "0.012"},
    {"centre across,15 3/4,", "0"},    {"centre along,0,", "0"},
    {"centre along,15 3/8,", "0.006"}, {"centre along,30 3/4,", "0.008..0.010"},
    {"centre along,46 1/8,", "0.006"}, {"centre along,61 1/2,", "0"},
};

static const struct fill edges[] = {
    {"back edge,0,", "0"},           {"back edge,30 3/4,", "0.030"},
    {"back edge,61 1/2,", "0"},      {"front edge,0,", "0"},
    {"front edge,30 3/4,", "0.028"}, {"front edge,61 1/2,", "0"},
};

/* Gaps alone, without the zeros where the edge touched. */
static const struct fill no_zeros[] = {
    {"diagonal A-C,31 47/64,", "0.055"}, {"diagonal B-D,31 47/64,", "0.044"},
    {"back edge,15 3/8,", "0.02"},       {"back edge,30 3/4,", "0.030"},
    {"back edge,46 1/8,", "0.02"},       {"front edge,15 3/8,", "0.02"},
    {"front edge,30 3/4,", "0.028"},     {"front edge,46 1/8,", "0.02"},
    {"centre across,7 7/8,", "0.012"},   {"centre along,30 3/4,", "0.01"},
};

enum { DIAGONALS = 6, CENTRES = 8, EDGES = 6, NO_ZEROS = 10 };

struct seat {
    char folder[64];
    char text[ROOM]; /* of readings.csv */
};

static void read_file(const char *folder, const char *name, char text[ROOM])
{
    char path[256];
    FILE *file;
    size_t n;

    snprintf(path, sizeof path, "%s/%s", folder, name);
    file = fopen(path, "r");
    cr_assert_not_null(file, "%s", path);
    n = fread(text, 1, ROOM - 1, file);
    text[n] = '\0';
    fclose(file);
}

static void make_seat(struct seat *s)
{
    char args[256];

    new_folder(s->folder);
    snprintf(args, sizeof args,
             "new %s --length '61 1/2 in' --width '15 3/4 in' --thickness '1 1/4 in' "
             "--use seat --units in",
             s->folder);
    expect_run(args, 0, NULL, "");
    read_file(s->folder, "readings.csv", s->text);
}

static void write_gaps(struct seat *s, size_t n, const struct fill fill[])
{
    for (size_t i = 0; i < n; i++) {
        char *row = strstr(s->text, fill[i].row), rest[ROOM];

        cr_assert_not_null(row, "no row %s", fill[i].row);
        row += strlen(fill[i].row);
        strcpy(rest, row);
        strcpy(row, fill[i].gap);
        strcat(row, rest);
    }
    put_file(s->folder, "readings.csv", s->text);
}

static struct outcome run_on(const struct seat *s, const char *verb)
{
    char args[256];

    snprintf(args, sizeof args, "%s %s", verb, s->folder);
    return run(args);
}

static void expect_says(const struct outcome *got, bool says, const char *what)
{
    cr_expect((strstr(got->out, what) != NULL) == says, "%s: %s\n%s%s",
              says ? "missing" : "there", what, got->out, got->err);
}

/* ---- zeros ---- */

Test(slips, no_zero_is_asked_for_on_lines_that_touch_at_both_ends)
{
    struct seat s;
    struct outcome got;

    make_seat(&s);
    write_gaps(&s, DIAGONALS, diagonals);
    write_gaps(&s, CENTRES, centres);
    for (int k = 0; k < 2; k++) {
        if (k)
            write_gaps(&s, EDGES, edges);
        got = run_on(&s, "flatness");
        expect_says(&got, false, "write 0");
        outcome_clear(&got);
        got = run_on(&s, "check");
        expect_says(&got, false, "has no 0");
        outcome_clear(&got);
    }
    remove_folder(s.folder);
}

Test(slips, a_line_of_gaps_without_the_zeros_at_its_ends_is_told_where_they_miss)
{
    struct seat s;
    struct outcome got;

    make_seat(&s);
    write_gaps(&s, NO_ZEROS, no_zeros);
    got = run_on(&s, "flatness");
    cr_expect_eq(got.code, 2);
    expect_says(
        &got, true,
        "cannot be told from these readings. Next: back edge has no 0 at corner "
        "A (readings.csv:6) or corner B (readings.csv:10): if the edge touched "
        "there, write 0");
    expect_says(&got, true,
                "  - diagonal A-C has no 0 at corner A (readings.csv:26) or corner C "
                "(readings.csv:30): if the edge touched there, write 0.\n");
    expect_says(&got, true, "  - centre along has no 0 at 0 in (readings.csv:41) or ");
    expect_says(&got, false, "right end has no 0");
    outcome_clear(&got);
    got = run_on(&s, "check");
    expect_says(
        &got, true,
        "readings.csv:26: line 'diagonal A-C' has no 0 at corner A: if the edge "
        "touched there, write 0\n");
    expect_says(&got, true,
                "readings.csv:45: line 'centre along' has no 0 at 61 1/2 in");
    expect_says(&got, false, "line 'right end'");
    outcome_clear(&got);
    remove_folder(s.folder);
}

Test(slips, a_crown_that_touches_in_its_middle_wants_no_zero_at_its_ends)
{
    static const struct fill crown[] = {{"back edge,15 3/8,", "0.002"},
                                        {"back edge,30 3/4,", "0"},
                                        {"back edge,46 1/8,", "0.004"}};
    struct seat s;
    struct outcome got;

    make_seat(&s);
    write_gaps(&s, 3, crown);
    got = run_on(&s, "check");
    expect_says(&got, true, "3 gaps");
    expect_says(&got, false, "has no 0");
    outcome_clear(&got);
    remove_folder(s.folder);
}

/* The centre along crosses what the rest reads in its middle alone: what ties it is the
 * left end with its middle, and then every reading counts. */
Test(slips, a_line_that_crosses_the_others_once_says_what_would_make_it_count)
{
    static const struct fill left_end[] = {
        {"left end,0,", "0"}, {"left end,7 7/8,", "0.010"}, {"left end,15 3/4,", "0"}};
    struct seat s;
    struct outcome got;

    make_seat(&s);
    write_gaps(&s, DIAGONALS, diagonals);
    write_gaps(&s, CENTRES, centres);
    write_gaps(&s, EDGES, edges);
    got = run_on(&s, "flatness");
    expect_says(
        &got, true,
        "  - readings.csv:41 to 45: these readings cross the others at one place "
        "only, and do not count so far: read another line over x 0 in, y 7 7/8 "
        "in, and they count.\n");
    outcome_clear(&got);
    write_gaps(&s, 3, left_end);
    got = run_on(&s, "flatness");
    expect_says(&got, false, "do not count so far");
    expect_says(&got, false, "hang loose");
    outcome_clear(&got);
    remove_folder(s.folder);
}

/* ---- readings that contradict each other ---- */

Test(slips, readings_that_disagree_are_not_judged_within)
{
    static const char first[] = "Cannot be trusted yet: the readings disagree";
    struct seat s;
    struct outcome got;

    make_seat(&s);
    write_gaps(&s, DIAGONALS, diagonals);
    write_gaps(&s, CENTRES, centres);
    write_gaps(&s, EDGES, edges);
    got = run_on(&s, "flatness");
    cr_expect_eq(got.code, 2, "%d", got.code);
    cr_expect(strncmp(got.out, first, strlen(first)) == 0, "%s", got.out);
    expect_says(&got, true, "Next: check the reading at readings.csv:");
    expect_says(&got, true, "What to do\n  - readings.csv:6 is suspect");
    outcome_clear(&got);
    remove_folder(s.folder);
}

/* ---- what is said, and where ---- */

Test(slips, lines_that_were_not_begun_are_not_called_left_blank)
{
    static const struct fill part[] = {{"centre across,3 15/16,", "0.009"}};
    struct seat s;
    struct outcome got;
    const char *blank, *last;

    make_seat(&s);
    write_gaps(&s, DIAGONALS, diagonals);
    write_gaps(&s, CENTRES, centres);
    got = run_on(&s, "flatness");
    expect_says(&got, false, "back edge at 0 in");
    expect_says(&got, false, "How it lay is not stated");
    expect_says(&got, true, "Weight:    how it lay is not stated");
    outcome_clear(&got);
    write_gaps(&s, 1, part);
    got = run_on(&s, "flatness");
    blank = strstr(got.out, "  - Left blank on lines that were begun: diagonal A-C at "
                            "15 55/64 in (readings.csv:27); ");
    cr_assert_not_null(blank, "%s", got.out);
    last = strchr(blank, '\n');
    cr_expect(last && last[1] == '\0', "it comes last: %s", got.out);
    outcome_clear(&got);
    remove_folder(s.folder);
}

Test(slips, there_is_no_map_where_hardly_a_height_is_seen)
{
    struct seat s;
    struct outcome got;

    make_seat(&s);
    write_gaps(&s, DIAGONALS, diagonals);
    write_gaps(&s, CENTRES, centres);
    got = run_on(&s, "flatness");
    expect_says(&got, true, "No map yet: read the back and the front edge too\n");
    expect_says(&got, false, "Digits are levels");
    outcome_clear(&got);
    write_gaps(&s, EDGES, edges);
    got = run_on(&s, "flatness");
    expect_says(&got, false, "No map yet");
    expect_says(&got, true, "Digits are levels");
    outcome_clear(&got);
    remove_folder(s.folder);
}

/* ---- units ---- */

Test(slips, rows_of_measure_are_in_the_unit_that_the_job_types_gaps_in)
{
    static const struct {
        const char *readings, *header;
    } rows[] = {
        {NULL, "line,x_in,y_in,gap_in,u_in,note\n"},
        {"line,at_in,gap_in\nback edge,0,0\nback edge,20,0.003\n",
         "line,x_in,y_in,gap_in,u_in,note\n"},
        {"line,at_in,gap_thou\nback edge,0,0\nback edge,20,3\n",
         "line,x_in,y_in,gap_thou,u_thou,note\n"},
        {"line,at_in,gap_mm\nback edge,0,0\nback edge,20,0.1\n",
         "line,x_in,y_in,gap_mm,u_um,note\n"},
    };
    char args[256], text[ROOM];

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct seat s;
        struct outcome got;

        make_seat(&s);
        if (rows[i].readings)
            put_file(s.folder, "readings.csv", rows[i].readings);
        snprintf(args, sizeof args, "measure %s --csv %s/more.csv", s.folder, s.folder);
        got = run(args);
        cr_expect_eq(got.code, 0, "%s", got.err);
        outcome_clear(&got);
        read_file(s.folder, "more.csv", text);
        cr_expect_not_null(strstr(text, rows[i].header), "row %zu: %s", i, text);
        /* 20 um, the planner's feelers: 0.79 thou */
        cr_expect_not_null(strstr(text, i < 2    ? ",,0.00"
                                        : i == 2 ? ",,0."
                                                 : ",,"),
                           "row %zu: %s", i, text);
        remove_folder(s.folder);
    }
}

Test(slips, inches_typed_in_a_column_of_thou_are_asked_after)
{
    struct seat s;
    struct outcome got;

    make_seat(&s);
    put_file(s.folder, "readings.csv",
             "line,at_in,gap_thou\nback edge,0,0\nback edge,20,0.046\n"
             "back edge,30,1.525\nback edge,40,0.5\nback edge,50,0.000\n");
    got = run_on(&s, "check");
    expect_says(&got, true,
                "readings.csv:3: 0.046 thou is far less than the thinnest leaf (1.5 "
                "thou): were inches meant?\n");
    expect_says(&got, false, "readings.csv:4: 1.525");
    expect_says(&got, false, "readings.csv:5: 0.5 thou");
    expect_says(&got, false, "readings.csv:6: 0.000 thou");
    outcome_clear(&got);
    remove_folder(s.folder);
}

Test(slips, a_panel_as_large_as_a_slip_in_the_unit_makes_it_is_asked_after)
{
    static const struct {
        const char *size, *says;
    } rows[] = {
        {"length = 738 in\nwidth = 15 3/4 in\nthickness = 1 in\n",
         "job.ini:4: 738 in long: is the unit right?\n"},
        {"length = 60 in\nwidth = 15 3/4 in\nthickness = 25 in\n",
         "job.ini:6: 25 in thick: is the unit right?\n"},
        {"length = 60 in\nwidth = 400 in\nthickness = 1 in\n",
         "job.ini:5: 400 in wide: is the unit right?\n"},
        {"length = 236 in\nwidth = 15 3/4 in\nthickness = 7 3/4 in\n", NULL},
    };
    char text[512];

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct seat s;
        struct outcome got;

        new_folder(s.folder);
        snprintf(text, sizeof text, "[job]\nunits = in\n[panel]\n%s", rows[i].size);
        put_file(s.folder, "job.ini", text);
        got = run_on(&s, "check");
        cr_expect_eq(got.code, 0, "%s", got.err);
        expect_says(&got, rows[i].says != NULL,
                    rows[i].says ? rows[i].says : "is the unit right?");
        outcome_clear(&got);
        remove_folder(s.folder);
    }
}

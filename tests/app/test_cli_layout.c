/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `layout`: what it prints for the sample, how it ends, and what it says of bad input.
 */
#include <criterion/criterion.h>

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>
#include <cjson/cJSON.h>

#include "app/program.h"

static const struct conditions in_samples = {.folder = BT_SAMPLE_DIR};

Test(layout_verb, prints_what_is_expected_for_the_sample)
{
    static const struct {
        const char *args, *file;
    } rows[] = {
        {"layout reading-room-table", "layout.txt"},
        {"layout reading-room-table --details --units in", "layout-details-in.txt"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outcome got = run_under(rows[i].args, &in_samples);

        cr_expect_eq(got.code, 0, "%s gave %d", rows[i].args, got.code);
        cr_expect_str_eq(got.err, "");
        expect_file(&got, rows[i].file);
        outcome_clear(&got);
    }
}

Test(layout_verb, a_figure_is_drawn_into_the_file)
{
    char folder[64], args[256], path[128];
    struct outcome got;
    struct stat file;

    new_folder(folder);
    snprintf(path, sizeof path, "%s/layout.svg", folder);
    snprintf(args, sizeof args, "layout reading-room-table --figure %s", path);
    got = run_under(args, &in_samples);
    cr_expect_eq(got.code, 0, "%s", got.err);
    cr_expect_eq(stat(path, &file), 0, "no %s", path);
    cr_expect_gt(file.st_size, 1000);
    outcome_clear(&got);
    remove_folder(folder);
}

/* Three boards of some 100 mm for a piece of 400 mm. */
Test(layout_verb, without_a_layout_the_verdict_is_printed_and_no_figure_drawn)
{
    char folder[64], args[256], path[128];
    struct outcome got;
    struct stat file;

    new_folder(folder);
    put_file(folder, "job.ini",
             "[job]\nunits = mm\n[panel]\nlength = 900\nwidth = 400\n");
    put_file(folder, "boards.csv", "board,width\na,105\nb,102\nc,104\n");
    snprintf(path, sizeof path, "%s/layout.svg", folder);
    snprintf(args, sizeof args, "layout %s --figure %s", folder, path);
    got = run(args);
    cr_expect_eq(got.code, 1);
    cr_expect_eq(strncmp(got.out, "Too narrow: 3 boards together", 29), 0, "%s",
                 got.out);
    cr_expect_str_eq(got.err, "benchtrue: --figure: nothing is drawn: there is no "
                              "layout of these boards\n");
    cr_expect_neq(stat(path, &file), 0, "%s is there", path);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(layout_verb, json_is_one_object_and_nothing_else)
{
    struct outcome got = run_under("layout reading-room-table --json", &in_samples);
    cJSON *json = cJSON_Parse(got.out);

    cr_assert_not_null(json);
    cr_expect_str_eq(cJSON_GetObjectItem(json, "verdict")->valuestring, "within");
    cJSON_Delete(json);
    outcome_clear(&got);
}

/* Runs `layout` over a job; its status, and the first line printed or the message. */
static void expect_line(const char *name, const char *layout, const char *boards,
                        const char *cutouts, int code, const char *line)
{
    char folder[64], args[128], ini[512];
    struct outcome got;
    const char *text;

    new_folder(folder);
    snprintf(ini, sizeof ini,
             "[job]\nunits = mm\n[panel]\nlength = 900\nwidth = 400\n[layout]\n%s",
             layout);
    put_file(folder, "job.ini", ini);
    if (boards)
        put_file(folder, "boards.csv", boards);
    if (cutouts)
        put_file(folder, "cutouts.csv", cutouts);
    snprintf(args, sizeof args, "layout %s", folder);
    got = run(args);
    cr_expect_eq(got.code, code, "%s gave %d", name, got.code);
    text = code >= 64 ? got.err : got.out;
    cr_expect_not_null(strstr(text, line), "%s: printed\n%s\nnot\n%s", name, text,
                       line);
    outcome_clear(&got);
    remove_folder(folder);
}

static void many_boards(size_t n, char out[2048])
{
    size_t at = (size_t)snprintf(out, 2048, "board,width\n");

    for (size_t i = 0; i < n; i++)
        at += (size_t)snprintf(out + at, 2048 - at, "b%zu,%zu\n", i, 90 + i % 7);
}

Test(layout_verb, says_what_is_wrong_with_boards_and_rules)
{
    static const char four[] = "board,width\na,105\nb,102\nc,104\nd,103\n";
    static const struct {
        const char *name, *layout, *boards, *cutouts;
        int code;
        const char *line;
    } rows[] = {
        {"fits", "", four, NULL, 0, "Fits: "},
        {"too few", "", "board,width\na,105\nb,102\nc,104\n", NULL, 1,
         "Too narrow: 3 boards together make 311.0 mm, the piece is 400 mm wide: 89.0 "
         "mm "
         "are missing. Next: another board, or a narrower piece.\n"},
        {"too short", "",
         "board,width,length\na,105,950\nb,102,950\nc,104,950\nd,103,800\n", NULL, 1,
         "are missing (1 board is too short). Next"},
        {"all too short", "", "board,width,length\na,500,800\n", NULL, 1,
         "Too narrow: every board is shorter than the 900 mm that are needed. Next: "
         "longer boards.\n"},
        {"narrowest", "narrowest = 110\n", four, NULL, 1,
         "No layout keeps every rule; without `no strip narrower than 110 mm` there is "
         "one. Next: choose what to give up below.\n"},
        {"clear", "clear = 200 +- 60\n", four, NULL, 1,
         "No layout keeps every rule; without `no joint within 60 mm of 200 mm` there "
         "is "
         "one."},
        {"two that nothing satisfies", "clear = 130 +- 60, 270 +- 60\n", four, NULL, 1,
         "No layout: nothing can satisfy `no joint within 60 mm of 130 mm` with these "
         "boards. Next: change it in [layout].\n"},
        {"alone", "clear = 200 +- 60\nnarrowest = 110\n", four, NULL, 1,
         "nothing can satisfy it, even alone"},
        {"cut-out near the edge", "", four,
         "name,shape,x,y,diameter\nport,circle,300,40,30\n", 1,
         "Over the limit: the boards fit, but cut-out port: 25 mm from the back edge, "
         "under 50 mm. Next: move it.\n"},
        {"no boards", "", NULL, NULL, 65,
         "no boards: write a row in boards.csv for each board there is, with "
         "board,width\n"},
        {"a cut-out outside", "", four,
         "name,shape,x,y,diameter\nport,circle,890,100,30\n", 65,
         "cutouts.csv:2:13: outside the piece: '890', it reaches from 875 mm to 905 "
         "mm, "
         "the piece from 0 to 900 mm\n"},
    };
    char boards[2048];

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        expect_line(rows[i].name, rows[i].layout, rows[i].boards, rows[i].cutouts,
                    rows[i].code, rows[i].line);
    many_boards(41, boards);
    expect_line("41 boards", "", boards, NULL, 65,
                "41 boards: a layout takes at most 40, leave out those that you would "
                "use last\n");
    many_boards(21, boards);
    expect_line("21 boards", "", boards, NULL, 0, "not proven: the best found");
}

/* The piece is then what the opening asks for, its front narrower than its back. */
Test(layout_verb, outline_is_that_of_the_opening_where_one_was_measured)
{
    char folder[64], args[128];
    struct outcome got;
    cJSON *json, *piece;

    new_folder(folder);
    put_file(folder, "job.ini",
             "[job]\nunits = mm\n[panel]\nlength = 1000\nwidth = 420\nspecies = oak\n"
             "thickness = 22\n[opening]\njoint = 2\nenter = above\n");
    put_file(folder, "boards.csv",
             "board,width,length\na,110,1040\nb,112,1040\nc,109,1040\nd,111,1040\n");
    put_file(folder, "opening.csv",
             "kind,where,at_mm,reading_mm\nside,back,,1000\nside,left,,410\n"
             "side,right,,410\nside,front,,980\ndiagonal,AC,,1072\n"
             "diagonal,BD,,1072\n");
    snprintf(args, sizeof args, "layout %s --json", folder);
    got = run(args);
    json = cJSON_Parse(got.out);
    cr_assert_not_null(json, "%s%s", got.out, got.err);
    piece = cJSON_GetObjectItem(json, "piece");
    cr_expect(cJSON_IsFalse(cJSON_GetObjectItem(piece, "rectangle")));
    cr_expect(cJSON_GetObjectItem(piece, "length_mm")->valuedouble < 1000);
    cr_expect_not(cJSON_IsNull(cJSON_GetObjectItem(json, "best")), "%s", got.out);
    cJSON_Delete(json);
    outcome_clear(&got);
    remove_folder(folder);
}

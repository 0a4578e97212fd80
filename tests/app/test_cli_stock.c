/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `stock`: what it prints for the sample, and how it ends. */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "app/program.h"

static const struct conditions in_samples = {.folder = BT_SAMPLE_DIR};

Test(stock, prints_what_is_expected_for_the_sample)
{
    static const struct {
        const char *args, *file;
    } rows[] = {
        {"stock reading-room-table --details", "stock-details.txt"},
        {"stock reading-room-table --units in", "stock-in.txt"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outcome got = run_under(rows[i].args, &in_samples);

        cr_expect_eq(got.code, 2, "%s gave %d", rows[i].args, got.code);
        cr_expect_str_eq(got.err, "");
        expect_file(&got, rows[i].file);
        outcome_clear(&got);
    }
}

Test(stock, a_figure_is_drawn_into_the_file)
{
    static const char *const ends[] = {"svg", "pdf", "png"};
    char folder[64], args[256], path[128];

    new_folder(folder);
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        struct outcome got;
        struct stat file;

        snprintf(path, sizeof path, "%s/stock.%s", folder, ends[i]);
        snprintf(args, sizeof args, "stock reading-room-table --figure %s", path);
        got = run_under(args, &in_samples);
        cr_expect_eq(got.code, 2, "%s", got.err);
        cr_expect_eq(stat(path, &file), 0, "no %s", path);
        cr_expect_gt(file.st_size, 1000);
        outcome_clear(&got);
    }
    remove_folder(folder);
}

static const char header[] = "board,length_mm,width_mm,thickness_mm,cup_mm,bow_mm,"
                             "twist_mm,crook_mm,cut_mm,pieces,rip_mm,moisture_pct\n";

/* Rows of stock.csv, keys of [panel] and what follows: how it ends, and what it says.
 */
static void expect_end(const char *panel, const char *rows, int code, const char *out,
                       const char *err)
{
    char folder[64], args[128], ini[512], csv[1024], message[512] = "";
    struct outcome got;

    new_folder(folder);
    snprintf(ini, sizeof ini, "[job]\nunits = mm\n[panel]\nlength = 1500\n%s", panel);
    put_file(folder, "job.ini", ini);
    snprintf(csv, sizeof csv, "%s%s", header, rows);
    if (*rows)
        put_file(folder, "stock.csv", csv);
    snprintf(args, sizeof args, "stock %s", folder);
    got = run(args);
    cr_expect_eq(got.code, code, "%s: %d\n%s%s", rows, got.code, got.out, got.err);
    cr_expect_not_null(strstr(got.out, out), "'%s' is not in\n%s", out, got.out);
    if (*err)
        snprintf(message, sizeof message, "benchtrue: %s: %s\n", folder, err);
    cr_expect_str_eq(got.err, message);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(stock, status_says_whether_all_boards_make_it)
{
    expect_end(
        "thickness = 27\n", "a,2400,150,34,1,2,0,,,,,\n", 0,
        "Enough: the board makes 27 mm, and comes to 31.0 mm. Next: one face flat", "");
    expect_end("thickness = 27\n",
               "a,2400,150,34.0,1,2,0,,,,,\nb,2400,150,34.0,1,9,0,,,,,\n", 1,
               "Will not do: board b does not make 27 mm. Next: board b: cut it to "
               "pieces of 1",
               "");
    expect_end("thickness = 27\n", "a,2400,150,34,1,6,0,,,,,\n", 2,
               "Too close to call: whether board a makes 27 mm", "");
    expect_end("thickness = 27\n", "a,2400,150,34,1,2,,,,,,\n", 2,
               "Not seen: whether board a makes 27 mm. Next: read the twist of board a",
               "");
    /* what is not read takes more, so that this is sure */
    expect_end("thickness = 27\n", "a,2400,150,34,1,20,,,,,,\n", 1, "Will not do", "");
    expect_end("", "a,2400,150,34,1,2,0,,,,,\n", 0,
               "The boards come to 31.0 mm together. Next: write the thickness", "");
}

Test(stock, what_no_board_gives_is_told)
{
    expect_end("thickness = 27\n", "a,2400,150,34,0,0,0,8,,,146,\n", 1,
               "straight it gives 142", "");
    expect_end("thickness = 27\n", "a,2400,150,25,0,0,0,,,,,\n", 1,
               "too thin, 25.0 mm; take another", "");
    expect_end("thickness = 27\n", "", 65, "",
               "no rough board: write a row in stock.csv for each, with "
               "board,length,width,thickness,cup,bow,twist");
}

Test(stock, machines_and_moisture_are_minded)
{
    expect_end("thickness = 10\n[stock]\njointer_width = 150 mm\n",
               "a,2400,180,16,0,0,0,,200,1,,\n", 0,
               "board a: too short for the jointer as planned", "");
    expect_end("thickness = 10\n[stock]\njointer_width = 150 mm\n",
               "a,2400,180,16,0,0,0,,200,1,,\n", 0, "board a: wider than the jointer",
               "");
    expect_end("thickness = 10\n", "a,2400,180,16,0,0,0,,,,,\n", 0,
               "board a: thinner than the planer takes", "");
    expect_end("thickness = 20\n[climate]\nnow = 8 %\n", "a,2400,180,26,0,0,0,,,,,12\n",
               0, "12.0 %: wait ", "");
    expect_end("thickness = 20\n[climate]\ndriest = 6 %\ndampest = 12 %\n",
               "a,2400,180,26,0,0,0,,,,,9\n", 0,
               "9.0 % (midway between driest and dampest", "");
}

Test(stock, json_is_one_object_with_what_the_text_says)
{
    struct outcome got = run_under("stock reading-room-table --json", &in_samples);
    cJSON *root = cJSON_Parse(got.out), *boards, *four;

    cr_assert_not_null(root);
    cr_expect_eq(got.code, 2);
    boards = cJSON_GetObjectItem(root, "boards");
    cr_assert_eq(cJSON_GetArraySize(boards), 6);
    four = cJSON_GetArrayItem(boards, 3);
    cr_expect_str_eq(cJSON_GetObjectItem(four, "verdict")->valuestring,
                     "too close to call");
    cr_expect_str_eq(
        cJSON_GetObjectItem(cJSON_GetObjectItem(root, "common"), "limiting")
            ->valuestring,
        "4");
    cr_expect(fabs(cJSON_GetObjectItem(root, "wanted_mm")->valuedouble - 27.2) <=
              1e-12);
    cJSON_Delete(root);
    outcome_clear(&got);
}

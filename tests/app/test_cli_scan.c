/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `flatness` and `check` of a scan. */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "app/program.h"

/* An invented beech bench top of 1200 x 600 mm, hollow by 1 mm across the width, of
 * 61 x 31 points; one height is 40 mm too high where `slip` says so. */
enum { NX = 61, NY = 31, N = NX * NY, SLIP = 700 };

static void put_scan(const char *folder, bool slip)
{
    static char text[N * 40 + 100];
    char *at = text + sprintf(text, "# invented\nx_mm,y_mm,z_mm\n");

    for (int i = 0; i < N; i++) {
        const double x = i % NX * 20, y = i / NX * 20, v = (y - 300) / 300;
        at += sprintf(at, "%.0f,%.0f,%.3f\n", x, y, v * v + (slip && i == SLIP) * 40);
    }
    put_file(folder, "scan.csv", text);
}

static struct outcome run_there(const char *folder, const char *args)
{
    const struct conditions there = {.folder = folder};

    return run_under(args, &there);
}

Test(scan, is_evaluated_and_drawn_from_the_bare_file)
{
    char room[64];
    const char *folder = new_folder(room);
    struct outcome got;

    put_scan(folder, false);
    got = run_there(folder, "flatness scan.csv --details");
    cr_expect_eq(got.code, 0, "%s", got.err);
    cr_expect_str_eq(got.err, "");
    cr_expect_not_null(strstr(got.out, "1891 scanned heights at 1891 places\n"));
    cr_expect_not_null(
        strstr(got.out, "Their u:   1891 from the last digit typed in the column\n"));
    cr_expect_not_null(strstr(got.out, "hollow 1.0"), "%s", got.out);
    cr_expect_not_null(strstr(got.out, "readings that nothing checks  1891\n"));
    cr_expect_not_null(strstr(got.out, "Each digit is the mean"));
    cr_expect_null(strstr(got.out, "Far off"));
    outcome_clear(&got);
    remove_folder(folder);
}

Test(scan, a_height_far_off_is_told_and_can_be_left_out)
{
    char room[64];
    const char *folder = new_folder(room);
    struct outcome got;

    put_scan(folder, true);
    got = run_there(folder, "flatness scan.csv");
    cr_expect_eq(got.code, 0, "%s", got.err);
    cr_expect_not_null(
        strstr(got.out, "\nFar off:   1 height stands far from all others and counts "
                        "here, scan.csv:703 (check names them, --without leaves a line "
                        "out)\n"),
        "%s", got.out);
    outcome_clear(&got);
    got = run_there(folder, "flatness scan.csv --without scan.csv:703");
    cr_expect_eq(got.code, 0, "%s", got.err);
    cr_expect_null(strstr(got.out, "Far off"));
    cr_expect_not_null(strstr(got.out, "1890 places; 1 left out as asked\n"));
    outcome_clear(&got);
    got = run_there(folder, "flatness scan.csv --without scan.csv:1");
    cr_expect_eq(got.code, 64);
    outcome_clear(&got);
    got = run_there(folder, "check scan.csv");
    cr_expect_eq(got.code, 0, "%s", got.err);
    cr_expect_not_null(strstr(got.out, "scan.csv:703: far off: "), "%s", got.out);
    outcome_clear(&got);
    remove_folder(folder);
}

static double number(const cJSON *object, const char *a, const char *b)
{
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(
        cJSON_GetObjectItemCaseSensitive(object, a), b);

    cr_assert(cJSON_IsNumber(item), "%s.%s", a, b);
    return item->valuedouble;
}

Test(scan, json_has_its_counts_its_plane_its_heights_and_what_is_far_off)
{
    char room[64];
    const char *folder = new_folder(room);
    struct outcome got;
    const cJSON *far;
    cJSON *root;

    put_scan(folder, true);
    got = run_there(folder, "flatness scan.csv --json --without scan.csv:9");
    cr_expect_eq(got.code, 0, "%s", got.err);
    root = cJSON_Parse(got.out);
    cr_assert_not_null(root);
    cr_expect_eq(number(root, "readings", "count"), N);
    cr_expect_eq(number(root, "readings", "used"), N - 1);
    cr_expect_eq(number(root, "adjustment", "dof"), 0);
    cr_expect_eq(number(root, "adjustment", "rank"), N - 1);
    cr_expect_eq(number(root, "adjustment", "far_off_count"), 1);
    cr_expect(fabs(number(root, "plane", "a_mm") - 0.36) <= 0.1);
    far = cJSON_GetObjectItemCaseSensitive(
        cJSON_GetObjectItemCaseSensitive(root, "adjustment"), "far_off");
    cr_assert_eq(cJSON_GetArraySize(far), 1);
    far = cJSON_GetArrayItem(far, 0);
    cr_expect_eq(cJSON_GetObjectItemCaseSensitive(far, "line")->valuedouble, 703);
    cr_expect_str_eq(cJSON_GetObjectItemCaseSensitive(far, "file")->valuestring,
                     "scan.csv");
    cr_expect(fabs(cJSON_GetObjectItemCaseSensitive(far, "residual_mm")->valuedouble -
                   40) <= 0.5);
    cr_expect_eq(cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(root, "heights")),
                 N - 1);
    cJSON_Delete(root);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(scan, faults_beyond_twenty_are_counted)
{
    char room[64];
    const char *folder = new_folder(room);
    char text[2000] = "x_mm,y_mm,z_mm\n1,1,0\n";
    struct outcome got;
    size_t lines = 0;

    for (int i = 0; i < 30; i++)
        sprintf(text + strlen(text), "%d,603,0.5\n", i);
    put_file(folder, "scan.csv", text);
    got = run_there(folder, "flatness scan.csv --length '500 mm' --width '600 mm'");
    cr_expect_eq(got.code, 65);
    cr_expect_str_eq(got.out, "");
    cr_expect_eq(strstr(got.err,
                        "scan.csv:3:3: outside the panel: '603', y, across the "
                        "panel, is 0 to 600 mm (and up to 2 mm beyond)\n"),
                 got.err, "%s", got.err);
    for (const char *c = got.err; *c; c++)
        lines += *c == '\n';
    cr_expect_eq(lines, 21);
    cr_expect_not_null(strstr(got.err, "\nscan.csv: and 10 more\n"));
    outcome_clear(&got);
    remove_folder(folder);
}

Test(scan, points_on_one_line_are_refused)
{
    char room[64];
    const char *folder = new_folder(room);

    put_file(folder, "scan.csv", "x_mm,y_mm,z_mm\n0,0,1\n50,0,1\n100,0,1\n");
    {
        struct outcome got = run_there(folder, "flatness scan.csv");
        cr_expect_eq(got.code, 65);
        cr_expect_str_eq(got.err,
                         "benchtrue: scan.csv: all readings lie on one line, which "
                         "shows no plane: read a second line beside it\n");
        outcome_clear(&got);
    }
    remove_folder(folder);
}

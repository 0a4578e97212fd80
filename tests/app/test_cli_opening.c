/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `opening`: what it prints for the sample and for openings that are wrong, and how it
 * ends. */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "app/program.h"

static const struct conditions in_samples = {.folder = BT_SAMPLE_DIR};

Test(opening, prints_what_is_expected_for_the_sample)
{
    static const struct {
        const char *args, *file;
    } rows[] = {
        {"opening oak-window-seat", "opening.txt"},
        {"opening oak-window-seat --units mm --details", "opening-details-mm.txt"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outcome got = run_under(rows[i].args, &in_samples);

        cr_expect_eq(got.code, 0, "%s gave %d", rows[i].args, got.code);
        cr_expect_str_eq(got.err, "");
        expect_file(&got, rows[i].file);
        outcome_clear(&got);
    }
}

/* A job of these lines in [opening] and these rows; how it ends and begins. */
static void expect_start(const char *ini, const char *rows, int code, const char *out,
                         const char *err)
{
    char folder[64], args[128], text[1024];
    struct outcome got;

    new_folder(folder);
    snprintf(text, sizeof text,
             "[job]\nunits = mm\n[panel]\nthickness = 30\n[opening]\n%s", ini);
    put_file(folder, "job.ini", text);
    snprintf(text, sizeof text, "kind,where,at,reading,u_mm\n%s", rows);
    if (rows)
        put_file(folder, "opening.csv", text);
    snprintf(args, sizeof args, "opening %s", folder);
    got = run(args);
    cr_expect_eq(got.code, code, "%s: %d", rows ? rows : "", got.code);
    cr_expect(strncmp(got.out, out, strlen(out)) == 0, "printed\n%.300s\nnot\n%s",
              got.out, out);
    cr_expect(strstr(got.err, err) != NULL, "said\n%s\nnot\n%s", got.err, err);
    outcome_clear(&got);
    remove_folder(folder);
}

#define SIDES(front)                                                                   \
    "side,back,,1200,1\nside,right,,500,1\nside,front,," front ",1\nside,left,,500,"   \
    "1\n"

Test(opening, four_sides_without_a_diagonal_are_not_seen)
{
    expect_start(
        "", SIDES("1200"), 2,
        "Not seen: what was measured leaves the shape of the opening free. Next: "
        "measure diagonal AC.\n",
        "");
}

Test(opening, two_sides_ask_for_what_is_missing)
{
    expect_start(
        "", "side,back,,1200,1\nside,left,,500,1\n", 2,
        "Not seen: what was measured leaves the shape of the opening free. Next: "
        "measure side right, diagonal AC and diagonal BD.\n",
        "");
}

Test(opening, diagonals_that_do_not_agree_are_named_with_what_is_as_suspect)
{
    expect_start("", SIDES("1200") "diagonal,AC,,1300,1\ndiagonal,BD,,1312,1\n", 2,
                 "The readings do not agree: ", "");
}

Test(opening, a_square_bay_takes_its_piece_straight_in)
{
    expect_start(
        "joint = 3\n", SIDES("1200") "diagonal,AC,,1300,1\ndiagonal,BD,,1300,1\n", 0,
        "It fits: it goes straight in. Next: cut it in the order below.\n", "");
}

Test(opening, headroom_too_low_for_tilting_leaves_no_way_in)
{
    expect_start("joint = 3\nheadroom = 60\n", SIDES("1180") "diagonal,AC,,1292.3,1\n",
                 1, "It does not go in: tilted, one end first, it needs ", "");
}

Test(opening, triangle_that_cannot_close_is_a_fault)
{
    expect_start(
        "", SIDES("1200") "diagonal,AC,,1750,1\n", 65, "",
        "back 1200 mm, right 500 mm and diagonal AC 1750 mm close no triangle: "
        "the diagonal is too long; measure the three again");
}

Test(opening, joints_wider_than_the_opening_are_a_fault)
{
    expect_start("joint = 300\n",
                 "side,back,,550,1\nside,right,,500,1\nside,front,,550,1\n"
                 "side,left,,500,1\ndiagonal,AC,,743.3,1\n",
                 65, "", "the joints leave nothing of the opening: it is 550 mm wide");
}

Test(opening, job_without_readings_says_what_to_write)
{
    expect_start(
        "", NULL, 65, "",
        "nothing is known of the opening: write opening.csv with a row for each "
        "side and one diagonal");
}

/* `17 3/8 in (u 30 thou)`: two units in one line, which nobody compares. */
Test(opening, uncertainty_of_a_taped_length_is_told_in_its_own_unit)
{
    struct outcome got = run_under("opening oak-window-seat", &in_samples);

    cr_expect_not_null(strstr(got.out, "61 7/8 in (u 1/32 in)"), "%s", got.out);
    cr_expect_null(strstr(got.out, "(u 30 thou)"), "%s", got.out);
    outcome_clear(&got);
    got = run_under("opening oak-window-seat --units mm", &in_samples);
    cr_expect_not_null(strstr(got.out, "1571.7 mm (u 0.6 mm)"), "%s", got.out);
    outcome_clear(&got);
}

Test(opening, cutting_to_size_has_its_cautions)
{
    static const char *const verbs[] = {"opening oak-window-seat",
                                        "layout reading-room-table"};

    for (size_t i = 0; i < sizeof verbs / sizeof *verbs; i++) {
        struct outcome got = run_under(verbs[i], &in_samples);

        cr_expect_not_null(strstr(got.out, "\nCautions\n"), "%s", verbs[i]);
        cr_expect_not_null(strstr(got.out, "both sides of a crosscut"), "%s", verbs[i]);
        cr_expect_not_null(strstr(got.out, "manual of the machine"), "%s", verbs[i]);
        outcome_clear(&got);
    }
}

Test(opening, json_is_one_object_with_the_verdict)
{
    struct outcome got = run_under("opening oak-window-seat --json", &in_samples);
    cJSON *json = cJSON_Parse(got.out);

    cr_expect_eq(got.code, 0);
    cr_assert_not_null(json);
    cr_expect_str_eq(cJSON_GetObjectItem(json, "verdict")->valuestring, "within");
    cr_expect_eq(cJSON_GetArraySize(
                     cJSON_GetObjectItem(cJSON_GetObjectItem(json, "piece"), "cuts")),
                 4);
    cJSON_Delete(json);
    outcome_clear(&got);
}

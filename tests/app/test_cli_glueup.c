/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `glueup`: what it prints for the sample, and how it ends. */
#include <criterion/criterion.h>

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "app/program.h"

static const struct conditions in_samples = {.folder = BT_SAMPLE_DIR};

Test(glueup, prints_what_is_expected_for_the_sample)
{
    static const struct {
        const char *args, *file;
    } rows[] = {
        {"glueup reading-room-table", "glueup.txt"},
        {"glueup reading-room-table --units in", "glueup-in.txt"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outcome got = run_under(rows[i].args, &in_samples);

        cr_expect_eq(got.code, 0, "%s gave %d", rows[i].args, got.code);
        cr_expect_str_eq(got.err, "");
        expect_file(&got, rows[i].file);
        outcome_clear(&got);
    }
}

Test(glueup, a_figure_is_drawn_into_the_file)
{
    char folder[64], args[256], path[128];
    struct outcome got;
    struct stat file;

    new_folder(folder);
    snprintf(path, sizeof path, "%s/clamps.svg", folder);
    snprintf(args, sizeof args, "glueup reading-room-table --figure %s", path);
    got = run_under(args, &in_samples);
    cr_expect_eq(got.code, 0, "%s", got.err);
    cr_expect_eq(stat(path, &file), 0, "no %s", path);
    cr_expect_gt(file.st_size, 1000);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(glueup, openings_are_those_of_the_pattern_asked_for)
{
    struct outcome got =
        run_under("glueup reading-room-table --pattern 'same face'", &in_samples);

    cr_expect_eq(got.code, 0, "%s", got.out);
    cr_expect_not_null(strstr(got.out,
                              "largest opening               0.08 mm (u 0.03) at "
                              "joint 2, edges run same face: within\n"),
                       "%s", got.out);
    outcome_clear(&got);
}

static const char boards_csv[] = "board,width_mm\na,100\nb,100\nc,100\n";

/* [glue] and [clamp] sections behind a small beech panel. */
static void expect_end(const char *sections, int code, const char *out, const char *err)
{
    char folder[64], args[128], ini[1024], message[512];
    struct outcome got;

    new_folder(folder);
    snprintf(ini, sizeof ini, "[job]\nunits = mm\n%s", sections);
    put_file(folder, "job.ini", ini);
    put_file(folder, "boards.csv", boards_csv);
    snprintf(args, sizeof args, "glueup %s", folder);
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

#define PANEL                                                                          \
    "[panel]\nlength = 800\nwidth = 300\nthickness = 20\nspecies = American beech\n"   \
    "[fence]\nscatter = 0.01 deg\n"
#define GLUE "[glue]\nkind = PUR\ntemperature = 20 C\n"

Test(glueup, status_says_whether_clamps_time_and_shop_will_do)
{
    expect_end(PANEL GLUE "[clamp bar]\ncount = 8\nforce = 6 kN\npad = 40\n", 0,
               "Enough: ", "");
    expect_end(PANEL GLUE "[clamp bar]\ncount = 2\nforce = 6 kN\npad = 40\n", 1,
               "Clamps fall short: ", "");
    expect_end(PANEL "[glue]\nkind = PUR\ntemperature = 5 C\n"
                     "[clamp bar]\ncount = 8\nforce = 6 kN\npad = 40\n",
               1, "Too cold: the shop has 5 C, ", "");
    expect_end(PANEL GLUE "open_time = 1 min\n"
                          "[clamp bar]\ncount = 8\nforce = 6 kN\npad = 40\n",
               1, "Open time too short: to spread one joint and set the ", "");
}

Test(glueup, what_the_job_does_not_state_is_asked_for)
{
    expect_end(PANEL GLUE, 2, "Not seen: a joint needs ", "");
    expect_end(PANEL "[clamp bar]\ncount = 8\nforce = 6 kN\npad = 40\n", 2,
               "Not seen: a joint needs ", "");
    expect_end("[panel]\nlength = 800\nwidth = 300\nthickness = 20\n", 65, "",
               "benchtrue: %s: no species is stated: write species in [panel] of "
               "job.ini, or a column species in boards.csv\n");
    expect_end("[panel]\nwidth = 300\nthickness = 20\nspecies = beech\n", 65, "",
               "benchtrue: %s: no length is stated: write length in [panel] of "
               "job.ini\n");
}

Test(glueup, json_is_one_object_and_nothing_else)
{
    struct outcome got = run_under("glueup reading-room-table --json", &in_samples);

    cr_expect_eq(got.code, 0);
    cr_expect_eq(got.out[0], '{');
    cr_expect_str_eq(got.out + strlen(got.out) - 3, "\n}\n");
    cr_expect_str_eq(got.err, "");
    outcome_clear(&got);
}

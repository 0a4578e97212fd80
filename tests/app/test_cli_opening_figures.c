/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `opening --figure` and `--outline`: what is drawn where, and what is refused. */
#include <criterion/criterion.h>

#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "app/program.h"

static const struct conditions in_samples = {.folder = BT_SAMPLE_DIR};

/* The first bytes of a file; "" where there is none. */
static void first_of(const char *path, char out[4096])
{
    const int file = open(path, O_RDONLY);
    const ssize_t n = file < 0 ? 0 : read(file, out, 4095);

    out[n > 0 ? n : 0] = '\0';
    if (file >= 0)
        close(file);
}

Test(opening_figures, plan_and_outline_are_written_and_the_answer_is_printed)
{
    char folder[64], args[512], path[128], start[4096];
    struct outcome got;

    new_folder(folder);
    snprintf(args, sizeof args,
             "opening oak-window-seat --figure %s/plan.svg --outline %s/full.pdf",
             folder, folder);
    got = run_under(args, &in_samples);
    cr_expect_eq(got.code, 0, "%s", got.err);
    cr_expect_eq(strncmp(got.out, "It fits: ", 9), 0, "%s", got.out);
    snprintf(path, sizeof path, "%s/plan.svg", folder);
    first_of(path, start);
    cr_expect_not_null(strstr(start, "Oak seat for the stone bay"), "%s", start);
    snprintf(path, sizeof path, "%s/full.pdf", folder);
    first_of(path, start);
    cr_expect_eq(strncmp(start, "%PDF-", 5), 0);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(opening_figures, what_cannot_be_drawn_is_said_before_anything_is_read)
{
    static const struct {
        const char *args, *err;
    } rows[] = {
        {"opening oak-window-seat --outline a.svg",
         "benchtrue: --outline: an outline is a PDF: 'a.svg' does not end in .pdf\n"},
        {"opening oak-window-seat --outline a.pdf --paper a3",
         "benchtrue: --paper: no such paper: 'a3', there are one, a4 and letter\n"},
        {"opening oak-window-seat --paper a4",
         "benchtrue: --paper is that of --outline FILE.pdf\n"},
        {"opening oak-window-seat --figure a.txt",
         "benchtrue: --figure a.txt: a figure's name ends in .svg, .pdf or .png\n"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outcome got = run_under(rows[i].args, &in_samples);

        cr_expect_eq(got.code, 64, "%s gave %d", rows[i].args, got.code);
        cr_expect_str_eq(got.err, rows[i].err);
        cr_expect_str_eq(got.out, "");
        outcome_clear(&got);
    }
}

Test(opening_figures, without_all_corners_the_answer_says_what_to_measure)
{
    char folder[64], args[512], path[128], start[4096];
    struct outcome got;

    new_folder(folder);
    put_file(folder, "job.ini",
             "[job]\nunits = mm\n[panel]\nlength = 1500\nwidth = 500\n[opening]\n"
             "front = open\n");
    put_file(folder, "opening.csv",
             "kind,where,reading_mm,u_mm\nside,back,1500,1\nside,left,500,1\n");
    snprintf(args, sizeof args, "opening %s --figure %s/plan.svg --outline %s/full.pdf",
             folder, folder, folder);
    got = run_under(args, &in_samples);
    cr_expect_eq(got.code, 2, "%d %s", got.code, got.err);
    cr_expect_not_null(strstr(got.out, "would determine the rest"), "%s", got.out);
    snprintf(path, sizeof path, "%s/plan.svg", folder);
    first_of(path, start);
    cr_expect_str_eq(start, "");
    outcome_clear(&got);
    remove_folder(folder);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `sheet`: the file it writes, and how it ends. */
#include <criterion/criterion.h>

#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "app/program.h"

static const struct conditions in_samples = {.folder = BT_SAMPLE_DIR};

Test(sheet, writes_a_pdf_and_says_how_many_sheets_it_holds)
{
    char folder[64], args[200], want[200], path[100], head[5] = "";
    struct outcome got;
    int file;

    new_folder(folder);
    snprintf(path, sizeof path, "%s/s.pdf", folder);
    snprintf(args, sizeof args, "sheet cherry-shelf --afresh --paper letter -o %s",
             path);
    snprintf(want, sizeof want, "1 sheet to pencil on: %s\n", path);
    got = run_under(args, &in_samples);
    cr_expect_eq(got.code, 0, "%s", got.err);
    cr_expect_str_eq(got.out, want);
    cr_expect_str_eq(got.err, "");
    file = open(path, O_RDONLY);
    cr_assert_geq(file, 0);
    cr_expect_eq(read(file, head, 4), 4);
    cr_expect_str_eq(head, "%PDF");
    close(file);
    outcome_clear(&got);
    snprintf(args, sizeof args,
             "sheet reading-room-table --of fence --of opening -o %s", path);
    got = run_under(args, &in_samples);
    cr_expect_eq(got.code, 0, "%s", got.err);
    cr_expect_eq(strncmp(got.out, "2 sheets", 8), 0, "%s", got.out);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(sheet, refuses_with_status_and_message)
{
    static const struct {
        const char *args, *err;
        int code;
    } rows[] = {
        {"sheet", "benchtrue: sheet needs a JOB; benchtrue help sheet says more\n", 64},
        {"sheet cherry-shelf",
         "benchtrue: sheet needs the file to write: -o FILE.pdf\n", 64},
        {"sheet cherry-shelf -o a.png",
         "benchtrue: -o: a sheet is a PDF: 'a.png' does not end in .pdf\n", 64},
        {"sheet cherry-shelf -o a.pdf --paper a3",
         "benchtrue: --paper: no such paper: 'a3', there are a4 and letter\n", 64},
        {"sheet cherry-shelf -o a.pdf --of fense",
         "benchtrue: --of: no such sheet: 'fense', did you mean fence?\n", 64},
        {"sheet cherry-shelf -o a.pdf --of wind",
         "benchtrue: --of: no such sheet: 'wind', there are readings, fence, dryfit "
         "and opening\n",
         64},
        {"sheet cherry-shelf -o a.pdf --of dryfit",
         "benchtrue: cherry-shelf: there is no joint to lay together: name two boards "
         "or more in boards.csv\n",
         65},
        {"sheet cherry-shelf --of fence -o nowhere/a.pdf", NULL, 73},
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

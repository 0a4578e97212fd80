/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "benchtrue/report/save.h"

struct place {
    char folder[64], file[80], part[96];
};

/* A new folder under /tmp. */
static struct place new_place(void)
{
    struct place p = {.folder = "/tmp/benchtrue_save_XXXXXX"};

    cr_assert_not_null(mkdtemp(p.folder));
    snprintf(p.file, sizeof p.file, "%s/a.csv", p.folder);
    snprintf(p.part, sizeof p.part, "%s.part", p.file);
    return p;
}

static bool exists(const char *path)
{
    struct stat s;

    return lstat(path, &s) == 0;
}

static void expect_content(const char *path, const char *want)
{
    char text[64] = "";
    int file = open(path, O_RDONLY);

    cr_assert_geq(file, 0);
    cr_expect_eq(read(file, text, sizeof text - 1), (ssize_t)strlen(want));
    cr_expect_str_eq(text, want);
    close(file);
}

Test(save, writes_a_file_whole_and_leaves_nothing_beside_it)
{
    struct place p = new_place();

    cr_expect_eq(bt_save_file(p.file, "line,at\n", 8, NULL), BT_OK);
    expect_content(p.file, "line,at\n");
    cr_expect_not(exists(p.part));
    bt_save_undo(p.file);
    bt_save_undo(p.folder);
    cr_expect_not(exists(p.folder));
}

Test(save, replaces_what_stood_there)
{
    struct place p = new_place();

    cr_expect_eq(bt_save_file(p.file, "old text", 8, NULL), BT_OK);
    cr_expect_eq(bt_save_file(p.file, "new", 3, NULL), BT_OK);
    expect_content(p.file, "new");
    bt_save_undo(p.file);
    bt_save_undo(p.folder);
}

Test(save, says_that_the_folder_does_not_exist)
{
    struct bt_error err;

    cr_expect_eq(bt_save_file("/tmp/benchtrue_none/a.csv", "x", 1, &err), BT_ECREATE);
    cr_expect_str_eq(err.message,
                     "/tmp/benchtrue_none/a.csv: cannot be created: No such "
                     "file or directory");
}

Test(save, leaves_nothing_behind_where_the_last_step_fails)
{
    struct place p = new_place();
    struct bt_error err;

    /* A folder of that name: the rename fails after all is written. */
    cr_assert_eq(mkdir(p.file, 0777), 0);
    cr_expect_eq(bt_save_file(p.file, "x", 1, &err), BT_ECREATE);
    cr_expect_not_null(strstr(err.message, "a.csv: cannot be created: Is a directory"));
    cr_expect_not(exists(p.part));
    bt_save_undo(p.file);
    bt_save_undo(p.folder);
}

Test(save, reports_a_full_disk)
{
    struct bt_error err;
    int full = open("/dev/full", O_WRONLY);

    cr_assert_geq(full, 0);
    cr_expect_eq(bt_save_to(full, "x", 1, &err), BT_EWRITE);
    cr_expect_str_eq(err.message, "No space left on device");
    close(full);
}

Test(save, makes_a_folder_or_takes_an_empty_one)
{
    struct place p = new_place();
    bool made = true;

    cr_expect_eq(bt_save_folder(p.folder, &made, NULL), BT_OK);
    cr_expect_not(made);
    bt_save_undo(p.folder);
    cr_expect_eq(bt_save_folder(p.folder, &made, NULL), BT_OK);
    cr_expect(made);
    bt_save_undo(p.folder);
}

Test(save, refuses_a_folder_that_holds_something)
{
    struct place p = new_place();
    struct bt_error err;
    char want[200];
    bool made;

    cr_assert_eq(bt_save_file(p.file, "x", 1, NULL), BT_OK);
    cr_expect_eq(bt_save_folder(p.folder, &made, &err), BT_ECREATE);
    snprintf(want, sizeof want,
             "%s: is not empty, and nothing in it is touched; name a new folder",
             p.folder);
    cr_expect_str_eq(err.message, want);
    cr_expect(exists(p.file));
    cr_expect_eq(bt_save_folder(p.file, &made, &err), BT_ECREATE);
    snprintf(want, sizeof want, "%s: is a file, not a folder; name a new folder",
             p.file);
    cr_expect_str_eq(err.message, want);
    bt_save_undo(p.file);
    bt_save_undo(p.folder);
}

Test(save, says_why_a_folder_cannot_be_made)
{
    struct bt_error err;
    bool made;

    cr_expect_eq(bt_save_folder("/tmp/benchtrue_none/deeper", &made, &err), BT_ECREATE);
    cr_expect_str_eq(err.message,
                     "/tmp/benchtrue_none/deeper: cannot be created: No such "
                     "file or directory");
}

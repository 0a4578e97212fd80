/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _XOPEN_SOURCE 700 /* nftw */

#include "jobdir.h"

#include <ftw.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <criterion/criterion.h>

void jobdir_make(struct jobdir *dir)
{
    memset(dir, 0, sizeof *dir);
    strcpy(dir->path, "/tmp/benchtrue-test-XXXXXX");
    cr_assert_not_null(mkdtemp(dir->path));
}

void jobdir_write(const struct jobdir *dir, const char *name, const char *text)
{
    char path[200];
    FILE *file;

    snprintf(path, sizeof path, "%s/%s", dir->path, name);
    file = fopen(path, "w");
    cr_assert_not_null(file, "%s", path);
    fputs(text, file);
    cr_assert_eq(fclose(file), 0);
}

void jobdir_load(struct jobdir *dir, const struct bt_load_options *options)
{
    dir->status = bt_job_load(dir->path, options, &dir->job, &dir->faults);
}

void jobdir_load_file(struct jobdir *dir, const char *name,
                      const struct bt_load_options *options)
{
    char path[200];

    snprintf(path, sizeof path, "%s/%s", dir->path, name);
    dir->status = bt_job_load(path, options, &dir->job, &dir->faults);
}

void jobdir_load_well(struct jobdir *dir)
{
    jobdir_load(dir, NULL);
    for (size_t i = 0; i < dir->faults.n; i++)
        cr_log_error("%s:%zu:%zu: %s", dir->faults.item[i].file,
                     dir->faults.item[i].line, dir->faults.item[i].column,
                     dir->faults.item[i].message);
    cr_assert_eq(dir->status, BT_OK);
}

void jobdir_load_set(struct jobdir *dir, const char *readings, const char *more)
{
    char text[1000];

    jobdir_make(dir);
    jobdir_write(dir, "readings.csv", readings);
    jobdir_write(dir, "lines.csv",
                 "line,from,to\nback,A,B\nac,A,C\nmiddle,DA,BC\nhalf,AB,DC\n"
                 "free,100 50,10 in 1 1/2 in\n");
    snprintf(text, sizeof text,
             "[job]\nunits = mm\n[panel]\nlength = 1200\nwidth = 600\n"
             "[readings a]\nfiles = readings.csv\n%s",
             more);
    jobdir_write(dir, "job.ini", text);
    jobdir_load_well(dir);
}

static int remove_one(const char *path, const struct stat *about, int kind,
                      struct FTW *where)
{
    (void)about;
    (void)kind;
    (void)where;
    return remove(path);
}

void jobdir_remove(struct jobdir *dir)
{
    bt_job_clear(&dir->job);
    bt_faults_clear(&dir->faults);
    nftw(dir->path, remove_one, 8, FTW_DEPTH | FTW_PHYS);
}

const struct bt_note *note_with(const struct bt_note *note, size_t n, const char *text)
{
    for (size_t i = 0; i < n; i++)
        if (strstr(note[i].text, text))
            return &note[i];
    return NULL;
}

const struct bt_note *set_note(const struct bt_set *set, const char *text)
{
    return note_with(set->note, set->nnote, text);
}

void expect_place(const struct bt_set *set, size_t obs, int k, double x, double y)
{
    const struct bt_point *at = &set->readings.point[set->readings.obs[obs].point[k]];

    cr_expect(fabs(at->x - x) <= 1e-9 && fabs(at->y - y) <= 1e-9, "reading %zu: %g, %g",
              obs, at->x, at->y);
}

void expect_fault(const struct fault_row *row)
{
    const struct bt_load_options options = {
        .length = NAN, .width = NAN, .blank_is_fault = true};
    char path[500];
    struct bt_job job;
    struct bt_faults faults = {0};
    enum bt_status status;

    snprintf(path, sizeof path, "%s/bad/%s", BT_TESTS_DIR, row->path);
    status = bt_job_load(path, &options, &job, &faults);
    cr_expect_eq(status, row->status, "%s: status %d", row->path, (int)status);
    cr_expect_eq(faults.n, 1, "%s: %zu faults", row->path, faults.n);
    if (faults.n > 0) {
        const struct bt_fault *fault = &faults.item[0];
        cr_expect_str_eq(fault->file, *row->file ? row->file : path, "%s", row->path);
        cr_expect_eq(fault->line, row->line, "%s: line %zu", row->path, fault->line);
        cr_expect_eq(fault->column, row->column, "%s: column %zu", row->path,
                     fault->column);
        cr_expect_str_eq(fault->message, row->message, "%s: %s", row->path,
                         fault->message);
    }
    bt_job_clear(&job);
    bt_faults_clear(&faults);
}

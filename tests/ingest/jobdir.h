/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef TESTS_INGEST_JOBDIR_H
#define TESTS_INGEST_JOBDIR_H

#include "benchtrue/ingest/job.h"

/* A job folder for one test, and what loading it gave. */
struct jobdir {
    char path[64];
    struct bt_job job;
    struct bt_faults faults;
    enum bt_status status;
};

/* A new empty folder; the test fails where there can be none. */
void jobdir_make(struct jobdir *dir);

/* Write a file into it. */
void jobdir_write(const struct jobdir *dir, const char *name, const char *text);

/* Load it; once for each folder. */
void jobdir_load(struct jobdir *dir, const struct bt_load_options *options);

/* Load it, or a file in it, after which job and faults are to be looked at; fails the
 * test where there is a fault. */
void jobdir_load_well(struct jobdir *dir);
void jobdir_load_file(struct jobdir *dir, const char *name,
                      const struct bt_load_options *options);

/* A job of 1200 x 600 mm in mm with a lines.csv and one set of readings.csv, loaded
 * without a fault; `more` is the rest of job.ini, beginning with keys of the set. */
void jobdir_load_set(struct jobdir *dir, const char *readings, const char *more);

/* Give everything back and remove the folder. */
void jobdir_remove(struct jobdir *dir);

/* One note of a list that holds this text; NULL where there is none. */
const struct bt_note *note_with(const struct bt_note *note, size_t n, const char *text);

const struct bt_note *set_note(const struct bt_set *set, const char *text);

/* Is point k of a reading there (to 1e-9 mm)? */
void expect_place(const struct bt_set *set, size_t obs, int k, double x, double y);

/* A fault that a file must give: it and no other. */
struct fault_row {
    const char *path; /* under tests/bad */
    enum bt_status status;
    const char *file; /* as the message names it; "": as the path is given */
    size_t line, column;
    const char *message;
};

/* Load it as `flatness` does and compare. */
void expect_fault(const struct fault_row *row);

#endif

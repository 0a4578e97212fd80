/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_FAULTS_H
#define BENCHTRUE_INGEST_FAULTS_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"

/*
 * What is wrong with the files of a job: one entry a fault, in the order found.
 * Printed as `FILE:LINE:COLUMN: what is wrong: 'the text', what would do`; a line
 * or column of 0 is left out with its colon.
 */
struct bt_fault {
    enum bt_status code;
    char *file; /* name as the maker knows it */
    size_t line, column;
    char message[480];
};

struct bt_faults {
    size_t n;
    size_t room;
    struct bt_fault *item;
    bool lost; /* memory ran out while a fault was being kept */
};

/*
 * A reader that finds this many faults in one file adds one more that says so and
 * stops: what is wrong with row 1,001 of a million is what was wrong with the first.
 */
#define BT_FAULTS_PER_FILE 1000

/* What a message repeats of the maker's text at most, in characters and bytes. */
#define BT_SHOWN_CHARACTERS 60
#define BT_SHOWN_ROOM (4 * BT_SHOWN_CHARACTERS + 4)

/*
 * text[length] made fit for a message: cut after 60 characters with `...` added,
 * never within a character; each control character, each mark that turns the writing
 * direction or has no width, and each byte that is not UTF-8, becomes `?`.  Returns
 * shown.
 */
BT_API const char *bt_fault_shown(const char *text, size_t length,
                                  char shown[BT_SHOWN_ROOM]);

/*
 * Add one; a message that does not fit is cut after a whole character.  Returns code,
 * so that a failure is one statement, or BT_ENOMEM when there is no room for it.
 * faults may be NULL: nothing is kept.
 */
BT_API enum bt_status bt_fault_add(struct bt_faults *faults, enum bt_status code,
                                   const char *file, size_t line, size_t column,
                                   const char *format, ...) BT_PRINTF(6, 7);

/* The status of the first fault, BT_ENOMEM where `lost`, BT_OK where there is none. */
BT_API enum bt_status bt_faults_status(const struct bt_faults *faults);

/* Free the entries and clear; NULL is accepted. */
BT_API void bt_faults_clear(struct bt_faults *faults);

#endif

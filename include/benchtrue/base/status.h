/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BASE_STATUS_H
#define BENCHTRUE_BASE_STATUS_H

#include <stddef.h>

#include "benchtrue/export.h"

/*
 * What a function that can fail returns.  One list gives code and text, so
 * that they cannot drift apart.  The codes say whose fault it is: the calling
 * program's, the data's, the problem's (nothing solves it), or the system's.
 */
#define BT_STATUS_LIST(X)                                                              \
    X(BT_OK, "done")                                                                   \
    X(BT_ECALL, "the program called the library wrongly")                              \
    X(BT_EINPUT, "the data are not usable")                                            \
    X(BT_ESINGULAR, "the readings do not determine it")                                \
    X(BT_ENOMEM, "out of memory")                                                      \
    X(BT_ENOFILE, "cannot be opened")                                                  \
    X(BT_EREAD, "cannot be read")                                                      \
    X(BT_ECREATE, "cannot be created")                                                 \
    X(BT_EWRITE, "cannot be written")

#define BT_STATUS_CODE(code, text) code,
enum bt_status { BT_STATUS_LIST(BT_STATUS_CODE) BT_STATUS_COUNT };
#undef BT_STATUS_CODE

/*
 * Detail of a failure, owned by the caller; every function that takes one
 * accepts NULL.  The message is a fixed array, so reporting cannot fail and
 * nothing needs freeing.
 */
struct bt_error {
    enum bt_status code;
    size_t row;        /* element at fault, from 0, where there is one */
    size_t column;     /* character at fault, from 1; 0 where there is none */
    char message[480]; /* NUL-terminated, cut to fit */
};

/*
 * The text of a status; "unknown status" for a number outside the list.
 */
BT_API const char *bt_status_text(enum bt_status status);

/*
 * Fill err (if not NULL) and return code, so that a failure is one statement.
 */
BT_API enum bt_status bt_error_set(struct bt_error *err, enum bt_status code,
                                   size_t row, size_t column, const char *format, ...)
    BT_PRINTF(5, 6);

#endif

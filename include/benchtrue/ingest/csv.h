/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_CSV_H
#define BENCHTRUE_INGEST_CSV_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/ingest/faults.h"

/*
 * A CSV file as a maker's spreadsheet or notebook produces it, read with libcsv
 * in its non-strict mode and our own checks on top: RFC 4180 with inch marks
 * allowed unquoted, separator `,` `;` or tab found from the header (the first
 * line that is neither blank nor a comment; the one of the three that occurs most
 * outside quotes, `,` where none does), UTF-8 with or without a byte order mark,
 * CRLF or LF, lines that begin with `#` (blanks before it allowed) are comments,
 * blank lines are skipped but counted.  A record is one line: a quote that is
 * opened and not closed on its line is a fault.
 */

struct bt_cell {
    const char *text; /* blanks around it removed, quotes undone; NUL-terminated */
    size_t length;    /* bytes */
    size_t column;    /* character (from 1) of the line where its text begins; for an
                         empty cell, where it would */
};

struct bt_record {
    size_t line; /* from 1, blank lines and comments counted */
    size_t n;    /* cells; equal in all records of a table */
    struct bt_cell *cell;
};

struct bt_table {
    char separator;
    bool decimal_comma; /* separator is `;` */
    size_t nrecord;     /* the header is record[0] */
    struct bt_record *record;
    void *store; /* private: text and cells */
};

/*
 * Read a whole file.
 *
 *   path     what to open
 *   name     how messages call it (relative to the job folder, or as typed)
 *   table    out: cleared first, to be freed with bt_table_clear; empty on error
 *   faults   every fault found is added, with line and column
 *
 * Faults, each BT_EINPUT and each with its line and column: an open quote, text
 * after a closing quote, a ragged row (more or fewer cells than the header; empty
 * cells at the end of a row that are too many are accepted, as spreadsheets write
 * them), a NUL byte, bytes that are not UTF-8, UTF-16 (said so, with "save as
 * UTF-8"), a line longer than 1 MB, an empty file (`nothing in it`: no header).
 * A file that cannot be opened or read: BT_ENOFILE (does not exist, is a folder,
 * no permission: three wordings) or BT_EREAD, line and column 0.
 * A file with only a header gives nrecord 1 and no fault.
 *
 * Returns BT_OK, the status of the first fault, or BT_ENOMEM.
 */
BT_API enum bt_status bt_table_read(const char *path, const char *name,
                                    struct bt_table *table, struct bt_faults *faults);

/* The same from memory: text[length], any bytes. */
BT_API enum bt_status bt_table_parse(const char *text, size_t length, const char *name,
                                     struct bt_table *table, struct bt_faults *faults);

BT_API void bt_table_clear(struct bt_table *table);

#endif

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
 * allowed unquoted, UTF-8 with or without a byte order mark, lines ended by LF,
 * CRLF or a CR alone.
 *
 * The separator is found from the header, the first line that is neither blank nor
 * a comment: the one of tab, `;` and `,` that occurs most outside quotes.  Where two
 * occur equally often it is the first of them in this order (`height_mm;0,5;1,5` has
 * decimal commas); `,` where none occurs.
 *
 * Lines that begin with `#` (spaces and tabs before it allowed; after the header of
 * a file separated by tabs spaces only, for there a tab ends an empty cell) are
 * comments; lines without anything but blanks, and rows of empty cells only, are
 * skipped but counted.
 *
 * A record is one line: a quote that is opened and not closed on its line is a
 * fault.  Only a cell that begins with a quote is a quoted cell; anywhere else a
 * quote stands for itself, as in 17 7/8".
 */

struct bt_cell {
    const char *text; /* quotes undone, blanks (spaces, tabs) around it removed, also
                         those inside the quotes; NUL-terminated */
    size_t length;    /* bytes */
    size_t column;    /* character (from 1) of the line where its text begins, behind
                         the quote that opens it; for an empty cell, where it would */
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
 * after a closing quote (at most one of the two for a line), a ragged row (more or
 * fewer cells than the header; empty cells at the end of a row or of the header that
 * are too many are dropped, as spreadsheets write them), a file without a header
 * (`nothing in it`).  A NUL byte, bytes that are not UTF-8, UTF-16 (said so, with
 * "save it as UTF-8") and a line longer than 1,000,000 bytes are looked for first,
 * and with one of them nothing else is.  After BT_FAULTS_PER_FILE faults the rest of
 * the file is not read, which is said.
 * A file that cannot be opened or read: BT_ENOFILE (does not exist, is a folder,
 * no permission: three wordings) or BT_EREAD, line and column 0.
 * A file with only a header gives nrecord 1 and no fault.
 *
 * Returns BT_OK, the status of this file's first fault, or BT_ENOMEM.
 */
BT_API enum bt_status bt_table_read(const char *path, const char *name,
                                    struct bt_table *table, struct bt_faults *faults);

/* The same from memory: text[length], any bytes. */
BT_API enum bt_status bt_table_parse(const char *text, size_t length, const char *name,
                                     struct bt_table *table, struct bt_faults *faults);

/* Free and set to zero; NULL is accepted. */
BT_API void bt_table_clear(struct bt_table *table);

#endif

/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_INI_H
#define BENCHTRUE_INGEST_INI_H

#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/ingest/faults.h"

/*
 * The lines of a job file: `[section]`, `[section NAME]` (NAME may hold blanks),
 * `name = value`; `#` or `;` at the start of a line begins a comment (not inside
 * values); blanks (spaces, tabs) at the start and end of a line are ignored; nothing
 * is cut or joined; lines end with LF, CRLF or a CR alone.  Large and small letters
 * differ.  Which sections and keys exist is not decided here.
 */

struct bt_ini_text {
    const char *text; /* blanks around it removed, NUL-terminated, UTF-8 */
    size_t length;    /* bytes */
    size_t column;    /* character of the line, from 1, where it begins (for an
                         empty value: one after the `=`) */
};

struct bt_ini_entry {
    size_t line;
    struct bt_ini_text key, value;
};

struct bt_ini_section {
    size_t line;
    struct bt_ini_text kind; /* first word: `readings` */
    struct bt_ini_text name; /* the rest, inner blanks as typed: `after glue-up`;
                                length 0 where there is none */
    size_t nentry;
    struct bt_ini_entry *entry;
};

struct bt_ini {
    size_t nsection;
    struct bt_ini_section *section;
    void *store; /* private */
};

/*
 * Read a whole job file.  Arguments and file errors as in bt_table_read.
 *
 * Faults, each BT_EINPUT with line and column: a line that is neither section,
 * entry nor comment (no `=`), an entry before the first section (the first only), a
 * section head without `]` or with text after it, an empty section head, an empty
 * key, a key repeated within a section and a section (kind and name) repeated, each
 * naming both lines.  A NUL byte, bytes that are not UTF-8, UTF-16 and a line longer
 * than 1,000,000 bytes are looked for first, and with one of them nothing else is.
 * After BT_FAULTS_PER_FILE faults the rest of the file is not read, which is said.
 * An empty value is kept (length 0): it means "not stated".  An empty file gives no
 * section and no fault.
 *
 * Returns BT_OK, the status of this file's first fault, or BT_ENOMEM.
 */
BT_API enum bt_status bt_ini_read(const char *path, const char *name,
                                  struct bt_ini *ini, struct bt_faults *faults);

/* The same from memory: text[length], any bytes. */
BT_API enum bt_status bt_ini_parse(const char *text, size_t length, const char *name,
                                   struct bt_ini *ini, struct bt_faults *faults);

/* Free and set to zero; NULL is accepted. */
BT_API void bt_ini_clear(struct bt_ini *ini);

#endif

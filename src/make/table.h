/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_MAKE_TABLE_H
#define BENCHTRUE_MAKE_TABLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/*
 * What the tools that run while the program is built share: they turn a table of
 * reference/ into the rows of a C table.  Not part of the library: a fault is printed
 * to stderr at once, as `FILE:LINE: what is wrong: 'the text'`, the first of a table
 * only, and nothing is written then.
 */
enum { TABLE_CELL = 400, TABLE_COLUMNS = 32 };

struct table;

/* One row below the header, cells in t->cell by index of column. */
typedef void table_row(struct table *t, void *data);

/* Set path, ncolumn, names, take and data, the rest zero; large, so not on the stack of
 * a recursive function. */
struct table {
    const char *path;
    size_t ncolumn;           /* 1 to TABLE_COLUMNS */
    const char *const *names; /* the header must be these, in this order */
    table_row *take;
    void *data;
    /* in work */
    size_t line;   /* of the byte being read, from 1 */
    size_t row;    /* line on which the row began */
    size_t column; /* cells of the row so far */
    char cell[TABLE_COLUMNS][TABLE_CELL];
    bool has_header, failed;
};

/*
 * Read the table whole: RFC 4180, printable ASCII, blank lines skipped, each row with
 * as many cells as the header.  False (and t->failed) after a fault, also one that
 * `take` reported.
 */
bool table_read(struct table *t);

/* The same of a table that is set up here: what a tool with one table needs. */
bool table_read_as(struct table *t, const char *path, size_t ncolumn,
                   const char *const names[], table_row *take, void *data);

/* Report a fault at the row in hand. */
void table_fault(struct table *t, const char *what, const char *text);

/* Index of text among the names; n where it is none of them. */
size_t table_index(size_t n, const char *const names[], const char *text);

/* Whether text is whole a decimal number (a digit or `-` and a digit first, no
 * hexadecimal, finite); then *value is set. */
bool table_decimal(const char *text, double *value);

/* Fault unless status is one that reference/README.md lists and source is there, or is
 * not there for `common practice, no source`. */
void table_check_source(struct table *t, const char *status, const char *source);

/* A listed status, alone or followed by `; ` or `, ` and words of explanation. */
bool table_status_known(const char *status);

/* The text as a C string literal; a number so that it reads back the same, NAN. */
void table_put_text(FILE *out, const char *text);
void table_put_number(FILE *out, double value);

/*
 * Write path through `put`, beside it first and renamed then, so that nobody finds half
 * a file.  False, with a message, where that fails.
 */
bool table_write(const char *path, void (*put)(FILE *out, const void *data),
                 const void *data);

/* A tool: `NAME TABLE... OUT.inc`. */
struct table_tool {
    const char *name;
    const char *tables; /* as the usage calls them */
    int ntable;
    size_t size;                            /* of what `make` works with, zeroed */
    bool (*make)(void *maker, char **argv); /* argv[1] ...: the tables, then OUT.inc */
};

/* What main returns: 0 made, 1 after a fault, 2 for a wrong call. */
int table_tool_run(const struct table_tool *tool, int argc, char **argv);

#endif

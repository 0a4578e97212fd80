/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_TESTS_REFERENCE_H
#define BENCHTRUE_TESTS_REFERENCE_H

#include <stdbool.h>
#include <stddef.h>

/*
 * Tables of reference/ for tests, read by column name.  Whatever is not there or
 * not readable (file, column, row, a ragged row, a cell that is no number) ends the
 * test with a message and abort(), so that a test cannot pass over missing data.
 */

struct reference;

/*
 * Read BT_REFERENCE_DIR/NAME whole, e.g. "metrology/gum_h3_thermometer.csv"; the
 * first row names the columns.  Give back with reference_free.
 */
struct reference *reference_load(const char *name);

/* NULL is accepted. */
void reference_free(struct reference *table);

/* Rows below the header. */
size_t reference_rows(const struct reference *table);

size_t reference_columns(const struct reference *table);

/* Index of the column of that name, letter by letter. */
size_t reference_column(const struct reference *table, const char *column);

/* First row at or after `from` whose cell in that column is that text. */
size_t reference_find(const struct reference *table, const char *column,
                      const char *text, size_t from);

/* Text of a cell, "" where it is empty; row from 0, lives as long as the table. */
const char *reference_text(const struct reference *table, size_t row,
                           const char *column);

/* Whether the cell holds nothing. */
bool reference_empty(const struct reference *table, size_t row, const char *column);

/* The cell as a number, read whole; an empty cell or one with text in it aborts. */
double reference_number(const struct reference *table, size_t row, const char *column);

/* The same by column index. */
const char *reference_text_at(const struct reference *table, size_t row, size_t column);
double reference_number_at(const struct reference *table, size_t row, size_t column);

#endif

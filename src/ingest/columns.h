/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_COLUMNS_H
#define BENCHTRUE_INGEST_COLUMNS_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/feeler.h"
#include "benchtrue/base/quantity.h"
#include "benchtrue/ingest/csv.h"
#include "benchtrue/ingest/faults.h"

/* The columns of a table by name and unit, and their cells as quantities. */

/* What a table is read with. */
struct bt_sheet {
    const char *name; /* as messages call the file */
    const struct bt_table *table;
    enum bt_unit unit; /* of bare lengths; BT_UNIT_NONE where none is known */
    struct bt_faults *faults;
};

struct bt_column_spec {
    const char *name;
    enum bt_dimension dim; /* BT_DIM_NUMBER: text, which takes no unit */
    bool any_dim;          /* u: a length or a slope */
};

struct bt_column {
    bool there;
    size_t index; /* of the cell in a record */
    enum bt_dimension dim;
    enum bt_unit unit; /* of bare numbers; BT_UNIT_NONE where none is known */
    bool told;         /* that no unit is known has been said */
};

/*
 * Find the columns of the header, record[0].
 *
 *   what      what the file holds, for messages: "readings"
 *   column    out: [nspec], in the order of spec
 *
 * A column is a name, case ignored, with `_UNIT`, ` UNIT` or ` (UNIT)` after it; names
 * that begin with `note` are left alone.  Faults: an unknown name (all known ones are
 * listed with the first), a
 * unit that is none or of another dimension, a column twice, a column without a
 * name.  Returns BT_OK or BT_EINPUT.
 */
enum bt_status bt_columns_find(const struct bt_sheet *sheet, const char *what,
                               size_t nspec, const struct bt_column_spec spec[],
                               struct bt_column column[]);

/* Does the record name no column, and hold what looks like a number?  Then the table
 * begins without a header. */
bool bt_columns_no_header(const struct bt_record *record, size_t nspec,
                          const struct bt_column_spec spec[]);

/* Is every cell of the record that is not empty the name of a column?  (Then it
 * is a second header.) */
bool bt_columns_are_names(const struct bt_record *record, size_t nspec,
                          const struct bt_column_spec spec[]);

/* Is a cell of this column missing or empty? */
bool bt_cell_empty(const struct bt_record *record, const struct bt_column *column);

/* A fault at a cell.  Returns BT_EINPUT (or BT_ENOMEM). */
enum bt_status bt_cell_fault(const struct bt_sheet *sheet,
                             const struct bt_record *record,
                             const struct bt_column *column, const char *format, ...)
    BT_PRINTF(4, 5);

/*
 * Read a cell that is not empty.  That a column has no unit is said once, at its
 * header.  BT_OK, or BT_EINPUT with the fault added and *out untouched.
 */
enum bt_status bt_cell_quantity(const struct bt_sheet *sheet,
                                const struct bt_record *record,
                                struct bt_column *column, struct bt_quantity *out);
enum bt_status bt_cell_gap(const struct bt_sheet *sheet, const struct bt_record *record,
                           struct bt_column *column, size_t nfeeler,
                           const struct bt_feeler feeler[], struct bt_gap *out);

/* A length or percentage that must be there: NaN where the cell is empty.  `least`:
 * the value must be above it; give -INFINITY to accept all. */
enum bt_status bt_cell_number(const struct bt_sheet *sheet,
                              const struct bt_record *record, struct bt_column *column,
                              double least, double *out);

/* A standard uncertainty, > 0; NaN where the cell is empty. */
enum bt_status bt_cell_u(const struct bt_sheet *sheet, const struct bt_record *record,
                         struct bt_column *column, double *out);

/* One of n words, case ignored; *out: which, untouched where the cell is empty. */
enum bt_status bt_cell_choice(const struct bt_sheet *sheet,
                              const struct bt_record *record,
                              const struct bt_column *column, size_t n,
                              const char *const words[], size_t *out);

/* A copy of the cell's text, "" where it is empty or has no column; NULL when there
 * is no memory. */
char *bt_cell_text(const struct bt_record *record, const struct bt_column *column);

#endif

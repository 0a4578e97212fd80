/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/load.h"

#include <math.h>

#include "benchtrue/base/alloc.h"
#include "ingest/columns.h"

/* thickness.csv: how thick the panel is at some places, by caliper. */

enum { X, Y, THICKNESS, U, NCOLUMN };
static const struct bt_column_spec columns[NCOLUMN] = {
    {.name = "x", .dim = BT_DIM_LENGTH},
    {.name = "y", .dim = BT_DIM_LENGTH},
    {.name = "thickness", .dim = BT_DIM_LENGTH},
    {.name = "u", .dim = BT_DIM_LENGTH},
};

static const char file[] = "thickness.csv";

/* A place must lie on the panel. */
static void check_place(struct bt_load *load, const struct bt_sheet *sheet,
                        const struct bt_record *record, const struct bt_column *column,
                        double mm, bool across)
{
    char outside[BT_KNOWN_ROOM];
    const char *why = isnan(mm) ? NULL : bt_say_outside(outside, load->job, mm, across);
    const struct bt_cell *cell = &record->cell[column->index];
    char shown[BT_SHOWN_ROOM];

    if (why)
        bt_cell_fault(sheet, record, column, "outside the panel: '%s', %s",
                      bt_fault_shown(cell->text, cell->length, shown), why);
}

/* A row without a thickness is a reading not taken. */
static void read_row(struct bt_load *load, const struct bt_sheet *sheet,
                     const struct bt_record *record, struct bt_column column[NCOLUMN])
{
    struct bt_thickness_place place = {.line = record->line};

    if (bt_cell_empty(record, &column[THICKNESS]))
        return;
    for (int i = X; i <= Y; i++)
        if (bt_cell_empty(record, &column[i])) {
            bt_cell_fault(sheet, record, &column[i],
                          "%s is missing: type where the thickness was read",
                          columns[i].name);
            return;
        }
    bt_cell_number(sheet, record, &column[X], -INFINITY, &place.x);
    bt_cell_number(sheet, record, &column[Y], -INFINITY, &place.y);
    bt_cell_number(sheet, record, &column[THICKNESS], 0, &place.thickness);
    bt_cell_u(sheet, record, &column[U], &place.u);
    check_place(load, sheet, record, &column[X], place.x, false);
    check_place(load, sheet, record, &column[Y], place.y, true);
    load->job->thickness[load->job->nthickness++] = place;
}

enum bt_status bt_thickness_read(struct bt_load *load)
{
    struct bt_column column[NCOLUMN];
    struct bt_table table;
    bool usable;
    enum bt_status status = bt_inside_table(load, file, &table, &usable);
    const struct bt_sheet sheet = {file, &table, load->job->unit, load->faults};

    if (status == BT_OK && usable &&
        bt_columns_find(&sheet, "thicknesses", NCOLUMN, columns, column) == BT_OK) {
        for (int i = X; i <= THICKNESS && usable; i++)
            if (!column[i].there) {
                usable = false;
                bt_fault_add(load->faults, BT_EINPUT, file, table.record->line, 1,
                             "no column '%s': a table of thicknesses has x,y,thickness",
                             columns[i].name);
            }
        load->job->thickness =
            usable ? bt_alloc(table.nrecord, sizeof *load->job->thickness) : NULL;
        if (usable && !load->job->thickness)
            status = BT_ENOMEM;
        for (size_t i = 1; usable && status == BT_OK && i < table.nrecord; i++)
            read_row(load, &sheet, &table.record[i], column);
    }
    bt_table_clear(&table);
    return status;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/gather.h"

/*
 * A grid as people write it on paper: the corner cell says quantity, unit and unit of
 * the positions, the first row holds x, the first column holds y.
 */
struct grid {
    struct bt_gather *g;
    struct bt_sheet *sheet;
    enum layout { HEIGHTS, ALONG, ACROSS } layout;
    struct bt_column value;    /* of the readings; index moves with the cell read */
    struct bt_column position; /* of x and y; as above */
    double *x;                 /* [columns] mm; x[0] belongs to the corner cell */
};

static const struct {
    const char *name;
    enum layout layout;
} layouts[] = {{"height", HEIGHTS}, {"gap-along", ALONG}, {"gap-across", ACROSS}};

bool bt_grid_is(const struct bt_table *table)
{
    const struct bt_cell *corner = &table->record[0].cell[0];

    return corner->length && memchr(corner->text, '@', corner->length);
}

/* ---- the corner cell ---- */

static enum bt_status corner_fault(struct grid *grid, const char *what)
{
    const struct bt_record *header = &grid->sheet->table->record[0];
    char shown[BT_SHOWN_ROOM];

    return bt_fault_add(
        grid->sheet->faults, BT_EINPUT, grid->sheet->name, header->line,
        header->cell[0].column,
        "%s: '%s', write the corner cell as height_thou@in, gap-along_thou@in or "
        "gap-across_mm@mm",
        what, bt_fault_shown(header->cell[0].text, header->cell[0].length, shown));
}

static enum bt_status read_corner(struct grid *grid)
{
    const struct bt_cell *corner = &grid->sheet->table->record[0].cell[0];
    const char *at = memchr(corner->text, '@', corner->length);
    const char *end = corner->text + corner->length;
    size_t head = (size_t)(at - corner->text), n = 0, k;

    for (k = 0; k < sizeof layouts / sizeof *layouts; k++) {
        n = strlen(layouts[k].name);
        if (n <= head && bt_names_alike(corner->text, layouts[k].name, n) &&
            (n == head || corner->text[n] == '_'))
            break;
    }
    if (k == sizeof layouts / sizeof *layouts)
        return corner_fault(grid, "a grid of an unknown quantity");
    grid->layout = layouts[k].layout;
    grid->value = grid->position = (struct bt_column){
        .there = true, .dim = BT_DIM_LENGTH, .unit = grid->sheet->unit};
    if (n < head)
        grid->value.unit = bt_unit_find(corner->text + n + 1, head - n - 1);
    grid->position.unit = bt_unit_find(at + 1, (size_t)(end - at - 1));
    if (bt_unit_dimension(grid->position.unit) != BT_DIM_LENGTH)
        return corner_fault(grid, "no unit of length for the positions");
    if (n < head && bt_unit_dimension(grid->value.unit) != BT_DIM_LENGTH)
        return corner_fault(grid, "no unit of length for the readings");
    if (grid->value.unit == BT_UNIT_NONE)
        return corner_fault(grid, "no unit known for the readings");
    return BT_OK;
}

/* ---- positions ---- */

static enum bt_status position_fault(struct grid *grid, const struct bt_record *record,
                                     const char *what, const char *fix)
{
    const struct bt_cell *cell = &record->cell[grid->position.index];
    char shown[BT_SHOWN_ROOM];

    if (cell->length == 0)
        return bt_cell_fault(grid->sheet, record, &grid->position, "%s: %s", what, fix);
    return bt_cell_fault(grid->sheet, record, &grid->position, "%s: '%s', %s", what,
                         bt_fault_shown(cell->text, cell->length, shown), fix);
}

/* The position in a cell of the first row or column; NaN where it cannot be read.
 * The rows are read on after a fault, so that theirs are told too: nothing is
 * computed from them. */
static double read_position(struct grid *grid, const struct bt_record *record,
                            size_t index, double before)
{
    bool across = index == 0;
    struct bt_quantity quantity;
    char why[BT_KNOWN_ROOM];
    const char *outside;

    grid->position.index = index;
    if (record->cell[index].length == 0) {
        position_fault(grid, record,
                       across ? "no y for this row" : "no x for this column",
                       "type where it was read");
        return NAN;
    }
    if (bt_cell_quantity(grid->sheet, record, &grid->position, &quantity) != BT_OK)
        return NAN;
    outside = bt_say_outside(why, grid->g->load->job, quantity.value, across);
    if (outside)
        position_fault(grid, record, "outside the panel", outside);
    else if (quantity.value <= before)
        position_fault(grid, record, "positions must increase",
                       across ? "y runs from the back edge, row by row"
                              : "x runs from the left end, column by column");
    return quantity.value;
}

static void read_columns(struct grid *grid)
{
    const struct bt_record *header = &grid->sheet->table->record[0];
    double before = -INFINITY;

    for (size_t i = 1; i < header->n; i++) {
        grid->x[i] = read_position(grid, header, i, before);
        if (!isnan(grid->x[i]))
            before = grid->x[i];
    }
}

/* ---- readings ---- */

static enum bt_status read_gap(struct grid *grid, const struct bt_record *record,
                               struct bt_typed *typed)
{
    const struct bt_job *job = grid->g->load->job;
    struct bt_gap gap;

    if (bt_cell_gap(grid->sheet, record, &grid->value, job->nfeeler, job->feeler,
                    &gap) != BT_OK)
        return BT_EINPUT;
    typed->kind = BT_READ_GAP;
    typed->value = bt_gap_value(&gap);
    bt_gather_typing(typed, &gap);
    bt_gather_u(grid->g, typed, NAN, bt_gap_u(&gap));
    return bt_gather_note_odd(grid->g, grid->sheet, record, grid->value.index, gap.odd);
}

static enum bt_status read_height(struct grid *grid, const struct bt_record *record,
                                  struct bt_typed *typed)
{
    struct bt_quantity quantity;
    struct bt_gap gap;

    if (bt_cell_quantity(grid->sheet, record, &grid->value, &quantity) != BT_OK)
        return BT_EINPUT;
    gap = bt_gap_of_quantity(&quantity);
    typed->kind = BT_READ_HEIGHT;
    typed->value = quantity.value;
    bt_gather_typing(typed, &gap);
    bt_gather_u(grid->g, typed, NAN, NAN);
    return bt_gather_note_odd(grid->g, grid->sheet, record, grid->value.index, gap.odd);
}

/* What the line of a cell is called: its y, or x. */
static const struct bt_cell *name_of(const struct grid *grid,
                                     const struct bt_record *record, size_t index)
{
    return grid->layout == ALONG ? &record->cell[0]
                                 : &grid->sheet->table->record[0].cell[index];
}

/* Line or set-up of a cell: all rows of a grid of heights are one set-up. */
static enum bt_status owner_of(struct grid *grid, const struct bt_record *record,
                               size_t index, size_t *owner)
{
    static const struct bt_cell unnamed = {.text = "", .length = 0};
    struct bt_gather *g = grid->g;
    const struct bt_cell *name = name_of(grid, record, index);

    if (grid->layout == HEIGHTS)
        return bt_gather_setup(g, &unnamed, g->instrument, record->line, owner);
    return bt_gather_placement(g, name, bt_gather_edge(g, g->instrument), record->line,
                               owner);
}

static enum bt_status read_cell(struct grid *grid, const struct bt_record *record,
                                size_t index, double y)
{
    struct bt_gather *g = grid->g;
    struct bt_typed typed = {.line = record->line, .instrument = g->instrument};
    struct bt_point place = {grid->x[index], y};
    char words[BT_PLACE_ROOM];
    enum bt_status status;

    if (owner_of(grid, record, index, &typed.owner) != BT_OK)
        return BT_ENOMEM;
    if (grid->layout != HEIGHTS)
        bt_placement_place(&g->placement[typed.owner], &place);
    if (record->cell[index].length == 0) {
        bt_say_place(words, &place, g->load->job->system);
        typed.kind = grid->layout == HEIGHTS ? BT_READ_HEIGHT : BT_READ_GAP;
        return bt_gather_blank(
            g, &typed, grid->layout == HEIGHTS ? NULL : name_of(grid, record, index),
            &place, isfinite(place.x) && isfinite(place.y) ? words : "");
    }
    grid->value.index = index;
    status = (grid->layout == HEIGHTS ? read_height : read_gap)(grid, record, &typed);
    if (status != BT_OK)
        return status == BT_ENOMEM ? BT_ENOMEM : BT_OK;
    return bt_gather_add(g, &typed, &place);
}

static enum bt_status read_grid_rows(struct grid *grid)
{
    const struct bt_table *table = grid->sheet->table;
    double before = -INFINITY;

    for (size_t i = 1; i < table->nrecord; i++) {
        const struct bt_record *record = &table->record[i];
        double y = read_position(grid, record, 0, before);
        if (bt_gather_too_many(grid->g, grid->sheet, record->line))
            break;
        if (grid->layout == HEIGHTS)
            bt_gather_step(grid->g, y - before, grid->g->file, record->line);
        if (!isnan(y))
            before = y;
        for (size_t k = 1; k < record->n; k++)
            if (read_cell(grid, record, k, y) != BT_OK)
                return BT_ENOMEM;
    }
    return BT_OK;
}

enum bt_status bt_grid_read(struct bt_gather *g, struct bt_sheet *sheet)
{
    struct grid grid = {.g = g, .sheet = sheet};
    const struct bt_record *header = &sheet->table->record[0];
    enum bt_status status;

    if (read_corner(&grid) != BT_OK)
        return BT_OK;
    if (bt_gather_instrument(g, grid.layout == HEIGHTS ? BT_READ_HEIGHT
                                                       : BT_READ_GAP) != BT_OK)
        return BT_ENOMEM;
    bt_gather_system(g, grid.position.unit);
    grid.x = bt_alloc(header->n, sizeof *grid.x);
    if (!grid.x)
        return BT_ENOMEM;
    read_columns(&grid);
    if (grid.layout == HEIGHTS)
        for (size_t i = 2; i < header->n; i++)
            bt_gather_step(g, grid.x[i] - grid.x[i - 1], g->file, header->line);
    status = read_grid_rows(&grid);
    bt_free(grid.x);
    return status;
}

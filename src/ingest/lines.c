/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/load.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/columns.h"
#include "ingest/points.h"

static const char lines_file[] = "lines.csv";

enum { LINE, FROM, TO, NCOLUMN };
static const struct bt_column_spec columns[NCOLUMN] = {
    {.name = "line", .dim = BT_DIM_NUMBER},
    {.name = "from", .dim = BT_DIM_LENGTH},
    {.name = "to", .dim = BT_DIM_LENGTH},
};

/* Corners and mid-sides as shares of length and width (design, conventions: A back
 * left, B back right, C front right, D front left; y runs from back to front). */
static const struct corner {
    const char *name;
    double x, y;
} corners[] = {
    {"A", 0, 0},    {"B", 1, 0},    {"C", 1, 1},    {"D", 0, 1},
    {"AB", 0.5, 0}, {"BA", 0.5, 0}, {"BC", 1, 0.5}, {"CB", 1, 0.5},
    {"CD", 0.5, 1}, {"DC", 0.5, 1}, {"DA", 0, 0.5}, {"AD", 0, 0.5},
};

static const struct corner *corner_of(const struct bt_cell *cell)
{
    for (size_t i = 0; i < sizeof corners / sizeof *corners; i++)
        if (strlen(corners[i].name) == cell->length &&
            memcmp(corners[i].name, cell->text, cell->length) == 0)
            return &corners[i];
    return NULL;
}

struct pair {
    const struct bt_sheet *sheet;
    const struct bt_cell *cell;
    enum bt_unit unit;
    size_t found; /* ways of cutting the text into two lengths */
    struct bt_point at;
};

static bool length_of(const struct pair *pair, size_t from, size_t to, double *mm)
{
    struct bt_quantity quantity;

    if (bt_quantity_parse(pair->cell->text + from, to - from, BT_DIM_LENGTH, pair->unit,
                          pair->sheet->table->decimal_comma, &quantity, NULL) != BT_OK)
        return false;
    *mm = quantity.value;
    return true;
}

/* Lengths hold blanks (`17 7/8 in 20 in`): try each blank as the one between. */
static void cut_in_two(struct pair *pair)
{
    const struct bt_cell *cell = pair->cell;

    for (size_t i = 1; i + 1 < cell->length; i++) {
        struct bt_point at;
        if (cell->text[i] != ' ' || cell->text[i - 1] == ' ')
            continue;
        if (length_of(pair, 0, i, &at.x) && length_of(pair, i, cell->length, &at.y)) {
            pair->at = at;
            pair->found++;
        }
    }
}

static bool begins_a_length(const struct bt_cell *cell)
{
    return strchr("0123456789.+-", cell->text[0]) != NULL ||
           ((unsigned char)cell->text[0] & 0x80) != 0;
}

static enum bt_status wrong_end(const struct pair *pair, const struct bt_record *record,
                                const struct bt_column *column)
{
    struct pair dressed = *pair;
    char shown[BT_SHOWN_ROOM];

    bt_fault_shown(pair->cell->text, pair->cell->length, shown);
    if (!begins_a_length(pair->cell))
        return bt_cell_fault(
            pair->sheet, record, column,
            "unknown corner: '%s', corners are A, B, C, D, mid-sides AB, "
            "BC, CD, DA, other places `x y`",
            shown);
    if (pair->found > 1)
        return bt_cell_fault(
            pair->sheet, record, column,
            "two ways to read it: '%s', write the unit after x and after "
            "y",
            shown);
    dressed.unit = BT_UNIT_MM;
    cut_in_two(&dressed);
    if (pair->unit == BT_UNIT_NONE && dressed.found)
        return bt_cell_fault(
            pair->sheet, record, column,
            "no unit known for bare numbers: '%s', write it after x and "
            "after y, or state units in [job]",
            shown);
    return bt_cell_fault(
        pair->sheet, record, column,
        "no place: '%s', write a corner or two lengths as `300 mm 25 mm`", shown);
}

static enum bt_status check_inside(struct bt_load *load, const struct bt_sheet *sheet,
                                   const struct bt_record *record,
                                   const struct bt_column *column,
                                   const struct bt_point *at)
{
    char why[BT_KNOWN_ROOM], shown[BT_SHOWN_ROOM];
    const struct bt_cell *cell = &record->cell[column->index];
    const char *outside = bt_say_outside(why, load->job, at->x, false);

    if (!outside)
        outside = bt_say_outside(why, load->job, at->y, true);
    if (!outside)
        return BT_OK;
    return bt_cell_fault(sheet, record, column, "outside the panel: '%s', %s",
                         bt_fault_shown(cell->text, cell->length, shown), outside);
}

static enum bt_status read_end(struct bt_load *load, const struct bt_sheet *sheet,
                               const struct bt_record *record,
                               const struct bt_column *column, struct bt_point *out)
{
    const struct bt_cell *cell = &record->cell[column->index];
    const struct corner *corner = corner_of(cell);
    struct pair pair = {.sheet = sheet, .cell = cell, .unit = column->unit};
    char shown[BT_SHOWN_ROOM];

    bt_fault_shown(cell->text, cell->length, shown);
    if (cell->length == 0)
        return bt_cell_fault(sheet, record, column,
                             "an end is missing: write a corner or `x y`");
    if (corner) {
        out->x = corner->x * load->job->panel.length;
        out->y = corner->y * load->job->panel.width;
        if (isfinite(out->x) && isfinite(out->y))
            return BT_OK;
        if (load->panel_bad) /* told once, where it is to be mended */
            return BT_EINPUT;
        return bt_cell_fault(
            sheet, record, column,
            "size of the panel not known: '%s', state length and width "
            "in [panel], or the end as `x y`",
            shown);
    }
    cut_in_two(&pair);
    if (pair.found != 1)
        return wrong_end(&pair, record, column);
    *out = pair.at;
    return check_inside(load, sheet, record, column, out);
}

static enum bt_status keep_line(struct bt_load *load, const struct bt_named_line *line,
                                const struct bt_cell *name)
{
    struct bt_named_lines *lines = &load->lines;
    struct bt_named_line *grown;

    grown = bt_grow(lines->item, &lines->room, lines->n + 1, sizeof *grown);
    if (!grown)
        return BT_ENOMEM;
    lines->item = grown;
    grown[lines->n] = *line;
    grown[lines->n].name = bt_copy_text(name->text, name->length);
    if (!grown[lines->n].name)
        return BT_ENOMEM;
    lines->n++;
    return bt_names_add(&lines->names, grown[lines->n - 1].name, name->length, 0,
                        lines->n - 1);
}

static enum bt_status read_line(struct bt_load *load, const struct bt_sheet *sheet,
                                const struct bt_record *record,
                                const struct bt_column column[])
{
    struct bt_named_line line = {.line = record->line};
    const struct bt_cell *name = &record->cell[column[LINE].index];
    size_t before = bt_names_find(&load->lines.names, name->text, name->length, 0);
    char shown[BT_SHOWN_ROOM];
    bool bad;

    bt_fault_shown(name->text, name->length, shown);
    if (name->length == 0) {
        bt_cell_fault(sheet, record, &column[LINE],
                      "the line has no name: give it one");
        return BT_OK;
    }
    if (before != SIZE_MAX) {
        bt_cell_fault(sheet, record, &column[LINE],
                      "a line twice: '%s' is line %zu of this file already", shown,
                      load->lines.item[before].line);
        return BT_OK;
    }
    bad = read_end(load, sheet, record, &column[FROM], &line.from) != BT_OK;
    bad |= read_end(load, sheet, record, &column[TO], &line.to) != BT_OK;
    line.length = bad ? NAN : hypot(line.to.x - line.from.x, line.to.y - line.from.y);
    if (!bad && !(line.length > BT_PLACE_ROUNDING)) {
        line.length = NAN;
        bt_cell_fault(sheet, record, &column[TO],
                      "a line without length: '%s' ends where it begins", shown);
    }
    /* A line with a wrong end stays known, so that its readings are not reported as
     * readings on an unknown line. */
    return keep_line(load, &line, name);
}

static enum bt_status read_rows(struct bt_load *load, const struct bt_sheet *sheet)
{
    struct bt_column column[NCOLUMN];
    const struct bt_record *record = sheet->table->record;

    if (bt_columns_find(sheet, lines_file, NCOLUMN, columns, column) != BT_OK)
        return BT_OK;
    for (int i = 0; i < NCOLUMN; i++)
        if (!column[i].there) {
            bt_fault_add(load->faults, BT_EINPUT, lines_file, record->line, 1,
                         "no column '%s': the header is line,from,to", columns[i].name);
            return BT_OK;
        }
    load->lines.usable = true;
    for (size_t i = 1; i < sheet->table->nrecord; i++)
        if (read_line(load, sheet, &record[i], column) != BT_OK)
            return BT_ENOMEM;
    return BT_OK;
}

enum bt_status bt_lines_read(struct bt_load *load)
{
    char path[BT_PATH_ROOM];
    struct bt_table table;
    struct bt_sheet sheet = {lines_file, &table, load->job->unit, load->faults};
    const struct bt_spot_in_file by = {lines_file, 0, 0};
    enum bt_status status = BT_OK;

    if (load->lines.tried)
        return BT_OK;
    load->lines.tried = true;
    load->lines.names.any_case = true;
    load->lines.there = bt_inside_exists(load, lines_file);
    if (!load->lines.there || bt_inside_path(load, lines_file, path) != BT_OK ||
        bt_inside_check(load, lines_file, &by) != BT_OK)
        return BT_OK;
    switch (bt_table_read(path, lines_file, &table, load->faults)) {
    case BT_OK:
        status = read_rows(load, &sheet);
        break;
    case BT_ENOMEM:
        status = BT_ENOMEM;
        break;
    default:
        break;
    }
    bt_table_clear(&table);
    return status;
}

enum bt_status bt_lines_unused(struct bt_load *load)
{
    char shown[BT_SHOWN_ROOM];

    for (size_t i = 0; i < load->lines.n; i++) {
        const struct bt_named_line *line = &load->lines.item[i];
        if (!line->used &&
            bt_note_add(&load->notes, lines_file, line->line,
                        "no readings file uses line '%s'",
                        bt_fault_shown(line->name, strlen(line->name), shown)) != BT_OK)
            return BT_ENOMEM;
    }
    return BT_OK;
}

void bt_lines_clear(struct bt_named_lines *lines)
{
    for (size_t i = 0; i < lines->n; i++)
        bt_free(lines->item[i].name);
    bt_free(lines->item);
    bt_names_clear(&lines->names);
    memset(lines, 0, sizeof *lines);
}

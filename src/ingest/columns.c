/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/columns.h"

#include <math.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/base/nearest.h"
#include "ingest/names.h"
#include "ingest/say.h"

static const char *units_of(enum bt_dimension dim)
{
    switch (dim) {
    case BT_DIM_LENGTH:
        return "mm, cm, m, um, in, ft, thou";
    case BT_DIM_SLOPE:
        return "mm_per_m, deg";
    case BT_DIM_ANGLE:
        return "deg, rad";
    case BT_DIM_PERCENT:
        return "pct";
    default:
        return "none";
    }
}

/* An angle is a slope, too. */
static bool fits(enum bt_unit unit, enum bt_dimension dim)
{
    enum bt_dimension of = bt_unit_dimension(unit);

    return of == dim || (dim == BT_DIM_SLOPE && of == BT_DIM_ANGLE);
}

/* Is the cell's text that name up to its end, blanks as good as `_`? */
static bool begins_with(const struct bt_cell *cell, const char *name, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!bt_names_alike(&cell->text[i], &name[i], 1) &&
            !(cell->text[i] == ' ' && name[i] == '_'))
            return false;
    return true;
}

/* What follows the name: `_mm`, ` mm`, ` (mm)` without its dress. */
static void unit_after(const struct bt_cell *cell, size_t n, const char **unit,
                       size_t *length)
{
    const char *at = cell->text + n, *end = cell->text + cell->length;

    while (at < end && (*at == ' ' || *at == '_'))
        at++;
    if (end - at > 1 && *at == '(' && end[-1] == ')') {
        at++;
        end--;
    }
    while (at < end && *at == ' ')
        at++;
    while (end > at && end[-1] == ' ')
        end--;
    *unit = at;
    *length = (size_t)(end - at);
}

/* The longest known name that the text is, or begins with before its unit; nspec
 * where there is none. */
static size_t spec_of(const struct bt_cell *cell, size_t nspec,
                      const struct bt_column_spec spec[])
{
    size_t best = nspec, longest = 0;

    for (size_t i = 0; i < nspec; i++) {
        size_t n = strlen(spec[i].name);
        bool text = spec[i].dim == BT_DIM_NUMBER;
        if (n <= longest || n > cell->length || !begins_with(cell, spec[i].name, n))
            continue;
        if (n == cell->length || (!text && strchr("_ (", cell->text[n]))) {
            best = i;
            longest = n;
        }
    }
    return best;
}

static bool is_note(const struct bt_cell *cell)
{
    return cell->length >= 4 && bt_names_alike(cell->text, "note", 4);
}

/* All names are listed once a header, however many it holds that are not known. */
static enum bt_status unknown_column(const struct bt_sheet *sheet, const char *what,
                                     const struct bt_cell *cell, size_t nspec,
                                     const struct bt_column_spec spec[], bool *listed)
{
    const char *names[32];
    char list[BT_KNOWN_ROOM], shown[BT_SHOWN_ROOM], said[BT_SHOWN_ROOM];
    const char *end = memchr(cell->text, '_', cell->length), *near;
    size_t n = nspec < 32 ? nspec : 32, line = sheet->table->record[0].line;
    bool first = !*listed;

    for (size_t i = 0; i < n; i++)
        names[i] = spec[i].name;
    *listed = true;
    near = bt_nearest(cell->text, end ? (size_t)(end - cell->text) : cell->length, n,
                      names);
    bt_fault_shown(cell->text, cell->length, shown);
    if (near && !first)
        return bt_fault_add(sheet->faults, BT_EINPUT, sheet->name, line, cell->column,
                            "unknown column: '%s', did you mean '%s'?", shown, near);
    if (!first)
        return bt_fault_add(sheet->faults, BT_EINPUT, sheet->name, line, cell->column,
                            "unknown column: '%s', it is none of those either", shown);
    if (near)
        snprintf(said, sizeof said, "did you mean '%s'? ", near);
    return bt_fault_add(sheet->faults, BT_EINPUT, sheet->name, line, cell->column,
                        "unknown column: '%s', %s%s of %s are %s and note", shown,
                        near ? said : "", near ? "Columns" : "columns", what,
                        bt_say_list(list, n, names));
}

static enum bt_status wrong_unit(const struct bt_sheet *sheet,
                                 const struct bt_cell *cell,
                                 const struct bt_column_spec *spec)
{
    char shown[BT_SHOWN_ROOM];
    const char *suffix;
    size_t length;
    bool known;

    unit_after(cell, strlen(spec->name), &suffix, &length);
    known = bt_unit_find(suffix, length) != BT_UNIT_NONE;
    return bt_fault_add(sheet->faults, BT_EINPUT, sheet->name,
                        sheet->table->record[0].line, cell->column,
                        "%s: '%s', write %s_UNIT with one of %s%s%s",
                        known ? "unit of another kind" : "unknown unit",
                        bt_fault_shown(cell->text, cell->length, shown), spec->name,
                        units_of(spec->dim), spec->any_dim ? ", " : "",
                        spec->any_dim ? units_of(BT_DIM_SLOPE) : "");
}

static enum bt_status read_unit(const struct bt_sheet *sheet,
                                const struct bt_cell *cell,
                                const struct bt_column_spec *spec,
                                struct bt_column *column)
{
    size_t n = strlen(spec->name), length;
    const char *suffix;

    column->dim = spec->dim;
    column->unit = spec->dim == BT_DIM_LENGTH    ? sheet->unit
                   : spec->dim == BT_DIM_PERCENT ? BT_UNIT_PERCENT
                                                 : BT_UNIT_NONE;
    if (cell->length == n)
        return BT_OK;
    unit_after(cell, n, &suffix, &length);
    column->unit = bt_unit_find(suffix, length);
    if (column->unit == BT_UNIT_NONE)
        return wrong_unit(sheet, cell, spec);
    if (fits(column->unit, spec->dim))
        return BT_OK;
    if (!spec->any_dim || !fits(column->unit, BT_DIM_SLOPE))
        return wrong_unit(sheet, cell, spec);
    column->dim = BT_DIM_SLOPE;
    return BT_OK;
}

static enum bt_status find_one(const struct bt_sheet *sheet, const char *what,
                               size_t nspec, const struct bt_column_spec spec[],
                               size_t index, struct bt_column column[], bool *listed)
{
    const struct bt_record *header = &sheet->table->record[0];
    const struct bt_cell *cell = &header->cell[index];
    char shown[BT_SHOWN_ROOM];
    size_t i;

    if (cell->length == 0)
        return bt_fault_add(
            sheet->faults, BT_EINPUT, sheet->name, header->line, cell->column,
            "a column without a name: name it, or note what is not to be "
            "read");
    i = spec_of(cell, nspec, spec);
    if (i == nspec)
        return is_note(cell) ? BT_OK
                             : unknown_column(sheet, what, cell, nspec, spec, listed);
    if (column[i].there)
        return bt_fault_add(
            sheet->faults, BT_EINPUT, sheet->name, header->line, cell->column,
            "a column twice: '%s' is %s again, keep one of them",
            bt_fault_shown(cell->text, cell->length, shown), spec[i].name);
    column[i].there = true;
    column[i].index = index;
    return read_unit(sheet, cell, &spec[i], &column[i]);
}

enum bt_status bt_columns_find(const struct bt_sheet *sheet, const char *what,
                               size_t nspec, const struct bt_column_spec spec[],
                               struct bt_column column[])
{
    enum bt_status status = BT_OK;
    bool listed = false;

    memset(column, 0, nspec * sizeof *column);
    for (size_t i = 0; i < sheet->table->record[0].n; i++)
        if (find_one(sheet, what, nspec, spec, i, column, &listed) != BT_OK)
            status = BT_EINPUT;
    return status;
}

bool bt_columns_no_header(const struct bt_record *record, size_t nspec,
                          const struct bt_column_spec spec[])
{
    bool number = false;

    for (size_t i = 0; i < record->n; i++) {
        const struct bt_cell *cell = &record->cell[i];
        if (cell->length == 0)
            continue;
        if (spec_of(cell, nspec, spec) < nspec || is_note(cell))
            return false;
        number |= strchr("0123456789.+-<", cell->text[0]) != NULL;
    }
    return number;
}

bool bt_columns_are_names(const struct bt_record *record, size_t nspec,
                          const struct bt_column_spec spec[])
{
    size_t names = 0;

    for (size_t i = 0; i < record->n; i++) {
        const struct bt_cell *cell = &record->cell[i];
        if (cell->length == 0)
            continue;
        if (spec_of(cell, nspec, spec) == nspec && !is_note(cell))
            return false;
        names++;
    }
    /* One name alone may be what a line or an instrument is called. */
    return names > 1;
}

bool bt_cell_empty(const struct bt_record *record, const struct bt_column *column)
{
    return !column->there || column->index >= record->n ||
           record->cell[column->index].length == 0;
}

enum bt_status bt_cell_fault(const struct bt_sheet *sheet,
                             const struct bt_record *record,
                             const struct bt_column *column, const char *format, ...)
{
    char message[sizeof((struct bt_fault *)0)->message];
    va_list args;

    va_start(args, format);
    vsnprintf(message, sizeof message, format, args);
    va_end(args);
    return bt_fault_add(sheet->faults, BT_EINPUT, sheet->name, record->line,
                        record->cell[column->index].column, "%s", message);
}

/* What reading a cell gave: its place in the cell becomes a place in the line. */
static enum bt_status told_by(const struct bt_sheet *sheet,
                              const struct bt_record *record,
                              const struct bt_column *column,
                              const struct bt_error *err)
{
    size_t at = record->cell[column->index].column;

    return bt_fault_add(sheet->faults, BT_EINPUT, sheet->name, record->line,
                        err->column > 1 ? at + err->column - 1 : at, "%s",
                        err->message);
}

/* The cell would be a quantity if only the column had a unit. */
static enum bt_status no_unit(const struct bt_sheet *sheet, struct bt_column *column)
{
    const struct bt_record *header = &sheet->table->record[0];
    const struct bt_cell *cell = &header->cell[column->index];
    bool length = column->dim == BT_DIM_LENGTH;
    char shown[BT_SHOWN_ROOM];

    if (column->told)
        return BT_EINPUT;
    column->told = true;
    bt_fault_shown(cell->text, cell->length, shown);
    if (column->dim == BT_DIM_ANGLE)
        return bt_fault_add(
            sheet->faults, BT_EINPUT, sheet->name, header->line, cell->column,
            "no unit known for bare numbers: '%s', write %s_deg", shown, shown);
    return bt_fault_add(
        sheet->faults, BT_EINPUT, sheet->name, header->line, cell->column,
        "no unit known for bare numbers: '%s', write %s_%s or %s_%s", shown, shown,
        length ? "in" : "mm_per_m", shown, length ? "mm" : "deg");
}

/* Days since 1900 as spreadsheets count them, from 1982 to 2064: what is left of a
 * fraction that was taken for a date, once the column is made numbers.  No length in
 * these units is so large, but micrometres may be. */
static bool is_day_count(const struct bt_cell *cell, const struct bt_column *column)
{
    if (cell->length != 5 || column->dim != BT_DIM_LENGTH ||
        column->unit == BT_UNIT_UM || !(cell->text[0] >= '3' && cell->text[0] <= '6'))
        return false;
    for (size_t i = 0; i < cell->length; i++)
        if (!(cell->text[i] >= '0' && cell->text[i] <= '9'))
            return false;
    return cell->text[0] < '6' || memcmp(cell->text, "60000", 5) == 0;
}

static enum bt_status day_count(const struct bt_sheet *sheet,
                                const struct bt_record *record,
                                const struct bt_column *column)
{
    return bt_cell_fault(sheet, record, column,
                         "a date as a number: '%s', a spreadsheet made it of a "
                         "fraction such as 3/16: make the column text and write the "
                         "fraction again",
                         record->cell[column->index].text);
}

static enum bt_status fraction_in_thou(const struct bt_sheet *sheet,
                                       const struct bt_record *record,
                                       const struct bt_column *column,
                                       const struct bt_quantity *q)
{
    const struct bt_cell *cell = &record->cell[column->index];
    double over = bt_unit_from_inside(q->value, BT_UNIT_THOU) * q->denominator;
    char shown[BT_SHOWN_ROOM];

    return bt_cell_fault(sheet, record, column,
                         "a fraction of a thousandth of an inch: '%s', write %d/%d in",
                         bt_fault_shown(cell->text, cell->length, shown),
                         (int)lround(over), q->denominator);
}

/* Only to see whether the number could be read if it had a unit. */
static enum bt_unit unit_to_try(enum bt_dimension dim)
{
    switch (dim) {
    case BT_DIM_SLOPE:
        return BT_UNIT_MM_PER_M;
    case BT_DIM_ANGLE:
        return BT_UNIT_DEG;
    default:
        return BT_UNIT_MM;
    }
}

enum bt_status bt_cell_quantity(const struct bt_sheet *sheet,
                                const struct bt_record *record,
                                struct bt_column *column, struct bt_quantity *out)
{
    const struct bt_cell *cell = &record->cell[column->index];
    struct bt_error err = {.code = BT_OK};
    struct bt_quantity any;
    bool comma = sheet->table->decimal_comma;

    if (is_day_count(cell, column))
        return day_count(sheet, record, column);
    if (bt_quantity_parse(cell->text, cell->length, column->dim, column->unit, comma,
                          &any, &err) == BT_OK) {
        if (bt_rule_fraction_in_thou(&any))
            return fraction_in_thou(sheet, record, column, &any);
        *out = any;
        return BT_OK;
    }
    if (column->unit == BT_UNIT_NONE &&
        bt_quantity_parse(cell->text, cell->length, column->dim,
                          unit_to_try(column->dim), comma, &any, NULL) == BT_OK)
        return no_unit(sheet, column);
    return told_by(sheet, record, column, &err);
}

enum bt_status bt_cell_gap(const struct bt_sheet *sheet, const struct bt_record *record,
                           struct bt_column *column, size_t nfeeler,
                           const struct bt_feeler feeler[], struct bt_gap *out)
{
    const struct bt_cell *cell = &record->cell[column->index];
    struct bt_error err = {.code = BT_OK};
    struct bt_gap any;
    bool comma = sheet->table->decimal_comma;

    if (is_day_count(cell, column))
        return day_count(sheet, record, column);
    if (bt_gap_parse(cell->text, cell->length, column->unit, comma, nfeeler, feeler,
                     out, &err) == BT_OK)
        return BT_OK;
    if (column->unit == BT_UNIT_NONE &&
        bt_gap_parse(cell->text, cell->length, BT_UNIT_MM, comma, nfeeler, feeler, &any,
                     NULL) == BT_OK)
        return no_unit(sheet, column);
    return told_by(sheet, record, column, &err);
}

enum bt_status bt_cell_number(const struct bt_sheet *sheet,
                              const struct bt_record *record, struct bt_column *column,
                              double least, double *out)
{
    const struct bt_cell *cell;
    struct bt_quantity quantity;
    char shown[BT_SHOWN_ROOM];

    *out = NAN;
    if (bt_cell_empty(record, column))
        return BT_OK;
    if (bt_cell_quantity(sheet, record, column, &quantity) != BT_OK)
        return BT_EINPUT;
    cell = &record->cell[column->index];
    if (!(quantity.value > least))
        return bt_cell_fault(sheet, record, column, "%s must be more than 0%s: '%s'",
                             sheet->table->record[0].cell[column->index].text,
                             column->dim == BT_DIM_LENGTH && least >= 0
                                 ? ", such as 40 mm or 1 1/2 in"
                                 : "",
                             bt_fault_shown(cell->text, cell->length, shown));
    *out = quantity.value;
    return BT_OK;
}

enum bt_status bt_cell_u(const struct bt_sheet *sheet, const struct bt_record *record,
                         struct bt_column *column, double *out)
{
    const struct bt_cell *cell;
    struct bt_quantity quantity;
    char shown[BT_SHOWN_ROOM];

    *out = NAN;
    if (bt_cell_empty(record, column))
        return BT_OK;
    if (bt_cell_quantity(sheet, record, column, &quantity) != BT_OK)
        return BT_EINPUT;
    cell = &record->cell[column->index];
    if (!(quantity.value > 0))
        return bt_cell_fault(sheet, record, column,
                             "an uncertainty that is not more than 0: '%s', leave the "
                             "cell empty where none is known",
                             bt_fault_shown(cell->text, cell->length, shown));
    *out = quantity.value;
    return BT_OK;
}

enum bt_status bt_cell_choice(const struct bt_sheet *sheet,
                              const struct bt_record *record,
                              const struct bt_column *column, size_t n,
                              const char *const words[], size_t *out)
{
    const struct bt_cell *cell, *head;
    char list[BT_KNOWN_ROOM], shown[BT_SHOWN_ROOM], name[BT_SHOWN_ROOM];

    if (bt_cell_empty(record, column))
        return BT_OK;
    cell = &record->cell[column->index];
    for (size_t i = 0; i < n; i++)
        if (strlen(words[i]) == cell->length &&
            bt_names_alike(words[i], cell->text, cell->length)) {
            *out = i;
            return BT_OK;
        }
    head = &sheet->table->record[0].cell[column->index];
    return bt_cell_fault(
        sheet, record, column, "unknown value of %s: '%s', write one of %s",
        bt_fault_shown(head->text, head->length, name),
        bt_fault_shown(cell->text, cell->length, shown), bt_say_list(list, n, words));
}

char *bt_cell_text(const struct bt_record *record, const struct bt_column *column)
{
    if (bt_cell_empty(record, column))
        return bt_copy_text("", 0);
    return bt_copy_text(record->cell[column->index].text,
                        record->cell[column->index].length);
}

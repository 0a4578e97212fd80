/* SPDX-License-Identifier: GPL-3.0-or-later */
/* opening.csv: the space as measured. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/columns.h"
#include "ingest/load.h"
#include "ingest/sure.h"

#define PI 3.14159265358979323846

static const char opening_file[] = "opening.csv";

/* No opening is believed to be larger, mm, no wall to lie farther from a batten, and no
 * corner to be farther from square, rad. */
#define SIZE_MOST 20000.0
#define OFFSET_MOST 300.0
#define OFF_SQUARE_MOST (PI / 4)

enum { READINGS_MOST = 2000 };

enum { KIND, WHERE, AT, READING, ANGLE, X, Y, INSTRUMENT, U, U_DEG, NCOLUMN };
static const struct bt_column_spec columns[NCOLUMN] = {
    [KIND] = {.name = "kind", .dim = BT_DIM_NUMBER},
    [WHERE] = {.name = "where", .dim = BT_DIM_NUMBER},
    [AT] = {.name = "at", .dim = BT_DIM_LENGTH},
    [READING] = {.name = "reading", .dim = BT_DIM_LENGTH},
    [ANGLE] = {.name = "angle", .dim = BT_DIM_ANGLE},
    [X] = {.name = "x", .dim = BT_DIM_LENGTH},
    [Y] = {.name = "y", .dim = BT_DIM_LENGTH},
    [INSTRUMENT] = {.name = "instrument", .dim = BT_DIM_NUMBER},
    [U] = {.name = "u", .dim = BT_DIM_LENGTH},
    [U_DEG] = {.name = "u_deg", .dim = BT_DIM_ANGLE},
};

/* How a reading was typed, beside job->opening.reading. */
struct how {
    enum bt_digits digits;
    double step;
};

struct file {
    struct bt_load *load;
    struct bt_sheet sheet;
    struct bt_column column[NCOLUMN];
    size_t room, how_room;
    struct how *how;
    struct bt_finest length, angle;
};

struct row {
    const struct bt_record *record;
    bool bad;
    struct bt_opening_reading reading;
    struct how how;
    enum bt_u_origin origin;
    bool no_memory; /* for a note */
};

static bool is_empty(const struct file *f, const struct row *row, int column)
{
    return bt_cell_empty(row->record, &f->column[column]);
}

static void fault(struct file *f, struct row *row, int column, const char *what,
                  const char *fix)
{
    const struct bt_cell *cell = &row->record->cell[f->column[column].index];
    char shown[BT_SHOWN_ROOM];

    row->bad = true;
    if (!f->column[column].there)
        bt_fault_add(f->load->faults, BT_EINPUT, opening_file, row->record->line, 1,
                     "%s: %s", what, fix);
    else if (cell->length)
        bt_cell_fault(&f->sheet, row->record, &f->column[column], "%s: '%s', %s", what,
                      bt_fault_shown(cell->text, cell->length, shown), fix);
    else
        bt_cell_fault(&f->sheet, row->record, &f->column[column], "%s: %s", what, fix);
}

/* ---- cells ---- */

static bool read_quantity(struct file *f, struct row *row, int column,
                          struct bt_quantity *q)
{
    const struct bt_cell *cell;
    struct bt_gap typed;

    if (bt_cell_quantity(&f->sheet, row->record, &f->column[column], q) != BT_OK) {
        row->bad = true;
        return false;
    }
    cell = &row->record->cell[f->column[column].index];
    typed = bt_gap_of_quantity(q);
    if (bt_sure_note_odd(&f->load->notes, opening_file, row->record->line, cell->text,
                         cell->length, typed.odd) != BT_OK)
        row->no_memory = true;
    /* of a point the coarser of x and y */
    if (column != AT && !(row->how.step > typed.step))
        row->how = (struct how){typed.digits, typed.step};
    return true;
}

static void read_length(struct file *f, struct row *row)
{
    struct bt_quantity q;
    char fix[BT_KNOWN_ROOM], most[BT_PRINT_ROOM];

    if (!read_quantity(f, row, READING, &q))
        return;
    row->reading.value = q.value;
    bt_print_length(most, SIZE_MOST, 0, f->load->job->system, BT_LENGTH_RULE);
    snprintf(fix, sizeof fix, "up to %s is believed: is the unit right?", most);
    if (!(q.value > 0))
        fault(f, row, READING, "not a length", "it must be above 0");
    else if (!(q.value <= SIZE_MOST))
        fault(f, row, READING, "a very large opening", fix);
}

static void read_offset(struct file *f, struct row *row)
{
    struct bt_quantity q;
    char fix[BT_KNOWN_ROOM], most[BT_PRINT_ROOM];

    if (!read_quantity(f, row, READING, &q))
        return;
    row->reading.value = q.value;
    bt_print_length(most, OFFSET_MOST, 0, f->load->job->system, BT_LENGTH_RULE);
    snprintf(fix, sizeof fix, "up to %s is believed: is the unit right?", most);
    if (!(fabs(q.value) <= OFFSET_MOST))
        fault(f, row, READING, "a wall far from its batten", fix);
}

static void read_angle(struct file *f, struct row *row)
{
    struct bt_quantity q;

    if (!read_quantity(f, row, ANGLE, &q))
        return;
    row->reading.value = q.value;
    if (!(fabs(q.value - PI / 2) <= OFF_SQUARE_MOST))
        fault(f, row, ANGLE, "not the inside angle of a corner",
              "45 to 135 deg are believed: type the whole angle between the two walls");
}

static void read_point(struct file *f, struct row *row)
{
    struct bt_quantity x, y;

    if (is_empty(f, row, Y)) {
        fault(f, row, Y, "y is missing", "a point of a template needs x and y");
        return;
    }
    if (read_quantity(f, row, X, &x) && read_quantity(f, row, Y, &y)) {
        row->reading.x = x.value;
        row->reading.y = y.value;
    }
}

/* Where along its wall, or from the back wall. */
static void read_at(struct file *f, struct row *row)
{
    static const char *const missing[BT_OPENING_KINDS] = {
        [BT_OPENING_WIDTH] = "type how far from the back wall the width was taken",
        [BT_OPENING_DEPTH] =
            "type how far from corner A, along the back wall, the depth "
            "was taken",
        [BT_OPENING_OFFSET] =
            "type how far along the wall from its first corner (back, "
            "front: the left; left, right: the back)"};
    const char *const fix = missing[row->reading.kind];
    struct bt_quantity q;

    if (!fix) {
        if (!is_empty(f, row, AT))
            fault(f, row, AT, "at does not go with this kind",
                  "it belongs to width, depth and offset");
        return;
    }
    if (is_empty(f, row, AT)) {
        fault(f, row, AT, "at is missing", fix);
        return;
    }
    if (!read_quantity(f, row, AT, &q))
        return;
    row->reading.at = q.value;
    if (!(q.value >= 0 && q.value <= SIZE_MOST))
        fault(f, row, AT, "a place outside the opening",
              "places count from the corner, which is 0");
}

/* ---- where ---- */

static bool read_words(struct file *f, struct row *row, size_t n,
                       const char *const words[], const char *missing)
{
    size_t which = 0;

    if (is_empty(f, row, WHERE)) {
        fault(f, row, WHERE, "where is missing", missing);
        return false;
    }
    if (bt_cell_choice(&f->sheet, row->record, &f->column[WHERE], n, words, &which) !=
        BT_OK) {
        row->bad = true;
        return false;
    }
    row->reading.where = (int)which;
    return true;
}

static void read_where(struct file *f, struct row *row)
{
    static const char *const walls[] = {"back", "right", "front", "left"};
    static const char *const diagonals[] = {"AC", "BD"};
    static const char *const corners[] = {"A", "B", "C", "D"};

    switch (row->reading.kind) {
    case BT_OPENING_DIAGONAL:
        read_words(f, row, 2, diagonals, "write AC or BD");
        break;
    case BT_OPENING_ANGLE:
        read_words(f, row, 4, corners, "write A, B, C or D");
        break;
    case BT_OPENING_WIDTH:
    case BT_OPENING_DEPTH:
        if (!is_empty(f, row, WHERE))
            fault(f, row, WHERE, "where does not go with this kind",
                  "a width or depth has its place under at");
        break;
    default:
        read_words(f, row, 4, walls, "write back, right, front or left");
        break;
    }
}

/* ---- rows ---- */

/* The cell that holds the reading of a kind. */
static int value_column(enum bt_opening_kind kind)
{
    return kind == BT_OPENING_ANGLE ? ANGLE : kind == BT_OPENING_POINT ? X : READING;
}

static bool has_other_values(struct file *f, struct row *row)
{
    static const int values[] = {READING, ANGLE, X, Y};
    const int own = value_column(row->reading.kind);
    char what[BT_KNOWN_ROOM], fix[BT_KNOWN_ROOM];

    for (size_t i = 0; i < sizeof values / sizeof *values; i++) {
        if (values[i] == own || (own == X && values[i] == Y) ||
            is_empty(f, row, values[i]))
            continue;
        snprintf(what, sizeof what, "%s does not go with this kind",
                 columns[values[i]].name);
        snprintf(fix, sizeof fix, "%s is typed under %s",
                 bt_opening_kind_name(row->reading.kind),
                 own == X ? "x and y" : columns[own].name);
        fault(f, row, values[i], what, fix);
        return true;
    }
    return false;
}

static void read_u(struct file *f, struct row *row)
{
    const bool angle = row->reading.kind == BT_OPENING_ANGLE;
    const unsigned kinds =
        angle ? 1u << BT_INST_ANGLE_GAUGE
              : 1u << BT_INST_STRAIGHTEDGE | 1u << BT_INST_FEELERS | 1u << BT_INST_DIAL;
    const struct bt_instrument *instrument = NULL;
    double typed = NAN;
    int which = -1;

    if (bt_cell_instrument(f->load, &f->sheet, row->record, &f->column[INSTRUMENT],
                           kinds, &which) != BT_OK ||
        bt_cell_u(&f->sheet, row->record, &f->column[angle ? U_DEG : U], &typed) !=
            BT_OK)
        row->bad = true;
    if (!is_empty(f, row, angle ? U : U_DEG))
        fault(f, row, angle ? U : U_DEG, "an uncertainty of the wrong sort",
              angle ? "that of an angle is typed under u_deg"
                    : "that of a length is typed under u_mm or u_in");
    if (which >= 0)
        instrument = &f->load->job->instrument[which];
    row->reading.u = bt_sure_u(typed, NAN, instrument ? instrument->u : NAN,
                               instrument ? instrument->resolution : NAN, &row->origin);
}

static enum bt_status keep(struct file *f, const struct row *row)
{
    struct bt_opening_setup *o = &f->load->job->opening;
    struct bt_opening_reading *readings =
        bt_grow(o->reading, &f->room, o->nreading + 1, sizeof *readings);
    struct how *how;

    if (!readings)
        return BT_ENOMEM;
    o->reading = readings;
    how = bt_grow(f->how, &f->how_room, o->nreading + 1, sizeof *how);
    if (!how)
        return BT_ENOMEM;
    f->how = how;
    readings[o->nreading] = row->reading;
    how[o->nreading++] = row->how;
    o->u_origin[row->origin]++;
    bt_finest_note(row->reading.kind == BT_OPENING_ANGLE ? &f->angle : &f->length,
                   row->how.digits, row->how.step, row->reading.value == 0);
    return BT_OK;
}

static enum bt_status read_row(struct file *f, const struct bt_record *record)
{
    const char *kinds[BT_OPENING_KINDS];
    struct row row = {.record = record,
                      .reading = {.at = NAN,
                                  .value = NAN,
                                  .x = NAN,
                                  .y = NAN,
                                  .u = NAN,
                                  .source = record->line}};
    size_t kind = 0;

    for (int i = 0; i < BT_OPENING_KINDS; i++)
        kinds[i] = bt_opening_kind_name((enum bt_opening_kind)i);
    if (is_empty(f, &row, KIND)) {
        fault(f, &row, KIND, "kind is missing",
              "write one of side, diagonal, width, depth, angle, offset, point");
        return BT_OK;
    }
    if (bt_cell_choice(&f->sheet, record, &f->column[KIND], BT_OPENING_KINDS, kinds,
                       &kind) != BT_OK)
        return BT_OK;
    row.reading.kind = (enum bt_opening_kind)kind;
    read_where(f, &row);
    if (has_other_values(f, &row))
        return BT_OK;
    if (is_empty(f, &row, value_column(row.reading.kind))) {
        f->load->job->opening.blank++;
        return BT_OK;
    }
    read_at(f, &row);
    if (row.reading.kind == BT_OPENING_ANGLE)
        read_angle(f, &row);
    else if (row.reading.kind == BT_OPENING_POINT)
        read_point(f, &row);
    else if (row.reading.kind == BT_OPENING_OFFSET)
        read_offset(f, &row);
    else
        read_length(f, &row);
    read_u(f, &row);
    if (row.no_memory)
        return BT_ENOMEM;
    return row.bad ? BT_OK : keep(f, &row);
}

/* The u that the digits tell. */
static void fill_u(struct file *f)
{
    struct bt_opening_setup *o = &f->load->job->opening;

    for (size_t i = 0; i < o->nreading; i++) {
        struct bt_opening_reading *r = &o->reading[i];

        if (!isnan(r->u))
            continue;
        r->u = bt_finest_step(r->kind == BT_OPENING_ANGLE ? &f->angle : &f->length,
                              f->how[i].digits, f->how[i].step) /
               sqrt(12);
        if (isfinite(r->u))
            continue;
        bt_sure_nothing(f->load->faults, opening_file, r->source);
        return;
    }
}

static enum bt_status read_all(struct file *f)
{
    struct bt_load *load = f->load;
    struct bt_opening_setup *o = &load->job->opening;

    if (bt_columns_find(&f->sheet, "an opening", NCOLUMN, columns, f->column) != BT_OK)
        return BT_OK;
    if (!f->column[KIND].there) {
        bt_fault_add(load->faults, BT_EINPUT, opening_file,
                     f->sheet.table->record->line, 1,
                     "no column 'kind': each row says side, diagonal, width, depth, "
                     "angle, offset or point");
        return BT_OK;
    }
    f->column[U_DEG].unit = BT_UNIT_DEG; /* the name says so */
    for (size_t i = 1; i < f->sheet.table->nrecord; i++) {
        if (o->nreading == READINGS_MOST) {
            bt_fault_add(load->faults, BT_EINPUT, opening_file,
                         f->sheet.table->record[i].line, 1,
                         "more than %d readings: leave the rest out", READINGS_MOST);
            return BT_OK;
        }
        if (read_row(f, &f->sheet.table->record[i]) != BT_OK)
            return BT_ENOMEM;
    }
    fill_u(f);
    if (o->blank &&
        bt_note_add(&load->notes, opening_file, 0, "%zu reading%s not taken", o->blank,
                    bt_say_plural(o->blank)) != BT_OK)
        return BT_ENOMEM;
    return bt_sure_note(&load->notes, opening_file, o->u_origin);
}

enum bt_status bt_opening_take(struct bt_load *load, const struct bt_table *table)
{
    struct file f = {
        .load = load, .length = bt_finest_none(), .angle = bt_finest_none()};
    enum bt_status status;

    f.sheet = (struct bt_sheet){opening_file, table, load->job->unit, load->faults};
    status = read_all(&f);
    bt_free(f.how);
    return status;
}

enum bt_status bt_opening_read(struct bt_load *load)
{
    struct bt_table table;
    bool usable;
    enum bt_status status = bt_inside_table(load, opening_file, &table, &usable);

    if (usable)
        status = bt_opening_take(load, &table);
    bt_table_clear(&table);
    return status;
}

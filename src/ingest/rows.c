/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "ingest/build.h"
#include "ingest/gather.h"
#include "ingest/header.h"
#include "ingest/line_names.h"
#include "ingest/points.h"

/* A readings file, row by row. */
struct rows {
    struct bt_gather *g;
    struct bt_sheet *sheet;
    struct bt_column column[BT_ROLES];
    const struct bt_form *form;
    size_t thin; /* readings in thou that look like inches */
};

/* One row as it is being read. */
struct row {
    const struct bt_record *record;
    double number[BT_ROLES]; /* positions and stick; NaN where not read */
    bool bad;                /* a fault was told */
    bool blank;              /* the reading was not taken */
    bool no_memory;
    bool nowhere; /* no place either: a row of a form not filled in */
    struct bt_point place[4];
    struct bt_typed typed;
    double u_typed, u_interval;
};

static const struct bt_cell *cell_of(const struct rows *r, const struct row *row,
                                     enum bt_role role)
{
    return &row->record->cell[r->column[role].index];
}

static void fault(struct rows *r, struct row *row, enum bt_role role, const char *what,
                  const char *fix)
{
    const struct bt_cell *cell = cell_of(r, row, role);
    char shown[BT_SHOWN_ROOM];

    if (cell->length)
        bt_cell_fault(r->sheet, row->record, &r->column[role], "%s: '%s', %s", what,
                      bt_fault_shown(cell->text, cell->length, shown), fix);
    else
        bt_cell_fault(r->sheet, row->record, &r->column[role], "%s: %s", what, fix);
    row->bad = true;
}

/* ---- cells ---- */

static void note_fraction(struct rows *r, struct row *row, enum bt_role role, int odd)
{
    if (bt_gather_note_odd(r->g, r->sheet, row->record, r->column[role].index, odd) !=
        BT_OK)
        row->no_memory = true;
}

/* A number that must be there; where the reading was not taken it may be missing. */
static void read_number(struct rows *r, struct row *row, enum bt_role role)
{
    struct bt_quantity quantity;

    if (!isnan(row->number[role]))
        return;
    if (bt_cell_empty(row->record, &r->column[role])) {
        if (!row->blank) {
            bt_cell_fault(
                r->sheet, row->record, &r->column[role],
                "%s is missing: type where the reading was taken, or leave the "
                "reading empty",
                bt_role_name(role));
            row->bad = true;
        }
        row->nowhere = true;
    } else if (bt_cell_quantity(r->sheet, row->record, &r->column[role], &quantity) !=
               BT_OK) {
        row->bad = true;
    } else {
        row->number[role] = quantity.value;
        note_fraction(r, row, role, bt_gap_of_quantity(&quantity).odd);
    }
}

static void read_position(struct rows *r, struct row *row, enum bt_role role)
{
    bool known = !isnan(row->number[role]);
    char why[BT_KNOWN_ROOM];
    const char *outside;

    read_number(r, row, role);
    if (known || isnan(row->number[role]))
        return;
    outside =
        bt_say_outside(why, r->g->load->job, row->number[role], bt_role_is_y(role));
    if (outside)
        fault(r, row, role, "outside the panel", outside);
}

static void read_positions(struct rows *r, struct row *row)
{
    const enum bt_role *role = r->form->place;

    for (size_t i = 0; i < 4 && role[2 * i] != BT_NO_ROLE; i++) {
        read_position(r, row, role[2 * i]);
        read_position(r, row, role[2 * i + 1]);
        row->place[i].x = row->number[role[2 * i]];
        row->place[i].y = row->number[role[2 * i + 1]];
    }
}

static bool together(const struct bt_point *a, const struct bt_point *b)
{
    return hypot(a->x - b->x, a->y - b->y) <= BT_PLACE_ROUNDING;
}

/* Feet, ends and sticks that stand on one place. */
static void check_apart(struct rows *r, struct row *row)
{
    const struct bt_point *p = row->place;

    if (row->bad || row->nowhere)
        return;
    if (r->form->kind == BT_READ_BAR &&
        (together(&p[0], &p[1]) || together(&p[0], &p[2]) || together(&p[1], &p[2])))
        fault(r, row, BT_ROLE_DIAL_X, "feet and dial on one place",
              "the dial stands between two feet");
    if (r->form->kind == BT_READ_SLOPE && together(&p[0], &p[1]))
        fault(r, row, BT_ROLE_X2, "both ends on one place",
              "type where the two ends of the level stood");
    if (r->form->kind == BT_READ_WIND && together(&p[0], &p[2]))
        fault(r, row, BT_ROLE_X2, "both sticks on one place",
              "x1 is the near stick, x2 the far one");
    if (r->form->kind == BT_READ_WIND && together(&p[0], &p[1]))
        fault(r, row, BT_ROLE_Y2, "a stick that touches at one place only",
              "y1 and y2 are where it lies on the panel");
}

static void read_instrument(struct rows *r, struct row *row)
{
    const struct bt_job *job = r->g->load->job;
    const struct bt_cell *cell;
    char known[BT_KNOWN_ROOM];
    int instrument;

    row->typed.instrument = r->g->instrument;
    if (bt_cell_empty(row->record, &r->column[BT_ROLE_INSTRUMENT]))
        return;
    /* A bare file can declare none, and one of a job should be readable bare. */
    if (r->g->load->bare) {
        r->g->undeclared = true;
        return;
    }
    cell = cell_of(r, row, BT_ROLE_INSTRUMENT);
    instrument = bt_instrument_find(job, cell->text, cell->length);
    if (instrument < 0)
        fault(r, row, BT_ROLE_INSTRUMENT, "unknown instrument",
              bt_say_instruments(known, job, cell->text, cell->length));
    else if (!bt_instrument_fits(job->instrument[instrument].kind, r->form->kind))
        fault(r, row, BT_ROLE_INSTRUMENT,
              "an instrument that does not give such readings",
              "see its kind in job.ini");
    else
        row->typed.instrument = instrument;
}

static void read_u(struct rows *r, struct row *row)
{
    struct bt_quantity quantity;
    struct bt_column *column = &r->column[BT_ROLE_U];

    if (bt_cell_empty(row->record, column))
        return;
    if (bt_cell_quantity(r->sheet, row->record, column, &quantity) != BT_OK)
        row->bad = true;
    else if (!(quantity.value > 0))
        fault(r, row, BT_ROLE_U, "an uncertainty that is not more than 0",
              "leave the cell empty where none is known");
    else
        row->u_typed = quantity.value;
    /* A small angle and its tangent are one; on a slope t a change of angle counts
     * 1 + t^2 times (derivative of the tangent). */
    if (row->u_typed > 0 && r->form->kind == BT_READ_SLOPE &&
        quantity.unit == BT_UNIT_DEG)
        row->u_typed *= 1 + row->typed.value * row->typed.value;
}

/* Three decimals are how a gap is typed in inches, and no leaf is as thin as that in
 * thou: the usual slip where one file has gap_in and another gap_thou. */
static void note_thin(struct rows *r, struct row *row, const struct bt_gap *gap)
{
    const struct bt_cell *cell = cell_of(r, row, r->form->value);
    const double thou = bt_unit_to_inside(1, BT_UNIT_THOU);
    char shown[BT_SHOWN_ROOM];
    enum bt_status status;

    if (r->form->kind != BT_READ_GAP ||
        r->column[r->form->value].unit != BT_UNIT_THOU ||
        gap->digits != BT_DIGITS_POINT)
        return;
    if (!(gap->step < 0.0015 * thou) || !(gap->high > 0) || !(gap->high < 0.5 * thou) ||
        ++r->thin > BT_NOTES_SHOWN)
        return;
    status = bt_note_add(&r->g->notes, r->sheet->name, row->record->line,
                         "%s thou is far less than the thinnest leaf (1.5 thou): were "
                         "inches meant?",
                         bt_fault_shown(cell->text, cell->length, shown));
    if (bt_note_matters(&r->g->notes, status) != BT_OK)
        row->no_memory = true;
}

static void read_value(struct rows *r, struct row *row)
{
    struct bt_column *column = &r->column[r->form->value];
    const struct bt_job *job = r->g->load->job;
    struct bt_quantity quantity;
    struct bt_gap gap;

    if (row->blank)
        return;
    if (r->form->kind == BT_READ_GAP) {
        row->bad |= bt_cell_gap(r->sheet, row->record, column, job->nfeeler,
                                job->feeler, &gap) != BT_OK;
    } else if (bt_cell_quantity(r->sheet, row->record, column, &quantity) == BT_OK) {
        gap = bt_gap_of_quantity(&quantity);
    } else {
        row->bad = true;
    }
    if (row->bad)
        return;
    row->typed.value = bt_gap_value(&gap);
    row->u_interval = bt_gap_u(&gap);
    bt_gather_typing(&row->typed, &gap);
    note_fraction(r, row, r->form->value, gap.odd);
    note_thin(r, row, &gap);
}

/* ---- lines and set-ups ---- */

static void unknown_line(struct rows *r, struct row *row)
{
    const struct bt_named_lines *lines = &r->g->load->lines;
    const struct bt_cell *cell = cell_of(r, row, BT_ROLE_LINE);
    const char *names[16];
    char known[BT_KNOWN_ROOM];
    size_t n = lines->n < 16 ? lines->n : 16;

    for (size_t i = 0; i < n; i++)
        names[i] = lines->item[i].name;
    fault(r, row, BT_ROLE_LINE, "a line that is not in lines.csv",
          bt_say_line(known, cell->text, cell->length, n, names));
}

/* Along a named line: the place is found from the distance. */
static void place_on_line(struct rows *r, struct row *row,
                          struct bt_placement *placement)
{
    struct bt_named_line *line = &r->g->load->lines.item[placement->named];
    double at = row->number[BT_ROLE_AT], share = at / line->length;
    char beyond[BT_KNOWN_ROOM], length[BT_PRINT_ROOM];

    placement->from = line->from;
    placement->to = line->to;
    placement->length = line->length;
    if (isnan(at) || isnan(line->length))
        return;
    if (!(at >= -BT_EDGE_SLACK) || !(at <= line->length + BT_EDGE_SLACK)) {
        snprintf(beyond, sizeof beyond, "line '%.60s' is %s long", line->name,
                 bt_print_length(length, line->length, 0, r->g->load->job->system,
                                 BT_LENGTH_RULE));
        fault(r, row, BT_ROLE_AT, "beyond the ends of the line", beyond);
        return;
    }
    row->place[0].x = line->from.x + share * (line->to.x - line->from.x);
    row->place[0].y = line->from.y + share * (line->to.y - line->from.y);
}

static enum bt_status find_placement(struct rows *r, struct row *row)
{
    struct bt_gather *g = r->g;
    const struct bt_cell *cell = cell_of(r, row, BT_ROLE_LINE);
    bool named = r->column[BT_ROLE_AT].there;
    size_t line = SIZE_MAX;
    struct bt_placement *placement;

    if (cell->length == 0) {
        if (!row->blank)
            fault(r, row, BT_ROLE_LINE, "the line is missing",
                  "type which line the gap belongs to");
        row->nowhere = true;
        return BT_OK;
    }
    if (named) {
        line = bt_names_find(&g->load->lines.names, cell->text, cell->length, 0);
        if (line == SIZE_MAX) {
            unknown_line(r, row);
            return BT_OK;
        }
        g->load->lines.item[line].used = true;
    }
    if (bt_gather_placement(g, cell, bt_gather_edge(g, row->typed.instrument),
                            row->record->line, &row->typed.owner) != BT_OK)
        return BT_ENOMEM;
    placement = &g->placement[row->typed.owner];
    placement->named = line;
    if (named)
        place_on_line(r, row, placement);
    if (isfinite(row->place[0].x) && isfinite(row->place[0].y))
        bt_placement_place(placement, &row->place[0]);
    else
        row->nowhere = true;
    return BT_OK;
}

static enum bt_status find_setup(struct rows *r, struct row *row)
{
    static const struct bt_cell unnamed = {.text = "", .length = 0};
    const struct bt_column *column = &r->column[BT_ROLE_SETUP];

    if (column->there && bt_cell_empty(row->record, column)) {
        if (!row->blank)
            fault(r, row, BT_ROLE_SETUP, "the set-up is missing",
                  "type which set-up of the dial the height belongs to");
        return BT_OK;
    }
    return bt_gather_setup(r->g,
                           column->there ? cell_of(r, row, BT_ROLE_SETUP) : &unnamed,
                           row->typed.instrument, row->record->line, &row->typed.owner);
}

/* ---- rows ---- */

static enum bt_status keep_blank(struct rows *r, struct row *row)
{
    enum bt_system system = r->g->load->job->system;
    const struct bt_point *place = &row->place[r->form->kind == BT_READ_BAR];
    bool line = r->form->kind == BT_READ_GAP;
    char words[BT_PLACE_ROOM] = "";

    if (line && !isnan(row->number[BT_ROLE_AT]))
        bt_print_length(words, row->number[BT_ROLE_AT], 0, system, BT_LENGTH_RULE);
    else if (isfinite(place->x) && isfinite(place->y))
        bt_say_place(words, place, system);
    return bt_gather_blank(r->g, &row->typed,
                           line ? cell_of(r, row, BT_ROLE_LINE) : NULL, place, words);
}

static enum bt_status keep(struct rows *r, struct row *row)
{
    if (row->no_memory)
        return BT_ENOMEM;
    if (row->blank)
        return keep_blank(r, row);
    if (row->bad)
        return BT_OK;
    row->typed.stick = row->number[BT_ROLE_STICK];
    bt_gather_u(r->g, &row->typed, row->u_typed, row->u_interval);
    return bt_gather_add(r->g, &row->typed, row->place);
}

static enum bt_status read_row(struct rows *r, const struct bt_record *record)
{
    struct row row = {.record = record};
    enum bt_status status = BT_OK;

    for (int role = 0; role < BT_ROLES; role++)
        row.number[role] = NAN;
    for (int i = 0; i < 4; i++)
        row.place[i].x = row.place[i].y = NAN;
    row.typed.kind = r->form->kind;
    row.typed.line = record->line;
    row.typed.owner = SIZE_MAX; /* of a blank that names no line */
    row.u_typed = row.u_interval = NAN;
    row.blank = bt_cell_empty(record, &r->column[r->form->value]);
    read_positions(r, &row);
    check_apart(r, &row);
    if (r->form->kind == BT_READ_GAP && r->column[BT_ROLE_AT].there)
        read_number(r, &row, BT_ROLE_AT);
    if (r->form->kind == BT_READ_WIND)
        read_number(r, &row, BT_ROLE_STICK);
    if (row.number[BT_ROLE_STICK] <= 0)
        fault(r, &row, BT_ROLE_STICK, "a stick without length",
              "type the length over which wind was read");
    read_instrument(r, &row);
    read_value(r, &row);
    read_u(r, &row);
    if (r->form->kind == BT_READ_GAP)
        status = find_placement(r, &row);
    else if (r->form->kind == BT_READ_HEIGHT)
        status = find_setup(r, &row);
    return status == BT_OK ? keep(r, &row) : status;
}

/* A second table below the first: what follows cannot be read by this header. */
static bool second_header(struct rows *r, const struct bt_record *record)
{
    const struct bt_cell *cell = record->cell;
    char shown[BT_SHOWN_ROOM];

    if (!bt_header_again(record))
        return false;
    bt_fault_add(r->sheet->faults, BT_EINPUT, r->sheet->name, record->line,
                 cell->column,
                 "a second header: '%s', put what follows into a file of its own",
                 bt_fault_shown(cell->text, cell->length, shown));
    return true;
}

/* Without lines.csv no row could be read, and each would tell the same. */
static bool lines_usable(struct rows *r)
{
    const struct bt_named_lines *lines = &r->g->load->lines;
    const struct bt_record *header = r->sheet->table->record;

    if (!lines->there)
        bt_cell_fault(r->sheet, header, &r->column[BT_ROLE_AT],
                      "no lines.csv: it says where the lines run along which `at` is "
                      "measured, write one with line,from,to");
    return lines->usable;
}

enum bt_status bt_rows_read(struct bt_gather *g, struct bt_sheet *sheet)
{
    struct rows r = {.g = g, .sheet = sheet};

    if (bt_header_read(sheet, r.column, &r.form) != BT_OK)
        return BT_OK;
    bt_gather_system(
        g,
        r.column[r.form->place[0] == BT_NO_ROLE ? BT_ROLE_AT : r.form->place[0]].unit);
    if (r.form->kind == BT_READ_GAP && g->load->job->gap_unit == BT_UNIT_NONE)
        g->load->job->gap_unit = r.column[r.form->value].unit;
    if (bt_gather_instrument(g, r.form->kind) != BT_OK)
        return BT_ENOMEM;
    if (r.column[BT_ROLE_AT].there && bt_lines_read(g->load) != BT_OK)
        return BT_ENOMEM;
    if (r.column[BT_ROLE_AT].there && !lines_usable(&r))
        return BT_OK;
    for (size_t i = 1; i < sheet->table->nrecord; i++) {
        const struct bt_record *record = &sheet->table->record[i];
        if (second_header(&r, record) || bt_gather_too_many(g, sheet, record->line))
            break;
        if (read_row(&r, record) != BT_OK)
            return BT_ENOMEM;
    }
    return BT_OK;
}

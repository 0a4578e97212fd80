/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/fence.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))
#define PI 3.14159265358979323846
#define DEGREE (PI / 180)

/* As far from 0 as a typed deviation from square is believed to be one, rad: beyond it
 * what was meant is not plain. */
#define DEVIATION_MOST (5 * DEGREE)

/* No fence is believed to be longer, mm, where its length is not stated. */
#define STATION_MOST 5000.0

enum { SQUARE = 1u << BT_FENCE_SQUARE, DOUBLED = 1u << BT_FENCE_DOUBLED };
enum { ANGLE = 1u << BT_FENCE_ANGLE };

/* Which kinds of check a cell belongs to. */
static const struct owner {
    enum bt_fence_column column;
    unsigned kinds;
    const char *name, *words;
} owners[] = {
    {BT_FENCE_COL_HEIGHT, SQUARE, "height", "square"},
    {BT_FENCE_COL_GAP, SQUARE | DOUBLED, "gap", "square or doubled"},
    {BT_FENCE_COL_OPEN_AT, SQUARE, "open_at", "square"},
    {BT_FENCE_COL_WIDTH, DOUBLED, "width", "doubled"},
    {BT_FENCE_COL_WIDTH2, DOUBLED, "width2", "doubled"},
    {BT_FENCE_COL_HOLLOW_AT, DOUBLED, "hollow_at", "doubled"},
    {BT_FENCE_COL_READING, ANGLE, "reading", "angle"},
    {BT_FENCE_COL_TURNED, ANGLE, "turned", "angle"},
    {BT_FENCE_COL_U, SQUARE | DOUBLED, "u of a length", "square or doubled"},
    {BT_FENCE_COL_U_DEG, ANGLE, "u_deg", "angle"},
};

static bool is_empty(const struct bt_fence_file *f, const struct bt_fence_row *row,
                     enum bt_fence_column column)
{
    return bt_cell_empty(row->record, &f->column[column]);
}

static const struct bt_cell *cell_of(const struct bt_fence_file *f,
                                     const struct bt_fence_row *row,
                                     enum bt_fence_column column)
{
    return &row->record->cell[f->column[column].index];
}

/* A fault with the cell's text between what and fix. */
static void fault(struct bt_fence_file *f, struct bt_fence_row *row,
                  enum bt_fence_column column, const char *what, const char *fix)
{
    const struct bt_cell *cell = cell_of(f, row, column);
    char shown[BT_SHOWN_ROOM];

    bt_cell_fault(&f->sheet, row->record, &f->column[column], "%s: '%s', %s", what,
                  bt_fault_shown(cell->text, cell->length, shown), fix);
    row->bad = true;
}

/* A cell that must not be empty; where it has no column the fault stands at the row's
 * kind. */
static bool need(struct bt_fence_file *f, struct bt_fence_row *row,
                 enum bt_fence_column column, const char *words)
{
    bool there = f->column[column].there;

    if (!is_empty(f, row, column))
        return true;
    bt_cell_fault(&f->sheet, row->record,
                  &f->column[there ? column : BT_FENCE_COL_KIND], "%s", words);
    row->bad = true;
    return false;
}

static void check_owners(struct bt_fence_file *f, struct bt_fence_row *row)
{
    char fix[BT_KNOWN_ROOM];

    for (size_t i = 0; i < COUNT(owners); i++) {
        if (owners[i].kinds & 1u << row->check.kind ||
            is_empty(f, row, owners[i].column))
            continue;
        snprintf(fix, sizeof fix, "%s belongs to a row of kind %s", owners[i].name,
                 owners[i].words);
        fault(f, row, owners[i].column, "a cell of another kind of check", fix);
    }
}

/* ---- numbers ---- */

static void read_above_zero(struct bt_fence_file *f, struct bt_fence_row *row,
                            enum bt_fence_column column, double *out)
{
    row->bad |=
        bt_cell_number(&f->sheet, row->record, &f->column[column], 0, out) != BT_OK;
}

static void read_station(struct bt_fence_file *f, struct bt_fence_row *row)
{
    const struct bt_fence_setup *fence = &f->load->job->fence;
    char fix[BT_KNOWN_ROOM], length[BT_PRINT_ROOM];

    if (bt_cell_number(&f->sheet, row->record, &f->column[BT_FENCE_COL_STATION],
                       -INFINITY, &row->check.station) != BT_OK)
        row->bad = true;
    if (isnan(row->check.station))
        return;
    if (!(row->check.station >= 0)) {
        fault(f, row, BT_FENCE_COL_STATION, "a station off the fence",
              "stations count from the infeed end, which is 0");
    } else if (row->check.station > fence->length) {
        snprintf(fix, sizeof fix, "the fence is %s long",
                 bt_print_length(length, fence->length, 0, f->load->job->system,
                                 BT_LENGTH_RULE));
        fault(f, row, BT_FENCE_COL_STATION, "a station off the fence", fix);
    } else if (row->check.station > STATION_MOST) {
        fault(f, row, BT_FENCE_COL_STATION, "a station that is not believed",
              "no fence is longer than 5 m (197 in): is the unit right?");
    }
}

static void read_height(struct bt_fence_file *f, struct bt_fence_row *row)
{
    const struct bt_fence_setup *fence = &f->load->job->fence;
    char fix[BT_KNOWN_ROOM], height[BT_PRINT_ROOM];

    if (!need(f, row, BT_FENCE_COL_HEIGHT,
              "height is missing: type how far along the blade the gap is from where "
              "it touches"))
        return;
    read_above_zero(f, row, BT_FENCE_COL_HEIGHT, &row->check.height);
    if (row->check.height > fence->height) {
        snprintf(fix, sizeof fix, "the fence is %s high",
                 bt_print_length(height, fence->height, 0, f->load->job->system,
                                 BT_LENGTH_RULE));
        fault(f, row, BT_FENCE_COL_HEIGHT, "a height above the fence", fix);
    }
}

/* A gap, and where it is: the first of the two words is the side of e > 0. */
static void read_gap(struct bt_fence_file *f, struct bt_fence_row *row,
                     enum bt_fence_column side, const char *const words[2],
                     const char *missing, double *interval, bool *positive)
{
    const struct bt_job *job = f->load->job;
    const struct bt_cell *cell = cell_of(f, row, BT_FENCE_COL_GAP);
    struct bt_gap gap;
    size_t which = 0;

    if (bt_cell_choice(&f->sheet, row->record, &f->column[side], 2, words, &which) !=
        BT_OK)
        row->bad = true;
    *positive = which == 0;
    if (bt_cell_gap(&f->sheet, row->record, &f->column[BT_FENCE_COL_GAP], job->nfeeler,
                    job->feeler, &gap) != BT_OK) {
        row->bad = true;
        return;
    }
    row->check.gap = bt_gap_value(&gap);
    *interval = bt_gap_u(&gap);
    row->digits = gap.digits;
    row->step = gap.step;
    if (bt_sure_note_odd(&f->load->notes, f->sheet.name, row->record->line, cell->text,
                         cell->length, gap.odd) != BT_OK)
        row->no_memory = true;
    if (!is_empty(f, row, side) || row->check.gap == 0)
        return;
    /* Not even the thinnest leaf went, and nobody can say on which side: as likely
     * any error within it to either side (JCGM 100:2008, 4.3.7). */
    if (gap.kind == BT_GAP_BELOW) {
        row->check.gap = 0;
        *interval = gap.high / sqrt(3);
        return;
    }
    need(f, row, side, missing);
}

/* ---- angles ---- */

static void refuse_deviation(struct bt_fence_file *f, struct bt_fence_row *row,
                             enum bt_fence_column column, const struct bt_quantity *q)
{
    char fix[BT_KNOWN_ROOM], away[BT_PRINT_ROOM], over[BT_PRINT_ROOM];
    double off = fabs(q->value);

    /* Twice the last digit typed prints as many digits as were typed. */
    bt_print_angle(away, PI / 2 + off, 2 * q->step);
    bt_print_angle(over, PI / 2 - off, 2 * q->step);
    if (off > 0)
        snprintf(fix, sizeof fix,
                 "type the whole angle between table and fence where the board runs: "
                 "%s where the fence leans away from it, %s where it leans over it",
                 away, over);
    else
        snprintf(fix, sizeof fix, "type the whole angle, 90 where it is square");
    fault(f, row, column, "not the angle but how far it is off 90", fix);
}

static void read_angle(struct bt_fence_file *f, struct bt_fence_row *row,
                       enum bt_fence_column column, double *out, enum bt_digits *digits,
                       double *step)
{
    struct bt_quantity q;
    struct bt_gap typed;
    char what[BT_KNOWN_ROOM], angle[BT_PRINT_ROOM];

    if (is_empty(f, row, column))
        return;
    if (bt_cell_quantity(&f->sheet, row->record, &f->column[column], &q) != BT_OK) {
        row->bad = true;
    } else if (fabs(q.value) <= DEVIATION_MOST) {
        refuse_deviation(f, row, column, &q);
    } else if (!(fabs(q.value - PI / 2) <= BT_FENCE_MOST_ERROR)) {
        snprintf(what, sizeof what, "an angle of %s",
                 bt_print_angle(angle, q.value, 0));
        fault(f, row, column, what,
              "a fence stands near 90: type the whole angle that the gauge shows, as "
              "89.8 or 90.3");
    } else {
        typed = bt_gap_of_quantity(&q);
        *out = q.value;
        *digits = typed.digits;
        *step = typed.step;
    }
}

/* ---- instruments ---- */

/* The only one of its kind that is declared; -1 where none is. */
static int only_one(struct bt_fence_file *f, struct bt_fence_row *row,
                    enum bt_instrument_kind kind, const char *name)
{
    const struct bt_job *job = f->load->job;
    char words[BT_KNOWN_ROOM];
    int found = -1;

    for (size_t i = 0; i < job->ninstrument; i++) {
        if (job->instrument[i].kind != kind)
            continue;
        if (found >= 0) {
            snprintf(words, sizeof words,
                     "instrument is missing: job.ini declares more than one %s, name "
                     "the one that was used",
                     name);
            need(f, row, BT_FENCE_COL_INSTRUMENT, words);
            return -1;
        }
        found = (int)i;
    }
    return found;
}

/* Own error of the square or gauge. */
static const struct bt_instrument *read_body(struct bt_fence_file *f,
                                             struct bt_fence_row *row)
{
    const struct bt_job *job = f->load->job;
    bool square = row->check.kind == BT_FENCE_SQUARE;
    enum bt_instrument_kind kind = square ? BT_INST_SQUARE : BT_INST_ANGLE_GAUGE;
    int which;

    if (bt_cell_instrument(f->load, &f->sheet, row->record,
                           &f->column[BT_FENCE_COL_INSTRUMENT], 1u << kind,
                           &which) != BT_OK)
        row->bad = true;
    else if (which < 0)
        which = only_one(f, row, kind, square ? "square" : "angle gauge");
    /* All checks with what is not declared are taken to be with one thing. */
    row->check.instrument = which >= 0 ? which : (int)job->ninstrument + !square;
    row->check.u_own = which >= 0 ? job->instrument[which].u : NAN;
    row->assumed = !(row->check.u_own > 0);
    if (row->assumed)
        row->check.u_own = square ? BT_SQUARE_U_ASSUMED : BT_GAUGE_U_ASSUMED;
    return which >= 0 ? &job->instrument[which] : NULL;
}

/* The feelers, or what else reads a gap under a straightedge. */
static const struct bt_instrument *read_feelers(struct bt_fence_file *f,
                                                struct bt_fence_row *row)
{
    const unsigned kinds =
        1u << BT_INST_STRAIGHTEDGE | 1u << BT_INST_FEELERS | 1u << BT_INST_DIAL;
    int which;

    if (bt_cell_instrument(f->load, &f->sheet, row->record,
                           &f->column[BT_FENCE_COL_INSTRUMENT], kinds, &which) != BT_OK)
        row->bad = true;
    return which >= 0 ? &f->load->job->instrument[which] : NULL;
}

/* ---- kinds ---- */

static void read_square(struct bt_fence_file *f, struct bt_fence_row *row)
{
    static const char *const sides[] = {"top", "bottom"};
    const struct bt_instrument *square;
    double typed, interval = NAN;

    read_height(f, row);
    read_gap(f, row, BT_FENCE_COL_OPEN_AT, sides,
             "open_at is missing: type where the gap is seen, top or bottom", &interval,
             &row->check.opens_at_top);
    square = read_body(f, row);
    row->bad |=
        bt_cell_u(&f->sheet, row->record, &f->column[BT_FENCE_COL_U], &typed) != BT_OK;
    row->check.u_gap = bt_sure_u(typed, interval, NAN,
                                 square ? square->resolution : NAN, &row->origin);
}

static void read_doubled(struct bt_fence_file *f, struct bt_fence_row *row)
{
    static const char *const sides[] = {"fence face", "other face"};
    const struct bt_instrument *feelers;
    double typed, interval = NAN;

    if (need(f, row, BT_FENCE_COL_WIDTH,
             "width is missing: type how wide the offcut is (and width2 where the "
             "other differs)"))
        read_above_zero(f, row, BT_FENCE_COL_WIDTH, &row->check.width);
    read_above_zero(f, row, BT_FENCE_COL_WIDTH2, &row->check.width2);
    if (is_empty(f, row, BT_FENCE_COL_WIDTH2))
        row->check.width2 = row->check.width;
    read_gap(
        f, row, BT_FENCE_COL_HOLLOW_AT, sides,
        "hollow_at is missing: type which face is hollow, fence face or other face",
        &interval, &row->check.hollow_at_fence);
    feelers = read_feelers(f, row);
    row->bad |=
        bt_cell_u(&f->sheet, row->record, &f->column[BT_FENCE_COL_U], &typed) != BT_OK;
    row->check.u_gap = bt_sure_u(typed, interval, feelers ? feelers->u : NAN,
                                 feelers ? feelers->resolution : NAN, &row->origin);
}

static void read_gauge(struct bt_fence_file *f, struct bt_fence_row *row)
{
    const struct bt_instrument *gauge;
    double typed;

    read_angle(f, row, BT_FENCE_COL_READING, &row->check.reading, &row->digits,
               &row->step);
    read_angle(f, row, BT_FENCE_COL_TURNED, &row->check.turned, &row->turned_digits,
               &row->turned_step);
    gauge = read_body(f, row);
    if (!isnan(row->check.turned))
        row->assumed = false; /* its own error cancels */
    row->bad |= bt_cell_u(&f->sheet, row->record, &f->column[BT_FENCE_COL_U_DEG],
                          &typed) != BT_OK;
    row->check.u_reading =
        bt_sure_u(typed, NAN, NAN, gauge ? gauge->resolution : NAN, &row->origin);
}

/* Gap and height or widths that together make no fence. */
static void check_size(struct bt_fence_file *f, struct bt_fence_row *row)
{
    struct bt_fence_check check = row->check;
    double e, u;

    if (row->bad || check.kind == BT_FENCE_ANGLE)
        return;
    check.u_gap = 1; /* not known yet, and it does not matter here */
    bt_fence_check_error(&check, &e, &u);
    if (!(fabs(e) <= BT_FENCE_MOST_ERROR))
        fault(f, row, BT_FENCE_COL_GAP, "a fence more than 10 deg out of square",
              "are the units of the gap and of its place right?");
}

/* A check that was not taken, or that has no column to be taken into. */
static bool is_blank(struct bt_fence_file *f, struct bt_fence_row *row)
{
    bool angle = row->check.kind == BT_FENCE_ANGLE;
    enum bt_fence_column value = angle ? BT_FENCE_COL_READING : BT_FENCE_COL_GAP;
    char words[BT_KNOWN_ROOM];

    if (!is_empty(f, row, value))
        return false;
    if (!f->column[value].there) {
        snprintf(words, sizeof words, "no column '%s': a check of kind %s needs it",
                 angle ? "reading" : "gap", bt_fence_kind_name(row->check.kind));
        need(f, row, value, words);
    } else if (angle && !is_empty(f, row, BT_FENCE_COL_TURNED)) {
        need(f, row, value,
             "reading is missing: one that was read one way only is typed here, not "
             "under turned");
    }
    return true;
}

void bt_fence_row_read(struct bt_fence_file *f, const struct bt_record *record,
                       struct bt_fence_row *row)
{
    static void (*const read[BT_FENCE_KINDS])(struct bt_fence_file *,
                                              struct bt_fence_row *) = {
        [BT_FENCE_SQUARE] = read_square,
        [BT_FENCE_DOUBLED] = read_doubled,
        [BT_FENCE_ANGLE] = read_gauge};
    const char *kinds[BT_FENCE_KINDS];
    size_t kind = 0;

    *row = (struct bt_fence_row){
        .record = record,
        .check = {.station = NAN,
                  .gap = NAN,
                  .u_gap = NAN,
                  .height = NAN,
                  .width = NAN,
                  .width2 = NAN,
                  .reading = NAN,
                  .turned = NAN,
                  .u_reading = NAN,
                  .instrument = -1,
                  .source = record->line},
    };
    for (int i = 0; i < BT_FENCE_KINDS; i++)
        kinds[i] = bt_fence_kind_name((enum bt_fence_kind)i);
    /* Without its kind nothing tells what the other cells are. */
    if (!need(f, row, BT_FENCE_COL_KIND,
              "kind is missing: write one of square, doubled, angle"))
        return;
    if (bt_cell_choice(&f->sheet, record, &f->column[BT_FENCE_COL_KIND], BT_FENCE_KINDS,
                       kinds, &kind) != BT_OK) {
        row->bad = true;
        return;
    }
    row->check.kind = (enum bt_fence_kind)kind;
    check_owners(f, row);
    row->blank = is_blank(f, row);
    if (row->blank)
        return;
    read_station(f, row);
    read[kind](f, row);
    check_size(f, row);
}

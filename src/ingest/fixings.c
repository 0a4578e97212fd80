/* SPDX-License-Identifier: GPL-3.0-or-later */
/* [fixing] of job.ini, and fixings.csv. */
#include "ingest/load.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/columns.h"
#include "ingest/keys.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))
#define HALF_PI 1.57079632679489661923

/* Places count from the edges of the finished piece.  NULL where one lies on it, or its
 * size is not known; else what is wrong, in out. */
static const char *say_off(char out[BT_KNOWN_ROOM], const struct bt_job *job, double mm,
                           bool across)
{
    const double cut = across ? job->layout.width : job->layout.length;
    char printed[BT_PRINT_ROOM];

    if (isnan(cut))
        return bt_say_outside(out, job, mm, across);
    if (mm >= 0 && mm <= cut)
        return NULL;
    snprintf(out, BT_KNOWN_ROOM, "%s is 0 to %s, as [layout] says",
             across ? "y, across the finished piece," : "x, along the finished piece,",
             bt_print_length(printed, cut, 0, job->system, BT_LENGTH_RULE));
    return out;
}

/* ---- [fixing] ---- */

static enum bt_status read_fixed(struct bt_load *load, const struct bt_ini_entry *entry,
                                 void *out)
{
    static const char *const words[] = {"back edge", "front edge", "centre", "center"};
    static const enum bt_fixed_line lines[] = {BT_FIXED_BACK, BT_FIXED_FRONT,
                                               BT_FIXED_CENTRE, BT_FIXED_CENTRE};
    struct bt_fixing_setup *setup = out;
    const double width = isnan(load->job->layout.width) ? load->job->panel.width
                                                        : load->job->layout.width;
    char outside[BT_KNOWN_ROOM], shown[BT_SHOWN_ROOM];
    const char *why;
    struct bt_quantity at;

    for (size_t i = 0; i < COUNT(words); i++)
        if (strlen(words[i]) == entry->value.length &&
            bt_names_alike(words[i], entry->value.text, entry->value.length)) {
            setup->fixed = lines[i];
            return BT_OK;
        }
    bt_fault_shown(entry->value.text, entry->value.length, shown);
    if (bt_quantity_parse(entry->value.text, entry->value.length, BT_DIM_LENGTH,
                          load->job->unit == BT_UNIT_NONE ? BT_UNIT_MM
                                                          : load->job->unit,
                          false, &at, NULL) != BT_OK)
        return bt_key_value_fault(load, entry,
                                  "not a line of the panel: '%s', write back edge, "
                                  "front edge, centre, or how far from the back edge",
                                  shown);
    if (bt_key_length(load, entry, &at.value) != BT_OK)
        return BT_EINPUT;
    why = say_off(outside, load->job, at.value, true);
    if (why)
        return bt_key_value_fault(load, entry, "outside the panel: '%s', %s", shown,
                                  why);
    setup->fixed = BT_FIXED_AT;
    setup->fixed_at = isnan(width) ? at.value : fmin(fmax(at.value, 0), width);
    return BT_OK;
}

static enum bt_status read_ends(struct bt_load *load, const struct bt_ini_entry *entry,
                                void *out)
{
    static const char *const words[] = {"none", "breadboard", "frame"};
    size_t which;

    if (bt_key_choice(load, entry, COUNT(words), words, &which) != BT_OK)
        return BT_EINPUT;
    *(enum bt_ends *)out = (enum bt_ends)which;
    return BT_OK;
}

enum bt_status bt_fixing_section_read(struct bt_load *load,
                                      const struct bt_ini_section *section)
{
    static const struct bt_key keys[] = {
        {"fixed", read_fixed, 0},
        {"ends", read_ends, offsetof(struct bt_fixing_setup, ends)},
        {"ends_width", bt_key_above_zero, offsetof(struct bt_fixing_setup, ends_width)},
        {"ends_play", bt_key_zero_or_above,
         offsetof(struct bt_fixing_setup, ends_play)},
        {"load", bt_key_force, offsetof(struct bt_fixing_setup, load)},
    };

    return bt_keys_read(load, section, COUNT(keys), keys, &load->job->fixing);
}

/* ---- fixings.csv ---- */

static const char fixings_file[] = "fixings.csv";

enum {
    X,
    Y,
    KIND,
    NAME,
    DIRECTION,
    SLOT,
    HOLE,
    SCREW,
    THREAD,
    TRAVEL,
    ARM,
    AT,
    HEAD,
    THROUGH,
    INTO,
    WASHER,
    NCOLUMN
};
static const struct bt_column_spec columns[NCOLUMN] = {
    [X] = {.name = "x", .dim = BT_DIM_LENGTH},
    [Y] = {.name = "y", .dim = BT_DIM_LENGTH},
    [KIND] = {.name = "kind", .dim = BT_DIM_NUMBER},
    [NAME] = {.name = "name", .dim = BT_DIM_NUMBER},
    [DIRECTION] = {.name = "direction", .dim = BT_DIM_NUMBER},
    [SLOT] = {.name = "slot", .dim = BT_DIM_LENGTH},
    [HOLE] = {.name = "hole", .dim = BT_DIM_LENGTH},
    [SCREW] = {.name = "screw", .dim = BT_DIM_LENGTH},
    [THREAD] = {.name = "thread", .dim = BT_DIM_LENGTH},
    [TRAVEL] = {.name = "travel", .dim = BT_DIM_LENGTH},
    [ARM] = {.name = "arm", .dim = BT_DIM_LENGTH},
    [AT] = {.name = "at", .dim = BT_DIM_LENGTH},
    [HEAD] = {.name = "head", .dim = BT_DIM_LENGTH},
    [THROUGH] = {.name = "through", .dim = BT_DIM_LENGTH},
    [INTO] = {.name = "into", .dim = BT_DIM_NUMBER},
    [WASHER] = {.name = "washer", .dim = BT_DIM_NUMBER},
};

/* What is being read. */
struct sheet {
    struct bt_load *load;
    struct bt_sheet sheet;
    struct bt_column column[NCOLUMN];
};

/* A fault at a cell, which is quoted: WHAT: 'CELL', WHY. */
static void refuse(struct sheet *s, const struct bt_record *record, int column,
                   const char *what, const char *why)
{
    const struct bt_cell *cell = &record->cell[s->column[column].index];
    char shown[BT_SHOWN_ROOM];

    bt_cell_fault(&s->sheet, record, &s->column[column], "%s: '%s', %s", what,
                  bt_fault_shown(cell->text, cell->length, shown), why);
}

static void read_place(struct sheet *s, const struct bt_record *record, int column,
                       double *out)
{
    char outside[BT_KNOWN_ROOM];
    const char *why;

    *out = NAN;
    if (bt_cell_empty(record, &s->column[column])) {
        bt_cell_fault(&s->sheet, record, &s->column[column],
                      "%s is missing: type where the fixing is, %s",
                      columns[column].name,
                      column == X ? "from the left end" : "from the back edge");
        return;
    }
    if (bt_cell_number(&s->sheet, record, &s->column[column], -INFINITY, out) != BT_OK)
        return;
    why = say_off(outside, s->load->job, *out, column == Y);
    if (why)
        refuse(s, record, column, "outside the panel", why);
}

static void read_direction(struct sheet *s, const struct bt_record *record, double *out)
{
    static const char *const words[] = {"across", "along"};
    const struct bt_column *column = &s->column[DIRECTION];
    const struct bt_cell *cell;
    struct bt_quantity angle;

    *out = NAN;
    if (bt_cell_empty(record, column))
        return;
    cell = &record->cell[column->index];
    for (size_t i = 0; i < COUNT(words); i++)
        if (strlen(words[i]) == cell->length &&
            bt_names_alike(words[i], cell->text, cell->length)) {
            *out = i ? HALF_PI : 0;
            return;
        }
    if (bt_quantity_parse(cell->text, cell->length, BT_DIM_ANGLE, BT_UNIT_DEG, false,
                          &angle, NULL) != BT_OK ||
        !(fabs(angle.value) <= HALF_PI))
        refuse(s, record, DIRECTION, "not a direction of a slot",
               "write across, along, or its angle to across, as 30 deg");
    else
        *out = fabs(angle.value);
}

static void read_choices(struct sheet *s, const struct bt_record *record,
                         struct bt_fixing *fixing)
{
    static const char *const answers[] = {"no", "yes"};
    const char *kinds[BT_FIXING_KINDS], *intos[BT_INTO_KINDS];
    size_t kind = BT_FIXING_ROUND_HOLE, into = BT_INTO_SOLID_WOOD, washer = 0;

    for (int i = 0; i < BT_FIXING_KINDS; i++)
        kinds[i] = bt_fixing_kind_name((enum bt_fixing_kind)i);
    for (int i = 0; i < BT_INTO_KINDS; i++)
        intos[i] = bt_fixing_into_name((enum bt_fixing_into)i);
    if (bt_cell_empty(record, &s->column[KIND]))
        bt_cell_fault(
            &s->sheet, record, &s->column[KIND],
            "the kind is missing: write round hole, slot, figure-eight, clip, "
            "button or bracket");
    bt_cell_choice(&s->sheet, record, &s->column[KIND], BT_FIXING_KINDS, kinds, &kind);
    bt_cell_choice(&s->sheet, record, &s->column[INTO], BT_INTO_KINDS, intos, &into);
    bt_cell_choice(&s->sheet, record, &s->column[WASHER], 2, answers, &washer);
    fixing->kind = (enum bt_fixing_kind)kind;
    fixing->into = (enum bt_fixing_into)into;
    fixing->washer = washer == 1;
}

/* Above 0, and NaN where it is not stated. */
static void read_sizes(struct sheet *s, const struct bt_record *record,
                       struct bt_fixing *f)
{
    const struct {
        int column;
        double *out;
    } sizes[] = {{SLOT, &f->slot},      {HOLE, &f->hole},     {SCREW, &f->screw},
                 {ARM, &f->arm},        {THREAD, &f->thread}, {HEAD, &f->head},
                 {THROUGH, &f->through}};

    for (size_t i = 0; i < COUNT(sizes); i++)
        bt_cell_number(&s->sheet, record, &s->column[sizes[i].column], 0, sizes[i].out);
    bt_cell_number(&s->sheet, record, &s->column[TRAVEL], -INFINITY, &f->travel);
    if (f->travel < 0)
        refuse(s, record, TRAVEL, "a travel below 0",
               "write how far it lets the panel go in all, 0 for none");
    bt_cell_number(&s->sheet, record, &s->column[AT], -INFINITY, &f->at);
}

/* A screw thicker than this is most likely a length in its place, mm. */
#define SCREW_MOST 20.0

static void check_sizes(struct sheet *s, const struct bt_record *record,
                        const struct bt_fixing *f)
{
    char printed[BT_PRINT_ROOM], why[BT_KNOWN_ROOM];
    const char *screw =
        bt_print_length(printed, f->screw, 0, s->load->job->system, BT_LENGTH_RULE);

    if (f->screw > SCREW_MOST) {
        refuse(s, record, SCREW, "a screw that is not believed",
               "at most 20 mm (0.79 in): is it its thickness, and is the unit right?");
        return;
    }
    snprintf(why, sizeof why, "the screw is %s thick", screw);
    if (f->slot < f->screw)
        refuse(s, record, SLOT, "a slot shorter than the screw", why);
    if (f->hole < f->screw)
        refuse(s, record, HOLE, "a hole smaller than the screw", why);
    if (f->head < f->screw)
        refuse(s, record, HEAD, "a head smaller than the screw", why);
    if (f->slot < f->hole)
        refuse(s, record, SLOT, "a slot shorter than it is wide",
               "slot is its length over all, hole its width");
    if (!isnan(f->slot) && f->kind != BT_FIXING_SLOT && f->kind != BT_FIXING_BRACKET)
        refuse(s, record, SLOT, "a slot where there is none",
               "it belongs to the kinds slot and bracket");
}

static enum bt_status read_row(struct sheet *s, const struct bt_record *record)
{
    struct bt_fixing_setup *setup = &s->load->job->fixing;
    const size_t faults = s->sheet.faults->n;
    struct bt_fixing fixing = {.line = record->line};

    fixing.name = bt_cell_text(record, &s->column[NAME]);
    if (!fixing.name)
        return BT_ENOMEM;
    read_place(s, record, X, &fixing.x);
    read_place(s, record, Y, &fixing.y);
    read_choices(s, record, &fixing);
    read_direction(s, record, &fixing.direction);
    read_sizes(s, record, &fixing);
    if (s->sheet.faults->n == faults)
        check_sizes(s, record, &fixing);
    setup->fixing[setup->n++] = fixing;
    return BT_OK;
}

static bool header_is_right(struct sheet *s)
{
    if (bt_columns_find(&s->sheet, "fixings", NCOLUMN, columns, s->column) != BT_OK)
        return false;
    for (int i = X; i <= KIND; i++)
        if (!s->column[i].there) {
            bt_fault_add(
                s->load->faults, BT_EINPUT, fixings_file, s->sheet.table->record->line,
                1, "no column '%s': a table of fixings has x,y,kind", columns[i].name);
            return false;
        }
    return true;
}

enum bt_status bt_fixings_read(struct bt_load *load)
{
    struct bt_table table;
    bool usable;
    enum bt_status status = bt_inside_table(load, fixings_file, &table, &usable);
    struct sheet s = {
        .load = load,
        .sheet = {fixings_file, &table, load->job->unit, load->faults},
    };

    if (status == BT_OK && usable && header_is_right(&s)) {
        load->job->fixing.fixing =
            bt_alloc(table.nrecord, sizeof *load->job->fixing.fixing);
        if (!load->job->fixing.fixing)
            status = BT_ENOMEM;
        for (size_t i = 1; status == BT_OK && i < table.nrecord; i++)
            status = read_row(&s, &table.record[i]);
    }
    bt_table_clear(&table);
    return status;
}

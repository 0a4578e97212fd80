/* SPDX-License-Identifier: GPL-3.0-or-later */
/* [stock] of job.ini, and stock.csv. */
#include "ingest/load.h"

#include <math.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/wood/wood.h"
#include "ingest/columns.h"
#include "ingest/keys.h"
#include "ingest/sure.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

enum bt_status bt_stock_section_read(struct bt_load *load,
                                     const struct bt_ini_section *section)
{
#define MEMBER(name) offsetof(struct bt_stock_setup, name)
    static const struct bt_key keys[] = {
        {"thickness", bt_key_above_zero, MEMBER(thickness)},
        {"allowance", bt_key_zero_or_above, MEMBER(allowance)},
        {"jointer_width", bt_key_above_zero, MEMBER(jointer_width)},
        {"planer_width", bt_key_above_zero, MEMBER(planer_width)},
        {"jointer_least_length", bt_key_above_zero, MEMBER(jointer_least_length)},
        {"planer_least_length", bt_key_above_zero, MEMBER(planer_least_length)},
        {"planer_least_thickness", bt_key_above_zero, MEMBER(planer_least_thickness)},
    };
#undef MEMBER

    return bt_keys_read(load, section, COUNT(keys), keys, &load->job->stock);
}

/* ---- stock.csv ---- */

static const char stock_file[] = "stock.csv";

/* Readings first, in the order of enum bt_stock_reading. */
enum {
    BOARD = BT_STOCK_READINGS,
    LENGTH,
    WIDTH,
    SPECIES,
    MOISTURE,
    NOMINAL,
    CUT,
    PIECES,
    RIP,
    U,
    NCOLUMN
};
static const struct bt_column_spec columns[NCOLUMN] = {
    [BT_STOCK_THICKNESS] = {.name = "thickness", .dim = BT_DIM_LENGTH},
    [BT_STOCK_CUP] = {.name = "cup", .dim = BT_DIM_LENGTH},
    [BT_STOCK_BOW] = {.name = "bow", .dim = BT_DIM_LENGTH},
    [BT_STOCK_TWIST] = {.name = "twist", .dim = BT_DIM_LENGTH},
    [BT_STOCK_CROOK] = {.name = "crook", .dim = BT_DIM_LENGTH},
    [BT_STOCK_TAPER] = {.name = "taper", .dim = BT_DIM_LENGTH},
    [BOARD] = {.name = "board", .dim = BT_DIM_NUMBER},
    [LENGTH] = {.name = "length", .dim = BT_DIM_LENGTH},
    [WIDTH] = {.name = "width", .dim = BT_DIM_LENGTH},
    [SPECIES] = {.name = "species", .dim = BT_DIM_NUMBER},
    [MOISTURE] = {.name = "moisture", .dim = BT_DIM_PERCENT},
    [NOMINAL] = {.name = "nominal", .dim = BT_DIM_NUMBER},
    [CUT] = {.name = "cut", .dim = BT_DIM_LENGTH},
    [PIECES] = {.name = "pieces", .dim = BT_DIM_NUMBER},
    [RIP] = {.name = "rip", .dim = BT_DIM_LENGTH},
    [U] = {.name = "u", .dim = BT_DIM_LENGTH},
};

/* How a reading was typed. */
struct typed {
    enum bt_digits digits;
    double step;
};

struct stock {
    struct bt_load *load;
    struct bt_sheet sheet;
    struct bt_column column[NCOLUMN];
    struct bt_names names;
    struct bt_finest finest[BT_STOCK_READINGS];
    struct typed (*typed)[BT_STOCK_READINGS]; /* a row a board */
};

/* A fault at a cell, which is quoted: WHAT: 'CELL', WHY. */
static void refuse(struct stock *s, const struct bt_record *record, int column,
                   const char *what, const char *why)
{
    const struct bt_cell *cell = &record->cell[s->column[column].index];
    char shown[BT_SHOWN_ROOM];

    bt_cell_fault(&s->sheet, record, &s->column[column], "%s: '%s', %s", what,
                  bt_fault_shown(cell->text, cell->length, shown), why);
}

static enum bt_status read_name(struct stock *s, const struct bt_record *record)
{
    const struct bt_cell *name = &record->cell[s->column[BOARD].index];
    const size_t before = bt_names_find(&s->names, name->text, name->length, 0);
    char shown[BT_SHOWN_ROOM];

    if (name->length == 0) {
        bt_cell_fault(&s->sheet, record, &s->column[BOARD],
                      "the board has no name: give it one, a number will do");
        return BT_OK;
    }
    if (before == SIZE_MAX)
        return bt_names_add(&s->names, name->text, name->length, 0, record->line);
    bt_cell_fault(&s->sheet, record, &s->column[BOARD],
                  "a board twice: '%s' is line %zu of this file already",
                  bt_fault_shown(name->text, name->length, shown), before);
    return BT_OK;
}

/* ---- sizes and readings ---- */

/* More than this share of its side no warp is believed to be, and no board thicker: a
 * unit mistaken. */
#define THICK_MOST 300.0
#define WARP_SHARE 10.0

static void read_sizes(struct stock *s, const struct bt_record *record,
                       struct bt_rough_board *board)
{
    const struct {
        int column;
        double *out;
        bool needed;
    } sizes[] = {
        {LENGTH, &board->length, true},
        {WIDTH, &board->width, true},
        {BT_STOCK_THICKNESS, &board->size[BT_STOCK_THICKNESS], true},
        {CUT, &board->cut, false},
        {RIP, &board->rip, false},
    };

    for (size_t i = 0; i < COUNT(sizes); i++) {
        struct bt_column *column = &s->column[sizes[i].column];

        if (sizes[i].needed && bt_cell_empty(record, column))
            bt_cell_fault(&s->sheet, record, column,
                          "the %s is missing: type what the rough board has",
                          columns[sizes[i].column].name);
        bt_cell_number(&s->sheet, record, column, 0, sizes[i].out);
    }
}

static void check_size(struct stock *s, const struct bt_record *record, int reading,
                       const struct bt_rough_board *board)
{
    const double size = board->size[reading];
    const bool across = reading == BT_STOCK_CUP;
    char what[64] = "a ";

    strcat(what, bt_stock_reading_name((enum bt_stock_reading)reading));
    if (size < 0) {
        strcat(what, " below 0");
        refuse(s, record, reading, what, "write how far it is out, whichever way");
        return;
    }
    strcat(what, " that is not believed");
    if (reading == BT_STOCK_THICKNESS) {
        if (size > THICK_MOST)
            refuse(s, record, reading, what,
                   "at most 300 mm (12 in): is the unit right?");
    } else if (reading == BT_STOCK_TAPER) {
        if (size > board->size[BT_STOCK_THICKNESS])
            refuse(s, record, reading, what,
                   "at most the thickness: is the unit right?");
    } else if (size > (across ? board->width : board->length) / WARP_SHARE) {
        refuse(s, record, reading, what,
               across ? "at most a tenth of the width: is the unit right?"
                      : "at most a tenth of the length: is the unit right?");
    }
}

/* The readings, how they are typed, and the u that the row states for them. */
static void read_readings(struct stock *s, const struct bt_record *record,
                          struct bt_rough_board *board,
                          struct typed typed[BT_STOCK_READINGS])
{
    double u = NAN;

    bt_cell_u(&s->sheet, record, &s->column[U], &u);
    for (int i = 0; i < BT_STOCK_READINGS; i++) {
        struct bt_quantity q;
        const size_t faults = s->sheet.faults->n;

        board->size[i] = i == BT_STOCK_THICKNESS ? board->size[i] : (double)NAN;
        board->u[i] = NAN;
        /* a thickness that is not over 0 was told */
        if (bt_cell_empty(record, &s->column[i]) ||
            (i == BT_STOCK_THICKNESS && isnan(board->size[i])) ||
            bt_cell_quantity(&s->sheet, record, &s->column[i], &q) != BT_OK)
            continue;
        board->size[i] = q.value;
        check_size(s, record, i, board);
        if (s->sheet.faults->n > faults)
            continue;
        typed[i] = (struct typed){q.denominator ? BT_DIGITS_FRACTION
                                  : q.whole     ? BT_DIGITS_WHOLE
                                                : BT_DIGITS_POINT,
                                  q.step};
        bt_finest_note(&s->finest[i], typed[i].digits, q.step, q.value == 0);
        board->u[i] = u;
    }
}

/* ---- what is to be made of it ---- */

enum { PIECES_MOST = 1000 };

static void read_pieces(struct stock *s, const struct bt_record *record,
                        struct bt_rough_board *board)
{
    const struct bt_column *column = &s->column[PIECES];
    const double kerf = bt_work_plan_usual(&s->load->job->plan).kerf;
    const enum bt_system system = s->load->job->system;
    char why[BT_KNOWN_ROOM], is[BT_PRINT_ROOM], want[BT_PRINT_ROOM];
    const struct bt_cell *cell;
    struct bt_quantity n;
    double all;

    board->pieces = 1;
    if (!bt_cell_empty(record, column)) {
        cell = &record->cell[column->index];
        if (bt_quantity_parse(cell->text, cell->length, BT_DIM_NUMBER, BT_UNIT_ONE,
                              false, &n, NULL) != BT_OK ||
            !n.whole || !(n.value >= 1) || !(n.value <= PIECES_MOST)) {
            refuse(s, record, PIECES, "not a number of pieces",
                   "write a whole number from 1 to 1000");
            return;
        }
        board->pieces = (size_t)n.value;
        if (bt_cell_empty(record, &s->column[CUT])) {
            refuse(s, record, PIECES, "pieces without their length",
                   "type it as cut, or leave out pieces");
            return;
        }
    }
    bt_print_length(is, board->length, 0, system, BT_LENGTH_RULE);
    if (board->cut > board->length) {
        snprintf(why, sizeof why, "the board is %s long", is);
        refuse(s, record, CUT, "a piece longer than the board", why);
        return;
    }
    all = (double)board->pieces * board->cut + (double)(board->pieces - 1) * kerf;
    if (all > board->length) {
        snprintf(why, sizeof why, "with their kerfs they take %s, the board is %s long",
                 bt_print_length(want, all, 0, system, BT_LENGTH_RULE), is);
        refuse(s, record, PIECES, "more pieces than the board has", why);
    }
}

static void check_rip(struct stock *s, const struct bt_record *record,
                      const struct bt_rough_board *board)
{
    char why[BT_KNOWN_ROOM], is[BT_PRINT_ROOM];

    if (!(board->rip > board->width))
        return;
    snprintf(
        why, sizeof why, "the board is %s wide",
        bt_print_length(is, board->width, 0, s->load->job->system, BT_LENGTH_RULE));
    refuse(s, record, RIP, "a strip wider than the board", why);
}

static void read_moisture(struct stock *s, const struct bt_record *record,
                          struct bt_rough_board *board)
{
    if (bt_cell_number(&s->sheet, record, &s->column[MOISTURE], 0, &board->moisture) ==
            BT_OK &&
        board->moisture > bt_stock_rule(BT_RULE_METER_MOST)->value)
        refuse(s, record, MOISTURE, "too wet to be surfaced",
               "a meter reads at most 30 %: was the humidity of the air typed?");
}

static void read_nominal(struct stock *s, const struct bt_record *record,
                         struct bt_rough_board *board)
{
    const struct bt_column *column = &s->column[NOMINAL];
    const struct bt_cell *cell;
    char known[BT_KNOWN_ROOM], why[BT_KNOWN_ROOM + 16];
    const char *names[32];
    size_t n = 0;

    board->nominal = NULL;
    if (bt_cell_empty(record, column))
        return;
    cell = &record->cell[column->index];
    board->nominal = bt_quarter_find(cell->text, cell->length);
    if (board->nominal)
        return;
    while (n < COUNT(names) && bt_quarter_at(n)) {
        names[n] = bt_quarter_at(n)->name;
        n++;
    }
    snprintf(why, sizeof why, "known are: %s", bt_say_list(known, n, names));
    refuse(s, record, NOMINAL, "unknown nominal size", why);
}

static enum bt_status check_species(struct stock *s, const struct bt_record *record)
{
    const struct bt_column *column = &s->column[SPECIES];
    const struct bt_cell *cell;
    struct bt_error err = {0};
    struct bt_wood wood;
    enum bt_status status;

    if (bt_cell_empty(record, column))
        return BT_OK;
    cell = &record->cell[column->index];
    status = bt_wood_find(cell->text, cell->length, &wood, &err);
    if (status == BT_EINPUT)
        bt_cell_fault(&s->sheet, record, column, "%s", err.message);
    return status == BT_ENOMEM ? BT_ENOMEM : BT_OK;
}

/* ---- rows ---- */

static enum bt_status read_row(struct stock *s, const struct bt_record *record)
{
    struct bt_stock_setup *setup = &s->load->job->stock;
    struct bt_rough_board *board = &setup->board[setup->n];
    struct typed *typed = s->typed[setup->n];
    enum bt_status status;

    *board = (struct bt_rough_board){.line = record->line};
    setup->n++;
    read_sizes(s, record, board);
    read_readings(s, record, board, typed);
    read_pieces(s, record, board);
    check_rip(s, record, board);
    read_moisture(s, record, board);
    read_nominal(s, record, board);
    board->name = bt_cell_text(record, &s->column[BOARD]);
    board->species = bt_cell_text(record, &s->column[SPECIES]);
    if (!board->name || !board->species)
        return BT_ENOMEM;
    status = check_species(s, record);
    return status == BT_OK ? read_name(s, record) : status;
}

/* What no column u tells follows from the digits of the whole column. */
static enum bt_status fill_u(struct stock *s)
{
    struct bt_stock_setup *setup = &s->load->job->stock;
    size_t origin[BT_U_ORIGINS] = {0};

    for (size_t i = 0; i < setup->n; i++)
        for (int k = 0; k < BT_STOCK_READINGS; k++) {
            struct bt_rough_board *b = &setup->board[i];

            if (isnan(b->size[k]))
                continue;
            origin[isnan(b->u[k]) ? BT_U_DIGIT : BT_U_TYPED]++;
            if (isnan(b->u[k]))
                b->u[k] = bt_finest_step(&s->finest[k], s->typed[i][k].digits,
                                         s->typed[i][k].step) /
                          sqrt(12);
        }
    setup->u_typed = origin[BT_U_TYPED];
    setup->u_digit = origin[BT_U_DIGIT];
    return bt_sure_note(&s->load->notes, stock_file, origin);
}

static bool header_is_right(struct stock *s)
{
    static const int needed[] = {BOARD, LENGTH, WIDTH, BT_STOCK_THICKNESS};

    if (bt_columns_find(&s->sheet, "rough stock", NCOLUMN, columns, s->column) != BT_OK)
        return false;
    for (size_t i = 0; i < COUNT(needed); i++)
        if (!s->column[needed[i]].there) {
            bt_fault_add(s->load->faults, BT_EINPUT, stock_file,
                         s->sheet.table->record->line, 1,
                         "no column '%s': a table of rough stock has "
                         "board,length,width,thickness",
                         columns[needed[i]].name);
            return false;
        }
    return true;
}

static enum bt_status read_rows(struct stock *s, const struct bt_table *table)
{
    const size_t faults = s->load->faults->n;
    enum bt_status status = BT_OK;

    s->load->job->stock.board =
        bt_alloc(table->nrecord, sizeof *s->load->job->stock.board);
    s->typed = bt_alloc(table->nrecord, sizeof *s->typed);
    if (!s->load->job->stock.board || !s->typed)
        return BT_ENOMEM;
    for (size_t i = 1; status == BT_OK && i < table->nrecord; i++)
        status = read_row(s, &table->record[i]);
    if (status == BT_OK && s->load->faults->n == faults)
        status = fill_u(s);
    return status;
}

enum bt_status bt_stock_read(struct bt_load *load)
{
    struct bt_table table;
    bool usable;
    enum bt_status status = bt_inside_table(load, stock_file, &table, &usable);
    struct stock s = {
        .load = load,
        .sheet = {stock_file, &table, load->job->unit, load->faults},
    };

    for (int i = 0; i < BT_STOCK_READINGS; i++)
        s.finest[i] = bt_finest_none();
    if (status == BT_OK && usable && header_is_right(&s))
        status = read_rows(&s, &table);
    bt_free(s.typed);
    bt_names_clear(&s.names);
    bt_table_clear(&table);
    return status;
}

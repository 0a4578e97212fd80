/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/load.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/columns.h"

/* By how much the widths may miss the panel's, mm, for their sums to be the joints
 * (design, boards.csv). */
#define MISS_LIMIT 2.0

#define RIGHT_ANGLE 1.57079632679489661923

enum {
    BOARD,
    WIDTH,
    THICKNESS,
    TAPER,
    LENGTH,
    SPECIES,
    RINGS,
    RING_ANGLE,
    HEART,
    GRAIN,
    SHOW,
    FENCE,
    AGAINST_GRAIN,
    MOISTURE,
    NCOLUMN
};
static const struct bt_column_spec columns[NCOLUMN] = {
    {.name = "board", .dim = BT_DIM_NUMBER},
    {.name = "width", .dim = BT_DIM_LENGTH},
    {.name = "thickness", .dim = BT_DIM_LENGTH},
    {.name = "taper", .dim = BT_DIM_LENGTH},
    {.name = "length", .dim = BT_DIM_LENGTH},
    {.name = "species", .dim = BT_DIM_NUMBER},
    {.name = "rings", .dim = BT_DIM_NUMBER},
    {.name = "ring_angle", .dim = BT_DIM_NUMBER},
    {.name = "heart", .dim = BT_DIM_LENGTH},
    {.name = "grain", .dim = BT_DIM_NUMBER},
    {.name = "show", .dim = BT_DIM_NUMBER},
    {.name = "fence", .dim = BT_DIM_NUMBER},
    {.name = "against_grain", .dim = BT_DIM_NUMBER},
    {.name = "moisture", .dim = BT_DIM_PERCENT},
};

struct boards {
    struct bt_load *load;
    struct bt_sheet sheet;
    struct bt_table table;
    struct bt_column column[NCOLUMN];
    struct bt_names names; /* texts of the table */
    size_t room;
    size_t no_grain; /* boards that may not be fed against a grain that is not stated */
};

static enum bt_status check_name(struct boards *b, const struct bt_record *record)
{
    const struct bt_cell *name = &record->cell[b->column[BOARD].index];
    size_t before = bt_names_find(&b->names, name->text, name->length, 0);
    char shown[BT_SHOWN_ROOM];

    if (name->length == 0) {
        bt_cell_fault(&b->sheet, record, &b->column[BOARD],
                      "the board has no name: give it one, a number will do");
        return BT_OK;
    }
    if (before != SIZE_MAX) {
        bt_cell_fault(&b->sheet, record, &b->column[BOARD],
                      "a board twice: '%s' is line %zu of this file already",
                      bt_fault_shown(name->text, name->length, shown), before);
        return BT_OK;
    }
    return bt_names_add(&b->names, name->text, name->length, 0, record->line);
}

static void read_numbers(struct boards *b, const struct bt_record *record,
                         struct bt_board *board)
{
    const struct number {
        int column;
        double least;
        double *out;
    } numbers[] = {
        {WIDTH, 0, &board->width},         {THICKNESS, 0, &board->thickness},
        {TAPER, -INFINITY, &board->taper}, {LENGTH, 0, &board->length},
        {MOISTURE, 0, &board->moisture},   {HEART, 0, &board->heart},
    };

    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        bt_cell_number(&b->sheet, record, &b->column[numbers[i].column],
                       numbers[i].least, numbers[i].out);
    if (bt_cell_empty(record, &b->column[WIDTH]))
        bt_cell_fault(&b->sheet, record, &b->column[WIDTH],
                      "the width is missing: type what the board is wide as glued");
}

/* Thicker, or with more taper, no board is believed to be, mm: units mistaken. */
#define THICK_MOST 300.0
#define THICK_TIMES 4.0
#define TAPER_MOST 10.0
#define TAPER_SHARE 5.0

static void not_believed(struct boards *b, const struct bt_record *record, int column,
                         const char *what, const char *most)
{
    const struct bt_cell *cell = &record->cell[b->column[column].index];
    char shown[BT_SHOWN_ROOM];

    bt_cell_fault(&b->sheet, record, &b->column[column],
                  "%s that is not believed: '%s', at most %s: is the unit right?", what,
                  bt_fault_shown(cell->text, cell->length, shown), most);
}

static void check_believed(struct boards *b, const struct bt_record *record,
                           const struct bt_board *board)
{
    double panel = b->load->job->panel.thickness, thick = board->thickness;

    if (thick > THICK_MOST)
        not_believed(b, record, THICKNESS, "a thickness", "300 mm (12 in)");
    else if (thick > THICK_TIMES * panel)
        not_believed(b, record, THICKNESS, "a thickness", "4 times the panel's");
    if (board->moisture > BT_SEASON_MOISTURE_MOST)
        not_believed(b, record, MOISTURE, "a moisture", "30 % in a room");
    if (isnan(thick))
        thick = panel;
    if (fabs(board->taper) > TAPER_MOST)
        not_believed(b, record, TAPER, "a taper", "10 mm (0.39 in)");
    else if (fabs(board->taper) > thick / TAPER_SHARE)
        not_believed(b, record, TAPER, "a taper", "a fifth of the thickness");
}

/* Between the growth rings and the face: a word or an angle. */
static void read_rings(struct boards *b, const struct bt_record *record,
                       struct bt_board *board)
{
    const struct bt_column *column = &b->column[RING_ANGLE];
    const struct bt_cell *cell;
    struct bt_quantity angle;
    char shown[BT_SHOWN_ROOM];

    bt_ring_angle_find("", 0, &board->ring_angle);
    if (bt_cell_empty(record, column)) {
        if (!bt_cell_empty(record, &b->column[RINGS])) {
            cell = &record->cell[b->column[RINGS].index];
            bt_ring_angle_find(cell->text, cell->length, &board->ring_angle);
        }
        return;
    }
    cell = &record->cell[column->index];
    if (bt_ring_angle_find(cell->text, cell->length, &board->ring_angle))
        return;
    if (bt_quantity_parse(cell->text, cell->length, BT_DIM_ANGLE, BT_UNIT_DEG, false,
                          &angle, NULL) == BT_OK &&
        angle.value >= 0 && angle.value <= RIGHT_ANGLE)
        board->ring_angle =
            (struct bt_ring_angle){angle.value, angle.value, angle.value};
    else
        bt_cell_fault(&b->sheet, record, column,
                      "not a ring angle: '%s', write flat, rift or quarter, or the "
                      "angle between rings and face, as 30 deg",
                      bt_fault_shown(cell->text, cell->length, shown));
}

/* What the edge plan is given.  After a fault the rule is never used. */
static void read_rule(struct boards *b, const struct bt_record *record,
                      struct bt_board_rule *rule)
{
    static const char *const grains[] = {"left", "right"};
    static const char *const shows[] = {"up", "either"};
    static const char *const fences[] = {"in", "out", "in/out", "out/in"};
    static const char *const answers[] = {"no", "yes"};
    size_t grain = 2, show = 0, fence = 4;
    size_t against = b->load->job->fence.against_grain;

    bt_cell_choice(&b->sheet, record, &b->column[GRAIN], 2, grains, &grain);
    bt_cell_choice(&b->sheet, record, &b->column[SHOW], 2, shows, &show);
    bt_cell_choice(&b->sheet, record, &b->column[FENCE], 4, fences, &fence);
    bt_cell_choice(&b->sheet, record, &b->column[AGAINST_GRAIN], 2, answers, &against);
    *rule = (struct bt_board_rule){
        .back_fixed = fence < 4,
        .front_fixed = fence < 4,
        .back = fence == 1 || fence == 3 ? BT_RUN_OUT : BT_RUN_IN,
        .front = fence == 1 || fence == 2 ? BT_RUN_OUT : BT_RUN_IN,
        .may_turn = show == 1,
        .grain = grain == 0   ? BT_GRAIN_LEFT
                 : grain == 1 ? BT_GRAIN_RIGHT
                              : BT_GRAIN_UNKNOWN,
        .against_grain_allowed = against == 1,
    };
    b->no_grain += against == 0 && rule->grain == BT_GRAIN_UNKNOWN;
}

static enum bt_status read_board(struct boards *b, const struct bt_record *record)
{
    struct bt_job *job = b->load->job;
    struct bt_board *grown, *board;

    grown = bt_grow(job->board, &b->room, job->nboard + 1, sizeof *grown);
    if (!grown)
        return BT_ENOMEM;
    job->board = grown;
    board = &grown[job->nboard++];
    *board = (struct bt_board){.line = record->line};
    read_numbers(b, record, board);
    check_believed(b, record, board);
    read_rings(b, record, board);
    read_rule(b, record, &board->rule);
    board->name = bt_cell_text(record, &b->column[BOARD]);
    board->species = bt_cell_text(record, &b->column[SPECIES]);
    board->rings = bt_cell_text(record, &b->column[RINGS]);
    if (!board->name || !board->species || !board->rings)
        return BT_ENOMEM;
    return check_name(b, record);
}

static enum bt_status read_rows(struct boards *b)
{
    const struct bt_record *record = b->table.record;
    enum bt_status status = BT_OK;

    if (bt_columns_find(&b->sheet, "boards", NCOLUMN, columns, b->column) != BT_OK)
        return BT_OK;
    for (int i = BOARD; i <= WIDTH; i++)
        if (!b->column[i].there) {
            bt_fault_add(b->load->faults, BT_EINPUT, b->sheet.name, record->line, 1,
                         "no column '%s': a table of boards has at least board,width",
                         columns[i].name);
            return BT_OK;
        }
    for (size_t i = 1; i < b->table.nrecord && status == BT_OK; i++)
        status = read_board(b, &record[i]);
    return status;
}

static enum bt_status note_grain(struct boards *b)
{
    struct bt_notes *notes = &b->load->notes;

    if (!b->no_grain)
        return BT_OK;
    return bt_note_matters(
        notes, bt_note_add(notes, b->sheet.name, 0,
                           "%zu board%s without grain that may not be fed against it: "
                           "which way that is is not known",
                           b->no_grain, bt_say_plural(b->no_grain)));
}

/* Joints at the running sums of the widths, from the back edge. */
static enum bt_status joints_of_boards(struct boards *b)
{
    struct bt_notes *notes = &b->load->notes;
    struct bt_job *job = b->load->job;
    double sum = 0, width = job->panel.width;
    char is[BT_PRINT_ROOM], should[BT_PRINT_ROOM];

    for (size_t i = 0; i < job->nboard; i++)
        sum += job->board[i].width;
    if (job->njoint || job->nboard < 2 || !isfinite(sum))
        return BT_OK;
    if (fabs(sum - width) > MISS_LIMIT)
        return bt_note_matters(
            notes, bt_note_add(
                       notes, b->sheet.name, 0,
                       "the boards are %s wide together, the panel is %s: their "
                       "joints are not used",
                       bt_print_length(is, sum, 0, job->system, BT_LENGTH_RULE),
                       bt_print_length(should, width, 0, job->system, BT_LENGTH_RULE)));
    job->joint = bt_alloc(job->nboard - 1, sizeof *job->joint);
    if (!job->joint)
        return BT_ENOMEM;
    for (sum = 0; job->njoint < job->nboard - 1; job->njoint++) {
        sum += job->board[job->njoint].width;
        job->joint[job->njoint] = sum;
    }
    return BT_OK;
}

enum bt_status bt_boards_read(struct bt_load *load, const char *name,
                              const struct bt_spot_in_file *by)
{
    static const struct bt_spot_in_file unnamed = {"boards.csv", 0, 0};
    struct boards b = {.load = load};
    size_t faults = load->faults->n;
    char path[BT_PATH_ROOM];
    enum bt_status status = BT_OK;

    if (!by && !bt_inside_exists(load, unnamed.file))
        return BT_OK;
    b.sheet = (struct bt_sheet){by ? name : unnamed.file, &b.table, load->job->unit,
                                load->faults};
    load->boards_bad = true;
    bt_free(load->job->board_file);
    load->job->board_file = bt_copy_text(b.sheet.name, strlen(b.sheet.name));
    if (!load->job->board_file)
        return BT_ENOMEM;
    if (bt_inside_path(load, b.sheet.name, path) != BT_OK ||
        bt_inside_check(load, b.sheet.name, by ? by : &unnamed) != BT_OK)
        return BT_OK;
    switch (bt_table_read(path, b.sheet.name, &b.table, load->faults)) {
    case BT_OK:
        status = read_rows(&b);
        break;
    case BT_ENOMEM:
        status = BT_ENOMEM;
        break;
    default:
        break;
    }
    if (status == BT_OK)
        status = note_grain(&b);
    if (status == BT_OK)
        status = joints_of_boards(&b);
    load->boards_bad = load->faults->n > faults;
    bt_names_clear(&b.names);
    bt_table_clear(&b.table);
    return status;
}

/* ---- thickness.csv ---- */

/* thickness.csv: how thick the panel is at some places, by caliper. */

enum { PLACE_X, PLACE_Y, PLACE_THICKNESS, PLACE_U, PLACE_COLUMNS };
static const struct bt_column_spec place_columns[PLACE_COLUMNS] = {
    {.name = "x", .dim = BT_DIM_LENGTH},
    {.name = "y", .dim = BT_DIM_LENGTH},
    {.name = "thickness", .dim = BT_DIM_LENGTH},
    {.name = "u", .dim = BT_DIM_LENGTH},
};

static const char thickness_file[] = "thickness.csv";

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
static void read_place(struct bt_load *load, const struct bt_sheet *sheet,
                       const struct bt_record *record,
                       struct bt_column column[PLACE_COLUMNS])
{
    struct bt_thickness_place place = {.line = record->line};

    if (bt_cell_empty(record, &column[PLACE_THICKNESS]))
        return;
    for (int i = PLACE_X; i <= PLACE_Y; i++)
        if (bt_cell_empty(record, &column[i])) {
            bt_cell_fault(sheet, record, &column[i],
                          "%s is missing: type where the thickness was read",
                          place_columns[i].name);
            return;
        }
    bt_cell_number(sheet, record, &column[PLACE_X], -INFINITY, &place.x);
    bt_cell_number(sheet, record, &column[PLACE_Y], -INFINITY, &place.y);
    bt_cell_number(sheet, record, &column[PLACE_THICKNESS], 0, &place.thickness);
    bt_cell_u(sheet, record, &column[PLACE_U], &place.u);
    check_place(load, sheet, record, &column[PLACE_X], place.x, false);
    check_place(load, sheet, record, &column[PLACE_Y], place.y, true);
    load->job->thickness[load->job->nthickness++] = place;
}

enum bt_status bt_thickness_read(struct bt_load *load)
{
    struct bt_column column[PLACE_COLUMNS];
    struct bt_table table;
    bool usable;
    enum bt_status status = bt_inside_table(load, thickness_file, &table, &usable);
    const struct bt_sheet sheet = {thickness_file, &table, load->job->unit,
                                   load->faults};

    if (status == BT_OK && usable &&
        bt_columns_find(&sheet, "thicknesses", PLACE_COLUMNS, place_columns, column) ==
            BT_OK) {
        for (int i = PLACE_X; i <= PLACE_THICKNESS && usable; i++)
            if (!column[i].there) {
                usable = false;
                bt_fault_add(load->faults, BT_EINPUT, thickness_file,
                             table.record->line, 1,
                             "no column '%s': a table of thicknesses has x,y,thickness",
                             place_columns[i].name);
            }
        load->job->thickness =
            usable ? bt_alloc(table.nrecord, sizeof *load->job->thickness) : NULL;
        if (usable && !load->job->thickness)
            status = BT_ENOMEM;
        for (size_t i = 1; usable && status == BT_OK && i < table.nrecord; i++)
            read_place(load, &sheet, &table.record[i], column);
    }
    bt_table_clear(&table);
    return status;
}

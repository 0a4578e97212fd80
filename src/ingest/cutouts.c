/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cutouts.csv: what is cut out of the finished piece. */
#include "ingest/load.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/columns.h"

static const char cutouts_file[] = "cutouts.csv";

enum { NAME, SHAPE, X, Y, LENGTH, WIDTH, DIAMETER, RADIUS, FROM, END, NCOLUMN };
static const struct bt_column_spec columns[NCOLUMN] = {
    [NAME] = {.name = "name", .dim = BT_DIM_NUMBER},
    [SHAPE] = {.name = "shape", .dim = BT_DIM_NUMBER},
    [X] = {.name = "x", .dim = BT_DIM_LENGTH},
    [Y] = {.name = "y", .dim = BT_DIM_LENGTH},
    [LENGTH] = {.name = "length", .dim = BT_DIM_LENGTH},
    [WIDTH] = {.name = "width", .dim = BT_DIM_LENGTH},
    [DIAMETER] = {.name = "diameter", .dim = BT_DIM_LENGTH},
    [RADIUS] = {.name = "radius", .dim = BT_DIM_LENGTH},
    [FROM] = {.name = "from", .dim = BT_DIM_NUMBER},
    [END] = {.name = "end", .dim = BT_DIM_NUMBER},
};

struct sheet {
    struct bt_load *load;
    struct bt_sheet sheet;
    struct bt_column column[NCOLUMN];
};

static void missing(struct sheet *s, const struct bt_record *record, int column,
                    const char *why)
{
    if (bt_cell_empty(record, &s->column[column]))
        bt_cell_fault(&s->sheet, record, &s->column[column], "%s is missing: %s",
                      columns[column].name, why);
}

static void read_sizes(struct sheet *s, const struct bt_record *record,
                       struct bt_cutout *cut)
{
    double diameter = NAN;

    cut->length = cut->width = cut->radius = NAN;
    bt_cell_number(&s->sheet, record, &s->column[LENGTH], 0, &cut->length);
    bt_cell_number(&s->sheet, record, &s->column[WIDTH], 0, &cut->width);
    bt_cell_number(&s->sheet, record, &s->column[DIAMETER], 0, &diameter);
    bt_cell_number(&s->sheet, record, &s->column[RADIUS], 0, &cut->radius);
    if (cut->shape == BT_CUT_CIRCLE) {
        missing(s, record, DIAMETER, "a circle has nothing else");
        cut->length = cut->width = diameter;
        return;
    }
    missing(s, record, LENGTH, "type how long it is along the grain");
    missing(s, record, WIDTH, "type how wide it is across the grain");
    if (cut->radius > fmin(cut->length, cut->width) / 2)
        bt_cell_fault(&s->sheet, record, &s->column[RADIUS],
                      "the radius of the corners is over half the smaller side");
}

/* It reaches over an end or an edge; a notch may, but not with all of it. */
static void check_inside(struct sheet *s, const struct bt_record *record, int column,
                         const struct bt_cutout *cut, double at, double size,
                         double most)
{
    const struct bt_cell *cell;
    const double in = cut->shape == BT_CUT_NOTCH ? -size / 2 : size / 2;
    const enum bt_system system = s->load->job->system;
    char shown[BT_SHOWN_ROOM], from[BT_PRINT_ROOM], to[BT_PRINT_ROOM],
        end[BT_PRINT_ROOM];

    if (!(at - in < 0) && !(at + in > most))
        return;
    cell = &record->cell[s->column[column].index];
    bt_cell_fault(&s->sheet, record, &s->column[column],
                  "outside the piece: '%s', it reaches from %s to %s, the piece from 0 "
                  "to %s",
                  bt_fault_shown(cell->text, cell->length, shown),
                  bt_print_length(from, at - size / 2, 0, system, BT_LENGTH_RULE),
                  bt_print_length(to, at + size / 2, 0, system, BT_LENGTH_RULE),
                  bt_print_length(end, most, 0, system, BT_LENGTH_RULE));
}

static void read_place(struct sheet *s, const struct bt_record *record,
                       struct bt_cutout *cut)
{
    static const char *const edges[] = {"back", "front"};
    static const char *const ends[] = {"left", "right"};
    const struct bt_job *job = s->load->job;
    size_t edge = 0, end = 0;

    cut->x = cut->y = NAN;
    bt_cell_choice(&s->sheet, record, &s->column[FROM], 2, edges, &edge);
    bt_cell_choice(&s->sheet, record, &s->column[END], 2, ends, &end);
    cut->from_front = edge == 1;
    cut->from_right = end == 1;
    missing(s, record, X, "type how far its middle is from the end");
    missing(s, record, Y, "type how far its middle is from the edge");
    bt_cell_number(&s->sheet, record, &s->column[X], -INFINITY, &cut->x);
    bt_cell_number(&s->sheet, record, &s->column[Y], -INFINITY, &cut->y);
    /* an opening that was measured gives the piece another outline: the answer tells */
    if (bt_inside_exists(s->load, "opening.csv"))
        return;
    check_inside(s, record, X, cut, cut->x, cut->length,
                 isnan(job->layout.length) ? job->panel.length : job->layout.length);
    check_inside(s, record, Y, cut, cut->y, cut->width,
                 isnan(job->layout.width) ? job->panel.width : job->layout.width);
}

static enum bt_status read_cutout(struct sheet *s, const struct bt_record *record)
{
    struct bt_job *job = s->load->job;
    struct bt_cutout *cut = &job->layout.cutout[job->layout.ncutout++];
    const char *shapes[BT_CUT_SHAPES];
    size_t shape = BT_CUT_RECTANGLE;

    for (int i = 0; i < BT_CUT_SHAPES; i++)
        shapes[i] = bt_cutout_shape_name((enum bt_cutout_shape)i);
    *cut = (struct bt_cutout){.line = record->line};
    missing(s, record, NAME, "what is cut out, in a word");
    missing(s, record, SHAPE, "type rectangle, circle or notch");
    bt_cell_choice(&s->sheet, record, &s->column[SHAPE], BT_CUT_SHAPES, shapes, &shape);
    cut->shape = (enum bt_cutout_shape)shape;
    read_sizes(s, record, cut);
    read_place(s, record, cut);
    cut->name = bt_cell_text(record, &s->column[NAME]);
    return cut->name ? BT_OK : BT_ENOMEM;
}

static enum bt_status read_rows(struct sheet *s)
{
    const struct bt_table *table = s->sheet.table;
    struct bt_job *job = s->load->job;
    enum bt_status status = BT_OK;

    if (bt_columns_find(&s->sheet, "cut-outs", NCOLUMN, columns, s->column) != BT_OK)
        return BT_OK;
    for (int i = NAME; i <= Y; i++)
        if (!s->column[i].there) {
            bt_fault_add(s->load->faults, BT_EINPUT, cutouts_file, table->record->line,
                         1, "no column '%s': a table of cut-outs has name,shape,x,y",
                         columns[i].name);
            return BT_OK;
        }
    job->layout.cutout = bt_alloc(table->nrecord, sizeof *job->layout.cutout);
    if (!job->layout.cutout)
        return BT_ENOMEM;
    for (size_t i = 1; i < table->nrecord && status == BT_OK; i++)
        status = read_cutout(s, &table->record[i]);
    return status;
}

enum bt_status bt_cutouts_read(struct bt_load *load)
{
    struct sheet s = {.load = load};
    struct bt_table table;
    bool usable;
    enum bt_status status = bt_inside_table(load, cutouts_file, &table, &usable);

    s.sheet = (struct bt_sheet){cutouts_file, &table, load->job->unit, load->faults};
    if (status == BT_OK && usable)
        status = read_rows(&s);
    bt_table_clear(&table);
    return status;
}

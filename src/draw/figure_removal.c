/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/draw/figure_removal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "draw/palette.h"
#include "draw/places.h"
#include "draw/removal_figure.h"
#include "draw/words.h"

/* Room for the panel on the page; numbers of rows stand to its left. */
#define MAP_SIDE 9.0
#define MAP_HIGH 120.0

/* Radius of a spot's disc. */
#define SPOT 2.3

static enum bt_status refuse(struct bt_error *err, size_t row, const char *why)
{
    return bt_error_set(err, BT_EINPUT, row, 0, "%s", why);
}

static enum bt_status check(const struct bt_removal_figure *in, struct bt_error *err)
{
    const size_t ncell = in->chalk->columns * in->chalk->rows;

    if (in->n == 0)
        return refuse(err, 0, "no place: nothing to draw");
    for (size_t i = 0; i < in->n; i++) {
        if (!(fabs(in->p[i].x) <= PLACE_FARTHEST) ||
            !(fabs(in->p[i].y) <= PLACE_FARTHEST))
            return refuse(err, i, "a place is not finite or over 1 km away");
        if (in->depth[i] < 0 || isinf(in->depth[i]))
            return refuse(err, i, "a depth is below 0 or infinite");
    }
    for (size_t i = 0; i < in->nspot; i++)
        if (in->spot[i].cell >= ncell)
            return refuse(err, i, "a spot lies in a cell that is not there");
    return BT_OK;
}

const char *removal_depth(const struct removal_figure *f, double depth,
                          char out[BT_PRINT_ROOM])
{
    return bt_print_length_bare(out, depth, f->in->u, f->in->job->system,
                                BT_LENGTH_FEELER);
}

bool removal_counts(const struct removal_figure *f, double depth)
{
    char text[BT_PRINT_ROOM];

    return depth > 0 && strpbrk(removal_depth(f, depth, text), "123456789");
}

static void fit_page(struct removal_figure *f)
{
    const double wide = f->panel->x1 - f->panel->x0, deep = f->panel->y1 - f->panel->y0;

    f->scale = fmin((REMOVAL_FULL - 2 * MAP_SIDE) / wide, MAP_HIGH / deep);
    f->left = (PAGE_WIDTH - f->scale * wide) / 2;
}

/* Bands by depth: where next to nothing comes off stays blank. */
static enum bt_status find_bands(struct removal_figure *f, struct bt_error *err)
{
    enum bt_status status = BT_OK;

    for (size_t i = 0; i < f->in->n; i++)
        f->largest = fmax(f->largest, f->in->depth[i]);
    bt_levels_choose(0, f->largest, f->in->u, f->in->job->system, &f->levels);
    for (int i = 0; i < f->levels.count && status == BT_OK && f->largest > 0; i++) {
        const double level = (f->levels.base + i) * f->levels.step;

        status = contour_region(&f->mesh, fmax(level, f->levels.step / 5),
                                &f->region[i], err);
    }
    return status;
}

enum bt_status removal_prepare(const struct bt_removal_figure *in,
                               struct removal_figure *f, struct bt_error *err)
{
    const double same = in->job->same_point > 0 ? in->job->same_point : 0;
    enum bt_status status;

    memset(f, 0, sizeof *f);
    status = check(in, err);
    if (status != BT_OK)
        return status;
    f->in = in;
    f->panel = &in->chalk->rectangle;
    fit_page(f);
    for (size_t i = 0; i < in->chalk->columns * in->chalk->rows; i++)
        f->ncut += removal_counts(f, in->chalk->cell[i].depth);
    f->nspot = in->nspot < REMOVAL_SPOTS ? in->nspot : REMOVAL_SPOTS;
    status = mesh_build(in->n, in->p, in->depth,
                        &(struct mesh_options){same, 1 / f->scale}, &f->mesh, err);
    return status == BT_OK ? find_bands(f, err) : status;
}

void removal_clear(struct removal_figure *f)
{
    mesh_clear(&f->mesh);
    for (int i = 0; i < BT_LEVELS_MAX; i++)
        contours_clear(&f->region[i]);
}

static struct bt_point at(const struct removal_figure *f, double x, double y)
{
    return (struct bt_point){f->left + f->scale * (x - f->panel->x0),
                             f->top + f->scale * (y - f->panel->y0)};
}

static void trace(const struct removal_figure *f, cairo_t *cr, const struct contours *c,
                  const struct contour_path *path)
{
    for (size_t i = 0; i < path->count; i++) {
        const struct bt_point *q = &c->point[path->start + i];
        const struct bt_point p = at(f, q->x, q->y);

        if (i == 0)
            cairo_move_to(cr, p.x, p.y);
        else
            cairo_line_to(cr, p.x, p.y);
    }
    cairo_close_path(cr);
}

/* Pale where little comes off, deep blue where most does. */
static void draw_bands(const struct removal_figure *f, struct page *page)
{
    for (int i = 0; i < f->levels.count; i++) {
        double rgb[3];

        palette_colour(
            f->levels.count > 1 ? 1 - (double)i / (f->levels.count - 1) : 0.5, rgb);
        for (size_t k = 0; k < f->region[i].npath; k++)
            trace(f, page->cr, &f->region[i], &f->region[i].path[k]);
        cairo_set_source_rgb(page->cr, rgb[0], rgb[1], rgb[2]);
        cairo_fill(page->cr);
    }
    cairo_set_source_rgb(page->cr, 0, 0, 0);
}

static void line(cairo_t *cr, struct bt_point a, struct bt_point b)
{
    cairo_move_to(cr, a.x, a.y);
    cairo_line_to(cr, b.x, b.y);
    cairo_stroke(cr);
}

static void draw_joints(const struct removal_figure *f, struct page *page)
{
    static const double dash[] = {5, 1.2, 1.2, 1.2};
    const struct bt_job *job = f->in->job;

    cairo_set_line_width(page->cr, 0.4);
    cairo_set_dash(page->cr, dash, 4, 0);
    cairo_set_source_rgba(page->cr, 0, 0, 0, 0.7);
    for (size_t i = 0; i < job->njoint; i++) {
        const double y = bt_job_panel_y(job, f->in->set, job->joint[i]);

        if (y > f->panel->y0 && y < f->panel->y1)
            line(page->cr, at(f, f->panel->x0, y), at(f, f->panel->x1, y));
    }
    cairo_set_dash(page->cr, NULL, 0, 0);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
}

static void draw_grid(const struct removal_figure *f, struct page *page)
{
    const struct bt_chalk *c = f->in->chalk;

    cairo_set_line_width(page->cr, 0.18);
    for (size_t i = 1; i < c->columns; i++) {
        const double x = bt_chalk_sides(c, i).x0;
        line(page->cr, at(f, x, f->panel->y0), at(f, x, f->panel->y1));
    }
    for (size_t i = 1; i < c->rows; i++) {
        const double y = bt_chalk_sides(c, i * c->columns).y0;
        line(page->cr, at(f, f->panel->x0, y), at(f, f->panel->x1, y));
    }
    cairo_set_line_width(page->cr, 0.5);
    cairo_rectangle(page->cr, f->left, f->top, f->scale * (f->panel->x1 - f->panel->x0),
                    f->scale * (f->panel->y1 - f->panel->y0));
    cairo_stroke(page->cr);
}

/* Letters over the columns, numbers beside the rows. */
static void draw_names(const struct removal_figure *f, struct page *page)
{
    const struct bt_chalk *c = f->in->chalk;
    const struct page_text how = {
        .size = REMOVAL_LETTER, .weight = PAGE_BOLD, .anchor = PAGE_MIDDLE};
    const struct bt_rectangle first = bt_chalk_sides(c, 0);
    /* Rows of a fine grid are named one in so many. */
    const double high = f->scale * (first.y1 - first.y0);
    const size_t each = (size_t)ceil(REMOVAL_LETTER * 1.3 / high);

    for (size_t i = 0; i < c->columns; i++) {
        const struct bt_rectangle r = bt_chalk_sides(c, i);
        const char text[2] = {c->cell[i].name[0], '\0'};

        page_write(page, &how, at(f, (r.x0 + r.x1) / 2, r.y0).x, f->top - 3.2, text);
    }
    for (size_t i = 0; i < c->rows; i += each) {
        const struct bt_rectangle r = bt_chalk_sides(c, i * c->columns);

        page_write(page, &how, f->left - 4.2, at(f, r.x0, (r.y0 + r.y1) / 2).y,
                   c->cell[i * c->columns].name + 1);
    }
}

void removal_mark_spot(struct page *page, struct bt_point p, size_t number)
{
    const struct page_text how = {
        .size = REMOVAL_SMALL, .weight = PAGE_BOLD, .anchor = PAGE_MIDDLE};
    char text[24];

    snprintf(text, sizeof text, "%zu", number);
    cairo_new_sub_path(page->cr);
    cairo_arc(page->cr, p.x, p.y, SPOT, 0, 2 * acos(-1));
    cairo_set_source_rgb(page->cr, 0, 0, 0);
    cairo_fill(page->cr);
    cairo_set_source_rgb(page->cr, 1, 1, 1);
    page_write(page, &how, p.x, p.y, text);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
}

/* What stands in a cell; a cell too small for it stays empty, the table has it. */
static void draw_cell(const struct removal_figure *f, struct page *page, size_t i,
                      size_t spot)
{
    struct page_text how = {
        .size = REMOVAL_LETTER, .anchor = PAGE_MIDDLE, .halo = true};
    const struct bt_chalk_cell *cell = &f->in->chalk->cell[i];
    const struct bt_rectangle r = bt_chalk_sides(f->in->chalk, i);
    const struct bt_point a = at(f, r.x0, r.y0), b = at(f, r.x1, r.y1);
    const bool room = b.y - a.y > 2 * SPOT + 1.2 * REMOVAL_LETTER;
    char text[BT_PRINT_ROOM] = "?";
    struct box size;

    if (cell->places)
        removal_depth(f, cell->depth, text);
    if (cell->places && !removal_counts(f, cell->depth))
        strcpy(text, "-");
    page_measure(page, &how, text, &size);
    if (size.x1 > b.x - a.x - 0.6) {
        how.size = REMOVAL_SMALL;
        page_measure(page, &how, text, &size);
    }
    if (spot < f->nspot && room)
        removal_mark_spot(page, (struct bt_point){(a.x + b.x) / 2, a.y + SPOT + 0.8},
                          spot + 1);
    if (size.x1 <= b.x - a.x - 0.6 && size.y1 <= b.y - a.y)
        page_write(page, &how, (a.x + b.x) / 2,
                   spot < f->nspot && room ? b.y - REMOVAL_LETTER * 0.75
                                           : (a.y + b.y) / 2,
                   text);
}

static void draw_cells(const struct removal_figure *f, struct page *page)
{
    for (size_t i = 0; i < f->in->chalk->columns * f->in->chalk->rows; i++) {
        size_t spot = 0;

        while (spot < f->nspot && f->in->spot[spot].cell != i)
            spot++;
        draw_cell(f, page, i, spot);
    }
}

double removal_draw(const void *figure, struct page *page)
{
    struct removal_figure f = *(const struct removal_figure *)figure;
    const struct page_text how = {.size = REMOVAL_LETTER, .anchor = PAGE_MIDDLE};
    double y = removal_draw_head(&f, page, PAGE_MARGIN);

    page_write(page, &how, PAGE_WIDTH / 2, y + 4, "back edge");
    f.top = y + 12.5;
    draw_bands(&f, page);
    draw_joints(&f, page);
    draw_grid(&f, page);
    draw_names(&f, page);
    draw_cells(&f, page);
    y = f.top + f.scale * (f.panel->y1 - f.panel->y0);
    page_write(page, &how, PAGE_WIDTH / 2, y + 3.6, "front edge");
    y = removal_draw_key(&f, page, y + 8.5);
    y = removal_draw_spots(&f, page, y);
    y = removal_draw_table(&f, page, y);
    y = removal_draw_caption(&f, page, y);
    return y + PAGE_MARGIN;
}

enum bt_status bt_figure_removal(const struct bt_removal_figure *input,
                                 enum bt_figure_format format,
                                 struct bt_figure_bytes *out, struct bt_error *err)
{
    struct removal_figure f;
    enum bt_status status = removal_prepare(input, &f, err);

    if (status == BT_OK)
        status = page_make(removal_draw, &f, format, draw_title(input->job, input->set),
                           input->set->date, out, err);
    removal_clear(&f);
    return status;
}

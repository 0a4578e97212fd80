/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The words of the removal map: head, key, spots, table, caption. */
#include <math.h>

#include "benchtrue/judge/removal.h"
#include "draw/palette.h"
#include "draw/removal_figure.h"
#include "draw/scale_bar.h"
#include "draw/words.h"

/* Entries of the table beside one another. */
enum { ACROSS = 5 };

static const double row = 5.6;

static void add_depth(struct draw_words *text, const struct removal_figure *f,
                      double depth)
{
    char length[BT_PRINT_ROOM];

    draw_add(
        text, "%s",
        bt_print_length(length, depth, f->in->u, f->in->job->system, BT_LENGTH_FEELER));
}

static void add_passes(struct draw_words *text, const struct removal_figure *f,
                       double depth)
{
    const double passes = bt_removal_passes(depth, f->in->pass);

    if (passes > 0 && passes < 1e6) {
        draw_add(text, ", ");
        draw_add_count(text, (size_t)passes, "pass", "passes");
    }
}

double removal_draw_head(const struct removal_figure *f, struct page *page, double y)
{
    struct page_text how = {
        .size = REMOVAL_TITLE, .weight = PAGE_BOLD, .width = REMOVAL_FULL};
    struct draw_words set = {0}, most = {0};

    y = page_write(page, &how, PAGE_MARGIN, y, draw_title(f->in->job, f->in->set));
    how.size = REMOVAL_LETTER;
    how.weight = PAGE_PLAIN;
    draw_add_set(&set, f->in->job, f->in->set);
    y = page_write(page, &how, PAGE_MARGIN, y + 0.8, set.text);
    if (f->in->what && *f->in->what) {
        how.weight = PAGE_BOLD;
        y = page_write(page, &how, PAGE_MARGIN, y + 0.8, f->in->what);
        how.weight = PAGE_PLAIN;
    }
    if (!removal_counts(f, f->largest)) {
        draw_add(&most, "Nothing comes off.");
    } else {
        draw_add(&most, "Most that comes off: ");
        add_depth(&most, f, f->largest);
        if (f->in->u > 0) {
            char u[BT_PRINT_ROOM];

            draw_add(&most, " (u %s)",
                     bt_print_u_bare(u, f->in->u, f->in->job->system));
        }
        add_passes(&most, f, f->largest);
        draw_add(&most, ".");
    }
    return page_write(page, &how, PAGE_MARGIN, y + 0.8, most.text);
}

static void draw_arrow(struct page *page, double x, double y, double to)
{
    cairo_move_to(page->cr, x, y);
    cairo_line_to(page->cr, x + to * 3, y - 1.3);
    cairo_line_to(page->cr, x + to * 3, y + 1.3);
    cairo_close_path(page->cr);
    cairo_fill(page->cr);
}

static void draw_grain(struct page *page, double y)
{
    const struct page_text how = {.size = REMOVAL_LETTER, .anchor = PAGE_MIDDLE_RIGHT};
    const double right = PAGE_WIDTH - PAGE_MARGIN - 1, left = right - 30;

    cairo_set_line_width(page->cr, 0.5);
    cairo_move_to(page->cr, left + 1, y);
    cairo_line_to(page->cr, right - 1, y);
    cairo_stroke(page->cr);
    draw_arrow(page, left, y, 1);
    draw_arrow(page, right, y, -1);
    page_write(page, &how, left - 2, y, "grain");
}

static void draw_colours(const struct removal_figure *f, struct page *page, double y)
{
    const int count = f->levels.count;
    const double wide = fmin(14, REMOVAL_FULL / count), high = 4.5;
    const double left = PAGE_MARGIN + (REMOVAL_FULL - wide * count) / 2;
    const struct page_text how = {.size = REMOVAL_LETTER, .anchor = PAGE_TOP_MIDDLE};

    for (int i = 0; i <= count; i++) {
        const double x = left + wide * i, depth = (f->levels.base + i) * f->levels.step;
        char text[BT_PRINT_ROOM];
        double rgb[3];

        if (i < count) {
            palette_colour(count > 1 ? 1 - (double)i / (count - 1) : 0.5, rgb);
            cairo_set_source_rgb(page->cr, rgb[0], rgb[1], rgb[2]);
            cairo_rectangle(page->cr, x, y, wide, high);
            cairo_fill(page->cr);
            cairo_set_source_rgb(page->cr, 0, 0, 0);
        }
        page_write(
            page, &how, x, y + high + 0.6,
            bt_print_length_bare(text, depth, 0, f->in->job->system, BT_LENGTH_FEELER));
    }
    cairo_set_line_width(page->cr, 0.28);
    cairo_rectangle(page->cr, left, y, wide * count, high);
    cairo_stroke(page->cr);
}

double removal_draw_key(const struct removal_figure *f, struct page *page, double y)
{
    const struct page_text how = {.size = REMOVAL_LETTER, .anchor = PAGE_TOP_MIDDLE};
    struct draw_words head = {0};

    scale_bar(page, PAGE_MARGIN + 1, y, f->scale, f->in->job->system);
    draw_grain(page, y);
    y += 4;
    if (!(f->largest > 0))
        return y + 2;
    draw_add(&head, "comes off, %s",
             bt_length_unit_name(f->in->job->system, BT_LENGTH_FEELER));
    y = page_write(page, &how, PAGE_WIDTH / 2, y, head.text) + 0.6;
    draw_colours(f, page, y);
    return y + 4.5 + 0.6 + REMOVAL_LETTER + 4;
}

double removal_draw_spots(const struct removal_figure *f, struct page *page, double y)
{
    struct page_text how = {.size = REMOVAL_LETTER, .weight = PAGE_BOLD};
    const size_t rows = (f->nspot + 1) / 2;

    if (!f->nspot)
        return y;
    y = page_room(page, y, row * (double)(rows + 1) + 2);
    y = page_write(page, &how, PAGE_MARGIN, y,
                   f->nspot > 1 ? "High spots, in the order to plane them"
                                : "High spot");
    how.weight = PAGE_PLAIN;
    how.anchor = PAGE_MIDDLE_LEFT;
    for (size_t i = 0; i < f->nspot; i++) {
        const struct bt_chalk_spot *spot = &f->in->spot[i];
        const struct bt_point p = {PAGE_MARGIN + 2.6 +
                                       (i < rows ? 0 : REMOVAL_FULL / 2),
                                   y + row * ((double)(i % rows) + 0.6)};
        struct draw_words text = {0};

        draw_add(&text, "at %s: ", f->in->chalk->cell[spot->cell].name);
        add_depth(&text, f, spot->depth);
        add_passes(&text, f, spot->depth);
        draw_add(&text, "; ");
        draw_add_count(&text, spot->cells, "cell", "cells");
        removal_mark_spot(page, p, i + 1);
        page_write(page, &how, p.x + 4.2, p.y, text.text);
    }
    y += row * (double)rows + 1.5;
    if (f->in->nspot > f->nspot) {
        struct draw_words more = {0};

        draw_add_count(&more, f->in->nspot - f->nspot, "lesser one", "lesser ones");
        draw_add(&more, " stand in the table alone.");
        how.anchor = PAGE_TOP_LEFT;
        y = page_write(page, &how, PAGE_MARGIN, y, more.text) + 1.5;
    }
    return y;
}

/* Down the columns of the table, as one walks along the panel: column by column of the
 * chalk grid, so that A1, A2, A3 follow. */
static size_t next_cut(const struct removal_figure *f, size_t *step)
{
    const struct bt_chalk *c = f->in->chalk;
    size_t cell;

    do {
        cell = *step % c->rows * c->columns + *step / c->rows;
        ++*step;
    } while (!removal_counts(f, c->cell[cell].depth));
    return cell;
}

static double draw_rows(const struct removal_figure *f, struct page *page, double y,
                        size_t *step, size_t left)
{
    const double wide = REMOVAL_FULL / ACROSS;
    struct page_text how = {.size = REMOVAL_LETTER, .anchor = PAGE_MIDDLE_LEFT};

    for (size_t i = 0; i < ACROSS && i < left; i++) {
        const struct bt_chalk_cell *cell = &f->in->chalk->cell[next_cut(f, step)];
        const double x = PAGE_MARGIN + wide * (double)i;
        struct draw_words text = {0};

        how.weight = PAGE_BOLD;
        page_write(page, &how, x, y + row / 2, cell->name);
        how.weight = PAGE_PLAIN;
        add_depth(&text, f, cell->depth);
        page_write(page, &how, x + 9, y + row / 2, text.text);
    }
    return y + row;
}

double removal_draw_table(const struct removal_figure *f, struct page *page, double y)
{
    const struct page_text how = {.size = REMOVAL_LETTER, .weight = PAGE_BOLD};
    size_t step = 0;

    if (!f->ncut)
        return y;
    y = page_room(page, y, 3 * row);
    y = page_write(page, &how, PAGE_MARGIN, y, "To chalk on, cell by cell") + 0.5;
    for (size_t done = 0; done < f->ncut; done += ACROSS) {
        y = page_room(page, y, row);
        y = draw_rows(f, page, y, &step, f->ncut - done);
    }
    return y + 2;
}

double removal_draw_caption(const struct removal_figure *f, struct page *page, double y)
{
    const struct page_text how = {.size = REMOVAL_LETTER, .width = REMOVAL_FULL};
    struct draw_words text = {0};

    draw_add(&text, "Numbers in the cells: the most that comes off at a place read in "
                    "them; - nothing, ? not read. ");
    if (f->mesh.kind == MESH_NONE)
        draw_add(&text, "No bands are drawn, because no three places span an area. ");
    else
        draw_add(&text, "Colours between the places are only estimated. ");
    draw_add(&text, "Letters and numbers are chalk marks, not the corners' letters. ");
    if (f->ncut)
        draw_add(&text, "Try with the straightedge after each pass, and read again "
                        "before the last one.");
    y = page_room(page, y, 3 * row);
    return page_write(page, &how, PAGE_MARGIN, y, text.text);
}

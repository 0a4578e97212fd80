/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The panel from above with its clamps. */
#include <math.h>
#include <stdio.h>

#include "draw/clamps_figure.h"
#include "draw/spread.h"

#define LETTER CLAMPS_LETTER
#define SMALL 2.4  /* letters of the sides where they are many */
#define JAW 2.4    /* of a clamp, along its bar */
#define REACH 12.0 /* of the labels at the sides over the panel's edges */
/* Clear of the labels at the sides.  Where the clamps stand closer than that, not every
 * one is named: the list names all. */
#define BESIDE 4.5
#define NAME_PITCH (1.35 * LETTER) /* of turned texts */
#define NAME_MOST 34.0             /* of a kind over its clamp */

static const double dash[] = {1.2, 0.8};

static double caul(const struct clamps_figure *f)
{
    return f->in->request->caul > 0 ? fmax(1, f->scale * f->in->request->caul) : 0;
}

static double clamp_x(const struct clamps_figure *f, size_t k)
{
    return f->x0 + f->scale * clamps_place(f, k)->x;
}

static void add_kind(struct draw_words *text, const struct clamps_figure *f, size_t k)
{
    draw_add(text, "%zu  %s", k + 1, clamps_kind(f, clamps_place(f, k)->kind));
}

/* Height that the names over the clamps need. */
static double names_high(const struct clamps_figure *f, struct page *page)
{
    struct page_text how = {.size = LETTER};
    double most = 0;

    for (size_t k = 0; k < f->nplace; k++) {
        struct draw_words text = {0};
        struct box size;

        add_kind(&text, f, k);
        page_measure(page, &how, text.text, &size);
        most = fmax(most, size.x1);
    }
    return fmin(most, NAME_MOST);
}

static void leader(struct page *page, double xa, double ya, double xb, double yb)
{
    cairo_set_line_width(page->cr, 0.2);
    cairo_move_to(page->cr, xa, ya);
    cairo_line_to(page->cr, xb, yb);
    cairo_stroke(page->cr);
}

/* Labels that a line of that length has room for: each step-th. */
static size_t step_of(size_t n, double pitch, double room)
{
    size_t step = 1;

    while ((double)((n + step - 1) / step) * pitch > room)
        step++;
    return step;
}

/* Places of the labels kept of f->at[0 .. n - 1] into f->label; returns the step. */
static size_t spread_labels(struct clamps_figure *f, size_t n, double pitch, double lo,
                            double hi)
{
    size_t step = step_of(n, pitch, hi - lo), kept = 0;

    for (size_t i = 0; i < n; i += step)
        f->at[kept++] = f->at[i];
    /* They stand about half a pitch inside. */
    spread(kept, f->at, pitch, lo + pitch / 2, hi - pitch / 2, f->label);
    return step;
}

static double side_letter(const struct clamps_figure *f)
{
    double room = f->y1 - f->y0 + 2 * REACH;

    return (double)f->nboard * 1.3 * LETTER <= room ? LETTER : SMALL;
}

static void write_boards(struct clamps_figure *f, struct page *page)
{
    const struct bt_job *job = f->in->job;
    double size = side_letter(f), y = f->y0;
    struct page_text how = {.size = size, .anchor = PAGE_MIDDLE_RIGHT};
    size_t step;

    for (size_t i = 0; i < f->nboard; i++) {
        double high = f->scale * f->in->request->width[i];

        f->at[i] = y + high / 2;
        y += high;
    }
    step = spread_labels(f, f->nboard, 1.3 * size, f->y0 - REACH, f->y1 + REACH);
    for (size_t k = 0; k * step < f->nboard; k++) {
        size_t i = k * step;
        const char *name =
            i < job->nboard && job->nboard == f->nboard ? job->board[i].name : NULL;
        char fitted[PAGE_TEXT_ROOM];
        struct draw_words text = {0};

        draw_add_board(&text, i, name);
        page_fit(page, &how, text.text, f->x0 - 6 - PAGE_MARGIN, fitted);
        page_write(page, &how, f->x0 - 5.5, f->label[k], fitted);
        leader(page, f->x0 - 5, f->label[k], f->x0, f->at[k]);
    }
}

static void write_joints(struct clamps_figure *f, struct page *page)
{
    double size = side_letter(f), y = f->y0;
    struct page_text how = {.size = size, .anchor = PAGE_MIDDLE_LEFT};
    size_t step;

    for (size_t i = 0; i < f->njoint; i++) {
        y += f->scale * f->in->request->width[i];
        f->at[i] = y;
    }
    step = spread_labels(f, f->njoint, 1.3 * size, f->y0 - REACH, f->y1 + REACH);
    for (size_t k = 0; k * step < f->njoint; k++) {
        size_t i = k * step;
        char text[80];

        snprintf(text, sizeof text, "joint %zu, stage %zu", i + 1, f->stage[i] + 1);
        page_write(page, &how, f->x1 + 5.5, f->label[k], text);
        leader(page, f->x1 + 5, f->label[k], f->x1, f->at[k]);
    }
}

static void draw_panel(const struct clamps_figure *f, struct page *page)
{
    double y = f->y0;

    cairo_rectangle(page->cr, f->x0, f->y0, f->x1 - f->x0, f->y1 - f->y0);
    page_wood(page);
    cairo_set_line_width(page->cr, 0.5);
    for (size_t i = 0; i < f->njoint; i++) {
        y += f->scale * f->in->request->width[i];
        cairo_move_to(page->cr, f->x0, y);
        cairo_line_to(page->cr, f->x1, y);
        cairo_stroke(page->cr);
    }
}

/* Cauls: hatched strips along the outer edges. */
static void draw_caul(const struct clamps_figure *f, struct page *page, double y)
{
    double high = caul(f);

    cairo_set_line_width(page->cr, 0.2);
    for (double x = f->x0; x + high <= f->x1; x += 2.4) {
        cairo_move_to(page->cr, x, y + high);
        cairo_line_to(page->cr, x + high, y);
    }
    cairo_stroke(page->cr);
    cairo_set_line_width(page->cr, 0.3);
    cairo_rectangle(page->cr, f->x0, y, f->x1 - f->x0, high);
    cairo_stroke(page->cr);
}

static void grey_box(struct page *page, double x, double y, double wide, double high)
{
    cairo_rectangle(page->cr, x, y, wide, high);
    cairo_set_source_rgb(page->cr, 0.8, 0.8, 0.8);
    cairo_fill_preserve(page->cr);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
    cairo_set_line_width(page->cr, 0.35);
    cairo_stroke(page->cr);
}

/* A clamp over the panel hides it; of one under it the bar shows dashed. */
static void draw_bar(struct page *page, double x, double y0, double y1, double wide,
                     bool above)
{
    if (above) {
        grey_box(page, x - wide / 2, y0, wide, y1 - y0);
        return;
    }
    cairo_set_line_width(page->cr, 0.35);
    cairo_set_dash(page->cr, dash, 2, 0);
    for (int side = -1; side <= 1; side += 2) {
        cairo_move_to(page->cr, x + side * wide / 2, y0);
        cairo_line_to(page->cr, x + side * wide / 2, y1);
    }
    cairo_stroke(page->cr);
    cairo_set_dash(page->cr, NULL, 0, 0);
}

static void draw_clamp(const struct clamps_figure *f, struct page *page, size_t k)
{
    const struct bt_clamp_place *place = clamps_place(f, k);
    double pad = f->in->request->kind[place->kind].pad;
    double jaw = pad > 0 ? fmin(8, fmax(2.6, f->scale * pad)) : 2.6;
    double x = clamp_x(f, k), y0 = f->y0 - caul(f), y1 = f->y1 + caul(f);

    draw_bar(page, x, y0, y1, fmin(1.8, 0.6 * jaw), place->above);
    grey_box(page, x - jaw / 2, y0 - JAW, jaw, JAW);
    grey_box(page, x - jaw / 2, y1, jaw, JAW);
}

/* Under the others first, so that what lies on top is drawn on top. */
static void draw_clamps(const struct clamps_figure *f, struct page *page)
{
    for (int above = 0; above < 2; above++)
        for (size_t k = 0; k < f->nplace; k++)
            if (clamps_place(f, k)->above == (above == 1))
                draw_clamp(f, page, k);
}

static void write_kinds(struct clamps_figure *f, struct page *page, double y)
{
    struct page_text how = {
        .size = LETTER, .anchor = PAGE_MIDDLE_LEFT, .angle = -acos(-1) / 2};
    size_t step;

    for (size_t k = 0; k < f->nplace; k++)
        f->at[k] = clamp_x(f, k);
    step = spread_labels(f, f->nplace, NAME_PITCH, f->x0 - BESIDE, f->x1 + BESIDE);
    for (size_t j = 0; j * step < f->nplace; j++) {
        char fitted[PAGE_TEXT_ROOM];
        struct draw_words text = {0};

        add_kind(&text, f, j * step);
        page_fit(page, &how, text.text, NAME_MOST, fitted);
        page_write(page, &how, f->label[j], y, fitted);
        leader(page, f->label[j], y + 0.6, f->at[j], f->y0 - caul(f) - JAW);
    }
}

static void add_rule(struct draw_words *text, double mm, enum bt_system system)
{
    char length[BT_PRINT_ROOM];

    /* To the millimetre, or the sixteenth of an inch: what one finds with a rule. */
    draw_add(text, "%s",
             bt_print_length_bare(length, mm, system == BT_SYSTEM_MM ? 3 : 0.8, system,
                                  BT_LENGTH_RULE));
}

/* Written where it fits between its ticks. */
static void write_gap(const struct clamps_figure *f, struct page *page, double from,
                      double to, double y)
{
    struct page_text how = {.size = LETTER, .anchor = PAGE_MIDDLE};
    struct draw_words text = {0};
    struct box size;

    cairo_set_line_width(page->cr, 0.25);
    cairo_move_to(page->cr, to, y - 1.2);
    cairo_line_to(page->cr, to, y + 1.2);
    cairo_stroke(page->cr);
    add_rule(&text, (to - from) / f->scale, f->in->job->system);
    page_measure(page, &how, text.text, &size);
    if (to - from > 0 && size.x1 + 0.8 <= to - from)
        page_write(page, &how, (from + to) / 2, y - 0.6 * LETTER - 0.3, text.text);
}

static void row_name(const struct clamps_figure *f, struct page *page, double y,
                     const char *what)
{
    struct page_text how = {.size = LETTER, .anchor = PAGE_MIDDLE_RIGHT};
    struct draw_words text = {0};

    draw_add(&text, "%s, %s", what,
             bt_length_unit_name(f->in->job->system, BT_LENGTH_RULE));
    page_write(page, &how, f->x0 - 5.5, y, text.text);
}

/* The chain of dimensions: from end to end over every clamp. */
static void draw_chain(const struct clamps_figure *f, struct page *page, double y)
{
    double from = f->x0;

    row_name(f, page, y - 0.6 * LETTER - 0.3, "apart");
    cairo_set_line_width(page->cr, 0.25);
    cairo_move_to(page->cr, f->x0, y);
    cairo_line_to(page->cr, f->x1, y);
    cairo_move_to(page->cr, f->x0, y - 1.2);
    cairo_line_to(page->cr, f->x0, y + 1.2);
    cairo_stroke(page->cr);
    for (size_t k = 0; k < f->nplace; k++) {
        write_gap(f, page, from, clamp_x(f, k), y);
        from = clamp_x(f, k);
    }
    write_gap(f, page, from, f->x1, y);
}

/* Distances from the left end under the chain, reading upwards.  Returns how far down
 * they get. */
static double write_distances(struct clamps_figure *f, struct page *page, double y)
{
    struct page_text how = {
        .size = LETTER, .anchor = PAGE_MIDDLE_RIGHT, .angle = -acos(-1) / 2};
    double low = y;
    size_t step;

    row_name(f, page, y + 5, "from left");
    for (size_t k = 0; k < f->nplace; k++)
        f->at[k] = clamp_x(f, k);
    step = spread_labels(f, f->nplace, NAME_PITCH, f->x0 - BESIDE, f->x1 + BESIDE);
    for (size_t j = 0; j * step < f->nplace; j++) {
        struct draw_words text = {0};

        add_rule(&text, clamps_place(f, j * step)->x, f->in->job->system);
        leader(page, f->at[j], y - 1.2, f->label[j], y + 1.8);
        low = fmax(low, page_write(page, &how, f->label[j], y + 2.4, text.text));
    }
    return fmax(low, y + 8);
}

void clamps_draw_plan(struct clamps_figure *f, struct page *page, double *y)
{
    double over = *y + names_high(f, page);

    f->y0 = fmax(over + 4 + JAW + caul(f), *y + REACH);
    f->y1 = f->y0 + f->scale * f->width;
    draw_panel(f, page);
    if (caul(f) > 0) {
        draw_caul(f, page, f->y0 - caul(f));
        draw_caul(f, page, f->y1);
    }
    draw_clamps(f, page);
    write_kinds(f, page, over);
    write_boards(f, page);
    write_joints(f, page);
    *y = f->y1 + fmax(caul(f) + JAW + 6, REACH + 3);
    draw_chain(f, page, *y);
    *y = write_distances(f, page, *y) + 3;
}

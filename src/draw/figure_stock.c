/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "benchtrue/judge/limits.h"
#include "draw/stock_figure.h"
#include "draw/words.h"

#define LETTER 3.0
#define LETTER_TITLE 6.0
#define FULL (PAGE_WIDTH - 2 * PAGE_MARGIN)

/* Room for the boards from above, and for the bar of the thickness to their right. */
#define BOARD_WIDE 118.0
#define BOARD_HIGH_MOST 34.0
#define BOARD_HIGH_LEAST 4.0
#define BAR_X (PAGE_MARGIN + BOARD_WIDE + 8)
#define BAR_WIDE 9.0
#define BAR_HIGH 20.0
#define WORDS_X (BAR_X + BAR_WIDE + 3)

static const double off_grey = 0.72, allowance_grey = 0.88;

/* What is drawn, with the scales. */
struct view {
    const struct bt_stock_figure *in;
    double scale;     /* page per mm of the boards */
    double thickness; /* page per mm of thickness */
    enum bt_system system;
};

static void add_length(struct draw_words *words, double mm, double u,
                       enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    draw_add(words, "%s", bt_print_length(text, mm, u, system, BT_LENGTH_RULE));
}

static const struct bt_rough_board *rough(const struct view *v, size_t i)
{
    return &v->in->job->stock.board[i];
}

static const struct bt_stock_piece *planned(const struct view *v, size_t i)
{
    const struct bt_stock_board *board = &v->in->stock->board[i];

    return &board->piece[board->planned];
}

static struct view view_of(const struct bt_stock_figure *in)
{
    struct view v = {in, INFINITY, INFINITY, in->job->system};

    for (size_t i = 0; i < in->stock->n; i++) {
        const struct bt_rough_board *b = &in->job->stock.board[i];

        v.scale =
            fmin(v.scale, fmin(BOARD_WIDE / b->length, BOARD_HIGH_MOST / b->width));
        v.thickness = fmin(v.thickness, BAR_HIGH / b->size[BT_STOCK_THICKNESS]);
    }
    return v;
}

static void draw_head(const struct view *v, struct page *page, double *y)
{
    const struct bt_job *job = v->in->job;
    struct page_text how = {.size = LETTER_TITLE, .weight = PAGE_BOLD, .width = FULL};
    struct draw_words what = {0};

    page->running = job->title && *job->title ? job->title : "Rough stock";
    *y = page_write(page, &how, PAGE_MARGIN, *y, page->running);
    draw_add(&what, "Rough stock, %s, ",
             job->date && *job->date ? job->date : "undated");
    draw_add_count(&what, v->in->stock->n, "board", "boards");
    if (!isnan(v->in->wanted)) {
        draw_add(&what, ", wanted ");
        add_length(&what, v->in->wanted, 0, v->system);
    }
    how.size = 1.1 * LETTER;
    how.weight = PAGE_PLAIN;
    *y = page_write(page, &how, PAGE_MARGIN, *y + 0.6, what.text) + 0.6;
    *y = page_write(page, &how, PAGE_MARGIN, *y,
                    "Left: each board from above, to scale; dashed: cuts, hatched: "
                    "offcuts. Right: its thickness; dark: what making it flat takes, "
                    "light: the allowance, white: what is left; the line across the "
                    "bar is the thickness wanted.") +
         3;
}

/* ---- a board from above ---- */

static void line(struct page *page, double x0, double y0, double x1, double y1)
{
    cairo_move_to(page->cr, x0, y0);
    cairo_line_to(page->cr, x1, y1);
    cairo_stroke(page->cr);
}

static void dashed(struct page *page, bool on)
{
    static const double dash[] = {1.6, 0.9};

    cairo_set_dash(page->cr, dash, on ? 2 : 0, 0);
}

/* Slanted lines inside a rectangle. */
static void hatch(struct page *page, const struct box *box)
{
    const double high = box->y1 - box->y0;

    if (!(box->x1 - box->x0 > 0.2) || !(high > 0.2))
        return;
    cairo_save(page->cr);
    cairo_rectangle(page->cr, box->x0, box->y0, box->x1 - box->x0, high);
    cairo_clip(page->cr);
    cairo_set_line_width(page->cr, 0.12);
    for (double x = box->x0 - high; x < box->x1; x += 1.4)
        line(page, x, box->y1, x + high, box->y0);
    cairo_restore(page->cr);
}

/* Cuts to length from the left end, a kerf each; what is over is hatched. */
static void draw_cuts(const struct view *v, size_t i, struct page *page,
                      const struct box *board)
{
    const struct bt_rough_board *b = rough(v, i);
    const double step = b->cut + v->in->kerf;
    struct box over = *board;

    if (isnan(b->cut))
        return;
    for (size_t k = 1; k <= b->pieces; k++) {
        const double at = (double)k * step - v->in->kerf;

        over.x0 = fmin(board->x0 + v->scale * at, board->x1);
        if (at < b->length)
            line(page, over.x0, board->y0, over.x0, board->y1);
    }
    dashed(page, false);
    hatch(page, &over);
    dashed(page, true);
}

static void draw_rips(const struct view *v, size_t i, struct page *page,
                      const struct box *board)
{
    const struct bt_rough_board *b = rough(v, i);
    const size_t strips = v->in->stock->board[i].strips;
    struct box over = *board;

    if (isnan(b->rip))
        return;
    for (size_t k = 1; k <= strips; k++) {
        const double at = (double)k * (b->rip + v->in->kerf) - v->in->kerf;

        over.y0 = fmin(board->y0 + v->scale * at, board->y1);
        if (at < b->width)
            line(page, board->x0, over.y0, board->x1, over.y0);
    }
    dashed(page, false);
    hatch(page, &over);
    dashed(page, true);
}

static void draw_board(const struct view *v, size_t i, struct page *page, double y)
{
    const struct bt_rough_board *b = rough(v, i);
    const struct box box = {PAGE_MARGIN, y, PAGE_MARGIN + v->scale * b->length,
                            y + v->scale * b->width};

    cairo_rectangle(page->cr, box.x0, box.y0, box.x1 - box.x0, box.y1 - box.y0);
    page_wood(page);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
    cairo_set_line_width(page->cr, 0.3);
    dashed(page, true);
    draw_cuts(v, i, page, &box);
    draw_rips(v, i, page, &box);
    dashed(page, false);
}

/* ---- its thickness ---- */

static void fill(struct page *page, double y0, double y1, double grey)
{
    if (!(y1 > y0))
        return;
    cairo_rectangle(page->cr, BAR_X, y0, BAR_WIDE, y1 - y0);
    cairo_set_source_rgb(page->cr, grey, grey, grey);
    cairo_fill(page->cr);
}

static void draw_bar(const struct view *v, size_t i, struct page *page, double y)
{
    const struct bt_stock_piece *piece = planned(v, i);
    const double all = rough(v, i)->size[BT_STOCK_THICKNESS];
    const double bottom = y + v->thickness * all,
                 left = bottom - v->thickness * fmax(piece->both, 0),
                 allowance =
                     fmax(left - v->thickness * 2 * v->in->job->stock.allowance, y);

    fill(page, left, bottom, 1);
    fill(page, allowance, left, allowance_grey);
    fill(page, y, allowance, off_grey);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
    cairo_set_line_width(page->cr, 0.25);
    cairo_rectangle(page->cr, BAR_X, y, BAR_WIDE, bottom - y);
    cairo_stroke(page->cr);
    if (v->in->wanted <= all) {
        const double at = bottom - v->thickness * v->in->wanted;

        cairo_set_line_width(page->cr, 0.5);
        line(page, BAR_X - 2, at, BAR_X + BAR_WIDE + 2, at);
    }
}

static double write_words(const struct view *v, size_t i, struct page *page, double y)
{
    const struct bt_stock_piece *piece = planned(v, i);
    const struct bt_stock_board *board = &v->in->stock->board[i];
    const struct page_text how = {.size = LETTER,
                                  .width = PAGE_WIDTH - PAGE_MARGIN - WORDS_X};
    struct draw_words words = {0};

    draw_add(&words, "off %s", board->seen ? "" : "at least ");
    add_length(&words, piece->off, piece->u_off, v->system);
    draw_add(&words, "\nboth faces %s", board->seen ? "" : "at most ");
    add_length(&words, piece->both, piece->u, v->system);
    if (!isnan(v->in->wanted))
        draw_add(&words, "\n%s", bt_verdict_text(v->in->verdict[i]));
    return page_write(page, &how, WORDS_X, y, words.text);
}

/* Name, size and what is cut of it, above the board. */
static void write_name(const struct view *v, size_t i, struct page *page, double *y)
{
    const struct bt_rough_board *b = rough(v, i);
    const size_t strips = v->in->stock->board[i].strips;
    const struct page_text how = {.size = LETTER, .weight = PAGE_BOLD, .width = FULL};
    struct draw_words words = {0};

    draw_add(&words, "%.60s: ", b->name);
    add_length(&words, b->length, 0, v->system);
    draw_add(&words, " x ");
    add_length(&words, b->width, 0, v->system);
    if (!isnan(b->cut)) {
        draw_add(&words, ", ");
        draw_add_count(&words, b->pieces, "piece", "pieces");
        draw_add(&words, " of ");
        add_length(&words, b->cut, 0, v->system);
    }
    if (!isnan(b->rip)) {
        draw_add(&words, ", ");
        draw_add_count(&words, strips, "strip", "strips");
        draw_add(&words, " of ");
        add_length(&words, b->rip, 0, v->system);
    }
    *y = page_write(page, &how, PAGE_MARGIN, *y, words.text) + 1;
}

static void draw_one(const struct view *v, size_t i, struct page *page, double *y)
{
    const struct bt_rough_board *b = rough(v, i);
    const double high = fmax(v->scale * b->width, BOARD_HIGH_LEAST),
                 bar = v->thickness * b->size[BT_STOCK_THICKNESS];
    double words;

    *y = page_room(page, *y, fmax(high, bar) + 3 * LETTER);
    write_name(v, i, page, y);
    draw_board(v, i, page, *y);
    draw_bar(v, i, page, *y);
    words = write_words(v, i, page, *y);
    *y = fmax(fmax(*y + high, *y + bar), words) + 4;
}

double stock_draw(const void *figure, struct page *page)
{
    const struct view v = view_of(figure);
    double y = PAGE_MARGIN;

    draw_head(&v, page, &y);
    for (size_t i = 0; i < v.in->stock->n; i++)
        draw_one(&v, i, page, &y);
    return y + PAGE_MARGIN;
}

enum bt_status bt_figure_stock(const struct bt_stock_figure *input,
                               enum bt_figure_format format,
                               struct bt_figure_bytes *out, struct bt_error *err)
{
    const struct bt_job *job = input->job;

    if (input->stock->n == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0, "no rough board to draw");
    return page_make(stock_draw, input, format,
                     job->title && *job->title ? job->title : "Rough stock",
                     job->date ? job->date : "", out, err);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_PAGE_H
#define BENCHTRUE_DRAW_PAGE_H

#include <cairo.h>
#include <pango/pango.h>
#include <stdbool.h>

#include "benchtrue/draw/figure.h"
#include "benchtrue/draw/paper.h"

/* A page in mm, origin top left, y down, with letters and a memory of what was written
 * where.  Failures are kept until page_finish or page_status tells them. */

/* A rectangle on the page, mm. */
struct box {
    double x0, y0, x1, y1;
};

struct written {
    struct box box;
    size_t text; /* where its text begins in page.words */
};

struct page {
    cairo_t *cr;
    cairo_surface_t *surface;
    PangoFontMap *fonts;
    PangoContext *context;
    PangoLayout *layout;
    enum bt_figure_format format;
    double width, height;         /* of the surface */
    double bottom;                /* where a page of PDF has no more room */
    struct bt_figure_bytes bytes; /* of the stream, with room */
    size_t room;
    size_t nwritten, written_room;
    struct written *written; /* every text, in the order drawn */
    size_t nword, word_room;
    char *words;         /* the texts, each ended by NUL */
    bool failed;         /* no memory */
    const char *running; /* stands on every further page; NULL: nothing */
    int sheet;           /* pages before this one */
};

enum page_weight { PAGE_PLAIN, PAGE_BOLD };

/* Which point of a text stands at the place given. */
enum page_anchor {
    PAGE_TOP_LEFT,
    PAGE_TOP_MIDDLE,
    PAGE_TOP_RIGHT,
    PAGE_MIDDLE,
    PAGE_MIDDLE_LEFT,
    PAGE_MIDDLE_RIGHT
};

struct page_text {
    double size; /* of the letters, mm */
    enum page_weight weight;
    enum page_anchor anchor;
    double width; /* lines are broken at it; 0: one line */
    double angle; /* rad, clockwise, about the anchor */
    bool halo;    /* a light rim keeps it legible over lines */
};

enum { PAGE_TEXT_ROOM = 2048 };

/* What Pango, PDF and XML may be given: valid UTF-8 without control characters (but
 * line breaks) or marks that turn the writing direction; a hyphen before a digit at the
 * start of a word becomes a minus; cut to fit.  Returns its length. */
size_t page_clean(char out[PAGE_TEXT_ROOM], const char *text);

/* Width of what is drawn, and of what stays clear at its sides, mm.  Wider paper has
 * it in its middle. */
#define PAGE_WIDTH 210.0
#define PAGE_MARGIN 9.0

/* Points of 1/72 in, the unit of PDF and of cairo's SVG, per mm. */
#define PAGE_POINTS (72 / 25.4)

/* Width and height of paper, mm. */
struct page_size {
    double width, height;
};
struct page_size page_size_of(enum bt_paper paper);

/*
 * Begin a page.  With measure nothing is kept: the same drawing shows how high it gets.
 *
 *   date  of the PDF, YYYY-MM-DD or ""
 *
 * Returns BT_OK, BT_ENOMEM or BT_EWRITE.  page_close in any case.
 */
enum bt_status page_open(struct page *page, enum bt_figure_format format,
                         const struct page_size *size, bool measure, const char *title,
                         const char *date, struct bt_error *err);

/* End the page and hand its bytes over; SVG gets title and all texts as description. */
enum bt_status page_finish(struct page *page, const char *title,
                           struct bt_figure_bytes *out, struct bt_error *err);

void page_close(struct page *page);

/* BT_OK, or what went wrong so far. */
enum bt_status page_status(const struct page *page, struct bt_error *err);

/* How large a text is: width and height in *box from 0, 0. */
void page_measure(struct page *page, const struct page_text *how, const char *text,
                  struct box *box);

/* Write a text; returns the y of its lower edge (without angle). */
double page_write(struct page *page, const struct page_text *how, double x, double y,
                  const char *text);

/* Whether a rectangle meets anything written so far. */
bool page_occupied(const struct page *page, const struct box *box);

/* Keep a place free of later text that asks, e.g. of a mark; text is what it says. */
void page_occupy(struct page *page, const struct box *box, const char *text);

/* The rectangle that a text of a size has at an anchor, turned: its bounds. */
struct box page_bounds(const struct page_text *how, double x, double y, double width,
                       double height);

/* Go on on a further page, of PDF only: what was written so far is no longer in the
 * way. Returns the y to go on at. */
double page_break(struct page *page);

/* Where a block of that height begins: y, or the top of a further page where this one
 * has no room for it (PDF only; the others are as high as what they show). */
double page_room(struct page *page, double y, double height);

/* Fill the path with the colour of wood and draw its outline. */
void page_wood(struct page *page);

/* The text, cut to fit one line of that width, with an ellipsis where it was; returns
 * whether it was cut. */
bool page_fit(struct page *page, const struct page_text *how, const char *text,
              double width, char out[PAGE_TEXT_ROOM]);

/* Draws a figure from the top of the page; returns how high it gets, mm (the
 * last page, where it has several). */
typedef double page_draw(const void *figure, struct page *page);

/* The whole way: measure, draw on a page of that height (PDF: A4 at least), finish.
 * page_print: a PDF on pages of that paper; page_print_size: of that size. */
enum bt_status page_print_size(page_draw *draw, const void *figure,
                               const struct page_size *size, const char *title,
                               const char *date, struct bt_figure_bytes *out,
                               struct bt_error *err);
enum bt_status page_print(page_draw *draw, const void *figure, enum bt_paper paper,
                          const char *title, const char *date,
                          struct bt_figure_bytes *out, struct bt_error *err);
enum bt_status page_make(page_draw *draw, const void *figure,
                         enum bt_figure_format format, const char *title,
                         const char *date, struct bt_figure_bytes *out,
                         struct bt_error *err);

/*
 * How far to turn a text that stands on a line of that direction (y down), rad: along
 * the line and never upside down; on steep lines always upwards, because a 6 turned one
 * way and a 9 turned the other are alike.
 */
double page_reading_angle(double dx, double dy);

#endif

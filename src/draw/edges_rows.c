/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every board's end, apart from its neighbours. */
#include <math.h>
#include <stdio.h>

#include "draw/edges_figure.h"
#include "draw/words.h"

#define BAR 1.1   /* thickness of the bar along the face at the fence */
#define CLEAR 0.6 /* between bar and face */

/* A board in its slot: where things are on the page. */
struct place {
    size_t board;
    double x0, x1; /* of the slot */
    double x;      /* of the back corner of the show face */
    struct bt_point corner[END_CORNERS];
};

static double line_height(const struct edges_figure *f)
{
    return 1.25 * f->letter;
}

static void write_names(const struct edges_figure *f, struct page *page,
                        const struct place *at, double *y)
{
    struct page_text how = {
        .size = f->letter, .weight = PAGE_BOLD, .anchor = PAGE_TOP_MIDDLE};
    double middle = (at->x0 + at->x1) / 2, room = at->x1 - at->x0 + EDGES_GAP - 1.2;
    char fitted[PAGE_TEXT_ROOM], width[BT_PRINT_ROOM];
    struct draw_words name = {0};

    draw_add_board(&name, at->board, edges_name(f, at->board));
    page_fit(page, &how, name.text, room, fitted);
    page_write(page, &how, middle, *y, fitted);
    *y += line_height(f);
    how.weight = PAGE_PLAIN;
    bt_print_length(width, f->shape[at->board].width, 0, f->in->job->system,
                    BT_LENGTH_RULE);
    page_fit(page, &how, width, room, fitted);
    page_write(page, &how, middle, *y, fitted);
    *y += line_height(f);
}

static void write_mark(const struct edges_figure *f, struct page *page,
                       const struct place *at, bool front, double y)
{
    double narrow = fmax(0, 7 * f->letter - (at->corner[END_SHOW_FRONT].x * f->scale));
    struct page_text how = {.size = f->letter,
                            .weight = PAGE_BOLD,
                            .anchor = front ? PAGE_TOP_RIGHT : PAGE_TOP_LEFT};
    double x = front ? at->x + at->corner[END_SHOW_FRONT].x * f->scale + narrow / 2
                     : at->x - narrow / 2;
    const char *mark = bt_run_name(edges_run(f, at->board, front));
    struct box size;

    page_measure(page, &how, mark, &size);
    page_write(page, &how, x, y, mark);
    if (f->warn[2 * at->board + front])
        edges_mark_warning(f, page,
                           x + (front ? -1 : 1) * (size.x1 + 0.6 + 0.5 * f->letter),
                           y + size.y1 / 2);
}

static struct bt_point mix(struct bt_point a, struct bt_point b, double share)
{
    return (struct bt_point){a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)};
}

/* Along the face that is against the fence while that edge is jointed, beside it. */
static void draw_bar(const struct edges_figure *f, struct page *page,
                     const struct place *at, bool front, double y)
{
    bool in = edges_run(f, at->board, front) == BT_RUN_IN;
    const struct bt_point *p = at->corner;
    struct bt_point back = in ? p[END_SHOW_BACK] : p[END_OTHER_BACK];
    struct bt_point fore = in ? p[END_SHOW_FRONT] : p[END_OTHER_FRONT];
    struct bt_point a = front ? mix(back, fore, 0.58) : back;
    struct bt_point b = front ? fore : mix(back, fore, 0.42);
    double off = (CLEAR + BAR / 2) * (in ? -1 : 1);

    cairo_set_line_width(page->cr, BAR);
    cairo_set_line_cap(page->cr, CAIRO_LINE_CAP_BUTT);
    cairo_move_to(page->cr, at->x + f->scale * a.x, y + f->scale * a.y + off);
    cairo_line_to(page->cr, at->x + f->scale * b.x, y + f->scale * b.y + off);
    cairo_stroke(page->cr);
}

static void draw_board(const struct edges_figure *f, struct page *page,
                       const struct place *at, double y)
{
    write_names(f, page, at, &y);
    for (int front = 0; front < 2; front++)
        write_mark(f, page, at, front, y);
    y += line_height(f) + CLEAR + BAR;
    edges_trace(page, at->corner, at->x, y, f->scale);
    page_wood(page);
    for (int front = 0; front < 2; front++)
        draw_bar(f, page, at, front, y);
}

static double row_height(const struct edges_figure *f)
{
    return 4 * line_height(f) + f->highest + 2 * (CLEAR + BAR) + 2.5;
}

static void write_joint(const struct edges_figure *f, struct page *page, size_t joint,
                        double x, bool at_end, double y)
{
    struct page_text how = {.size = f->letter,
                            .anchor = at_end ? PAGE_TOP_RIGHT : PAGE_TOP_MIDDLE};
    char text[40];

    snprintf(text, sizeof text, "joint %zu%s", joint + 1,
             at_end ? " \xE2\x86\x92" : "");
    page_write(page, &how, x, y, text);
}

/* Boards first to end - 1, spread over the width. */
static void draw_row(const struct edges_figure *f, struct page *page, size_t first,
                     size_t end, double y)
{
    double used = 0, gap, x = PAGE_MARGIN;
    double under = y + 3 * line_height(f) + f->highest + 2 * (CLEAR + BAR) + 0.6;

    for (size_t i = first; i < end; i++)
        used += edges_slot(f, i);
    gap = end - first > 1 ? (EDGES_FULL - used) / (double)(end - first - 1) : 0;
    gap = fmin(gap, 2 * EDGES_GAP);
    x += (EDGES_FULL - used - gap * (double)(end - first - 1)) / 2;
    for (size_t i = first; i < end; i++) {
        struct place at = {.board = i, .x0 = x, .x1 = x + edges_slot(f, i)};

        end_corners(&f->shape[i], f->factor, at.corner);
        at.x = (at.x0 + at.x1 -
                f->scale * (edges_left(at.corner) + edges_right(at.corner))) /
               2;
        draw_board(f, page, &at, y);
        x = at.x1 + gap;
        if (i + 1 < f->n)
            write_joint(f, page, i, i + 1 < end ? x - gap / 2 : at.x1, i + 1 == end,
                        under);
    }
}

static void write_heading(const struct edges_figure *f, struct page *page, double *y)
{
    struct page_text how = {.size = f->letter, .weight = PAGE_BOLD};
    struct draw_words text = {0};

    draw_add(&text, "The ends of the boards, apart, show face up: 1 : %d%s",
             (int)f->ratio, f->ratio > floor(f->ratio) ? ".5" : "");
    if (f->factor > 1)
        draw_add(&text, ", all angles drawn %d times as large", f->factor);
    else
        draw_add(&text, ", angles drawn as they are");
    *y = page_write(page, &how, PAGE_MARGIN, *y, text.text) + 1;
}

void edges_draw_rows(const struct edges_figure *f, struct page *page, double *y)
{
    size_t first = 0;

    *y = page_room(page, *y, row_height(f) + 2 * line_height(f));
    write_heading(f, page, y);
    while (first < f->n) {
        size_t end = first;
        double used = 0;

        while (end < f->n && end - first < f->most_per_row &&
               used + edges_slot(f, end) <= EDGES_FULL) {
            used += edges_slot(f, end) + EDGES_GAP;
            end++;
        }
        /* Even the smallest scale may leave a board wider than the page. */
        end = end > first ? end : first + 1;
        *y = page_room(page, *y, row_height(f));
        draw_row(f, page, first, end, *y);
        *y += row_height(f);
        first = end;
    }
    *y += 1.5;
}

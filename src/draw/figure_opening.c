/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/opening_figure.h"

#include <math.h>
#include <stdio.h>

#define LETTER OPENING_LETTER
#define LETTER_TITLE 6.0
#define SIDE 34.0      /* beside a picture, for what is written there */
#define PLAN_HIGH 82.0 /* room for one picture */
#define BULGE 3.0      /* of the deepest hollow of a wall on the page */
#define TIMES_MOST 50.0
#define BADGE 2.3
#define HEAD 3.0 /* of an arrow */

static const double dash[] = {1.8, 1.1};

static struct bt_point on_page(const struct opening_figure *f, struct bt_point p)
{
    return (struct bt_point){f->x0 + f->scale * (p.x - f->low.x),
                             f->y0 + f->scale * (p.y - f->low.y)};
}

/* ---- working out ---- */

static void reach(struct opening_figure *f, size_t n, const struct bt_point p[])
{
    for (size_t i = 0; i < n; i++) {
        f->low.x = fmin(f->low.x, p[i].x);
        f->low.y = fmin(f->low.y, p[i].y);
        f->high.x = fmax(f->high.x, p[i].x);
        f->high.y = fmax(f->high.y, p[i].y);
    }
}

enum bt_status opening_prepare(const struct bt_opening_figure *in,
                               struct opening_figure *f, struct bt_error *err)
{
    double deepest = 0;

    *f = (struct opening_figure){.in = in};
    f->low = f->high = in->quad->corner[0];
    reach(f, 4, in->quad->corner);
    for (int k = 0; k < 4; k++)
        if (!isfinite(in->quad->corner[k].x) || !isfinite(in->quad->corner[k].y))
            return bt_error_set(err, BT_EINPUT, 0, 0,
                                "the corners are not determined: nothing to draw");
    if (in->piece) {
        reach(f, in->piece->placed.n, in->piece->placed.p);
        reach(f, in->piece->walls.n, in->piece->walls.p);
    }
    f->scale = fmin((OPENING_FULL - 2 * SIDE) / (f->high.x - f->low.x),
                    PLAN_HIGH / (f->high.y - f->low.y));
    for (int wall = 0; wall < BT_WALLS; wall++)
        for (size_t i = 0; i < in->profile[wall].n; i++)
            deepest = fmax(deepest, fabs(in->profile[wall].station[i].offset));
    f->times = deepest > 0 ? floor(BULGE / (deepest * f->scale)) : 1;
    f->times = fmax(1, fmin(f->times, TIMES_MOST));
    f->x0 = PAGE_WIDTH / 2 - f->scale * (f->high.x - f->low.x) / 2;
    return BT_OK;
}

/* ---- small things ---- */

static void badge(struct page *page, double x, double y, int number)
{
    const struct page_text how = {
        .size = LETTER, .weight = PAGE_BOLD, .anchor = PAGE_MIDDLE};
    char text[24];

    snprintf(text, sizeof text, "%d", number);
    cairo_new_path(page->cr);
    cairo_arc(page->cr, x, y, BADGE, 0, 2 * acos(-1));
    cairo_set_source_rgb(page->cr, 1, 1, 1);
    cairo_fill_preserve(page->cr);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
    cairo_set_line_width(page->cr, 0.3);
    cairo_stroke(page->cr);
    page_write(page, &how, x, y, text);
}

/* From, to; the head at `to`. */
static void arrow(struct page *page, struct bt_point from, struct bt_point to)
{
    const double long_ = hypot(to.x - from.x, to.y - from.y);
    const double ux = (to.x - from.x) / long_, uy = (to.y - from.y) / long_;

    cairo_set_line_width(page->cr, 0.7);
    cairo_move_to(page->cr, from.x, from.y);
    cairo_line_to(page->cr, to.x - HEAD * ux, to.y - HEAD * uy);
    cairo_stroke(page->cr);
    cairo_move_to(page->cr, to.x, to.y);
    cairo_line_to(page->cr, to.x - HEAD * ux - 0.4 * HEAD * uy,
                  to.y - HEAD * uy + 0.4 * HEAD * ux);
    cairo_line_to(page->cr, to.x - HEAD * ux + 0.4 * HEAD * uy,
                  to.y - HEAD * uy - 0.4 * HEAD * ux);
    cairo_close_path(page->cr);
    cairo_fill(page->cr);
}

static void write_at(struct page *page, enum page_anchor anchor, double x, double y,
                     const char *text)
{
    const struct page_text how = {.size = LETTER, .anchor = anchor};

    page_write(page, &how, x, y, text);
}

/* Likewise, farther off by step where something stands already; returns its y. */
static double write_free(struct page *page, enum page_anchor anchor, double x, double y,
                         double step, const char *text)
{
    const struct page_text how = {.size = LETTER, .anchor = anchor};
    struct box size;

    page_measure(page, &how, text, &size);
    for (int tries = 0; tries < 5; tries++, y += step) {
        const struct box box = page_bounds(&how, x, y, size.x1, size.y1);

        if (!page_occupied(page, &box))
            break;
    }
    page_write(page, &how, x, y, text);
    return y;
}

/* ---- the opening ---- */

/* The wall as a curve, its hollows drawn larger. */
static void trace_wall(const struct opening_figure *f, struct page *page,
                       enum bt_wall wall)
{
    const struct bt_wall_profile *p = &f->in->profile[wall];
    const double outward = wall == BT_WALL_BACK || wall == BT_WALL_RIGHT ? -1 : 1;
    struct bt_point a, b;
    int from, to;
    double side, ux, uy;

    bt_wall_corners(wall, &from, &to);
    a = f->in->quad->corner[from];
    b = f->in->quad->corner[to];
    side = hypot(b.x - a.x, b.y - a.y);
    ux = (b.x - a.x) / side;
    uy = (b.y - a.y) / side;
    cairo_move_to(page->cr, on_page(f, a).x, on_page(f, a).y);
    for (size_t i = 0; i < p->n; i++) {
        const double at = fmax(0, fmin(side, p->station[i].at));
        const double off = outward * f->times * p->station[i].offset;
        const struct bt_point q = on_page(
            f, (struct bt_point){a.x + at * ux - off * uy, a.y + at * uy + off * ux});

        cairo_line_to(page->cr, q.x, q.y);
    }
    cairo_line_to(page->cr, on_page(f, b).x, on_page(f, b).y);
    cairo_set_line_width(page->cr, 0.7);
    if (wall == BT_WALL_FRONT && !f->in->plan->front_wall) {
        cairo_set_line_width(page->cr, 0.3);
        cairo_set_dash(page->cr, dash, 2, 0);
    }
    cairo_stroke(page->cr);
    cairo_set_dash(page->cr, NULL, 0, 0);
}

static void add_figure(struct draw_words *text, const struct opening_figure *f,
                       int figure)
{
    const struct bt_measured *m = &f->in->quad->figure[figure];

    if (m->seen)
        opening_add_tape(text, m->value, m->u, f->in->job->system);
    else
        draw_add(text, "not seen");
}

/* The line ends where its number stands, which could be read wrong across it. */
static void blank(struct page *page, const struct page_text *how, double x, double y,
                  const struct box *size)
{
    cairo_save(page->cr);
    cairo_translate(page->cr, x, y);
    cairo_rotate(page->cr, how->angle);
    cairo_rectangle(page->cr, -size->x1 / 2 - 0.8, -size->y1 / 2, size->x1 + 1.6,
                    size->y1);
    cairo_restore(page->cr);
    cairo_set_source_rgb(page->cr, 1, 1, 1);
    cairo_fill(page->cr);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
}

/* The number of a diagonal stands on it where nothing else does. */
static void write_diagonal(const struct opening_figure *f, struct page *page, int k)
{
    static const double share[] = {0.28, 0.72, 0.2, 0.8, 0.36, 0.64, 0.12, 0.88};
    const struct bt_point a = on_page(f, f->in->quad->corner[k]);
    const struct bt_point c = on_page(f, f->in->quad->corner[k + 2]);
    struct page_text how = {.size = LETTER, .anchor = PAGE_MIDDLE};
    struct draw_words text = {0};
    struct box size, box;
    size_t i = 0;

    cairo_set_line_width(page->cr, 0.2);
    cairo_set_dash(page->cr, dash, 2, 0);
    cairo_move_to(page->cr, a.x, a.y);
    cairo_line_to(page->cr, c.x, c.y);
    cairo_stroke(page->cr);
    cairo_set_dash(page->cr, NULL, 0, 0);
    how.angle = page_reading_angle(c.x - a.x, c.y - a.y);
    draw_add(&text, "%s ", k ? "BD" : "AC");
    add_figure(&text, f, BT_QUAD_DIAGONAL_AC + k);
    page_measure(page, &how, text.text, &size);
    for (; i < sizeof share / sizeof *share; i++) {
        box = page_bounds(&how, a.x + share[i] * (c.x - a.x),
                          a.y + share[i] * (c.y - a.y), size.x1, size.y1);
        if (!page_occupied(page, &box))
            break;
    }
    i = i == sizeof share / sizeof *share ? 0 : i;
    blank(page, &how, a.x + share[i] * (c.x - a.x), a.y + share[i] * (c.y - a.y),
          &size);
    page_write(page, &how, a.x + share[i] * (c.x - a.x), a.y + share[i] * (c.y - a.y),
               text.text);
}

static void write_corner(const struct opening_figure *f, struct page *page, int k,
                         double above, double below)
{
    const bool left = k == 0 || k == 3, back = k < 2;
    const struct bt_point c = on_page(f, f->in->quad->corner[k]);
    const struct bt_measured *angle = &f->in->quad->figure[BT_QUAD_ANGLE + k];
    const struct page_text how = {.size = LETTER,
                                  .weight = PAGE_BOLD,
                                  .anchor =
                                      left ? PAGE_MIDDLE_RIGHT : PAGE_MIDDLE_LEFT};
    struct draw_words text = {0};
    char number[BT_PRINT_ROOM];

    draw_add(&text, "%c  %s", "ABCD"[k],
             angle -> seen ? bt_print_angle(number, angle->value, angle->u)
                           : "not seen");
    page_write(page, &how, c.x + (left ? -2.5 : 2.5), back ? above : below, text.text);
}

static double draw_opening(const struct opening_figure *f, struct page *page)
{
    const struct bt_point *c = f->in->quad->corner;
    const double top = on_page(f, c[0]).y;
    const double bottom = fmax(on_page(f, c[2]).y, on_page(f, c[3]).y);
    const double middle = (top + bottom) / 2;
    const double left = fmin(on_page(f, c[0]).x, on_page(f, c[3]).x);
    const double right = fmax(on_page(f, c[1]).x, on_page(f, c[2]).x);
    struct draw_words text = {0};

    for (int wall = 0; wall < BT_WALLS; wall++)
        trace_wall(f, page, (enum bt_wall)wall);
    for (int k = 0; k < 4; k++)
        write_corner(f, page, k, top - 2.5, bottom + 3);
    add_figure(&text, f, BT_QUAD_SIDE + BT_WALL_LEFT);
    write_at(page, PAGE_MIDDLE_RIGHT, left - BULGE - 2, middle, text.text);
    text = (struct draw_words){0};
    add_figure(&text, f, BT_QUAD_SIDE + BT_WALL_RIGHT);
    write_at(page, PAGE_MIDDLE_LEFT, right + BULGE + 2, middle, text.text);
    text = (struct draw_words){0};
    draw_add(&text, "back wall ");
    add_figure(&text, f, BT_QUAD_SIDE + BT_WALL_BACK);
    write_at(page, PAGE_MIDDLE, (left + right) / 2, top - BULGE - 3.5, text.text);
    text = (struct draw_words){0};
    draw_add(&text, f->in->plan->front_wall ? "front wall " : "open front ");
    add_figure(&text, f, BT_QUAD_SIDE + BT_WALL_FRONT);
    write_at(page, PAGE_MIDDLE, (left + right) / 2, bottom + BULGE + 3.5, text.text);
    write_diagonal(f, page, 0);
    write_diagonal(f, page, 1);
    return bottom + BULGE + 8;
}

/* ---- the piece ---- */

static void trace(const struct opening_figure *f, struct page *page, size_t n,
                  const struct bt_point p[])
{
    for (size_t i = 0; i < n; i++) {
        const struct bt_point q = on_page(f, p[i]);

        if (i == 0)
            cairo_move_to(page->cr, q.x, q.y);
        else
            cairo_line_to(page->cr, q.x, q.y);
    }
}

static int wall_from(enum bt_wall wall)
{
    return wall == BT_WALL_BACK    ? 0
           : wall == BT_WALL_RIGHT ? 1
           : wall == BT_WALL_FRONT ? 2
                                   : 3;
}

/* The points of one edge of the outline, thick where it is scribed. */
static void draw_scribed(const struct opening_figure *f, struct page *page,
                         enum bt_wall wall)
{
    const struct bt_outline *o = &f->in->piece->placed;
    const int k = wall_from(wall);
    const size_t end = k == 3 ? o->n : o->corner[k + 1];

    for (size_t i = o->corner[k]; i <= end; i++) {
        const struct bt_point q = on_page(f, o->p[i % o->n]);

        if (i == o->corner[k])
            cairo_move_to(page->cr, q.x, q.y);
        else
            cairo_line_to(page->cr, q.x, q.y);
    }
    cairo_set_line_width(page->cr, 1.0);
    cairo_stroke(page->cr);
}

static struct bt_point edge_middle(const struct opening_figure *f, enum bt_wall wall)
{
    const struct bt_outline *o = &f->in->piece->placed;
    const int k = wall_from(wall);
    const struct bt_point a = on_page(f, o->p[o->corner[k]]);
    const struct bt_point b = on_page(f, o->p[o->corner[(k + 1) % 4]]);

    return (struct bt_point){(a.x + b.x) / 2, (a.y + b.y) / 2};
}

static void add_gap(struct draw_words *text, const struct opening_figure *f,
                    enum bt_wall wall)
{
    const struct bt_clearance *c = &f->in->piece->gap[wall];

    if (c->taken > 0) {
        draw_add(text, "gap ");
        opening_add_tape(text, c->taken, 0, f->in->job->system);
    } else {
        draw_add(text, "pushed home");
    }
    if (c->scribed)
        draw_add(text, wall == BT_WALL_BACK ? ", scribed" : "\nscribed");
}

/* Beside the ends, above the back, below the front; returns the y of the lowest. */
static double write_gaps(const struct opening_figure *f, struct page *page, double back,
                         double front)
{
    const struct bt_point left = edge_middle(f, BT_WALL_LEFT);
    const struct bt_point right = edge_middle(f, BT_WALL_RIGHT);
    const double x = edge_middle(f, BT_WALL_BACK).x;
    struct draw_words text = {0};

    add_gap(&text, f, BT_WALL_LEFT);
    write_at(page, PAGE_MIDDLE_RIGHT, on_page(f, f->low).x - 3, left.y, text.text);
    text = (struct draw_words){0};
    add_gap(&text, f, BT_WALL_RIGHT);
    write_at(page, PAGE_MIDDLE_LEFT, on_page(f, f->high).x + 3, right.y, text.text);
    text = (struct draw_words){0};
    draw_add(&text, "back edge, the reference: ");
    add_gap(&text, f, BT_WALL_BACK);
    write_free(page, PAGE_MIDDLE, x, back - 4, -4.2, text.text);
    text = (struct draw_words){0};
    if (f->in->plan->front_wall) {
        add_gap(&text, f, BT_WALL_FRONT);
    } else if (f->in->piece->overhang > 0) {
        draw_add(&text, "overhang ");
        opening_add_rule(&text, f->in->piece->overhang, f->in->job->system);
    } else {
        draw_add(&text, "no overhang");
    }
    return write_free(page, PAGE_MIDDLE_RIGHT, x - 8, front + 4, 4.2, text.text);
}

/* Numbers of the cuts within the piece, along its edges. */
static void number_cuts(const struct opening_figure *f, struct page *page)
{
    static const double dx[] = {0, -1, 0, 1}, dy[] = {1, 0, -1, 0};
    /* Beside each other where the piece is shallow. */
    static const double along[] = {-0.14, 0, 0.14, 0};

    for (int k = 0; k < 4; k++) {
        const enum bt_wall wall = f->in->piece->cut[k].edge;
        const struct bt_point m = edge_middle(f, wall);
        const double wide = f->scale * f->in->piece->length;

        badge(page, m.x + dx[wall] * (BADGE + 1.5) + along[wall] * wide,
              m.y + dy[wall] * (BADGE + 1.2), k + 1);
    }
}

static void write_corners(const struct opening_figure *f, struct page *page,
                          double back, double front)
{
    static const char *const corner[] = {"A", "B", "C", "D"};
    const struct bt_outline *o = &f->in->piece->placed;
    const struct page_text how = {
        .size = LETTER, .weight = PAGE_BOLD, .anchor = PAGE_MIDDLE};

    for (int k = 0; k < 4; k++) {
        const struct bt_point c = on_page(f, o->p[o->corner[k]]);

        page_write(page, &how, c.x + (k == 0 || k == 3 ? -3 : 3),
                   k < 2 ? back - 2.5 : front + 3, corner[k]);
    }
}

/* An arrow from the front; none where it comes from above.  Returns as write_gaps. */
static double draw_way(const struct opening_figure *f, struct page *page, double front)
{
    const struct bt_insert *way = &f->in->piece->insert;
    const double x = edge_middle(f, BT_WALL_FRONT).x;
    const bool flat = !isnan(way->nearest) && !f->in->level;
    const char *text = f->in->level                    ? "in from above, level"
                       : way->straight                 ? "straight in"
                       : flat                          ? "in on the slant"
                       : way->turning == BT_TURN_FOUND ? "in turned, see below"
                       : f->in->tilts                  ? "in tilted, one end first"
                                                       : "no way in is known";
    const double lean = flat ? fmax(-1, fmin(1, way->nearest)) : 0;

    if (flat) {
        const struct bt_point from = {x + 10 * sin(lean), front + 2 + 10 * cos(lean)};

        arrow(page, from, (struct bt_point){x, front + 2});
    }
    return fmax(flat ? front + 12 : front,
                write_free(page, PAGE_MIDDLE_LEFT, x + (flat && lean > 0 ? 14 : 4),
                           front + 4, 4.2, text));
}

static double draw_piece(const struct opening_figure *f, struct page *page)
{
    const struct bt_piece *piece = f->in->piece;
    const double back = on_page(f, f->low).y, front = on_page(f, f->high).y;
    double low;

    trace(f, page, piece->placed.n, piece->placed.p);
    cairo_close_path(page->cr);
    page_wood(page);
    trace(f, page, piece->walls.n, piece->walls.p);
    if (piece->walls.closed)
        cairo_close_path(page->cr);
    cairo_set_line_width(page->cr, 0.3);
    cairo_stroke(page->cr);
    for (int wall = 0; wall < BT_WALLS; wall++)
        if (piece->gap[wall].scribed)
            draw_scribed(f, page, (enum bt_wall)wall);
    number_cuts(f, page);
    write_corners(f, page, back, front);
    low = write_gaps(f, page, back, front);
    return fmax(low, draw_way(f, page, front)) + 5;
}

/* ---- all ---- */

static double write_title(struct page *page, double y, const char *text)
{
    const struct page_text how = {
        .size = LETTER, .weight = PAGE_BOLD, .width = OPENING_FULL};

    return page_write(page, &how, PAGE_MARGIN, y, text);
}

static double write_head(const struct opening_figure *f, struct page *page, double y)
{
    const struct bt_job *job = f->in->job;
    struct page_text how = {
        .size = LETTER_TITLE, .weight = PAGE_BOLD, .width = OPENING_FULL};
    struct draw_words text = {0};

    page->running = job->title && *job->title ? job->title : "Opening";
    y = page_write(page, &how, PAGE_MARGIN, y, page->running) + 0.6;
    draw_add(&text,
             "The opening%s from above, %s, to scale: back wall on top, left on "
             "the left.",
             f->in->piece ? " and the piece" : "",
             job->date && *job->date ? job->date : "undated");
    if (f->times > 1)
        draw_add(&text,
                 " In the first picture hollows and bumps of the walls are drawn %.0f "
                 "times as large.",
                 f->times);
    how = (struct page_text){.size = LETTER, .width = OPENING_FULL};
    y = page_write(page, &how, PAGE_MARGIN, y, text.text);
    if (f->in->quad->contradiction)
        y = write_title(page, y + 1,
                        "The readings do not agree with each other: measure again "
                        "before you cut.");
    return y + 2;
}

static bool any_scribed(const struct bt_piece *piece)
{
    for (int wall = 0; wall < BT_WALLS; wall++)
        if (piece->gap[wall].scribed)
            return true;
    return false;
}

double opening_draw(const void *figure, struct page *page)
{
    struct opening_figure f = *(const struct opening_figure *)figure;
    const double high = f.scale * (f.high.y - f.low.y);
    double y = write_head(&f, page, PAGE_MARGIN);

    y = write_title(page, y, "The opening as measured");
    f.y0 = y + BULGE + 6;
    y = draw_opening(&f, page);
    if (!f.in->piece)
        return y + PAGE_MARGIN;
    y = page_room(page, y, high + 30);
    y = write_title(
        page, y,
        any_scribed(f.in->piece)
            ? "The piece in it; numbers: the cuts in their order; thick: "
              "scribed to the wall; the walls as they are"
            : "The piece in it; numbers: the cuts in their order; the walls "
              "as they are");
    f.y0 = y + 10;
    y = draw_piece(&f, page);
    return opening_words(f.in, page, y) + PAGE_MARGIN;
}

enum bt_status bt_figure_opening(const struct bt_opening_figure *input,
                                 enum bt_figure_format format,
                                 struct bt_figure_bytes *out, struct bt_error *err)
{
    const struct bt_job *job = input->job;
    struct opening_figure f;
    const enum bt_status status = opening_prepare(input, &f, err);

    if (status != BT_OK)
        return status;
    return page_make(opening_draw, &f, format,
                     job->title && *job->title ? job->title : "Opening",
                     job->date ? job->date : "", out, err);
}

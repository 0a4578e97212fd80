/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "draw/page.h"
#include "draw/palette.h"
#include "draw/places.h"
#include "draw/profile.h"
#include "draw/scale_bar.h"
#include "draw/sort.h"
#include "draw/words.h"

enum { LINES_MAX = 16 };

#define LETTER 4.3
#define LETTER_TITLE 6.0
#define FULL (PAGE_WIDTH - 2 * PAGE_MARGIN)
#define INSET 2.0 /* of a profile from the margin, mm */
#define HEAD 7.2  /* from the top of a row to its edge, mm: name and value */
#define ROW_MOST 24.0
#define ROWS_HIGH 215.0 /* all rows together */

struct lines_figure {
    const struct bt_figure_input *in;
    struct profiles all;
    size_t n, chosen[LINES_MAX];
    double along; /* page per mm of length */
    double up;    /* page per mm of height */
    double row;   /* height of a row, mm */
    size_t *hull; /* room for the longest line */
};

/* How far a place lies under the line through the contacts; where there is no gap,
 * under the line through the ends. */
static double below(const struct lines_figure *f, const struct profile *line, size_t i)
{
    const struct profile_place *place = f->all.place + line->start;
    size_t left = line->left, right = line->right;

    if (left == right) {
        left = 0;
        right = line->count - 1;
    }
    return profile_edge(&place[left], &place[right], place[i].s) - place[i].z;
}

/* How far the highest and the lowest place lie over and under that line.  Outside a
 * short edge, and on a crown, places stand over it. */
static void reach(const struct lines_figure *f, const struct profile *line,
                  double *over, double *under)
{
    *over = *under = 0;
    for (size_t i = 0; i < line->count; i++) {
        *over = fmax(*over, -below(f, line, i));
        *under = fmax(*under, below(f, line, i));
    }
}

/* The lines with the largest gaps, kept in the order gathered. */
static enum bt_status choose(struct lines_figure *f, struct bt_error *err)
{
    const size_t n = f->all.n;
    size_t *order = bt_alloc(n, sizeof *order);
    double *key = bt_alloc(n, sizeof *key);
    enum bt_status status = order && key ? BT_OK : BT_ENOMEM;

    f->n = n < LINES_MAX ? n : LINES_MAX;
    for (size_t i = 0; i < n && status == BT_OK; i++) {
        order[i] = i;
        key[i] = -f->all.profile[i].gap;
    }
    if (status == BT_OK) {
        sort_by_key(n, order, key);
        for (size_t k = 0; k < f->n; k++)
            key[k] = (double)order[k];
        for (size_t k = 0; k < f->n; k++)
            order[k] = k;
        sort_by_key(f->n, order, key);
        for (size_t k = 0; k < f->n; k++)
            f->chosen[k] = (size_t)key[order[k]];
    } else {
        bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    }
    bt_free(order);
    bt_free(key);
    return status;
}

static void fit_page(struct lines_figure *f)
{
    double longest = 0, deepest = 0, over, under;

    for (size_t k = 0; k < f->n; k++) {
        const struct profile *line = &f->all.profile[f->chosen[k]];

        longest = fmax(longest, f->all.place[line->start + line->count - 1].s);
        reach(f, line, &over, &under);
        deepest = fmax(deepest, over + under);
    }
    f->row = fmin(ROW_MOST, ROWS_HIGH / (double)f->n);
    f->along = (FULL - 2 * INSET) / longest;
    /* Some wood stays under the deepest place.  A surface without any hollow is drawn
     * as flat as it is. */
    f->up = deepest > 0 ? (f->row - HEAD - 2.5) / deepest : 1;
}

static enum bt_status prepare(const struct bt_figure_input *in, struct lines_figure *f,
                              struct bt_error *err)
{
    size_t most = 0;
    enum bt_status status;

    memset(f, 0, sizeof *f);
    f->in = in;
    status = places_check(in->flatness->used, err);
    if (status == BT_OK)
        status = profiles_gather(in, &f->all, err);
    if (status == BT_OK && f->all.n == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "no line of three places was read: no profile to draw");
    if (status == BT_OK)
        status = choose(f, err);
    if (status != BT_OK)
        return status;
    for (size_t k = 0; k < f->n; k++)
        most = f->all.profile[f->chosen[k]].count > most
                   ? f->all.profile[f->chosen[k]].count
                   : most;
    f->hull = bt_alloc(most, sizeof *f->hull);
    if (!f->hull)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    fit_page(f);
    return BT_OK;
}

/* The letter of the panel's corner that a place is at; 0 for another place. */
static char corner_at(const struct bt_figure_input *in, struct bt_point p)
{
    const struct bt_panel *panel = &in->job->panel;
    double near = fmax(in->job->same_point, 1);

    for (int k = 0; k < 4; k++) {
        double x = k == 1 || k == 2 ? panel->length : 0;
        double y = k >= 2 ? panel->width : 0;

        if (hypot(p.x - x, p.y - y) <= near)
            return "ABCD"[k];
    }
    return 0;
}

/* `along, edge of 300 mm, deepest at x 250, y 375 mm`; `oblique at 30 deg, edge of`. */
static void add_edge_name(struct draw_words *text, const struct lines_figure *f,
                          const struct profile *line)
{
    enum bt_system system = f->in->job->system;
    size_t deepest = f->all.place[line->start + line->deepest].point;
    char span[BT_PRINT_ROOM], angle[BT_PRINT_ROOM];

    draw_add(text, "%s", bt_edge_direction_name(line->direction));
    if (line->direction == BT_EDGE_OBLIQUE)
        draw_add(text, " at %s", bt_print_angle(angle, line->angle, 0));
    draw_add(text, ", edge of %s, deepest at ",
             bt_print_length(span, line->span, 0, system, BT_LENGTH_RULE));
    draw_add_place(text, &f->in->flatness->used->point[deepest], system);
}

/* `A to C`, `along, y 250 mm`; a hundredth off square is along or across. */
static void add_name(struct draw_words *text, const struct bt_figure_input *in,
                     const struct profile *line)
{
    char a = corner_at(in, line->from), b = corner_at(in, line->to);
    double dx = fabs(line->to.x - line->from.x), dy = fabs(line->to.y - line->from.y);
    enum bt_system system = in->job->system;
    char at[BT_PRINT_ROOM];
    double u = system == BT_SYSTEM_MM ? 3 : 0.8;

    if (a && b && a != b) {
        draw_add(text, "%c to %c", a, b);
    } else if (dy <= 0.01 * dx) {
        bt_print_length(at, (line->from.y + line->to.y) / 2, u, system, BT_LENGTH_RULE);
        draw_add(text, "along, y %s", at);
    } else if (dx <= 0.01 * dy) {
        bt_print_length(at, (line->from.x + line->to.x) / 2, u, system, BT_LENGTH_RULE);
        draw_add(text, "across, x %s", at);
    } else {
        draw_add_place(text, &line->from, system);
        draw_add(text, " to ");
        draw_add_place(text, &line->to, system);
    }
    if (line->own)
        draw_add(text, " (from its gaps alone)");
}

static struct bt_point at(const struct lines_figure *f, const struct profile *line,
                          size_t i, double edge)
{
    return (struct bt_point){PAGE_MARGIN + INSET +
                                 f->along * f->all.place[line->start + i].s,
                             edge + f->up * below(f, line, i)};
}

/* Steps on paper that no eye sees are left out, mm. */
#define FINEST 0.06

static void trace_surface(const struct lines_figure *f, const struct profile *line,
                          double edge, cairo_t *cr)
{
    struct bt_point last = {-1, 0};

    for (size_t i = 0; i < line->count; i++) {
        struct bt_point p = at(f, line, i, edge);

        if (i == 0)
            cairo_move_to(cr, p.x, p.y);
        else if (hypot(p.x - last.x, p.y - last.y) >= FINEST || i + 1 == line->count)
            cairo_line_to(cr, p.x, p.y);
        else
            continue;
        last = p;
    }
}

static void draw_wood(const struct lines_figure *f, const struct profile *line,
                      double edge, double bottom, cairo_t *cr)
{
    double rgb[3];
    struct bt_point last = at(f, line, line->count - 1, edge);

    palette_colour(0.85, rgb);
    trace_surface(f, line, edge, cr);
    cairo_line_to(cr, last.x, bottom);
    cairo_line_to(cr, PAGE_MARGIN + INSET, bottom);
    cairo_close_path(cr);
    cairo_set_source_rgb(cr, rgb[0], rgb[1], rgb[2]);
    cairo_fill(cr);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_set_line_width(cr, 0.3);
    trace_surface(f, line, edge, cr);
    cairo_stroke(cr);
    /* Dots where readings stand apart. */
    for (size_t i = 0; i < line->count && line->count <= 60; i++) {
        struct bt_point p = at(f, line, i, edge);

        cairo_new_sub_path(cr);
        cairo_arc(cr, p.x, p.y, 0.5, 0, 2 * acos(-1));
        cairo_fill(cr);
    }
}

static const double hull_dash[] = {1.4, 0.8};

static void draw_hull(const struct lines_figure *f, const struct profile *line,
                      double edge, cairo_t *cr)
{
    size_t n = profile_hull(line->count, f->all.place + line->start, f->hull);

    cairo_set_line_width(cr, 0.3);
    cairo_set_dash(cr, hull_dash, 2, 0);
    for (size_t k = 0; k < n; k++) {
        struct bt_point p = at(f, line, f->hull[k], edge);

        cairo_line_to(cr, p.x, p.y);
    }
    cairo_stroke(cr);
    cairo_set_dash(cr, NULL, 0, 0);
}

/* The edge where it rests over the largest gap: as long as its span, about the middle
 * of its contacts, or as the line. */
static void draw_edge(const struct lines_figure *f, const struct profile *line,
                      double edge, cairo_t *cr)
{
    const struct profile_place *place = f->all.place + line->start;
    double first = 0, last = place[line->count - 1].s, over, under;

    /* Without a gap it balances on the crown. */
    reach(f, line, &over, &under);
    if (!(line->gap > 0))
        edge -= f->up * over;
    if (line->span > 0) {
        double middle = (place[line->left].s + place[line->right].s) / 2;

        first = fmax(first, middle - line->span / 2);
        last = fmin(last, middle + line->span / 2);
    }
    cairo_set_line_width(cr, 0.7);
    cairo_move_to(cr, PAGE_MARGIN + INSET + f->along * first, edge - 0.35);
    cairo_line_to(cr, PAGE_MARGIN + INSET + f->along * last, edge - 0.35);
    cairo_stroke(cr);
}

static void draw_arrow(cairo_t *cr, double x, double top, double bottom)
{
    double head = fmin(1.6, (bottom - top) / 2);

    cairo_set_line_width(cr, 0.3);
    cairo_move_to(cr, x, top);
    cairo_line_to(cr, x, bottom);
    cairo_stroke(cr);
    for (int end = -1; end <= 1; end += 2) {
        double tip = end < 0 ? top : bottom;

        cairo_move_to(cr, x, tip);
        cairo_line_to(cr, x - 0.4 * head, tip - end * head);
        cairo_line_to(cr, x + 0.4 * head, tip - end * head);
        cairo_close_path(cr);
        cairo_fill(cr);
    }
}

/* The value stands over its arrow, clear of the name. */
static void write_value(const struct lines_figure *f, const struct profile *line,
                        struct page *page, double x, double name_end, double y)
{
    struct page_text how = {
        .size = LETTER, .weight = PAGE_BOLD, .anchor = PAGE_TOP_MIDDLE};
    struct draw_words value = {0};
    char text[BT_PRINT_ROOM];
    struct box size;

    if (!(line->gap > 0)) {
        how.weight = PAGE_PLAIN;
        how.anchor = PAGE_TOP_RIGHT;
        page_write(page, &how, PAGE_WIDTH - PAGE_MARGIN, y, "no gap");
        return;
    }
    draw_add(&value, "gap %s",
             bt_print_length(text, line->gap, line->u, f->in->job->system,
                             BT_LENGTH_FEELER));
    page_measure(page, &how, value.text, &size);
    x = fmax(x, name_end + 3 + size.x1 / 2);
    x = fmin(x, PAGE_WIDTH - PAGE_MARGIN - size.x1 / 2);
    page_write(page, &how, x, y, value.text);
}

static void draw_line(const struct lines_figure *f, const struct profile *line,
                      struct page *page, double y)
{
    struct page_text how = {.size = LETTER};
    struct draw_words name = {0};
    struct box size;
    double over, under, edge;
    struct bt_point deepest;

    reach(f, line, &over, &under);
    edge = y + HEAD + f->up * over;
    deepest = at(f, line, line->deepest, edge);

    if (line->span > 0)
        add_edge_name(&name, f, line);
    else
        add_name(&name, f->in, line);
    page_measure(page, &how, name.text, &size);
    page_write(page, &how, PAGE_MARGIN, y, name.text);
    write_value(f, line, page, deepest.x, PAGE_MARGIN + size.x1, y);
    draw_wood(f, line, edge, y + f->row - 0.8, page->cr);
    if (!(line->span > 0))
        draw_hull(f, line, edge, page->cr);
    draw_edge(f, line, edge, page->cr);
    if (line->gap > 0)
        draw_arrow(page->cr, deepest.x, edge, deepest.y);
}

static void draw_head(const struct lines_figure *f, struct page *page, double *y)
{
    struct page_text how = {.size = LETTER_TITLE, .weight = PAGE_BOLD, .width = FULL};
    struct draw_words set = {0}, what = {0};

    *y = page_write(page, &how, PAGE_MARGIN, *y, draw_title(f->in->job, f->in->set));
    how.size = LETTER;
    how.weight = PAGE_PLAIN;
    draw_add_set(&set, f->in->job, f->in->set);
    *y = page_write(page, &how, PAGE_MARGIN, *y + 0.8, set.text);
    draw_add(&what,
             "Profiles under the straightedge, heights drawn %.0f times as large "
             "as lengths.",
             f->up / f->along);
    *y = page_write(page, &how, PAGE_MARGIN, *y + 0.8, what.text);
}

static void draw_scales(const struct lines_figure *f, struct page *page, double *y)
{
    enum bt_system system = f->in->job->system;
    double height = scale_feeler(7 / f->up, system), x = PAGE_WIDTH / 2 + 10;
    struct page_text how = {.size = LETTER, .anchor = PAGE_MIDDLE_LEFT};
    struct draw_words text = {0};

    *y += 4;
    scale_bar(page, PAGE_MARGIN + INSET, *y, f->along, system);
    if (height > 0) {
        double half = height * f->up / 2;

        cairo_set_line_width(page->cr, 0.5);
        cairo_move_to(page->cr, x, *y - half);
        cairo_line_to(page->cr, x, *y + half);
        for (int end = -1; end <= 1; end += 2) {
            cairo_move_to(page->cr, x - 1.2, *y + end * half);
            cairo_line_to(page->cr, x + 1.2, *y + end * half);
        }
        cairo_stroke(page->cr);
        draw_add_height(&text, height, 0, system, false);
        page_write(page, &how, x + 3, *y, text.text + 1);
    }
    *y += 5;
}

static void draw_foot(const struct lines_figure *f, struct page *page, double *y)
{
    struct page_text how = {.size = LETTER, .width = FULL};
    struct draw_words text = {0};

    draw_scales(f, page, y);
    draw_add(&text, "Thick: the edge resting on two high points over its largest gap "
                    "(arrow, value). Dashed: upper hull, on which it may rest "
                    "otherwise. Dots: heights read; straight between them.");
    if (f->n < f->all.n)
        draw_add(&text, " Shown: the %zu of %zu lines with the largest gaps.", f->n,
                 f->all.n);
    *y = page_write(page, &how, PAGE_MARGIN, *y, text.text);
}

static double draw(const struct lines_figure *f, struct page *page)
{
    double y = PAGE_MARGIN;

    draw_head(f, page, &y);
    y += 4;
    for (size_t k = 0; k < f->n; k++, y += f->row)
        draw_line(f, &f->all.profile[f->chosen[k]], page, y);
    draw_foot(f, page, &y);
    return y + PAGE_MARGIN;
}

static double draw_any(const void *figure, struct page *page)
{
    return draw(figure, page);
}

enum bt_status bt_figure_lines(const struct bt_figure_input *input,
                               enum bt_figure_format format,
                               struct bt_figure_bytes *out, struct bt_error *err)
{
    struct lines_figure f;
    enum bt_status status = prepare(input, &f, err);

    if (status == BT_OK)
        status = page_make(draw_any, &f, format, draw_title(input->job, input->set),
                           input->set->date, out, err);
    profiles_clear(&f.all);
    bt_free(f.hull);
    return status;
}

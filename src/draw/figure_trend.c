/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/draw/figure_trend.h"

#include <math.h>

#include "benchtrue/base/day.h"
#include "draw/page.h"
#include "draw/palette.h"
#include "draw/scale_bar.h"
#include "draw/trend_figure.h"
#include "draw/words.h"

#define LETTER 4.3
#define LETTER_TITLE 6.0
#define FULL (PAGE_WIDTH - 2 * PAGE_MARGIN)
#define LEFT (PAGE_MARGIN + 15) /* of the graphs: numbers stand before it */
#define RIGHT (PAGE_WIDTH - PAGE_MARGIN - 13) /* `limit` stands behind it */
#define GRAPH 40.0
#define GRAPHS_HIGH 150.0 /* all of them together */
#define DATE_WIDTH 27.0   /* of a date with air beside it */
#define DOT 1.0

enum { CURVE = 160 };

static double x_at(const struct trend_figure *f, double day)
{
    return LEFT + (RIGHT - LEFT) * (day - f->day0) / (f->day1 - f->day0);
}

static double y_at(const struct trend_scale *s, double value)
{
    return s->top + s->height * (s->high - value) / (s->high - s->low);
}

/* ---- one graph ---- */

static void draw_frame(const struct trend_figure *f, const struct trend_scale *s,
                       struct page *page)
{
    cairo_t *cr = page->cr;

    cairo_set_source_rgb(cr, 0.82, 0.82, 0.82);
    cairo_set_line_width(cr, 0.2);
    for (long day = f->first; (double)day <= f->day1; day += f->day_step) {
        cairo_move_to(cr, x_at(f, (double)day), s->top);
        cairo_line_to(cr, x_at(f, (double)day), s->top + s->height);
    }
    for (double k = ceil(s->low / s->step); k * s->step <= s->high; k++) {
        cairo_move_to(cr, LEFT, y_at(s, k * s->step));
        cairo_line_to(cr, RIGHT, y_at(s, k * s->step));
    }
    cairo_stroke(cr);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_set_line_width(cr, 0.3);
    cairo_rectangle(cr, LEFT, s->top, RIGHT - LEFT, s->height);
    cairo_stroke(cr);
}

static void write_numbers(const struct trend_figure *f, const struct trend_scale *s,
                          struct page *page)
{
    const struct page_text how = {.size = LETTER, .anchor = PAGE_MIDDLE_RIGHT};

    for (double k = ceil(s->low / s->step); k * s->step <= s->high; k++) {
        struct draw_words text = {0};

        draw_add_height(&text, k * s->step, 0, f->in->job->system, true);
        page_write(page, &how, LEFT - 1.5, y_at(s, k * s->step), text.text);
    }
}

static void wood(cairo_t *cr)
{
    double rgb[3];

    palette_colour(0.85, rgb);
    cairo_set_source_rgb(cr, rgb[0], rgb[1], rgb[2]);
    cairo_fill(cr);
    cairo_set_source_rgb(cr, 0, 0, 0);
}

/* Of the fit, from the first reading on: the way there along its upper side and back
 * along the lower. */
static void trace_band(const struct trend_figure *f, const struct trend_scale *s,
                       const struct bt_trend_rest *rest, cairo_t *cr)
{
    const double from = rest->day, to = f->day1;

    for (int i = 0; i <= 2 * CURVE + 1; i++) {
        const int k = i <= CURVE ? i : 2 * CURVE + 1 - i;
        const double day = from + (to - from) * k / CURVE;
        const struct bt_measured m = bt_trend_value(rest, day);

        cairo_line_to(cr, x_at(f, day), y_at(s, m.value + (i <= CURVE ? 2 : -2) * m.u));
    }
    cairo_close_path(cr);
}

static void draw_fit(const struct trend_figure *f, const struct trend_scale *s,
                     const struct bt_trend_rest *rest, cairo_t *cr)
{
    trace_band(f, s, rest, cr);
    wood(cr);
    cairo_set_line_width(cr, 0.4);
    for (int i = 0; i <= CURVE; i++) {
        const double day = rest->day + (f->day1 - rest->day) * i / CURVE;

        cairo_line_to(cr, x_at(f, day), y_at(s, bt_trend_value(rest, day).value));
    }
    cairo_stroke(cr);
}

/* Between one reading and the next that is seen. */
static void draw_between(const struct trend_figure *f, const struct trend_scale *s,
                         const struct bt_trend_mark *a, const struct bt_trend_mark *b,
                         cairo_t *cr)
{
    const double xa = x_at(f, (double)a->day), xb = x_at(f, (double)b->day);

    cairo_move_to(cr, xa, y_at(s, a->value.value + 2 * a->value.u));
    cairo_line_to(cr, xb, y_at(s, b->value.value + 2 * b->value.u));
    cairo_line_to(cr, xb, y_at(s, b->value.value - 2 * b->value.u));
    cairo_line_to(cr, xa, y_at(s, a->value.value - 2 * a->value.u));
    cairo_close_path(cr);
    wood(cr);
    cairo_set_line_width(cr, 0.4);
    cairo_move_to(cr, xa, y_at(s, a->value.value));
    cairo_line_to(cr, xb, y_at(s, b->value.value));
    cairo_stroke(cr);
}

static void draw_joined(const struct trend_figure *f, const struct trend_scale *s,
                        const struct bt_trend_graph *g, cairo_t *cr)
{
    const struct bt_trend_mark *last = NULL;

    for (size_t i = 0; i < g->n; i++) {
        if (!g->mark[i].value.seen)
            continue;
        if (last)
            draw_between(f, s, last, &g->mark[i], cr);
        last = &g->mark[i];
    }
}

static void draw_marks(const struct trend_figure *f, const struct trend_scale *s,
                       const struct bt_trend_graph *g, cairo_t *cr)
{
    cairo_set_line_width(cr, 0.3);
    for (size_t i = 0; i < g->n; i++) {
        const struct bt_measured *m = &g->mark[i].value;
        const double x = x_at(f, (double)g->mark[i].day);

        if (!m->seen)
            continue;
        for (int end = -1; end <= 1; end += 2) {
            const double y = y_at(s, m->value + end * 2 * m->u);

            cairo_move_to(cr, x, y_at(s, m->value));
            cairo_line_to(cr, x, y);
            cairo_move_to(cr, x - DOT, y);
            cairo_line_to(cr, x + DOT, y);
        }
        cairo_stroke(cr);
        cairo_arc(cr, x, y_at(s, m->value), DOT, 0, 2 * acos(-1));
        cairo_fill(cr);
    }
}

static const double limit_dash[] = {3, 0.8, 0.6, 0.8};
static const double next_dash[] = {1.4, 1};

static void draw_lines(const struct trend_figure *f, const struct trend_scale *s,
                       const struct bt_trend_graph *g, struct page *page)
{
    const struct page_text how = {.size = LETTER, .anchor = PAGE_MIDDLE_LEFT};
    cairo_t *cr = page->cr;

    cairo_set_line_width(cr, 0.3);
    cairo_move_to(cr, LEFT, y_at(s, 0));
    cairo_line_to(cr, RIGHT, y_at(s, 0));
    cairo_stroke(cr);
    if (f->in->next_known) {
        cairo_set_dash(cr, next_dash, 2, 0);
        cairo_move_to(cr, x_at(f, (double)f->in->next), s->top);
        cairo_line_to(cr, x_at(f, (double)f->in->next), s->top + s->height);
        cairo_stroke(cr);
    }
    cairo_set_line_width(cr, 0.5);
    cairo_set_dash(cr, limit_dash, 4, 0);
    for (int side = -1; side <= 1; side += 2) {
        if (!(side < 0 ? s->limit_under : s->limit_over))
            continue;
        cairo_move_to(cr, LEFT, y_at(s, side * g->limit));
        cairo_line_to(cr, RIGHT, y_at(s, side * g->limit));
        cairo_stroke(cr);
        page_write(page, &how, RIGHT + 1.5, y_at(s, side * g->limit), "limit");
    }
    cairo_set_dash(cr, NULL, 0, 0);
}

/* `0.64 mm hollow`. */
static void add_form(struct draw_words *text, const struct bt_trend_graph *g,
                     const struct bt_measured *m, enum bt_system system)
{
    char value[BT_PRINT_ROOM];

    draw_add(text, "%s",
             bt_print_length(value, fabs(m->value), m->u, system, BT_LENGTH_FEELER));
    if (m->value != 0)
        draw_add(text, " %s", m->value > 0 ? g->above : g->below);
    draw_add(text, " (u %s)", bt_print_u_bare(value, m->u, system));
}

static void add_latest(struct draw_words *text, const struct bt_trend_graph *g,
                       enum bt_system system)
{
    char date[BT_DATE_ROOM];

    for (size_t i = g->n; i-- > 0;) {
        if (!g->mark[i].value.seen)
            continue;
        add_form(text, g, &g->mark[i].value, system);
        draw_add(text, " on %s", bt_date_of_day(date, g->mark[i].day));
        return;
    }
    draw_add(text, "not seen");
}

static void write_head(const struct trend_figure *f, const struct trend_scale *s,
                       const struct bt_trend_graph *g, struct page *page, double *y)
{
    struct page_text how = {.size = LETTER, .weight = PAGE_BOLD};
    const enum bt_system system = f->in->job->system;
    struct draw_words name = {0}, text = {0};
    char limit[BT_PRINT_ROOM];
    struct box size;

    draw_add(&name, "%s%s%s", g->name, *g->verdict ? ": " : "", g->verdict);
    page_measure(page, &how, name.text, &size);
    page_write(page, &how, PAGE_MARGIN, *y, name.text);
    how.weight = PAGE_PLAIN;
    how.width = FULL - size.x1 - 4;
    add_latest(&text, g, system);
    if (g->rest) {
        const struct bt_measured end = bt_trend_end(g->rest);

        draw_add(&text, ", comes to rest at ");
        add_form(&text, g, &end, system);
    }
    if (g->limit > 0 && !s->limit_over && !s->limit_under)
        draw_add(&text, ", limit %s, off the scale",
                 bt_print_length(limit, g->limit, 0, system, BT_LENGTH_FEELER));
    *y = page_write(page, &how, PAGE_MARGIN + size.x1 + 4, *y, text.text) + 2.5;
}

static void draw_graph(const struct trend_figure *f, size_t i, struct page *page,
                       double *y)
{
    const struct bt_trend_graph *g = &f->in->graph[i];
    struct trend_scale s = f->scale[i];

    write_head(f, &s, g, page, y);
    s.top = *y;
    s.height = fmin(GRAPH, GRAPHS_HIGH / (double)f->in->ngraph);
    cairo_save(page->cr);
    cairo_rectangle(page->cr, LEFT, s.top, RIGHT - LEFT, s.height);
    cairo_clip(page->cr);
    if (g->rest)
        draw_fit(f, &s, g->rest, page->cr);
    else
        draw_joined(f, &s, g, page->cr);
    cairo_restore(page->cr);
    draw_frame(f, &s, page);
    draw_lines(f, &s, g, page);
    draw_marks(f, &s, g, page->cr);
    write_numbers(f, &s, page);
    *y = s.top + s.height + 3.5;
}

/* ---- the page ---- */

static void write_days(const struct trend_figure *f, struct page *page, double *y)
{
    const struct page_text how = {.size = LETTER, .anchor = PAGE_TOP_MIDDLE};
    char date[BT_DATE_ROOM];
    double end = *y;

    for (long day = f->first; (double)day <= f->day1; day += f->day_step)
        end = page_write(page, &how, fmax(x_at(f, (double)day), LEFT), *y - 2,
                         bt_date_of_day(date, day));
    *y = end + 2;
}

static void write_title(const struct trend_figure *f, struct page *page, double *y)
{
    struct page_text how = {.size = LETTER_TITLE, .weight = PAGE_BOLD, .width = FULL};

    *y = page_write(page, &how, PAGE_MARGIN, *y, trend_title(f->in));
    how.size = LETTER;
    how.weight = PAGE_PLAIN;
    *y = page_write(page, &how, PAGE_MARGIN, *y + 0.8, f->in->what) + 3;
}

static void write_foot(const struct trend_figure *f, struct page *page, double *y)
{
    const struct page_text how = {.size = LETTER, .width = FULL};
    struct draw_words text = {0};
    char date[BT_DATE_ROOM];

    draw_add(&text,
             "In %s. Dots: readings, with bars of 2 u, in which the truth lies "
             "about 95 times in 100.",
             bt_length_unit_name(f->in->job->system, BT_LENGTH_FEELER));
    draw_add(&text, "%s",
             f->fitted
                 ? " Curve: the approach to rest that fits them, with its 95 % band. "
                   "Uncertainty that all sets share is in bars and band."
                 : " Joined by straight lines, which say nothing of the way between.");
    draw_add(&text, " Over 0 / under 0:");
    for (size_t i = 0; i < f->in->ngraph; i++) {
        const struct bt_trend_graph *g = &f->in->graph[i];

        draw_add(&text, "%s %s %s / %s", i ? ";" : "", g->name, g->above, g->below);
    }
    draw_add(&text, ".");
    if (f->in->next_known)
        draw_add(&text, " Dashed upright: %s, the day to look again.",
                 bt_date_of_day(date, f->in->next));
    *y = page_write(page, &how, PAGE_MARGIN, *y, text.text);
}

double trend_draw(const void *figure, struct page *page)
{
    const struct trend_figure *f = figure;
    double y = PAGE_MARGIN;

    write_title(f, page, &y);
    for (size_t i = 0; i < f->in->ngraph; i++)
        draw_graph(f, i, page, &y);
    write_days(f, page, &y);
    write_foot(f, page, &y);
    return y + PAGE_MARGIN;
}

double trend_date_most(void)
{
    return floor((RIGHT - LEFT) / DATE_WIDTH);
}

enum bt_status bt_figure_trend(const struct bt_trend_figure_input *input,
                               enum bt_figure_format format,
                               struct bt_figure_bytes *out, struct bt_error *err)
{
    struct trend_figure f;
    enum bt_status status = trend_prepare(input, &f, err);

    if (status == BT_OK)
        status = page_make(trend_draw, &f, format, trend_title(input), input->date, out,
                           err);
    return status;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/draw/figure_plan.h"

#include <math.h>
#include <stdio.h>

#include "draw/plan_panel.h"
#include "draw/words.h"

#define FULL (PAGE_WIDTH - 2 * PAGE_MARGIN)
#define LETTER 2.8
#define LETTER_TITLE 6.0
#define SIDE 14.0  /* clear at each side of the panel, for corners and battens */
#define HIGH 110.0 /* room for the panel */
#define BESIDE 2.2 /* between frames around the same places */
#define DOT 0.75   /* radius of a place */
#define BADGE 2.3  /* radius of a number */
#define CLEAR (BADGE + 1.8) /* of the middle of one from what is written of another */
#define HEAD 2.6            /* of an arrow */

static const double dash[] = {2.0, 1.2};

struct figure {
    const struct bt_plan_figure_input *in;
    double scale, x0, y0, x1, y1; /* the panel on the page */
};

static const struct bt_point *places(const struct figure *f,
                                     const struct bt_plan_step *step)
{
    return &f->in->plan->place[step->first];
}

static double page_x(const struct figure *f, double x)
{
    return f->x0 + f->scale * x;
}

static double page_y(const struct figure *f, double y)
{
    return f->y0 + f->scale * y;
}

/* ---- the head ---- */

static void add_length(struct draw_words *text, double mm, enum bt_system system)
{
    char length[BT_PRINT_ROOM];

    draw_add(text, "%s", bt_print_length(length, mm, 0, system, BT_LENGTH_RULE));
}

static void draw_head(const struct bt_plan_figure_input *in, struct page *page,
                      double *y)
{
    const struct bt_job *job = in->job;
    const struct page_text title = {
        .size = LETTER_TITLE, .weight = PAGE_BOLD, .width = FULL};
    const struct page_text plain = {.size = LETTER, .width = FULL};
    struct draw_words text = {0};

    *y = page_write(page, &title, PAGE_MARGIN, *y,
                    job->title && *job->title ? job->title : "Panel");
    draw_add(&text, "Where to read next: %zu ", in->plan->nstep);
    draw_add(&text, in->plan->nstep == 1 ? "step, " : "steps, ");
    draw_add_count(&text, in->plan->nreading, "reading", "readings");
    draw_add(&text, ".  Panel ");
    add_length(&text, in->request->length, job->system);
    draw_add(&text, " along the grain, ");
    add_length(&text, in->request->width, job->system);
    draw_add(&text, " across, seen from above.");
    *y = page_write(page, &plain, PAGE_MARGIN, *y + 1, text.text) + 4;
}

/* ---- the panel ---- */

static void write_corner(struct page *page, double x, double y, const char *letter)
{
    const struct page_text how = {
        .size = 4, .weight = PAGE_BOLD, .anchor = PAGE_MIDDLE};

    page_write(page, &how, x, y, letter);
}

static void draw_panel(const struct figure *f, struct page *page)
{
    const struct page_text how = {.size = LETTER, .anchor = PAGE_MIDDLE};

    cairo_rectangle(page->cr, f->x0, f->y0, f->x1 - f->x0, f->y1 - f->y0);
    page_wood(page);
    write_corner(page, f->x0 - 5, f->y0 - 3, "A");
    write_corner(page, f->x1 + 5, f->y0 - 3, "B");
    write_corner(page, f->x1 + 5, f->y1 + 3, "C");
    write_corner(page, f->x0 - 5, f->y1 + 3, "D");
    page_write(page, &how, (f->x0 + f->x1) / 2, f->y0 - 9, "back edge");
    page_write(page, &how, (f->x0 + f->x1) / 2, f->y1 + 9, "front edge");
}

/* Under the panel: their ends show beyond its edges. */
static void draw_supports(const struct figure *f, struct page *page)
{
    const struct page_text how = {.size = LETTER, .anchor = PAGE_TOP_MIDDLE};

    if (!f->in->support)
        return;
    for (int k = 0; k < 2; k++) {
        const double x = page_x(f, f->in->support[k].x);
        struct draw_words text = {0};
        char length[BT_PRINT_ROOM];

        cairo_set_line_width(page->cr, 0.4);
        cairo_set_dash(page->cr, dash, 2, 0);
        cairo_rectangle(page->cr, x - 1.5, f->y0 - 4, 3, f->y1 - f->y0 + 8);
        cairo_stroke(page->cr);
        cairo_set_dash(page->cr, NULL, 0, 0);
        /* To the millimetre, or the sixteenth of an inch. */
        draw_add(&text, "batten, x %s",
                 bt_print_length(length, f->in->support[k].x,
                                 f->in->job->system == BT_SYSTEM_MM ? 3 : 0.8,
                                 f->in->job->system, BT_LENGTH_RULE));
        page_write(page, &how, x, f->y1 + 4.6, text.text);
    }
}

/* ---- the steps ---- */

/* How many steps before this one have the same two ends. */
static size_t twice(const struct figure *f, size_t k)
{
    const struct bt_plan_step *me = &f->in->plan->step[k];
    const struct bt_point *a = places(f, me), *b = a + me->n - 1;
    size_t count = 0;

    for (size_t i = 0; i < k; i++) {
        const struct bt_plan_step *step = &f->in->plan->step[i];
        const struct bt_point *c = places(f, step), *d = c + step->n - 1;
        const double same =
            hypot(a->x - c->x, a->y - c->y) + hypot(b->x - d->x, b->y - d->y);
        const double turned =
            hypot(a->x - d->x, a->y - d->y) + hypot(b->x - c->x, b->y - c->y);
        count += fmin(same, turned) <= 1;
    }
    return count;
}

static void dot(struct page *page, double x, double y)
{
    const struct box box = {x - DOT, y - DOT, x + DOT, y + DOT};

    cairo_arc(page->cr, x, y, DOT, 0, 2 * acos(-1));
    cairo_fill(page->cr);
    if (!page_occupied(page, &box)) /* lines meet in it */
        page_occupy(page, &box, "");
}

static void badge(struct page *page, double x, double y, size_t number)
{
    const struct page_text how = {
        .size = LETTER, .weight = PAGE_BOLD, .anchor = PAGE_MIDDLE};
    char text[24];

    snprintf(text, sizeof text, "%zu", number);
    cairo_new_path(page->cr);
    cairo_arc(page->cr, x, y, BADGE, 0, 2 * acos(-1));
    cairo_set_source_rgb(page->cr, 1, 1, 1);
    cairo_fill_preserve(page->cr);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
    cairo_set_line_width(page->cr, 0.3);
    cairo_stroke(page->cr);
    page_write(page, &how, x, y, text);
}

/* The way a step runs on the page, as a unit vector. */
struct track {
    double ux, uy;
};

static struct track track_of(const struct figure *f, size_t k)
{
    const struct bt_plan_step *step = &f->in->plan->step[k];
    const struct bt_point *a = places(f, step), *b = a + step->n - 1;
    const double length = hypot(b->x - a->x, b->y - a->y);

    if (!(length > 0))
        return (struct track){1, 0};
    return (struct track){(b->x - a->x) / length, (b->y - a->y) / length};
}

static void arrow(struct page *page, double x, double y, const struct track *t)
{
    cairo_move_to(page->cr, x + HEAD * t->ux, y + HEAD * t->uy);
    cairo_line_to(page->cr, x - 0.4 * HEAD * t->uy, y + 0.4 * HEAD * t->ux);
    cairo_line_to(page->cr, x + 0.4 * HEAD * t->uy, y - 0.4 * HEAD * t->ux);
    cairo_close_path(page->cr);
    cairo_fill(page->cr);
}

/* The number stands between two places where nothing else does. */
static void number_line(const struct figure *f, struct page *page, size_t k)
{
    const struct bt_plan_step *step = &f->in->plan->step[k];
    const struct bt_point *p = places(f, step);
    double x = 0, y = 0;

    for (size_t i = 0; i < 4 * (step->n - 1); i++) {
        static const double share[] = {0.5, 0.35, 0.65, 0.25};
        const size_t at = i % (step->n - 1);
        const double s = share[i / (step->n - 1)];
        struct box box;

        x = page_x(f, p[at].x + s * (p[at + 1].x - p[at].x));
        y = page_y(f, p[at].y + s * (p[at + 1].y - p[at].y));
        box = (struct box){x - CLEAR, y - CLEAR, x + CLEAR, y + CLEAR};
        if (!page_occupied(page, &box))
            break;
    }
    badge(page, x, y, k + 1);
}

static void draw_line(const struct figure *f, struct page *page, size_t k)
{
    const struct bt_plan_step *step = &f->in->plan->step[k];
    const struct bt_point *p = places(f, step);
    const struct track t = track_of(f, k);

    cairo_set_line_width(page->cr, 0.5);
    cairo_move_to(page->cr, page_x(f, p[0].x), page_y(f, p[0].y));
    cairo_line_to(page->cr, page_x(f, p[step->n - 1].x), page_y(f, p[step->n - 1].y));
    cairo_stroke(page->cr);
    for (size_t i = 0; i < step->n; i++)
        dot(page, page_x(f, p[i].x), page_y(f, p[i].y));
    arrow(page, page_x(f, p[0].x) + 2 * DOT * t.ux, page_y(f, p[0].y) + 2 * DOT * t.uy,
          &t);
}

static void draw_setup(const struct figure *f, struct page *page, size_t k)
{
    const struct bt_plan_step *step = &f->in->plan->step[k];
    const struct bt_point *p = places(f, step);
    const double in = 1.5 + BESIDE * (double)twice(f, k);
    double low[2] = {p->x, p->y}, high[2] = {p->x, p->y};

    for (size_t i = 0; i < step->n; i++) {
        low[0] = fmin(low[0], p[i].x);
        low[1] = fmin(low[1], p[i].y);
        high[0] = fmax(high[0], p[i].x);
        high[1] = fmax(high[1], p[i].y);
        dot(page, page_x(f, p[i].x), page_y(f, p[i].y));
    }
    cairo_set_line_width(page->cr, 0.4);
    cairo_rectangle(page->cr, page_x(f, low[0]) + in, page_y(f, low[1]) + in,
                    f->scale * (high[0] - low[0]) - 2 * in,
                    f->scale * (high[1] - low[1]) - 2 * in);
    cairo_stroke(page->cr);
    badge(page, page_x(f, low[0]) + 8 + 3 * in, page_y(f, low[1]) + in, k + 1);
}

static void draw_sticks(const struct figure *f, struct page *page, size_t k)
{
    const struct bt_point *p = places(f, &f->in->plan->step[k]);

    for (int stick = 0; stick < 2; stick++) {
        const double in = (stick ? -1 : 1) * (1.5 + 2 * BESIDE * (double)twice(f, k));
        const double x = page_x(f, p[2 * stick].x) + in;
        const double y0 = page_y(f, p[2 * stick].y);
        const double y1 = page_y(f, p[2 * stick + 1].y);

        cairo_set_line_width(page->cr, 0.9);
        cairo_move_to(page->cr, x, y0 - 2);
        cairo_line_to(page->cr, x, y1 + 2);
        cairo_stroke(page->cr);
        badge(page, x, y0 + (y1 - y0) * (0.3 + 0.12 * (double)twice(f, k)), k + 1);
    }
}

/* Numbers last, so that no line runs through one. */
static void draw_steps(const struct figure *f, struct page *page)
{
    const struct bt_plan *plan = f->in->plan;

    for (size_t k = 0; k < plan->nstep; k++)
        if (plan->step[k].kind == BT_PLAN_SETUP)
            draw_setup(f, page, k);
        else if (plan->step[k].kind == BT_PLAN_STICKS)
            draw_sticks(f, page, k);
        else
            draw_line(f, page, k);
    for (size_t k = 0; k < plan->nstep; k++)
        if (plan->step[k].kind != BT_PLAN_SETUP && plan->step[k].kind != BT_PLAN_STICKS)
            number_line(f, page, k);
}

/* ---- the list ---- */

/* What the picture shows, explained as far as it is there. */
enum sign { SIGN_LINE, SIGN_SETUP, SIGN_STICKS, SIGNS };

static const char *const signs[SIGNS] = {
    [SIGN_LINE] = "A dot is a place to read; a line begins at its arrow.",
    [SIGN_SETUP] = "A frame is one set-up of the dial, read at every dot on and in it; "
                   "set-ups of the same places are drawn inside each other.",
    [SIGN_STICKS] = "A heavy bar is a winding stick; two of one number are a pair, and "
                    "pairs at the same places are drawn beside each other.",
};

static bool has_sign(const struct bt_plan *plan, enum sign sign)
{
    for (size_t k = 0; k < plan->nstep; k++) {
        const enum sign of = plan->step[k].kind == BT_PLAN_SETUP    ? SIGN_SETUP
                             : plan->step[k].kind == BT_PLAN_STICKS ? SIGN_STICKS
                                                                    : SIGN_LINE;
        if (of == sign)
            return true;
    }
    return false;
}

static void draw_list(const struct bt_plan_figure_input *in, struct page *page,
                      double *y)
{
    const struct bt_plan *plan = in->plan;
    const struct page_text how = {.size = LETTER, .width = FULL};

    for (size_t k = 0; k < plan->nstep; k++) {
        struct draw_words text = {0};

        draw_add(&text, "%zu  %s: ", k + 1, in->name[k]);
        if (plan->step[k].kind == BT_PLAN_STICKS)
            draw_add(&text, "1 reading");
        else
            draw_add_count(&text, plan->step[k].n, "place", "places");
        *y = page_room(page, *y, 1.5 * LETTER);
        *y = page_write(page, &how, PAGE_MARGIN, *y, text.text) + 0.8;
    }
    for (int of = 0; of < SIGNS; of++) {
        if (!has_sign(plan, (enum sign)of))
            continue;
        *y = page_room(page, *y, 3 * LETTER);
        *y = page_write(page, &how, PAGE_MARGIN, *y + 1, signs[of]);
    }
}

double plan_panel_draw(const struct bt_plan_figure_input *in, struct page *page,
                       double y, double high)
{
    const double wide = FULL - 2 * SIDE;
    struct figure f = {.in = in};

    f.scale = fmin(wide / in->request->length, high / in->request->width);
    f.x0 = (PAGE_WIDTH - f.scale * in->request->length) / 2;
    f.x1 = f.x0 + f.scale * in->request->length;
    f.y0 = y + 10;
    f.y1 = f.y0 + f.scale * in->request->width;
    draw_supports(&f, page);
    draw_panel(&f, page);
    draw_steps(&f, page);
    return f.y1 + 14;
}

enum bt_status plan_panel_check(const struct bt_plan_figure_input *in,
                                struct bt_error *err)
{
    const double l = in->request->length, w = in->request->width;

    if (!(l > 0) || !isfinite(l) || !(w > 0) || !isfinite(w))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "length and width of the panel are not over 0 and finite");
    for (size_t k = 0; k < in->plan->nplace; k++) {
        const struct bt_point *p = &in->plan->place[k];
        if (!(p->x >= -0.1 * l) || !(p->x <= 1.1 * l) || !(p->y >= -0.1 * w) ||
            !(p->y <= 1.1 * w))
            return bt_error_set(err, BT_EINPUT, k, 0, "a place lies off the panel");
    }
    return BT_OK;
}

static double draw_all(const void *figure, struct page *page)
{
    const struct bt_plan_figure_input *in = figure;
    double y = PAGE_MARGIN;

    draw_head(in, page, &y);
    y = plan_panel_draw(in, page, y, HIGH);
    draw_list(in, page, &y);
    return y + PAGE_MARGIN;
}

enum bt_status bt_figure_plan(const struct bt_plan_figure_input *input,
                              enum bt_figure_format format, struct bt_figure_bytes *out,
                              struct bt_error *err)
{
    const struct bt_job *job = input->job;
    enum bt_status status = plan_panel_check(input, err);

    if (status != BT_OK)
        return status;
    return page_make(draw_all, input, format,
                     job->title && *job->title ? job->title : "Panel",
                     job->date ? job->date : "", out, err);
}

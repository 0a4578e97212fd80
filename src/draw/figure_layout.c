/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/draw/figure_layout.h"

#include <math.h>
#include <string.h>

#include "benchtrue/fit/cover.h"
#include "draw/page.h"
#include "draw/spread.h"
#include "draw/words.h"

#define LETTER 3.0
#define LETTER_TITLE 6.0
#define FULL (PAGE_WIDTH - 2 * PAGE_MARGIN)
/* Names of boards stand to the left of the blank, joints to the right. */
#define SIDE 34.0
#define PLAN_HIGH 120.0
#define REACH 10.0

static const double dash[] = {1.2, 0.8};

struct layout_figure {
    const struct bt_layout_figure *in;
    double edge[BT_LAYOUT_BOARDS + 1]; /* of the boards on the blank, mm */
    double scale, x0, y0;              /* page per mm, blank's corner on the page */
};

static double px(const struct layout_figure *f, double x)
{
    return f->x0 + f->scale * x;
}

static double py(const struct layout_figure *f, double y)
{
    return f->y0 + f->scale * y;
}

/* A place of the outline's frame, on the page. */
static struct bt_point on_page(const struct layout_figure *f, struct bt_point p)
{
    const struct bt_point a = bt_cover_turned(f->in->outline->p[0], f->in->turn);
    const struct bt_point q = bt_cover_turned(p, f->in->turn);

    return (struct bt_point){px(f, q.x - a.x + f->in->at.x),
                             py(f, q.y - a.y + f->in->at.y)};
}

static void add_rule(struct draw_words *text, double mm, enum bt_system system)
{
    char length[BT_PRINT_ROOM];

    draw_add(text, "%s",
             bt_print_length(length, mm, system == BT_SYSTEM_MM ? 0.5 : 0.4, system,
                             BT_LENGTH_RULE));
}

/* Along the grain a millimetre or 1/32 in is enough. */
static void add_round(struct draw_words *text, double mm, enum bt_system system)
{
    char length[BT_PRINT_ROOM];

    draw_add(text, "%s",
             bt_print_length(length, mm, system == BT_SYSTEM_MM ? 2 : 0.4, system,
                             BT_LENGTH_RULE));
}

/* ---- the blank ---- */

static void draw_boards(const struct layout_figure *f, struct page *page)
{
    const size_t n = f->in->plan->n;

    cairo_rectangle(page->cr, px(f, 0), py(f, 0), f->scale * f->in->blank_length,
                    f->scale * f->edge[n]);
    page_wood(page);
    cairo_set_line_width(page->cr, 0.35);
    for (size_t k = 1; k < n; k++) {
        cairo_move_to(page->cr, px(f, 0), py(f, f->edge[k]));
        cairo_line_to(page->cr, px(f, f->in->blank_length), py(f, f->edge[k]));
        cairo_stroke(page->cr);
    }
}

static void leader(struct page *page, double xa, double ya, double xb, double yb)
{
    cairo_set_line_width(page->cr, 0.2);
    cairo_move_to(page->cr, xa, ya);
    cairo_line_to(page->cr, xb, yb);
    cairo_stroke(page->cr);
}

static void write_boards(const struct layout_figure *f, struct page *page)
{
    const struct page_text how = {.size = LETTER, .anchor = PAGE_MIDDLE_RIGHT};
    const struct bt_layout_plan *plan = f->in->plan;
    double at[BT_LAYOUT_BOARDS], label[BT_LAYOUT_BOARDS];

    for (size_t k = 0; k < plan->n; k++)
        at[k] = py(f, (f->edge[k] + f->edge[k + 1]) / 2);
    spread(plan->n, at, 1.3 * LETTER, py(f, 0) - REACH, py(f, f->edge[plan->n]) + REACH,
           label);
    for (size_t k = 0; k < plan->n; k++) {
        struct draw_words text = {0};
        char fitted[PAGE_TEXT_ROOM];

        draw_add(&text, "%s%s", f->in->job->board[plan->board[k]].name,
                 plan->turned[k] ? ", turned" : "");
        page_fit(page, &how, text.text, f->x0 - 6 - PAGE_MARGIN, fitted);
        page_write(page, &how, f->x0 - 5.5, label[k], fitted);
        leader(page, f->x0 - 5, label[k], f->x0, at[k]);
    }
}

static void write_joints(const struct layout_figure *f, struct page *page)
{
    const struct page_text how = {.size = LETTER, .anchor = PAGE_MIDDLE_LEFT};
    const size_t n = f->in->plan->n;
    const double x1 = px(f, f->in->blank_length);
    double at[BT_LAYOUT_BOARDS], label[BT_LAYOUT_BOARDS];

    for (size_t k = 0; k < n; k++)
        at[k] = py(f, f->edge[k + 1]);
    spread(n, at, 1.3 * LETTER, py(f, 0) - REACH, py(f, f->edge[n]) + REACH, label);
    for (size_t k = 0; k < n; k++) {
        struct draw_words text = {0};

        if (k + 1 < n)
            draw_add(&text, "joint %zu, ", k + 1);
        else
            draw_add(&text, "edge, ");
        add_rule(&text, f->edge[k + 1], f->in->job->system);
        page_write(page, &how, x1 + 5.5, label[k], text.text);
        leader(page, x1 + 5, label[k], x1, at[k]);
    }
}

/* ---- the finished piece on it ---- */

static void path(const struct layout_figure *f, struct page *page, size_t n,
                 const struct bt_point p[])
{
    for (size_t i = 0; i < n; i++) {
        const struct bt_point q = on_page(f, p[i]);

        if (i == 0)
            cairo_move_to(page->cr, q.x, q.y);
        else
            cairo_line_to(page->cr, q.x, q.y);
    }
    cairo_close_path(page->cr);
}

/* What is cut off is grey: the blank without the outline. */
static void draw_outline(const struct layout_figure *f, struct page *page)
{
    const size_t n = f->in->plan->n;

    cairo_save(page->cr);
    cairo_set_fill_rule(page->cr, CAIRO_FILL_RULE_EVEN_ODD);
    cairo_rectangle(page->cr, px(f, 0), py(f, 0), f->scale * f->in->blank_length,
                    f->scale * f->edge[n]);
    path(f, page, f->in->outline->n, f->in->outline->p);
    cairo_set_source_rgba(page->cr, 0, 0, 0, 0.3);
    cairo_fill(page->cr);
    cairo_restore(page->cr);
    path(f, page, f->in->outline->n, f->in->outline->p);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
    cairo_set_line_width(page->cr, 0.7);
    cairo_stroke(page->cr);
}

/* The bands lie in the extent of the outline, which begins behind the trimmed strip. */
static void draw_clears(const struct layout_figure *f, struct page *page)
{
    const struct bt_layout_request *r = f->in->request;

    cairo_set_line_width(page->cr, 0.25);
    cairo_set_dash(page->cr, dash, 2, 0);
    for (size_t i = 0; i < r->nclear; i++)
        for (int side = -1; side <= 1; side += 2) {
            const double y =
                f->in->plan->trim_back + r->clear[i].y + side * r->clear[i].within;

            if (!(y > 0) || !(y < f->edge[f->in->plan->n]))
                continue;
            cairo_move_to(page->cr, px(f, 0), py(f, y));
            cairo_line_to(page->cr, px(f, f->in->blank_length), py(f, y));
            cairo_stroke(page->cr);
        }
    cairo_set_dash(page->cr, NULL, 0, 0);
}

static void draw_cutout(const struct layout_figure *f, struct page *page,
                        const struct bt_cutout *cut)
{
    const struct page_text how = {
        .size = LETTER * 0.85, .anchor = PAGE_TOP_MIDDLE, .halo = true};
    struct bt_point low, high, middle, below;

    bt_cutout_place(f->in->outline, cut, &low, &high);
    if (isnan(low.x) || isnan(low.y))
        return;
    middle = on_page(f, (struct bt_point){(low.x + high.x) / 2, (low.y + high.y) / 2});
    if (cut->shape == BT_CUT_CIRCLE) {
        cairo_new_sub_path(page->cr);
        cairo_arc(page->cr, middle.x, middle.y, f->scale * cut->width / 2, 0,
                  2 * acos(-1));
    } else {
        const struct bt_point p[] = {low, {high.x, low.y}, high, {low.x, high.y}};

        path(f, page, 4, p);
    }
    cairo_set_source_rgb(page->cr, 1, 1, 1);
    cairo_fill_preserve(page->cr);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
    cairo_set_line_width(page->cr, 0.45);
    cairo_stroke(page->cr);
    below = on_page(f, (struct bt_point){(low.x + high.x) / 2, high.y});
    page_write(page, &how, below.x, below.y + 0.8, cut->name);
}

static void draw_fixing(const struct layout_figure *f, struct page *page,
                        const struct bt_fixing *fixing)
{
    const struct bt_point p = on_page(f, (struct bt_point){fixing->x, fixing->y});

    cairo_set_line_width(page->cr, 0.3);
    for (int side = -1; side <= 1; side += 2) {
        cairo_move_to(page->cr, p.x - 1.1, p.y - 1.1 * side);
        cairo_line_to(page->cr, p.x + 1.1, p.y + 1.1 * side);
        cairo_stroke(page->cr);
    }
}

/* ---- words ---- */

static void write_head(const struct layout_figure *f, struct page *page, double *y)
{
    const struct bt_job *job = f->in->job;
    struct page_text how = {.size = LETTER_TITLE, .weight = PAGE_BOLD, .width = FULL};
    struct draw_words what = {0};

    page->running = job->title && *job->title ? job->title : "Panel";
    *y = page_write(page, &how, PAGE_MARGIN, *y, page->running);
    draw_add(&what, "Layout, %s, ", job->date && *job->date ? job->date : "undated");
    draw_add_count(&what, f->in->plan->n, "board", "boards");
    draw_add(&what, ", blank ");
    add_round(&what, f->in->blank_length, job->system);
    draw_add(&what, " x ");
    add_rule(&what, f->in->plan->blank, job->system);
    how.size = 1.1 * LETTER;
    how.weight = PAGE_PLAIN;
    *y = page_write(page, &how, PAGE_MARGIN, *y + 0.6, what.text) + 0.6;
    *y =
        page_write(page, &how, PAGE_MARGIN, *y,
                   "From above, left end on the left, back edge on top. Grey: cut off; "
                   "dashed: no joint between the two lines; crosses: screws.") +
        3;
}

static void write_place(const struct layout_figure *f, struct page *page, double *y)
{
    const struct page_text how = {.size = LETTER, .width = FULL};
    const enum bt_system system = f->in->job->system;
    struct draw_words text = {0};
    char angle[BT_PRINT_ROOM];

    draw_add(&text, "Corner A of the piece: ");
    add_round(&text, f->in->at.x, system);
    draw_add(&text, " from the left end of the blank, ");
    add_rule(&text, f->in->at.y, system);
    draw_add(&text, " from its back edge; ");
    if (f->in->turn == 0)
        draw_add(&text, "not turned.");
    else
        draw_add(&text, "turned %s, right end to the %s.",
                 bt_print_angle(angle, fabs(f->in->turn), 0),
                 f->in->turn > 0 ? "front" : "back");
    draw_add(&text, " Trim ");
    add_rule(&text, f->in->plan->trim_back, system);
    draw_add(&text, " at the back and ");
    add_rule(&text, f->in->plan->trim_front, system);
    draw_add(&text, " at the front.");
    *y = page_room(page, *y, 3 * LETTER);
    *y = page_write(page, &how, PAGE_MARGIN, *y, text.text) + 1;
}

static double draw(const void *figure, struct page *page)
{
    struct layout_figure f = *(const struct layout_figure *)figure;
    double y = PAGE_MARGIN;

    write_head(&f, page, &y);
    f.y0 = y + REACH;
    draw_boards(&f, page);
    draw_outline(&f, page);
    draw_clears(&f, page);
    for (size_t i = 0; i < f.in->ncutout; i++)
        draw_cutout(&f, page, &f.in->cutout[i]);
    for (size_t i = 0; i < f.in->nfixing; i++)
        draw_fixing(&f, page, &f.in->fixing[i]);
    write_boards(&f, page);
    write_joints(&f, page);
    y = py(&f, f.edge[f.in->plan->n]) + REACH + 3;
    write_place(&f, page, &y);
    return y + PAGE_MARGIN;
}

/* Where the boards lie on the blank: the edges in the order from the back. */
static void find_edges(struct layout_figure *f)
{
    const struct bt_layout_plan *plan = f->in->plan;
    const struct bt_layout_request *r = f->in->request;

    for (size_t k = 0; k < plan->n; k++) {
        const double lost =
            (k > 0 ? r->jointing : 0) + (k + 1 < plan->n ? r->jointing : 0);

        f->edge[k + 1] = f->edge[k] + r->board[plan->board[k]].width - lost;
    }
    f->scale =
        fmin((FULL - 2 * SIDE) / f->in->blank_length, PLAN_HIGH / f->edge[plan->n]);
    f->x0 = PAGE_WIDTH / 2 - f->scale * f->in->blank_length / 2;
}

enum bt_status bt_figure_layout(const struct bt_layout_figure *input,
                                enum bt_figure_format format,
                                struct bt_figure_bytes *out, struct bt_error *err)
{
    const struct bt_job *job = input->job;
    struct layout_figure f = {.in = input};

    if (!input->plan->found || input->plan->n == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0, "no layout to draw");
    if (input->outline->n < 3)
        return bt_error_set(err, BT_EINPUT, 0, 0, "no outline to draw");
    if (!(input->blank_length > 0) || !isfinite(input->blank_length))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the length of the blank is not over 0 and finite");
    find_edges(&f);
    return page_make(draw, &f, format, job->title && *job->title ? job->title : "Panel",
                     job->date ? job->date : "", out, err);
}

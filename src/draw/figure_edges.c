/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "draw/edges_figure.h"
#include "draw/words.h"

/* Steepest that an edge is drawn, rad: about 14 deg, plain to see on a thin board. */
#define STEEPEST 0.25
#define THICKEST 14.0 /* end of a board on the page, mm */
#define DEEPEST 9.0   /* cup drawn, mm */
#define TILTED 0.6    /* board in the bent section, rad */

static enum bt_status refuse(struct bt_error *err, size_t row, const char *why)
{
    return bt_error_set(err, BT_EINPUT, row, 0, "%s", why);
}

static enum bt_status check_counts(const struct bt_edges_figure *in,
                                   struct bt_error *err)
{
    size_t n = in->job->nboard;

    if (n == 0)
        return refuse(err, 0, "no board: no edges to draw");
    if (in->plan->nboard != n || in->section->nboard != n ||
        in->section->njoint != n - 1)
        return refuse(err, 0, "job, plan and section have not the same boards");
    for (size_t k = 0; k < in->plan->nconflict; k++)
        if (in->plan->conflict[k].board >= n)
            return refuse(err, k, "a conflict names a board that is not there");
    for (size_t i = 0; i + 1 < n; i++)
        if (!isfinite(in->section->joint[i].kink.value) ||
            !isfinite(in->section->joint[i].opening.value))
            return refuse(err, i, "the kink or the opening of a joint is not finite");
    if (!isfinite(in->errors.e))
        return refuse(err, 0, "the error of the fence is not finite");
    return BT_OK;
}

static enum bt_status take_memory(struct edges_figure *f, struct bt_error *err)
{
    f->shape = bt_alloc(f->n, sizeof *f->shape);
    f->warn = bt_alloc(2 * f->n, sizeof *f->warn);
    f->together = bt_alloc(f->n * END_CORNERS, sizeof *f->together);
    if (f->shape && f->warn && f->together)
        return BT_OK;
    return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

static void take_conflicts(struct edges_figure *f)
{
    for (size_t k = 0; k < f->in->plan->nconflict; k++) {
        const struct bt_edge_conflict *c = &f->in->plan->conflict[k];
        unsigned *warn = &f->warn[2 * c->board + c->front];

        if (c->kind == BT_CONFLICT_FACE)
            *warn |= EDGES_WARN_FACE;
        else
            *warn |= c->forbidden ? EDGES_WARN_GRAIN_FORBIDDEN : EDGES_WARN_GRAIN;
    }
}

double edges_left(const struct bt_point corner[END_CORNERS])
{
    return fmin(corner[END_SHOW_BACK].x, corner[END_OTHER_BACK].x);
}

double edges_right(const struct bt_point corner[END_CORNERS])
{
    return fmax(corner[END_SHOW_FRONT].x, corner[END_OTHER_FRONT].x);
}

double edges_slot(const struct edges_figure *f, size_t board)
{
    struct bt_point p[END_CORNERS];

    end_corners(&f->shape[board], f->factor, p);
    /* Two marks with their warnings beside each other. */
    return fmax(f->scale * (edges_right(p) - edges_left(p)), 7 * f->letter);
}

/* How many rows the boards fill at the figure's scale; SIZE_MAX: one is too wide. */
static size_t count_rows(const struct edges_figure *f)
{
    size_t rows = 1, in_row = 0;
    double used = 0;

    for (size_t i = 0; i < f->n; i++) {
        double slot = edges_slot(f, i) + EDGES_GAP;

        if (slot - EDGES_GAP > EDGES_FULL)
            return SIZE_MAX;
        if (in_row &&
            (used + slot - EDGES_GAP > EDGES_FULL || in_row == f->most_per_row)) {
            rows++;
            used = 0;
            in_row = 0;
        }
        used += slot;
        in_row++;
    }
    return rows;
}

/* The largest scale of those that a rule is drawn with at which the boards fill no more
 * rows than a page has room for beside the table. */
static void fit_rows(struct edges_figure *f)
{
    static const double ratio[] = {1,  1.5, 2,  2.5, 3,  4,  5,  6,   7,   8,   10,
                                   12, 15,  20, 25,  30, 40, 50, 100, 200, 500, 1000};
    size_t rows = f->n <= 3 ? 1 : f->n <= 12 ? 2 : f->n <= 24 ? 3 : (f->n + 7) / 8;
    double thickest = 0;

    for (size_t i = 0; i < f->n; i++) {
        struct bt_point p[END_CORNERS];

        end_corners(&f->shape[i], f->factor, p);
        thickest = fmax(thickest, fmax(p[END_OTHER_BACK].y, p[END_OTHER_FRONT].y));
    }
    f->most_per_row = (f->n + rows - 1) / rows;
    for (size_t k = 0; k < sizeof ratio / sizeof *ratio; k++) {
        f->ratio = ratio[k];
        f->scale = 1 / f->ratio;
        f->highest = thickest * f->scale;
        if (f->highest <= THICKEST && count_rows(f) <= rows)
            return;
    }
}

void edges_chain(size_t n, const struct end_shape shape[], int factor,
                 struct bt_point corner[])
{
    struct bt_point at = {0, 0}, first, last;
    double angle, c, s;

    for (size_t i = 0; i < n; i++) {
        struct bt_point *p = corner + i * END_CORNERS;
        double turn = factor * shape[i].turn;

        end_corners(&shape[i], factor, p);
        for (int k = 0; k < END_CORNERS; k++)
            p[k] = (struct bt_point){at.x + p[k].x * cos(turn) + p[k].y * sin(turn),
                                     at.y - p[k].x * sin(turn) + p[k].y * cos(turn)};
        at = p[END_SHOW_FRONT];
    }
    first = corner[END_SHOW_BACK];
    last = at;
    angle = atan2(last.y - first.y, last.x - first.x);
    c = cos(angle);
    s = sin(angle);
    for (size_t k = 0; k < n * END_CORNERS; k++)
        corner[k] = (struct bt_point){corner[k].x * c + corner[k].y * s,
                                      corner[k].y * c - corner[k].x * s};
}

static void find_reach(struct edges_figure *f)
{
    f->over = f->under = 0;
    for (size_t k = 0; k < f->n * END_CORNERS; k++) {
        f->over = fmax(f->over, -f->together[k].y);
        f->under = fmax(f->under, f->together[k].y);
    }
}

/* How far the show faces lie off the line through their outer ends, mm. */
static double departure(const struct edges_figure *f)
{
    double most = 0;

    for (size_t i = 0; i < f->n; i++) {
        const struct bt_point *p = f->together + i * END_CORNERS;

        most = fmax(most, fmax(fabs(p[END_SHOW_BACK].y), fabs(p[END_SHOW_FRONT].y)));
    }
    return most;
}

static bool tilted_too_far(const struct edges_figure *f)
{
    for (size_t i = 0; i < f->n; i++)
        if (fabs(f->bend * f->shape[i].turn) > TILTED)
            return true;
    return false;
}

static void fit_section(struct edges_figure *f)
{
    double width = 0, thickest = 0;

    for (size_t i = 0; i < f->n; i++) {
        width += f->shape[i].width;
        thickest = fmax(thickest, f->shape[i].thickness);
    }
    f->panel_scale = fmin(THICKEST / thickest, (EDGES_FULL - 2) / width);
    f->bend = end_factor(f->n, f->shape, STEEPEST);
    for (;; f->bend = end_factor_below(f->bend)) {
        edges_chain(f->n, f->shape, f->bend, f->together);
        if (f->bend == 1 ||
            (!tilted_too_far(f) && departure(f) * f->panel_scale <= DEEPEST))
            break;
    }
    find_reach(f);
    /* A straight chain is straight at any factor, up to rounding. */
    f->bent = departure(f) > 1e-9 * width;
}

enum bt_status edges_prepare(const struct bt_edges_figure *in, struct edges_figure *f,
                             struct bt_error *err)
{
    enum bt_status status;

    memset(f, 0, sizeof *f);
    f->in = in;
    status = check_counts(in, err);
    if (status != BT_OK)
        return status;
    f->n = in->job->nboard;
    f->letter = f->n <= 6 ? 3.3 : f->n <= 12 ? 3.0 : 2.6;
    status = take_memory(f, err);
    if (status != BT_OK)
        return status;
    for (size_t i = 0; i < f->n; i++)
        if (!end_shape_of(&in->section->board[i], &f->shape[i]))
            return refuse(err, i,
                          "the section of a board is not one: a corner is not "
                          "finite, a face has no width, an edge no height or "
                          "a lean of 45 deg");
    take_conflicts(f);
    f->factor = end_factor(f->n, f->shape, STEEPEST);
    fit_rows(f);
    fit_section(f);
    return BT_OK;
}

void edges_clear(struct edges_figure *f)
{
    bt_free(f->shape);
    bt_free(f->warn);
    bt_free(f->together);
    memset(f, 0, sizeof *f);
}

enum bt_grain edges_grain(const struct edges_figure *f, size_t board)
{
    enum bt_grain grain = f->in->job->board[board].rule.grain;

    if (grain == BT_GRAIN_UNKNOWN || !f->in->plan->run[board].turned)
        return grain;
    return grain == BT_GRAIN_LEFT ? BT_GRAIN_RIGHT : BT_GRAIN_LEFT;
}

/* Stood on its front edge with the show face to the maker, who faces the fence, a board
 * keeps its left end on the left; each of the other edge and the other face turns it
 * round once. */
bool edges_left_leads(bool front, enum bt_run run, enum bt_feed feed)
{
    bool left_is_left = front == (run == BT_RUN_OUT);

    return left_is_left == (feed == BT_FEED_RIGHT_TO_LEFT);
}

const char *edges_name(const struct edges_figure *f, size_t board)
{
    const char *name = f->in->job->board[board].name;

    return name ? name : "";
}

enum bt_run edges_run(const struct edges_figure *f, size_t board, bool front)
{
    const struct bt_board_run *run = &f->in->plan->run[board];

    return front ? run->front : run->back;
}

void edges_trace(struct page *page, const struct bt_point corner[END_CORNERS], double x,
                 double y, double scale)
{
    for (int k = 0; k < END_CORNERS; k++)
        cairo_line_to(page->cr, x + scale * corner[k].x, y + scale * corner[k].y);
    cairo_close_path(page->cr);
}

double edges_draw(const void *figure, struct page *page)
{
    const struct edges_figure *f = figure;
    double y = PAGE_MARGIN;

    edges_draw_head(f, page, &y);
    edges_draw_faces(f, page, &y);
    edges_draw_rows(f, page, &y);
    edges_draw_section(f, page, &y);
    edges_draw_table(f, page, &y);
    edges_draw_foot(f, page, &y);
    return y + PAGE_MARGIN;
}

static const char *title_of(const struct bt_job *job)
{
    return job->title && *job->title ? job->title : "Panel";
}

enum bt_status bt_figure_edges(const struct bt_edges_figure *input,
                               enum bt_figure_format format,
                               struct bt_figure_bytes *out, struct bt_error *err)
{
    struct edges_figure f;
    enum bt_status status = edges_prepare(input, &f, err);

    if (status == BT_OK)
        status = page_make(edges_draw, &f, format, title_of(input->job),
                           input->job->date ? input->job->date : "", out, err);
    edges_clear(&f);
    return status;
}

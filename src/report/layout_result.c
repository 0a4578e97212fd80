/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/layout_result.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

/* A corner that is off the rectangle by less than this leaves it one, mm. */
#define SQUARE 0.01

/* Width that a turn has to save, mm: less is not worth the look of it. */
#define TURN_SAVES 0.5

static enum bt_status no_memory(struct bt_error *err)
{
    return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

static double stated(double value, double otherwise, bool *assumed)
{
    *assumed = isnan(value);
    return isnan(value) ? otherwise : value;
}

static double first_of(double a, double b)
{
    return isnan(a) ? b : a;
}

/* ---- outline ---- */

static enum bt_status copy_outline(const struct bt_outline *from, struct bt_outline *to)
{
    struct bt_point *p = bt_alloc(from->n, sizeof *p);

    if (!p)
        return BT_ENOMEM;
    *to = *from;
    to->p = p;
    memcpy(p, from->p, from->n * sizeof *p);
    return BT_OK;
}

static enum bt_status take_outline(struct bt_layout_report *r,
                                   const struct bt_outline *outline,
                                   struct bt_error *err)
{
    const struct bt_job *job = r->job;
    const double length = first_of(job->layout.length, job->panel.length);
    const double width = first_of(job->layout.width, job->panel.width);
    enum bt_status status;

    if (outline && outline->n)
        status = copy_outline(outline, &r->outline);
    else if (!(length > 0) || !(width > 0))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the size of the piece is not known: write length and "
                            "width in [panel] or [layout] of job.ini");
    else
        status = bt_outline_rectangle(length, width, &r->outline);
    if (status != BT_OK)
        return no_memory(err);
    bt_outline_extent(&r->outline, &r->low, &r->high);
    r->shaped = false;
    for (size_t i = 0; i < r->outline.n; i++) {
        const struct bt_point p = r->outline.p[i];
        const bool on_x =
            fabs(p.x - r->low.x) <= SQUARE || fabs(p.x - r->high.x) <= SQUARE;
        const bool on_y =
            fabs(p.y - r->low.y) <= SQUARE || fabs(p.y - r->high.y) <= SQUARE;

        r->shaped = r->shaped || (!on_x && !on_y);
    }
    for (int k = 0; k < 4; k++) {
        const struct bt_point p = r->outline.p[r->outline.corner[k]];
        const double x = k == 1 || k == 2 ? r->high.x : r->low.x;
        const double y = k >= 2 ? r->high.y : r->low.y;

        r->shaped = r->shaped || !(fabs(p.x - x) <= SQUARE && fabs(p.y - y) <= SQUARE);
    }
    return BT_OK;
}

/* ---- boards and rules ---- */

static enum bt_rings rings_of(const char *typed)
{
    static const char *const up[] = {"bark up", "up"};
    static const char *const down[] = {"bark down", "down"};

    for (int i = 0; i < 2; i++) {
        if (strcmp(typed, up[i]) == 0)
            return BT_RINGS_BARK_UP;
        if (strcmp(typed, down[i]) == 0)
            return BT_RINGS_BARK_DOWN;
    }
    return BT_RINGS_UNKNOWN;
}

static enum bt_status take_boards(struct bt_layout_report *r, struct bt_error *err)
{
    const struct bt_job *job = r->job;

    if (job->nboard == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "no boards: write a row in boards.csv for each board there "
                            "is, with board,width");
    r->board = bt_alloc(job->nboard, sizeof *r->board);
    if (!r->board)
        return no_memory(err);
    for (size_t i = 0; i < job->nboard; i++)
        r->board[i] = (struct bt_layout_board){
            .width = job->board[i].width,
            .length = first_of(job->board[i].length, job->panel.length),
            .rings = rings_of(job->board[i].rings),
            .may_turn = job->board[i].rule.may_turn};
    return BT_OK;
}

static void take_rules(struct bt_layout_report *r)
{
    const struct bt_layout_setup *layout = &r->job->layout;
    const double jointing = first_of(layout->jointing, r->job->plan.jointing);

    r->narrowest =
        stated(layout->narrowest, BT_LAYOUT_NARROWEST, &r->narrowest_assumed);
    r->width_u = stated(layout->width_u, BT_LAYOUT_WIDTH_U, &r->width_u_assumed);
    r->beside = stated(layout->beside, BT_CUT_BESIDE, &r->beside_assumed);
    r->clearance = stated(layout->clearance, BT_CUT_CLEARANCE, &r->clearance_assumed);
    r->ends = isnan(layout->ends) ? 0 : layout->ends;
    r->request = (struct bt_layout_request){
        .nboard = r->job->nboard,
        .board = r->board,
        .order = layout->order,
        .trim = layout->trim,
        .centre = layout->centre,
        .rings = layout->rings,
        .narrowest = r->narrowest,
        .jointing = isnan(jointing) ? 0 : jointing,
        .width_u = r->width_u,
        .spare = isnan(layout->spare) ? 0 : layout->spare,
        .clear = r->clear,
    };
}

/* ---- places to keep clear ---- */

/* A stretch of the piece from y0 to y1, x0 to x1, as it lies on the blank turned. */
static void add_clear(struct bt_layout_report *r, double turn, double x0, double x1,
                      double y0, double y1, size_t cutout)
{
    const struct bt_point corner[4] = {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
    double least = INFINITY, most = -INFINITY;
    struct bt_point low, high;
    const size_t n = r->request.nclear;

    if (n == BT_LAYOUT_CLEARS)
        return;
    bt_cover_extent(&r->outline, turn, &low, &high);
    for (int k = 0; k < 4; k++) {
        const double y = bt_cover_turned(corner[k], turn).y - low.y;

        least = fmin(least, y);
        most = fmax(most, y);
    }
    /* two cut-outs side by side keep joints from one place */
    for (size_t i = 0; i < n; i++)
        if (fabs(r->clear[i].y - (least + most) / 2) <= SQUARE &&
            fabs(r->clear[i].within - (most - least) / 2) <= SQUARE)
            return;
    r->clear[n] = (struct bt_layout_clear){(least + most) / 2, (most - least) / 2};
    r->clear_cutout[n] = cutout;
    r->request.nclear++;
}

static double narrowest_board(const struct bt_layout_report *r)
{
    double least = INFINITY;

    for (size_t i = 0; i < r->request.nboard; i++)
        least = fmin(least, r->board[i].width - 2 * r->request.jointing);
    return least;
}

static void clear_cutout(struct bt_layout_report *r, double turn, size_t i)
{
    const struct bt_cutout *cut = &r->job->layout.cutout[i];
    const double c = r->clearance;
    struct bt_point low, high;

    bt_cutout_place(&r->outline, cut, &low, &high);
    if (isnan(low.x) || isnan(low.y) || !(c > 0))
        return;
    if (cut->shape == BT_CUT_CIRCLE || high.y - low.y + 2 * c <= narrowest_board(r)) {
        add_clear(r, turn, low.x, high.x, low.y - c, high.y + c, i);
        return;
    }
    add_clear(r, turn, low.x, high.x, low.y - c, low.y + c, i);
    add_clear(r, turn, low.x, high.x, high.y - c, high.y + c, i);
}

static void take_clears(struct bt_layout_report *r, double turn)
{
    const struct bt_layout_setup *layout = &r->job->layout;

    r->request.nclear = 0;
    for (size_t i = 0; i < layout->nclear; i++)
        add_clear(r, turn, r->low.x, r->high.x,
                  layout->clear[i].y - layout->clear[i].within,
                  layout->clear[i].y + layout->clear[i].within, SIZE_MAX);
    for (size_t i = 0; i < layout->ncutout; i++)
        clear_cutout(r, turn, i);
}

/* What the blank has to be for the outline so turned. */
static void ask_for(struct bt_layout_report *r, double turn)
{
    struct bt_layout_request *q = &r->request;
    struct bt_point low, high;
    double y[4];

    bt_cover_extent(&r->outline, turn, &low, &high);
    for (int k = 0; k < 4; k++)
        y[k] = bt_cover_turned(r->outline.p[r->outline.corner[k]], turn).y - low.y;
    q->width = high.y - low.y;
    q->length = high.x - low.x + 2 * r->ends;
    q->back_taper = fmax(fmax(y[0], y[1]), 0);
    q->back_mean = fmax((y[0] + y[1]) / 2, 0);
    q->front_taper = fmax(q->width - fmin(y[2], y[3]), 0);
    q->front_mean = fmax(q->width - (y[2] + y[3]) / 2, 0);
    q->centre_at = (y[0] + y[1] + y[2] + y[3]) / 4;
    take_clears(r, turn);
}

/* ---- where it lies ---- */

static void lay(const struct bt_layout_report *r, double turn,
                const struct bt_layout_plan *plan, struct bt_laid *out)
{
    const struct bt_outline *o = &r->outline;
    const struct bt_point a = bt_cover_turned(o->p[0], turn);
    struct bt_point low, high;
    double over;

    *out = (struct bt_laid){.plan = *plan, .turn = turn};
    if (!plan->found)
        return;
    bt_cover_extent(o, turn, &low, &high);
    out->blank_length =
        isnan(plan->shortest) ? high.x - low.x + 2 * r->ends : plan->shortest;
    over = out->blank_length - (high.x - low.x);
    out->end_left = out->end_right = over / 2;
    out->at = (struct bt_point){a.x - low.x + over / 2, a.y - low.y + plan->trim_back};
    for (int right = 0; right < 2; right++) {
        double *at = right ? out->right : out->left;
        const struct bt_point back = o->p[o->corner[right ? 1 : 0]];
        const struct bt_point front = o->p[o->corner[right ? 2 : 3]];
        const double x = (back.x + front.x) / 2;

        at[0] = back.y;
        at[plan->n] = front.y;
        for (size_t k = 1; k < plan->n; k++)
            at[k] = (plan->start[k] + low.y - x * sin(turn)) / cos(turn);
    }
}

/* ---- turned on the blank ---- */

static enum bt_status try_turned(struct bt_layout_report *r, struct bt_error *err)
{
    const double most = first_of(r->job->layout.turn, BT_LAYOUT_TURN);
    const struct bt_layout_plan *straight = &r->answer.best;
    const struct bt_cover_request ask = {.outline = &r->outline,
                                         .length = INFINITY,
                                         .width = r->request.width,
                                         .turn_most = most};
    struct bt_layout_plan plan;
    struct bt_cover cover;
    enum bt_status status;

    if (!r->shaped || !(most > 0))
        return BT_OK;
    status = bt_cover_find(&ask, &cover, err);
    if (status != BT_OK || !(2 * cover.across >= TURN_SAVES))
        return status;
    ask_for(r, cover.turn);
    status = bt_layout_find(&r->request, 0, NULL, &plan, err);
    /* Wood alone counts: the waste of the two is not of one rectangle. */
    if (status == BT_OK && plan.found &&
        (!straight->found || plan.wood < straight->wood - 1))
        lay(r, cover.turn, &plan, &r->turned);
    if (status == BT_OK && !straight->found && plan.found)
        r->needs_turn = true;
    else
        ask_for(r, 0);
    return status;
}

/* ---- cut-outs ---- */

static enum bt_status check_cutouts(struct bt_layout_report *r, struct bt_error *err)
{
    const struct bt_layout_setup *layout = &r->job->layout;
    const struct bt_laid *best = &r->best;
    const struct bt_cutouts_request ask = {.outline = &r->outline,
                                           .n = layout->ncutout,
                                           .cutout = layout->cutout,
                                           .njoint =
                                               best->plan.found ? best->plan.n - 1 : 0,
                                           .joint_left = best->left + 1,
                                           .joint_right = best->right + 1,
                                           .length = r->high.x - r->low.x,
                                           .nfixing = r->job->fixing.n,
                                           .fixing = r->job->fixing.fixing,
                                           .beside = r->beside,
                                           .clearance = r->clearance};

    r->cut = bt_alloc(layout->ncutout, sizeof *r->cut);
    if (!r->cut)
        return no_memory(err);
    bt_cutouts_check(&ask, r->cut);
    return BT_OK;
}

enum bt_status bt_layout_report_find(const struct bt_job *job,
                                     const struct bt_outline *outline,
                                     struct bt_layout_report *out, struct bt_error *err)
{
    enum bt_status status;

    memset(out, 0, sizeof *out);
    out->job = job;
    status = take_boards(out, err);
    if (status == BT_OK)
        status = take_outline(out, outline, err);
    if (status != BT_OK)
        return status;
    take_rules(out);
    ask_for(out, 0);
    status = bt_layout_choose(&out->request, &out->answer, err);
    if (status == BT_OK) {
        lay(out, 0, &out->answer.best, &out->best);
        status = try_turned(out, err);
    }
    if (status != BT_OK)
        return status;
    if (out->needs_turn)
        out->best = out->turned;
    return check_cutouts(out, err);
}

void bt_layout_report_clear(struct bt_layout_report *report)
{
    if (!report)
        return;
    bt_outline_clear(&report->outline);
    bt_free(report->board);
    bt_layout_answer_clear(&report->answer);
    bt_free(report->cut);
    memset(report, 0, sizeof *report);
}

enum bt_verdict bt_layout_report_verdict(const struct bt_layout_report *report)
{
    if (!report->best.plan.found)
        return report->answer.best.proven || report->answer.missing > 0 ? BT_OVER
                                                                        : BT_NOT_SEEN;
    for (size_t i = 0; i < report->job->layout.ncutout; i++)
        if (report->cut[i].faults)
            return BT_OVER;
    return BT_WITHIN;
}

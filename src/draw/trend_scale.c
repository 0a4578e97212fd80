/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <limits.h>
#include <math.h>
#include <string.h>

#include "draw/scale_bar.h"
#include "draw/trend_figure.h"

/* How often a scale may be spread to show a limit. */
static const double spread_most = 3;

const char *trend_title(const struct bt_trend_figure_input *in)
{
    return in->job->title && *in->job->title ? in->job->title : "Panel";
}

static enum bt_status refuse(struct bt_error *err, size_t row, const char *why)
{
    return bt_error_set(err, BT_EINPUT, row, 0, "%s", why);
}

static bool rest_is_finite(const struct bt_trend_rest *rest)
{
    const struct bt_measured end = bt_trend_end(rest);
    const struct bt_measured start = bt_trend_value(rest, rest->day);

    return isfinite(end.value) && isfinite(end.u) && isfinite(start.value) &&
           isfinite(start.u) && rest->tau > 0;
}

static enum bt_status check_graph(const struct bt_trend_graph *g, size_t row,
                                  struct bt_error *err)
{
    if (!isnan(g->limit) && (!(g->limit > 0) || isinf(g->limit)))
        return refuse(err, row, "the limit of a figure is not a number over 0");
    for (size_t i = 0; i < g->n; i++) {
        const struct bt_measured *m = &g->mark[i].value;

        if (m->seen && (!isfinite(m->value) || !isfinite(m->u)))
            return refuse(err, row, "a value over time is not finite");
        if (i && g->mark[i].day < g->mark[i - 1].day)
            return refuse(err, row, "the days of a figure do not ascend");
    }
    if (g->rest && !rest_is_finite(g->rest))
        return refuse(err, row, "an approach to rest is not finite");
    return BT_OK;
}

static enum bt_status check(const struct bt_trend_figure_input *in,
                            struct bt_error *err)
{
    enum bt_status status = BT_OK;

    if (in->ngraph == 0 || in->ngraph > BT_TREND_GRAPHS_MAX)
        return refuse(err, 0, "a figure over time shows one to eight figures");
    for (size_t i = 0; i < in->ngraph && status == BT_OK; i++)
        status = check_graph(&in->graph[i], i, err);
    return status;
}

static void find_days(struct trend_figure *f)
{
    f->first = LONG_MAX;
    f->last = LONG_MIN;
    for (size_t i = 0; i < f->in->ngraph; i++) {
        const struct bt_trend_graph *g = &f->in->graph[i];

        f->fitted = f->fitted || g->rest;
        for (size_t k = 0; k < g->n; k++) {
            if (!g->mark[k].value.seen)
                continue;
            f->first = g->mark[k].day < f->first ? g->mark[k].day : f->first;
            f->last = g->mark[k].day > f->last ? g->mark[k].day : f->last;
        }
    }
}

static void fit_days(struct trend_figure *f)
{
    static const long steps[] = {1, 2, 4, 7, 14, 28, 56, 112, 182, 364, 728, 1820};
    const double span = (double)(f->last - f->first);
    double end = (double)f->last + (f->fitted ? span / 3 : 0);

    if (f->in->next_known)
        end = fmax(end, (double)f->in->next);
    f->day0 = (double)f->first - 0.07 * (end - (double)f->first);
    f->day1 = end + 0.05 * (end - (double)f->first);
    f->day_step = steps[0];
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++) {
        f->day_step = steps[i];
        if ((f->day1 - f->day0) / (double)steps[i] <= trend_date_most())
            return;
    }
    f->day_step = (long)ceil((f->day1 - f->day0) / trend_date_most());
}

static void include(struct trend_scale *s, double value, double u)
{
    s->low = fmin(s->low, value - 2 * u);
    s->high = fmax(s->high, value + 2 * u);
}

/* The limit of the side that the values lie on; of both where they cross 0. */
static void fit_limit(const struct bt_trend_graph *g, struct trend_scale *s)
{
    bool over = false, under = false;
    double low = s->low, high = s->high;

    for (size_t i = 0; i < g->n; i++) {
        over = over || (g->mark[i].value.seen && g->mark[i].value.value >= 0);
        under = under || (g->mark[i].value.seen && g->mark[i].value.value < 0);
    }
    if (over)
        high = fmax(high, g->limit);
    if (under)
        low = fmin(low, -g->limit);
    if (!(high - low <= spread_most * (s->high - s->low)))
        return;
    s->limit_over = over;
    s->limit_under = under;
    s->low = low;
    s->high = high;
}

static void fit_scale(const struct trend_figure *f, const struct bt_trend_graph *g,
                      struct trend_scale *s)
{
    const bool mm = f->in->job->system == BT_SYSTEM_MM;
    const double finest = mm ? 0.01 : 0.0254;

    for (size_t i = 0; i < g->n; i++)
        if (g->mark[i].value.seen)
            include(s, g->mark[i].value.value, g->mark[i].value.u);
    for (int k = 0; g->rest && k <= 16; k++) {
        const struct bt_measured m =
            bt_trend_value(g->rest, g->rest->day + (f->day1 - g->rest->day) * k / 16);

        include(s, m.value, m.u);
    }
    if (g->limit > 0)
        fit_limit(g, s);
    if (!(s->high - s->low >= 4 * finest)) {
        s->low -= 2 * finest;
        s->high += 2 * finest;
    }
    s->step = fmax(scale_feeler((s->high - s->low) / 3, f->in->job->system), finest);
    s->low -= 0.08 * (s->high - s->low);
    s->high += 0.08 * (s->high - s->low);
}

enum bt_status trend_prepare(const struct bt_trend_figure_input *in,
                             struct trend_figure *f, struct bt_error *err)
{
    enum bt_status status = check(in, err);

    memset(f, 0, sizeof *f);
    f->in = in;
    if (status != BT_OK)
        return status;
    find_days(f);
    if (f->first >= f->last)
        return refuse(err, 0, "readings of one day show no figure over time");
    fit_days(f);
    for (size_t i = 0; i < in->ngraph; i++)
        fit_scale(f, &in->graph[i], &f->scale[i]);
    return BT_OK;
}

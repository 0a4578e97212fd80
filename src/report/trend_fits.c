/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/trend_fits.h"

#include <math.h>

#include "benchtrue/base/alloc.h"

/* Below this chance the readings do not follow an approach to rest: the 1 % level that
 * also makes a suspect. */
static const double follows_level = 0.01;

/* Above this many places each one's nearest is not sought, only that of its own number.
 */
enum { SOUGHT_MAX = 4000 };

/* ---- places ---- */

static bool close_to(const struct bt_point *a, const struct bt_point *b, double within)
{
    return hypot(a->x - b->x, a->y - b->y) <= within;
}

static bool has_place(const struct bt_readings *r, const struct bt_point *p,
                      double within)
{
    for (size_t i = 0; i < r->npoint; i++)
        if (close_to(&r->point[i], p, within))
            return true;
    return false;
}

bool bt_trend_same_places(const struct bt_readings *a, const struct bt_readings *b,
                          double within)
{
    if (a->npoint != b->npoint)
        return false;
    for (size_t i = 0; i < a->npoint; i++)
        if (!close_to(&a->point[i], &b->point[i], within) &&
            (a->npoint > SOUGHT_MAX || !has_place(b, &a->point[i], within) ||
             !has_place(a, &b->point[i], within)))
            return false;
    return true;
}

/* ---- one figure over the sets ---- */

static double pick(const struct bt_form_values *v, enum bt_figure figure)
{
    return figure == BT_FIGURE_CUP   ? v->cup
           : figure == BT_FIGURE_BOW ? v->bow
                                     : v->twist;
}

/* All sets used, as bt_trend_fit wants them. */
struct series {
    size_t n, nshared;
    int *instrument;              /* [nshared] */
    double *shared;               /* [n][nshared] */
    struct bt_trend_point *point; /* [n] */
};

static void series_clear(struct series *s)
{
    bt_free(s->instrument);
    bt_free(s->shared);
    bt_free(s->point);
}

static size_t index_of(const struct series *s, int instrument)
{
    size_t k = 0;

    while (k < s->nshared && s->instrument[k] != instrument)
        k++;
    return k;
}

/* The straightedges that any of the sets was read with. */
static enum bt_status list_shared(const struct bt_trend_answer *a, struct series *s)
{
    size_t most = 0;

    for (size_t i = 0; i < a->nused; i++)
        most += a->set[a->used[i]].parts.nshare;
    s->n = a->nused;
    s->instrument = bt_alloc(most, sizeof *s->instrument);
    s->point = bt_alloc(s->n, sizeof *s->point);
    if (!s->instrument || !s->point)
        return BT_ENOMEM;
    for (size_t i = 0; i < a->nused; i++) {
        const struct bt_form_parts *parts = &a->set[a->used[i]].parts;

        for (size_t k = 0; k < parts->nshare; k++)
            if (index_of(s, parts->share[k].instrument) == s->nshared)
                s->instrument[s->nshared++] = parts->share[k].instrument;
    }
    s->shared = bt_alloc(s->n * s->nshared, sizeof *s->shared);
    return s->shared ? BT_OK : BT_ENOMEM;
}

static void fill(const struct bt_trend_answer *a, enum bt_figure figure, bool misfit,
                 struct series *s)
{
    for (size_t i = 0; i < s->n; i++) {
        const struct bt_trend_set *set = &a->set[a->used[i]];
        const double finer = pick(&set->parts.misfit, figure);
        double *shared = s->shared + i * s->nshared;

        s->point[i] =
            (struct bt_trend_point){.day = (double)set->day,
                                    .value = bt_trend_figure(set, figure)->value,
                                    .own = pick(&set->parts.own, figure),
                                    .shared = shared};
        if (misfit && !isnan(finer))
            s->point[i].own = hypot(s->point[i].own, finer);
        for (size_t k = 0; k < s->nshared; k++)
            shared[k] = 0;
        for (size_t k = 0; k < set->parts.nshare; k++)
            shared[index_of(s, set->parts.share[k].instrument)] =
                pick(&set->parts.share[k].effect, figure);
    }
}

static struct bt_measured change_between(const struct bt_trend_answer *a,
                                         enum bt_figure figure, size_t from, size_t to,
                                         struct series *s)
{
    const bool alike =
        bt_trend_same_places(&a->set[a->used[from]].set->readings,
                             &a->set[a->used[to]].set->readings, a->job->same_point);

    fill(a, figure, !alike, s);
    return bt_trend_change(&s->point[from], &s->point[to], s->nshared);
}

static bool all_alike(const struct bt_trend_answer *a)
{
    for (size_t i = 1; i < a->nused; i++)
        if (!bt_trend_same_places(&a->set[a->used[0]].set->readings,
                                  &a->set[a->used[i]].set->readings,
                                  a->job->same_point))
            return false;
    return true;
}

/* Too few days, or a start that cannot be told from an end, leave a figure unfitted. */
static enum bt_status fit(const struct bt_trend_answer *a, struct bt_trend_line *line,
                          struct series *s, struct bt_error *err)
{
    const struct bt_trend_prior prior = {a->tau.middle, a->tau.u / a->tau.middle};
    enum bt_status status;

    if (!a->tau_known)
        return BT_OK;
    fill(a, line->figure, !all_alike(a), s);
    status = bt_trend_fit(s->n, s->point, s->nshared, &prior, &line->rest, err);
    if (status == BT_ENOMEM)
        return status;
    line->fitted = status == BT_OK;
    line->follows = line->fitted && line->rest.agreement > follows_level;
    return BT_OK;
}

static void judge(const struct bt_trend_answer *a, struct bt_trend_line *line)
{
    const struct bt_limits *limits = &a->job->limits;

    line->limit = limits->limit[line->figure];
    line->matters = a->share * line->limit;
    line->verdict = bt_trend_judge(&line->change, line->matters);
    line->at_rest = BT_NOT_SEEN;
    if (line->follows && !isnan(line->limit)) {
        const struct bt_measured end = bt_trend_end(&line->rest);

        line->at_rest = bt_judge(line->figure, end.value, end.u, true, line->limit,
                                 limits->confidence)
                            .verdict;
    }
}

static size_t position(const struct bt_trend_answer *a, size_t set)
{
    size_t i = 0;

    while (a->used[i] != set)
        i++;
    return i;
}

enum bt_status bt_trend_fits_find(struct bt_trend_answer *a, struct bt_error *err)
{
    static const enum bt_figure figures[BT_TREND_FIGURES] = {
        BT_FIGURE_CUP, BT_FIGURE_BOW, BT_FIGURE_TWIST};
    const size_t before = position(a, a->before), latest = a->nused - 1;
    struct series s = {.n = 0};
    enum bt_status status = list_shared(a, &s);

    if (status == BT_OK)
        a->same_places =
            bt_trend_same_places(&a->set[a->before].set->readings,
                                 &a->set[a->latest].set->readings, a->job->same_point);
    for (int i = 0; i < BT_TREND_FIGURES && status == BT_OK; i++) {
        struct bt_trend_line *line = &a->line[i];

        line->figure = figures[i];
        line->change = change_between(a, figures[i], before, latest, &s);
        line->total = change_between(a, figures[i], 0, latest, &s);
        status = fit(a, line, &s, err);
        judge(a, line);
    }
    series_clear(&s);
    return status;
}

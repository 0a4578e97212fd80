/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/plan_private.h"

/* How far the figures are from what is wanted: squares, so that the worst counts. */
static double strain(const struct plan_figures *f, const struct plan_demand *demand)
{
    double sum = 0;

    for (int k = 0; k < BT_PLAN_FIGURES; k++)
        if (!isnan(demand->aim[k]))
            sum += f->u[k] / demand->aim[k] * (f->u[k] / demand->aim[k]);
    return sum;
}

/* Costs are sums of whole numbers; this tells them apart whatever the order of adding.
 */
static const double cheaper_by = 1e-6;

/* Sets of no more placements lose one at a time. */
enum { FEW = 16 };

/* Ways down in an order of chance, and how near the cheapest so far one has to come to
 * be worth finishing. */
enum { WAYS = 60 };
#define NEARLY 1.2

/* A change of the set: what goes out, what comes in; noption: nothing. */
struct change {
    size_t out[2], in;
};

static void make(const struct plan_search *s, const struct change *c, bool undo)
{
    const size_t none = s->world->noption;

    for (int k = 0; k < 2; k++)
        if (c->out[k] != none)
            s->chosen[c->out[k]] = undo;
    if (c->in != none)
        s->chosen[c->in] = !undo;
}

static double cost_after(const struct plan_search *s, const struct change *c)
{
    const struct plan_world *w = s->world;
    double cost = s->now.cost;

    for (int k = 0; k < 2; k++)
        if (c->out[k] != w->noption)
            cost -= w->option[c->out[k]].cost;
    return c->in != w->noption ? cost + w->option[c->in].cost : cost;
}

/* Try a change; the set stays as it was. */
static enum bt_status try(struct plan_search *s, const struct change *c,
                          struct plan_figures *got)
{
    enum bt_status status;

    make(s, c, false);
    status = plan_evaluate(s->world, s->chosen, got);
    make(s, c, true);
    s->evaluated++;
    return status;
}

struct best {
    struct change change;
    struct plan_figures figures;
    double harm; /* strain added for each reading's worth of effort saved */
    bool found;
};

static enum bt_status weigh(struct plan_search *s, const struct change *c,
                            struct best *best)
{
    const double saved = s->now.cost - cost_after(s, c);
    struct plan_figures got;
    enum bt_status status;
    double harm;

    if (!(saved > cheaper_by) || s->evaluated >= s->most)
        return BT_OK;
    status = try(s, c, &got);
    if (status != BT_OK || !plan_meets(&got, &s->demand))
        return status;
    harm = (strain(&got, &s->demand) - strain(&s->now, &s->demand)) / saved;
    if (!best->found || harm < best->harm)
        *best = (struct best){*c, got, harm, true};
    return BT_OK;
}

static void apply(struct plan_search *s, const struct best *best)
{
    make(s, &best->change, false);
    s->now = best->figures;
}

/* Each placement left out or shortened by itself: what harms least of it into
 * each[noption], of all into best. */
static enum bt_status weigh_all(struct plan_search *s, struct best *best,
                                struct best each[])
{
    const struct plan_world *w = s->world;
    const size_t none = w->noption;
    enum bt_status status = BT_OK;

    for (size_t i = 0; i < w->noption && status == BT_OK; i++) {
        struct best *mine = &each[i];

        mine->found = false;
        if (!s->chosen[i])
            continue;
        status = weigh(s, &(struct change){{i, none}, none}, mine);
        for (size_t d = 0; d < w->noption && status == BT_OK; d++)
            if (d != i && w->option[d].family == w->option[i].family)
                status = weigh(s, &(struct change){{i, none}, d}, mine);
        if (mine->found && (!best->found || mine->harm < best->harm))
            *best = *mine;
    }
    return status;
}

static size_t count_chosen(const struct plan_search *s)
{
    size_t n = 0;

    for (size_t k = 0; k < s->world->noption; k++)
        n += s->chosen[k];
    return n;
}

/* Of a large set a quarter goes at a time, least harm first, as long as all holds. */
static enum bt_status thin_many(struct plan_search *s, struct best each[], size_t most)
{
    const struct plan_world *w = s->world;
    enum bt_status status = BT_OK;

    for (size_t done = 0; done < most && status == BT_OK; done++) {
        struct best again = {.found = false};
        size_t least = w->noption;

        for (size_t i = 0; i < w->noption; i++)
            if (each[i].found && s->chosen[i] &&
                (least == w->noption || each[i].harm < each[least].harm))
                least = i;
        if (least == w->noption)
            break;
        each[least].found = false;
        status = weigh(s, &each[least].change, &again);
        if (status == BT_OK && again.found)
            apply(s, &again);
    }
    return status;
}

/* Leave out or shorten, whatever harms least, until nothing can go. */
static enum bt_status thin_out(struct plan_search *s)
{
    struct best *each = bt_alloc(s->world->noption, sizeof *each);
    enum bt_status status = each ? BT_OK : BT_ENOMEM;

    for (bool more = true; more && status == BT_OK;) {
        const size_t n = count_chosen(s);
        struct best best = {.found = false};

        status = weigh_all(s, &best, each);
        more = status == BT_OK && best.found;
        if (more && n > FEW)
            status = thin_many(s, each, n / 4);
        else if (more)
            apply(s, &best);
    }
    bt_free(each);
    return status;
}

/* Whether d may come in when i and j (none: only i) go out. */
static bool may_enter(const struct plan_search *s, size_t d, size_t i, size_t j)
{
    const struct plan_world *w = s->world;

    if (s->chosen[d])
        return false;
    for (size_t k = 0; k < w->noption; k++)
        if (s->chosen[k] && k != i && k != j &&
            w->option[k].family == w->option[d].family)
            return false;
    return true;
}

static enum bt_status exchange(struct plan_search *s, bool *changed)
{
    const struct plan_world *w = s->world;
    struct best best = {.found = false};
    enum bt_status status = BT_OK;

    for (size_t i = 0; i < w->noption; i++)
        for (size_t j = i + 1; j <= w->noption && s->chosen[i]; j++) {
            if (j < w->noption && !s->chosen[j])
                continue;
            for (size_t d = 0; d <= w->noption && status == BT_OK; d++)
                if (d == w->noption || may_enter(s, d, i, j))
                    status = weigh(s, &(struct change){{i, j}, d}, &best);
        }
    *changed = status == BT_OK && best.found;
    if (*changed)
        apply(s, &best);
    return status;
}

/* Numbers for shuffling (D. H. Lehmer's multiplicative generator with the multiplier
 * and modulus of Park and Miller, 1988; from memory): the same plan on every machine.
 */
static size_t draw(unsigned long long *seed, size_t n)
{
    *seed = *seed * 48271 % 2147483647;
    return (size_t)(*seed % n);
}

static void shuffle(unsigned long long *seed, size_t n, size_t order[])
{
    for (size_t i = 0; i < n; i++)
        order[i] = i;
    for (size_t i = n; i > 1; i--) {
        const size_t k = draw(seed, i), swap = order[k];
        order[k] = order[i - 1];
        order[i - 1] = swap;
    }
}

/* Make a change if the set then still meets the demand. */
static enum bt_status take(struct plan_search *s, const struct change *c, bool *taken)
{
    struct best best = {.found = false};
    const enum bt_status status = weigh(s, c, &best);

    *taken = status == BT_OK && best.found;
    if (*taken)
        apply(s, &best);
    return status;
}

/* Leave out or shorten in the order given, whatever can go. */
static enum bt_status thin_in_order(struct plan_search *s, const size_t order[])
{
    const struct plan_world *w = s->world;
    const size_t none = w->noption;
    enum bt_status status = BT_OK;

    for (size_t k = 0; k < w->noption && status == BT_OK; k++) {
        const size_t i = order[k];
        bool done;

        if (!s->chosen[i])
            continue;
        status = take(s, &(struct change){{i, none}, none}, &done);
        for (size_t d = 0; d < w->noption && status == BT_OK && !done; d++)
            if (d != i && w->option[d].family == w->option[i].family)
                status = take(s, &(struct change){{i, none}, d}, &done);
    }
    return status;
}

static enum bt_status polish(struct plan_search *s)
{
    enum bt_status status = thin_out(s);

    for (bool changed = true; changed && status == BT_OK;) {
        status = exchange(s, &changed);
        if (status == BT_OK && changed)
            status = thin_out(s);
    }
    return status;
}

/* One more way down from the set at the start; kept where it ends cheaper. */
static enum bt_status other_way(struct plan_search *s, const bool start[],
                                const struct plan_figures *from, bool best[],
                                size_t order[], unsigned long long *seed)
{
    const size_t n = s->world->noption;
    const struct plan_figures was = s->now;
    enum bt_status status;

    memcpy(best, s->chosen, n * sizeof *best);
    memcpy(s->chosen, start, n * sizeof *best);
    s->now = *from;
    shuffle(seed, n, order);
    status = thin_in_order(s, order);
    if (status == BT_OK && s->now.cost <= NEARLY * was.cost)
        status = polish(s);
    if (!(s->now.cost < was.cost - cheaper_by)) {
        memcpy(s->chosen, best, n * sizeof *best);
        s->now = was;
    }
    return status;
}

enum bt_status plan_search_run(struct plan_search *s)
{
    const size_t n = s->world->noption;
    const struct plan_figures from = s->now;
    bool *start = bt_alloc(2 * n, sizeof *start);
    size_t *order = bt_alloc(n, sizeof *order);
    unsigned long long seed = 1;
    enum bt_status status = start && order ? BT_OK : BT_ENOMEM;

    if (status == BT_OK) {
        memcpy(start, s->chosen, n * sizeof *start);
        status = polish(s);
    }
    for (int k = 0; k < WAYS && status == BT_OK && s->evaluated < s->most; k++)
        status = other_way(s, start, &from, start + n, order, &seed);
    bt_free(start);
    bt_free(order);
    return status;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/plan.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/surface/flatness.h"
#include "surface/plan_private.h"

/* An aim that cannot be reached becomes this times the best: at the best itself every
 * line would be wanted. */
#define AS_NEAR 1.25

/* Sets tried in one search at most, fewer where each takes longer; what it stands at
 * then is taken. */
enum { TRIES = 2000, TRIES_PLACES = 80000 };

static bool positive(double value)
{
    return value > 0 && isfinite(value);
}

static enum bt_status check_instrument(const struct bt_plan_request *r, size_t k,
                                       struct bt_error *err)
{
    const struct bt_plan_instrument *i = &r->instrument[k];

    if (!positive(i->u))
        return bt_error_set(
            err, BT_EINPUT, k, 0,
            "the uncertainty of an instrument is not over 0 and finite");
    if (!isnan(i->reach) && !positive(i->reach))
        return bt_error_set(err, BT_EINPUT, k, 0,
                            "the reach of an instrument is not over 0 and finite");
    if (i->kind == BT_PLAN_BAR && isnan(i->reach))
        return bt_error_set(err, BT_EINPUT, k, 0,
                            "how far apart the feet of the bar stand is not known");
    if (i->kind == BT_PLAN_BAR && !(i->reach <= fmin(r->length, r->width)))
        return bt_error_set(err, BT_EINPUT, k, 0,
                            "the feet of the bar stand farther apart than the panel "
                            "is wide");
    return BT_OK;
}

static enum bt_status check(const struct bt_plan_request *r, struct bt_error *err)
{
    bool wanted = false;

    if (r->taken && r->taken->scan)
        return bt_error_set(err, BT_ECALL, 0, 0, "a scan is no readings to add to");
    if (!positive(r->length) || !positive(r->width))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "length and width of the panel are not over 0 and finite");
    if (!positive(r->step) || !(r->same_point >= 0))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the step of the places is not over 0 and finite");
    for (int k = 0; k < BT_PLAN_FIGURES; k++) {
        wanted = wanted || !isnan(r->aim[k]);
        if (!isnan(r->aim[k]) && !positive(r->aim[k]))
            return bt_error_set(err, BT_EINPUT, 0, 0,
                                "an uncertainty wanted is not over 0 and finite");
    }
    if (!wanted)
        return bt_error_set(err, BT_EINPUT, 0, 0, "no figure is wanted");
    if (r->ninstrument == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0, "no instrument to read with");
    for (size_t k = 0; k < r->ninstrument; k++) {
        const enum bt_status status = check_instrument(r, k, err);
        if (status != BT_OK)
            return status;
    }
    return BT_OK;
}

/* ---- one search after another ---- */

struct planning {
    const struct bt_plan_request *request;
    struct bt_plan *out;
    bool *use; /* [ninstrument] */
    struct plan_demand demand;
    double found; /* cost of the plan in out; HUGE_VAL none */
};

/* What is done with each set of instruments over its places. */
typedef enum bt_status visit(struct planning *p, const struct plan_world *world);

static enum bt_status visit_world(struct planning *p, size_t bar, visit *what)
{
    struct plan_world world;
    enum bt_status status = plan_world_build(p->request, p->use, bar, &world);

    if (status == BT_OK && world.noption > 0)
        status = what(p, &world);
    plan_world_clear(&world);
    return status;
}

/* Fractions of the panel, then the places of each bar. */
static enum bt_status visit_worlds(struct planning *p, visit *what)
{
    const size_t n = p->request->ninstrument;
    enum bt_status status = visit_world(p, n, what);

    for (size_t k = 0; k < n && status == BT_OK; k++)
        if (p->use[k] && p->request->instrument[k].kind == BT_PLAN_BAR)
            status = visit_world(p, k, what);
    return status;
}

/* Each instrument by itself, and all together. */
static enum bt_status visit_all(struct planning *p, visit *what)
{
    const size_t n = p->request->ninstrument;
    enum bt_status status = BT_OK;

    for (size_t alone = 0; alone <= n && status == BT_OK; alone++) {
        if (alone == n && n == 1)
            break;
        for (size_t k = 0; k < n; k++)
            p->use[k] = alone == n || k == alone;
        status = visit_worlds(p, what);
    }
    return status;
}

/* Where a search begins. */
enum start {
    MOST,   /* of each family the option with most places */
    FEWEST, /* with fewest */
    NINE,   /* with fewest, if they are corners, middles of sides or the middle */
    STARTS
};

static bool on_nine(const struct plan_world *w, const struct plan_option *o)
{
    for (size_t k = 0; k < o->n; k++) {
        bool found = false;
        for (size_t i = 0; i < 9; i++)
            found =
                found ||
                w->place[o->first + k] ==
                    w->grid[i / 3 * (w->ny - 1) / 2 * w->nx + i % 3 * (w->nx - 1) / 2];
        if (!found)
            return false;
    }
    return true;
}

static bool *begin_with(const struct plan_world *w, enum start start)
{
    bool *chosen = bt_alloc(w->noption, sizeof *chosen);

    for (size_t k = 0; chosen && k < w->noption; k++) {
        chosen[k] = start != NINE || on_nine(w, &w->option[k]);
        for (size_t i = 0; i < w->noption; i++)
            if (w->option[i].family == w->option[k].family &&
                (start == MOST ? w->option[i].n > w->option[k].n
                               : w->option[i].n < w->option[k].n))
                chosen[k] = false;
    }
    return chosen;
}

static enum bt_status find_best(struct planning *p, const struct plan_world *w)
{
    bool *all = begin_with(w, MOST);
    struct plan_figures got;
    enum bt_status status = all ? plan_evaluate(w, all, &got) : BT_ENOMEM;

    for (int k = 0; k < BT_PLAN_FIGURES && status == BT_OK; k++)
        if (!(p->out->figure[k].best <= got.u[k]))
            p->out->figure[k].best = got.u[k];
    p->out->evaluated++;
    bt_free(all);
    return status;
}

static enum bt_status keep(struct planning *p, const struct plan_search *s)
{
    const struct plan_world *w = s->world;
    struct bt_plan_step *step = bt_alloc(w->noption, sizeof *step);
    struct bt_point *place = bt_alloc(w->nplace, sizeof *place);
    struct bt_plan *out = p->out;

    if (!step || !place) {
        bt_free(step);
        bt_free(place);
        return BT_ENOMEM;
    }
    bt_free(out->step);
    bt_free(out->place);
    out->step = step;
    out->place = place;
    out->nstep = out->nplace = out->nreading = 0;
    for (size_t k = 0; k < w->noption; k++) {
        const struct plan_option *o = &w->option[k];
        if (!s->chosen[k])
            continue;
        step[out->nstep++] = (struct bt_plan_step){o->kind, o->instrument, out->nplace,
                                                   o->n, o->nreading};
        for (size_t i = 0; i < o->n; i++)
            place[out->nplace++] = w->point[w->place[o->first + i]];
        out->nreading += o->nreading;
    }
    out->cost = p->found = s->now.cost;
    out->dof = s->now.dof;
    out->checked = s->now.checked;
    for (int k = 0; k < BT_PLAN_FIGURES; k++)
        out->figure[k].after = s->now.u[k];
    return BT_OK;
}

static size_t tries_of(const struct plan_world *w)
{
    const size_t most = TRIES_PLACES / w->npoint;

    return most < TRIES ? most : TRIES;
}

static enum bt_status find_from(struct planning *p, const struct plan_world *w,
                                enum start start)
{
    struct plan_search s = {.world = w, .demand = p->demand, .most = tries_of(w)};
    enum bt_status status;

    s.chosen = begin_with(w, start);
    status = s.chosen ? plan_evaluate(w, s.chosen, &s.now) : BT_ENOMEM;
    if (status == BT_OK && plan_meets(&s.now, &s.demand)) {
        status = plan_search_run(&s);
        if (status == BT_OK && s.now.cost < p->found)
            status = keep(p, &s);
    }
    p->out->evaluated += s.evaluated + 1;
    bt_free(s.chosen);
    return status;
}

static enum bt_status find_plan(struct planning *p, const struct plan_world *w)
{
    enum bt_status status = BT_OK;

    for (int start = 0; start < STARTS && status == BT_OK; start++)
        status = find_from(p, w, (enum start)start);
    return status;
}

/* ---- all of it ---- */

/* u by what was taken alone. */
static enum bt_status find_before(struct planning *p)
{
    const struct bt_plan_request *r = p->request;
    struct plan_world world;
    struct plan_figures got;
    bool none = false;
    enum bt_status status;

    if (!r->taken || !r->taken->nobs)
        return BT_OK;
    for (size_t k = 0; k < r->ninstrument; k++)
        p->use[k] = false;
    status = plan_world_build(r, p->use, r->ninstrument, &world);
    if (status == BT_OK)
        status = plan_evaluate(&world, &none, &got);
    plan_world_clear(&world);
    for (int k = 0; k < BT_PLAN_FIGURES && status == BT_OK; k++)
        p->out->figure[k].before = p->out->figure[k].after = got.u[k];
    if (status == BT_OK)
        p->out->dof = got.dof;
    return status;
}

/* What can be asked for; whether there is anything to do: also where no reading taken
 * checks another. */
static bool set_demand(struct planning *p)
{
    bool open = false;

    for (int k = 0; k < BT_PLAN_FIGURES; k++) {
        const struct bt_plan_expected *f = &p->out->figure[k];
        p->demand.aim[k] = NAN;
        if (!f->wanted || isnan(f->best))
            continue;
        p->demand.aim[k] = f->best <= f->aim ? f->aim : AS_NEAR * f->best;
        open = open || p->out->dof == 0 || !(f->before <= p->demand.aim[k]);
    }
    return open;
}

/* The best of two figures may be had only apart: then each as near as it gets. */
static void come_near(struct planning *p)
{
    for (int k = 0; k < BT_PLAN_FIGURES; k++)
        if (!isnan(p->demand.aim[k]))
            p->demand.aim[k] = fmax(p->demand.aim[k], AS_NEAR * p->out->figure[k].best);
}

static enum bt_status plan_all(struct planning *p)
{
    enum bt_status status = find_before(p);

    if (status == BT_OK)
        status = visit_all(p, find_best);
    for (int k = 0; k < BT_PLAN_FIGURES; k++) /* what there is counts, too */
        if (p->out->figure[k].before < p->out->figure[k].best)
            p->out->figure[k].best = p->out->figure[k].before;
    if (status != BT_OK || !set_demand(p))
        return status;
    for (int relax = 0; relax < 2 && p->found == HUGE_VAL; relax++) {
        if (relax)
            come_near(p);
        for (int checked = 1; checked >= 0 && p->found == HUGE_VAL; checked--) {
            p->demand.checked = checked;
            status = visit_all(p, find_plan);
            if (status != BT_OK)
                return status;
            p->out->sound = checked && p->found < HUGE_VAL;
        }
    }
    return BT_OK;
}

static double surface_u(const struct bt_flatness *f)
{
    double most = 0;

    for (size_t p = 0; p < f->net->npoint; p++)
        if (!(f->u[p] <= most))
            most = f->u[p];
    return most;
}

/* What the whole evaluation makes of the plan as it is walked: lines that are walked
 * back show the odd shape of an edge as well, which then is one more unknown. */
static enum bt_status look_again(const struct bt_plan_request *request,
                                 struct bt_plan *out)
{
    const struct bt_flatness_options size = {.length = request->length,
                                             .width = request->width};
    struct bt_readings readings;
    struct bt_flatness f;
    enum bt_status status;

    if (out->nstep == 0)
        return BT_OK;
    status = bt_plan_readings(request, out, &readings);
    if (status == BT_OK) {
        status = bt_flatness_evaluate(&readings, &size, &f, NULL);
        if (status == BT_OK) {
            out->figure[BT_PLAN_CUP].after = f.form.cup.u;
            out->figure[BT_PLAN_BOW].after = f.form.bow.u;
            out->figure[BT_PLAN_TWIST].after = f.form.twist.u;
            if (out->figure[BT_PLAN_SURFACE].wanted)
                out->figure[BT_PLAN_SURFACE].after = surface_u(&f);
            out->dof = f.net->dof;
        }
        bt_flatness_clear(&f);
    }
    bt_readings_clear(&readings);
    return status;
}

enum bt_status bt_plan_find(const struct bt_plan_request *request, struct bt_plan *out,
                            struct bt_error *err)
{
    struct planning p = {.request = request, .out = out, .found = HUGE_VAL};
    enum bt_status status;

    memset(out, 0, sizeof *out);
    status = check(request, err);
    if (status != BT_OK)
        return status;
    for (int k = 0; k < BT_PLAN_FIGURES; k++)
        out->figure[k] = (struct bt_plan_expected){.wanted = !isnan(request->aim[k]),
                                                   .aim = request->aim[k],
                                                   .before = NAN,
                                                   .after = NAN,
                                                   .best = NAN};
    p.use = bt_alloc(request->ninstrument, sizeof *p.use);
    status = p.use ? plan_all(&p) : BT_ENOMEM;
    bt_free(p.use);
    if (status == BT_OK) {
        plan_walk(request, out);
        status = look_again(request, out);
    }
    if (status != BT_OK)
        return bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    for (int k = 0; k < BT_PLAN_FIGURES; k++)
        out->figure[k].reached =
            out->figure[k].wanted && out->figure[k].after <= out->figure[k].aim;
    return BT_OK;
}

void bt_plan_clear(struct bt_plan *plan)
{
    if (!plan)
        return;
    bt_free(plan->step);
    bt_free(plan->place);
    memset(plan, 0, sizeof *plan);
}

/* ---- the readings of a plan ---- */

static size_t point_of(struct bt_readings *r, const struct bt_point *at)
{
    size_t p = 0;

    while (p < r->npoint && !(r->point[p].x == at->x && r->point[p].y == at->y))
        p++;
    if (p == r->npoint)
        r->point[r->npoint++] = *at;
    return p;
}

static enum bt_status copy_taken(const struct bt_readings *taken,
                                 const struct bt_plan_request *request,
                                 const struct bt_plan *plan, struct bt_readings *out)
{
    static const struct bt_readings none = {0};
    const struct bt_readings *t = taken ? taken : &none;

    memset(out, 0, sizeof *out);
    out->point = bt_alloc(t->npoint + plan->nplace, sizeof *out->point);
    out->obs = bt_alloc(t->nobs + plan->nreading, sizeof *out->obs);
    out->group =
        bt_alloc(t->ngroup + plan->nstep + request->ninstrument, sizeof *out->group);
    if (!out->point || !out->obs || !out->group)
        return BT_ENOMEM;
    if (t->npoint)
        memcpy(out->point, t->point, t->npoint * sizeof *out->point);
    if (t->nobs)
        memcpy(out->obs, t->obs, t->nobs * sizeof *out->obs);
    if (t->ngroup)
        memcpy(out->group, t->group, t->ngroup * sizeof *out->group);
    out->npoint = t->npoint;
    out->nobs = t->nobs;
    out->ngroup = t->ngroup;
    out->slack = t->slack;
    return BT_OK;
}

enum bt_status bt_plan_readings(const struct bt_plan_request *request,
                                const struct bt_plan *plan, struct bt_readings *out)
{
    size_t *place = bt_alloc(plan->nplace, sizeof *place);
    int *zero = bt_alloc(request->ninstrument, sizeof *zero);
    enum bt_status status = copy_taken(request->taken, request, plan, out);

    if (!place || !zero)
        status = BT_ENOMEM;
    for (size_t i = 0; zero && i < request->ninstrument; i++)
        zero[i] = BT_NO_GROUP;
    for (size_t k = 0; k < plan->nstep && status == BT_OK; k++) {
        const struct bt_plan_step *step = &plan->step[k];
        for (size_t i = 0; i < step->n; i++)
            place[i] = point_of(out, &plan->place[step->first + i]);
        status = plan_observe(request, step->kind, step->instrument, step->n, place,
                              zero, out);
    }
    bt_free(place);
    bt_free(zero);
    return status;
}

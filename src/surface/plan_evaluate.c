/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/surface/form.h"
#include "benchtrue/surface/network.h"
#include "surface/loose.h"
#include "surface/plan_private.h"
#include "surface/shared.h"

/* ---- readings of one placement ---- */

static int add_group(struct bt_readings *r, int dim, double straightness, int edge)
{
    r->group[r->ngroup] =
        (struct bt_group){.dim = dim, .straightness = straightness, .instrument = edge};
    return (int)r->ngroup++;
}

static int group_of_zero(const struct bt_plan_instrument *i, int *zero,
                         struct bt_readings *r)
{
    if (i->zero_unknown && *zero == BT_NO_GROUP)
        *zero = add_group(r, 1, NAN, -1);
    return i->zero_unknown ? *zero : BT_NO_GROUP;
}

static struct bt_obs *next(struct bt_readings *r)
{
    return &r->obs[r->nobs++];
}

static enum bt_status observe_line(const struct bt_plan_instrument *i, size_t n,
                                   const size_t place[], struct bt_readings *r)
{
    const struct bt_point *from = &r->point[place[0]], *to = &r->point[place[n - 1]];
    const double dx = to->x - from->x, dy = to->y - from->y, length = hypot(dx, dy);
    const int group = add_group(r, 2, i->straightness, i->edge);
    enum bt_status status = BT_OK;

    r->group[group].own_hollow_u = i->own_hollow_u;
    for (size_t k = 0; k < n && status == BT_OK; k++) {
        const struct bt_point *at = &r->point[place[k]];
        const double s = ((at->x - from->x) * dx + (at->y - from->y) * dy) / length;
        status = bt_obs_gap(next(r), place[k], group, s, length, 0, NULL);
    }
    return status;
}

static enum bt_status observe_setup(const struct bt_plan_instrument *i, size_t n,
                                    const size_t place[], struct bt_readings *r)
{
    const int dim = i->level ? 1 : 3, group = add_group(r, dim, NAN, -1);
    enum bt_status status = BT_OK;

    for (size_t k = 0; k < n && status == BT_OK; k++)
        status = bt_obs_height(next(r), BT_READ_HEIGHT, r->point, place[k], group, dim,
                               0, NULL);
    return status;
}

static enum bt_status observe_chain(const struct bt_plan_instrument *i, size_t n,
                                    const size_t place[], int group,
                                    struct bt_readings *r)
{
    const size_t reach = i->kind == BT_PLAN_BAR ? 2 : 1;
    enum bt_status status = BT_OK;

    for (size_t k = 0; k + reach < n && status == BT_OK; k++)
        status = reach == 2 ? bt_obs_bar(next(r), r->point, place[k], place[k + 1],
                                         place[k + 2], group, 0, NULL)
                            : bt_obs_slope(next(r), r->point, place[k], place[k + 1],
                                           group, 0, NULL);
    return status;
}

enum bt_status plan_observe(const struct bt_plan_request *request,
                            enum bt_plan_kind kind, size_t instrument, size_t n,
                            const size_t place[], int zero_group[],
                            struct bt_readings *r)
{
    const struct bt_plan_instrument *i = &request->instrument[instrument];
    const size_t before = r->nobs;
    enum bt_status status = BT_OK;

    switch (kind) {
    case BT_PLAN_LINE:
        status = observe_line(i, n, place, r);
        break;
    case BT_PLAN_SETUP:
        status = observe_setup(i, n, place, r);
        break;
    case BT_PLAN_BAR:
    case BT_PLAN_LEVEL:
        status =
            observe_chain(i, n, place, group_of_zero(i, &zero_group[instrument], r), r);
        break;
    case BT_PLAN_STICKS:
    case BT_PLAN_KINDS: {
        const double over = fabs(r->point[place[1]].y - r->point[place[0]].y);
        status = bt_obs_wind(next(r), r->point, place, i->reach > 0 ? i->reach : over,
                             0, NULL);
        break;
    }
    }
    for (size_t k = before; k < r->nobs; k++)
        r->obs[k].u = i->u;
    return status;
}

/* ---- readings of a set of placements ---- */

static enum bt_status take_room(const struct plan_world *w, const bool chosen[],
                                struct bt_readings *out)
{
    const struct bt_readings *taken = w->request->taken;
    size_t nobs = taken ? taken->nobs : 0;
    size_t ngroup = (taken ? taken->ngroup : 0) + w->request->ninstrument;

    for (size_t k = 0; k < w->noption; k++)
        if (chosen[k]) {
            nobs += w->option[k].nreading;
            ngroup++;
        }
    memset(out, 0, sizeof *out);
    out->point = bt_alloc(w->npoint, sizeof *out->point);
    out->obs = bt_alloc(nobs, sizeof *out->obs);
    out->group = bt_alloc(ngroup, sizeof *out->group);
    if (!out->point || !out->obs || !out->group)
        return BT_ENOMEM;
    memcpy(out->point, w->point, w->npoint * sizeof *out->point);
    out->npoint = w->npoint;
    if (taken && taken->nobs) {
        memcpy(out->obs, taken->obs, taken->nobs * sizeof *out->obs);
        if (taken->ngroup)
            memcpy(out->group, taken->group, taken->ngroup * sizeof *out->group);
        out->nobs = taken->nobs;
        out->ngroup = taken->ngroup;
        out->slack = taken->slack;
    }
    return BT_OK;
}

enum bt_status plan_assemble(const struct plan_world *w, const bool chosen[],
                             struct bt_readings *out)
{
    int *zero = bt_alloc(w->request->ninstrument, sizeof *zero);
    enum bt_status status = take_room(w, chosen, out);

    if (!zero)
        status = BT_ENOMEM;
    for (size_t i = 0; zero && i < w->request->ninstrument; i++)
        zero[i] = BT_NO_GROUP;
    for (size_t k = 0; k < w->noption && status == BT_OK; k++) {
        const struct plan_option *o = &w->option[k];
        if (chosen[k])
            status = plan_observe(w->request, o->kind, o->instrument, o->n,
                                  w->place + o->first, zero, out);
    }
    bt_free(zero);
    return status;
}

/* ---- what they would give ---- */

/* Readings cut down to those that count, as bt_flatness_evaluate takes them. */
struct cut {
    struct bt_readings all;  /* without places that nothing reads */
    struct bt_readings used; /* without readings that hang loose */
    bool *loose;
    size_t *from;
    size_t nloose; /* of the plan */
};

static void cut_clear(struct cut *c)
{
    bt_readings_clear(&c->all);
    bt_readings_clear(&c->used);
    bt_free(c->loose);
    bt_free(c->from);
}

static enum bt_status cut_make(const struct bt_readings *full, size_t ntaken,
                               struct cut *c)
{
    enum bt_status status = BT_ENOMEM;
    size_t n;

    c->loose = bt_alloc(full->nobs, sizeof *c->loose);
    c->from = bt_alloc(full->nobs, sizeof *c->from);
    if (c->loose && c->from)
        status = bt_loose_leave_out(full, c->loose, &c->all, c->from);
    if (status == BT_OK)
        status = bt_loose_find(&c->all, c->loose, &n);
    if (status == BT_OK)
        status = bt_loose_leave_out(&c->all, c->loose, &c->used, c->from);
    for (size_t i = ntaken; status == BT_OK && i < full->nobs; i++)
        c->nloose += c->loose[i];
    return status;
}

static enum bt_status share_edges(const struct bt_readings *r, struct bt_network *net)
{
    double *dy = bt_alloc(r->nobs, sizeof *dy);
    enum bt_status status = dy ? BT_OK : BT_ENOMEM;
    size_t group = 0;

    while (status == BT_OK && bt_shared_next(r, &group, dy))
        status = bt_network_share(net, dy);
    bt_free(dy);
    return status == BT_OK ? bt_network_alike(net) : status;
}

static bool read_near(const struct bt_readings *r, double x, double y)
{
    for (size_t p = 0; p < r->npoint; p++)
        if (hypot(r->point[p].x - x, r->point[p].y - y) <= 1e-6)
            return true;
    return false;
}

/* Whether the station column/half of the way along and row/half of the way across is
 * read: 0, 1 or 2. */
static bool read_at(const struct plan_world *w, const struct bt_readings *r,
                    size_t column, size_t row)
{
    const struct bt_point *p =
        &w->point[w->grid[row * (w->ny - 1) / 2 * w->nx + column * (w->nx - 1) / 2]];

    return read_near(r, p->x, p->y);
}

/* Corners, middles of the sides and the middle. */
static bool covers(const struct plan_world *w, const struct bt_readings *r)
{
    for (size_t row = 0; row < 3; row++)
        for (size_t column = 0; column < 3; column++)
            if (!read_at(w, r, column, row))
                return false;
    return true;
}

static void note_places(const struct plan_world *w, const struct bt_readings *all,
                        struct plan_figures *out)
{
    out->covers = covers(w, all);
    out->corners = read_at(w, all, 0, 0) && read_at(w, all, 2, 0) &&
                   read_at(w, all, 0, 2) && read_at(w, all, 2, 2);
}

static enum bt_status surface_u(const struct bt_readings *r,
                                const struct bt_network *net, double *out)
{
    double *z = bt_alloc(2 * r->npoint, sizeof *z);
    double *u = z ? z + r->npoint : NULL;
    enum bt_status status = z ? bt_network_heights(net, z, u, NULL) : BT_ENOMEM;

    if (status == BT_OK) {
        *out = 0;
        for (size_t p = 0; p < r->npoint; p++)
            if (!(u[p] <= *out))
                *out = u[p];
    }
    bt_free(z);
    return status;
}

static void count_checked(const struct cut *c, const struct bt_network *net,
                          size_t ntaken, struct plan_figures *out)
{
    for (size_t i = 0; i < c->used.nobs; i++)
        if (c->from[i] >= ntaken)
            out->checked += net->redundancy[i] >= BT_PLAN_CHECKED;
}

static enum bt_status figures_of(const struct plan_world *w, const struct cut *c,
                                 size_t ntaken, struct plan_figures *out)
{
    const struct bt_rectangle panel = {0, 0, w->request->length, w->request->width};
    struct bt_network *net = NULL;
    struct bt_form form;
    enum bt_status status = bt_network_adjust(&c->used, &net, NULL);

    if (status == BT_OK)
        status = share_edges(&c->used, net);
    if (status == BT_OK)
        status = bt_form_fit(&c->all, net, &panel, &form, NULL);
    if (status == BT_OK) {
        out->u[BT_PLAN_CUP] = form.cup.u;
        out->u[BT_PLAN_BOW] = form.bow.u;
        out->u[BT_PLAN_TWIST] = form.twist.u;
        out->dof = net->dof;
        out->firm = !net->weak;
        note_places(w, &c->all, out);
        count_checked(c, net, ntaken, out);
    }
    if (status == BT_OK && !isnan(w->request->aim[BT_PLAN_SURFACE]))
        status = surface_u(&c->used, net, &out->u[BT_PLAN_SURFACE]);
    bt_network_free(net);
    return status;
}

/* Whether each set-up has three places that another placement reads, too. */
static bool setups_share(const struct plan_world *w, const struct bt_readings *r)
{
    for (size_t g = 0; g < r->ngroup; g++) {
        size_t shared = 0;
        if (r->group[g].dim == 2)
            continue;
        for (size_t i = 0; i < r->nobs; i++) {
            bool other = false;
            if (r->obs[i].group != (int)g || r->obs[i].kind != BT_READ_HEIGHT)
                continue;
            for (size_t j = 0; j < r->nobs && !other; j++)
                for (int k = 0; k < r->obs[j].npoint; k++)
                    other = other || (r->obs[j].group != (int)g &&
                                      r->obs[j].point[k] == r->obs[i].point[0]);
            shared += other;
        }
        for (size_t i = 0; i < r->nobs && shared < 3; i++)
            if (r->obs[i].group == (int)g && r->obs[i].kind == BT_READ_HEIGHT &&
                g >= (w->request->taken ? w->request->taken->ngroup : 0))
                return false;
    }
    return true;
}

enum bt_status plan_evaluate(const struct plan_world *w, const bool chosen[],
                             struct plan_figures *out)
{
    /* a compound literal would be writable data where nothing is optimised */
    static const struct plan_figures none = {.u = {NAN, NAN, NAN, NAN}};
    const size_t ntaken = w->request->taken ? w->request->taken->nobs : 0;
    struct bt_readings full;
    struct cut cut = {0};
    enum bt_status status;

    *out = none;
    for (size_t k = 0; k < w->noption; k++)
        if (chosen[k]) {
            out->cost += w->option[k].cost;
            out->nreading += w->option[k].nreading;
        }
    if (out->nreading + ntaken == 0)
        return BT_OK;
    status = plan_assemble(w, chosen, &full);
    if (status == BT_OK)
        status = cut_make(&full, ntaken, &cut);
    if (status == BT_OK) {
        out->shares = cut.nloose == 0 && setups_share(w, &cut.used);
        status = figures_of(w, &cut, ntaken, out);
    }
    if (status == BT_ESINGULAR) /* all on one line */
        status = BT_OK;
    cut_clear(&cut);
    bt_readings_clear(&full);
    return status;
}

/* What is reckoned from a patch of the panel to its edges, or from one line, leans on
 * the form alone. */
static bool reaches(const struct plan_figures *f, const struct plan_demand *demand)
{
    for (int k = 0; k < BT_PLAN_FIGURES; k++)
        if (k != BT_PLAN_TWIST && !isnan(demand->aim[k]))
            return f->covers;
    return f->corners;
}

bool plan_meets(const struct plan_figures *f, const struct plan_demand *demand)
{
    for (int k = 0; k < BT_PLAN_FIGURES; k++)
        if (!isnan(demand->aim[k]) && !(f->u[k] <= demand->aim[k]))
            return false;
    if (!f->firm || !reaches(f, demand) || !demand->checked)
        return f->firm && reaches(f, demand);
    return f->shares && f->dof >= 2 && 2 * f->checked >= f->nreading;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/own_weight.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/judge/sag.h"
#include "benchtrue/wood/wood.h"

/* That of the panel, else that of all boards; "" where they differ or none is stated.
 */
static const char *species_of(const struct bt_job *job)
{
    const char *common = job->nboard ? job->board[0].species : NULL;

    if (job->panel.species && *job->panel.species)
        return job->panel.species;
    for (size_t b = 1; common && b < job->nboard; b++)
        if (!job->board[b].species || strcmp(job->board[b].species, common) != 0)
            common = NULL;
    return common ? common : "";
}

/* Values of the strip that bends; false where the tables lack them. */
static bool take_wood(const struct bt_wood *wood, bool across, struct bt_own_weight *w)
{
    struct bt_wood_value e = wood->moe;

    if (across) {
        const struct bt_wood_value *t = &wood->e_tangential, *r = &wood->e_radial;
        e.value = (t->value + r->value) / 2;
        e.u = hypot(hypot(t->u, r->u) / 2, (r->value - t->value) / 2 / sqrt(3));
    }
    if (!(e.value > 0) || !(wood->density.value > 0))
        return false;
    w->E = e.value;
    w->density = wood->density.value;
    w->u = hypot(e.u / e.value, wood->density.u / wood->density.value);
    return true;
}

/* Which key is missing to know the sag; NULL: none.  *status: no memory. */
static const char *find_wood(const struct bt_job *job, bool across,
                             struct bt_own_weight *w, enum bt_status *status)
{
    const char *species = species_of(job);
    struct bt_wood wood;

    if (!(job->panel.thickness > 0))
        return "thickness in [panel]";
    if (!((across ? job->panel.width : job->panel.length) > 0))
        return across ? "width in [panel]" : "length in [panel]";
    if (!*species)
        return "species in [panel]";
    *status = bt_wood_find(species, strlen(species), &wood, NULL);
    if (*status == BT_EINPUT)
        *status = BT_OK; /* a name that the tables do not know */
    else if (*status == BT_OK && take_wood(&wood, across, w))
        return NULL;
    return "a species in [panel] whose stiffness is known";
}

static enum bt_status compute(const struct bt_job *job, const struct bt_set *set,
                              struct bt_own_weight *w, struct bt_error *err)
{
    const struct bt_readings *r = &set->readings;
    const bool across = set->lying.lying == BT_LYING_ALONG;
    const struct bt_sag_request request = {across ? job->panel.width
                                                  : job->panel.length,
                                           job->panel.thickness,
                                           w->E,
                                           w->density,
                                           set->lying.n,
                                           set->lying.at};
    double *at = bt_mem_resize(NULL, (r->npoint + 1) * sizeof *at);
    enum bt_status status = BT_ENOMEM;

    w->sag = bt_mem_resize(NULL, (r->npoint + 1) * sizeof *w->sag);
    for (size_t p = 0; at && p < r->npoint; p++) /* a place may lie beyond the edge */
        at[p] = fmin(request.length, fmax(0, across ? r->point[p].y : r->point[p].x));
    if (at && w->sag)
        status = bt_sag_heights(&request, r->npoint, at, w->sag, err);
    for (size_t p = 0; status == BT_OK && p < r->npoint; p++)
        w->deepest = fmax(w->deepest, -w->sag[p]);
    bt_free(at);
    return status;
}

/* What it would be between its ends, along the grain, where that is known. */
static enum bt_status find_most(const struct bt_job *job, struct bt_own_weight *w)
{
    struct bt_own_weight along = *w;
    enum bt_status status = BT_OK;

    if (find_wood(job, false, &along, &status))
        return status;
    w->most =
        bt_sag_most(job->panel.length, job->panel.thickness, along.E, along.density);
    bt_sag_least(job->panel.length, job->panel.thickness, along.E, along.density,
                 w->best);
    return BT_OK;
}

static bool could_matter(const struct bt_job *job, const struct bt_own_weight *w)
{
    const double *limit = job->limits.limit;
    const double least =
        fmin(limit[BT_FIGURE_BOW], fmin(limit[BT_FIGURE_RANGE], limit[BT_FIGURE_ZONE]));

    /* fmin passes NaN over: NaN only where none is limited */
    return !isnan(least) && !(w->most <= BT_WEIGHT_SHARE * least);
}

enum bt_status bt_own_weight_find(const struct bt_job *job, const struct bt_set *set,
                                  struct bt_own_weight *out, struct bt_error *err)
{
    const enum bt_lying lying = set->lying.lying;
    enum bt_status status;

    *out = (struct bt_own_weight){.state = BT_WEIGHT_NONE,
                                  .missing = "",
                                  .E = NAN,
                                  .density = NAN,
                                  .u = NAN,
                                  .most = NAN,
                                  .best = {NAN, NAN}};
    status = find_most(job, out);
    if (status == BT_OK && lying == BT_LYING_UNKNOWN) {
        out->state = BT_WEIGHT_NOT_STATED;
        out->matters = could_matter(job, out);
    } else if (status == BT_OK &&
               (lying == BT_LYING_ACROSS || lying == BT_LYING_ALONG)) {
        const char *missing = find_wood(job, lying == BT_LYING_ALONG, out, &status);
        out->state = missing ? BT_WEIGHT_MISSING : BT_WEIGHT_TAKEN_OFF;
        out->missing = missing ? missing : "";
        out->matters = missing && could_matter(job, out);
        if (!missing && status == BT_OK)
            status = compute(job, set, out, err);
    }
    if (status == BT_ENOMEM)
        bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    return status;
}

void bt_own_weight_clear(struct bt_own_weight *weight)
{
    if (!weight)
        return;
    bt_free(weight->sag);
    memset(weight, 0, sizeof *weight);
}

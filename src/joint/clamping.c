/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/joint/clamping.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/joint/rules.h"
#include "joint/stages.h"

/* A number of clamps beyond this is a slip in a unit. */
#define MOST_CLAMPS 1e6

static const double pi = 3.14159265358979323846;

static bool above_zero(double value)
{
    return value > 0.0 && isfinite(value);
}

static bool zero_or_above(double value)
{
    return value >= 0.0 && isfinite(value);
}

double bt_pressure_of_density(double density)
{
    double low = bt_joint_rule(BT_RULE_DENSITY_LIGHTEST)->value,
           high = bt_joint_rule(BT_RULE_DENSITY_HEAVIEST)->value;
    double least = bt_joint_rule(BT_RULE_PRESSURE_LIGHTEST)->value,
           most = bt_joint_rule(BT_RULE_PRESSURE_HEAVIEST)->value;

    if (density <= low)
        return least;
    if (density >= high)
        return most;
    return least + (most - least) * ((density - low) / (high - low));
}

/* ---- the request ---- */

static const char *fault_of(const struct bt_clamping_request *r)
{
    if (r->nboard < 2)
        return "fewer than 2 boards have no joint to glue";
    if (!above_zero(r->length))
        return "the length of the panel must be a number above 0";
    if (!above_zero(r->thickness))
        return "the thickness of the panel must be a number above 0";
    if (!isnan(r->pressure) && !above_zero(r->pressure))
        return "the pressure must be a number above 0";
    if (!(isnan(r->density) && !isnan(r->pressure)) && !above_zero(r->density))
        return "the density must be a number above 0";
    if (!isnan(r->E_across) && !above_zero(r->E_across))
        return "the stiffness across the grain must be a number above 0";
    if (!zero_or_above(r->caul))
        return "the width of the caul must be a number of 0 or more";
    if (!above_zero(r->open_time))
        return "the open time must be a number above 0";
    if (!zero_or_above(r->spread_time) || !zero_or_above(r->place_time))
        return "the times to spread a joint and to set a clamp must be numbers of 0 or "
               "more";
    return NULL;
}

static const char *kind_fault(const struct bt_clamp_kind *kind)
{
    if (kind->count == 0)
        return "there must be one clamp of a kind at least";
    if (!isnan(kind->force) && !above_zero(kind->force))
        return "the force of a clamp must be a number above 0";
    if (!isnan(kind->opening) && !above_zero(kind->opening))
        return "the opening of a clamp must be a number above 0";
    if (!isnan(kind->offset) && !zero_or_above(kind->offset))
        return "the offset of a screw line must be a number of 0 or more";
    if (!zero_or_above(kind->pad))
        return "the jaw of a clamp must have a width of 0 or more";
    return NULL;
}

static enum bt_status check(const struct bt_clamping_request *r, struct bt_error *err)
{
    const char *fault = fault_of(r);

    if (fault)
        return bt_error_set(err, BT_EINPUT, 0, 0, "%s", fault);
    for (size_t i = 0; i < r->nboard; i++)
        if (!above_zero(r->width[i]))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "the width of board %zu must be a number above 0",
                                i + 1);
    for (size_t i = 0; i < r->nkind; i++) {
        fault = kind_fault(&r->kind[i]);
        if (fault)
            return bt_error_set(err, BT_EINPUT, i, 0, "%s (kind %zu)", fault, i + 1);
    }
    return BT_OK;
}

/* ---- number of clamps ---- */

struct work {
    const struct bt_clamping_request *r;
    struct bt_clamping plan;
    double width;   /* of the panel */
    size_t nusable; /* kinds that take the panel */
    size_t *usable; /* [nkind] the strongest first, not known last */
    size_t owned;   /* clamps of those kinds */
};

static bool stronger(const struct bt_clamp_kind *a, const struct bt_clamp_kind *b)
{
    return isnan(b->force) ? !isnan(a->force) : a->force > b->force;
}

/* Saturates: what is needed is bounded. */
static size_t sum_of(size_t a, size_t b)
{
    return b > SIZE_MAX - a ? SIZE_MAX : a + b;
}

static void sort_kinds(struct work *w)
{
    const struct bt_clamp_kind *kind = w->r->kind;

    w->plan.opening_needed = w->width + 2.0 * w->r->caul;
    for (size_t i = 0; i < w->r->nkind; i++) {
        size_t k = w->nusable;

        /* a NaN opening takes any */
        if (kind[i].opening < w->plan.opening_needed) {
            w->plan.too_short = sum_of(w->plan.too_short, kind[i].count);
            continue;
        }
        for (; k > 0 && stronger(&kind[i], &kind[w->usable[k - 1]]); k--)
            w->usable[k] = w->usable[k - 1];
        w->usable[k] = i;
        w->nusable++;
        w->owned = sum_of(w->owned, kind[i].count);
    }
}

/* From the strongest down; what their force does not reach by more of the strongest.
 * NaN where no force is known. */
static double number_by_force(const struct work *w)
{
    const struct bt_clamp_kind *kind = w->r->kind;
    double left = w->plan.force_joint, number = 0.0;

    if (w->nusable == 0 || isnan(kind[w->usable[0]].force))
        return NAN;
    for (size_t i = 0; i < w->nusable && left > 0.0; i++) {
        const struct bt_clamp_kind *k = &kind[w->usable[i]];
        /* a share of 1e-9 of a clamp is rounding */
        double wanted = ceil(left / k->force - 1e-9), count = (double)k->count;

        if (isnan(k->force))
            break;
        number += fmin(wanted, count);
        left = wanted <= count ? 0.0 : left - count * k->force;
    }
    if (left > 0.0)
        number += ceil(left / kind[w->usable[0]].force - 1e-9);
    return number;
}

static double least_pad(const struct work *w)
{
    double pad = w->nusable ? INFINITY : 0.0;

    for (size_t i = 0; i < w->nusable; i++)
        pad = fmin(pad, w->r->kind[w->usable[i]].pad);
    return pad;
}

static enum bt_status find_number(struct work *w, struct bt_error *err)
{
    const struct bt_clamping_request *r = w->r;
    struct bt_clamping *plan = &w->plan;
    double outer = fmin(r->width[0], r->width[r->nboard - 1]);
    double by_spread, by_force = number_by_force(w);

    plan->spacing_spread = 2.0 * (outer + r->caul) + least_pad(w);
    by_spread = ceil(r->length / plan->spacing_spread - 1e-9);
    /* a NaN force limits nothing */
    if (!(by_spread <= MOST_CLAMPS) || by_force > MOST_CLAMPS)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "more than a million clamps would be needed");
    plan->needed_spread = by_spread < 1.0 ? 1 : (size_t)by_spread;
    plan->needed_force = isnan(by_force) ? 0 : (size_t)by_force;
    plan->spacing_force = r->length / by_force;
    plan->needed = plan->needed_force > plan->needed_spread ? plan->needed_force
                                                            : plan->needed_spread;
    plan->nplace = plan->needed < w->owned ? plan->needed : w->owned;
    plan->shortfall = plan->needed - plan->nplace;
    return BT_OK;
}

/* Of the strongest n: those owned, then as of the strongest. */
static double force_of(const struct work *w, size_t n)
{
    const struct bt_clamp_kind *kind = w->r->kind;
    double force = 0.0;

    if (w->nusable == 0)
        return NAN;
    for (size_t i = 0; i < w->nusable && n > 0; i++) {
        const struct bt_clamp_kind *k = &kind[w->usable[i]];
        size_t count = k->count < n ? k->count : n;

        force += (double)count * k->force;
        n -= count;
    }
    return n ? force + (double)n * kind[w->usable[0]].force : force;
}

/* What the open time leaves of the number needed, whoever owns them: a maker who
 * borrows what is missing should not learn of it afterwards. */
static void find_in_time(struct work *w)
{
    const struct bt_clamping_request *r = w->r;
    struct bt_clamping *plan = &w->plan;
    double left = r->open_time - r->spread_time, number = (double)plan->needed;

    plan->minutes_needed = r->spread_time + number * r->place_time;
    if (plan->minutes_needed > r->open_time)
        number = fmin(number, fmax(0.0, floor(left / r->place_time + 1e-9)));
    plan->in_time = (size_t)number;
    plan->pressure_in_time = force_of(w, plan->in_time) / (r->thickness * r->length);
}

/* ---- where they stand ---- */

/* The i-th strongest stands i-th from the middle: the middle, then one to the right of
 * it, one to the left, and so on. */
static size_t from_middle(size_t n, size_t i)
{
    size_t middle = (n - 1) / 2;

    return i % 2 == 1 ? middle + (i + 1) / 2 : middle - i / 2;
}

static bool place(struct work *w)
{
    struct bt_clamping *plan = &w->plan;
    size_t n = plan->nplace, used = 0, of = 0;

    plan->place = bt_alloc(n, sizeof *plan->place);
    if (!plan->place)
        return false;
    plan->spacing = n ? w->r->length / (double)n : NAN;
    plan->end_distance = plan->spacing / 2.0;
    plan->caul_spread =
        n ? w->r->caul + fmax(0.0, plan->spacing - plan->spacing_spread) / 2.0 : NAN;
    for (size_t i = 0; i < n; i++) {
        plan->place[i].x = ((double)i + 0.5) * plan->spacing;
        plan->place[i].above = i % 2 == 1;
    }
    for (size_t i = 0; i < n; i++, used++) {
        for (; used == w->r->kind[w->usable[of]].count; of++)
            used = 0;
        plan->place[from_middle(n, i)].kind = w->usable[of];
    }
    return true;
}

/* ---- force, moment, cup ---- */

static double offset_of(const struct bt_clamp_kind *kind)
{
    return isnan(kind->offset) ? 0.0 : kind->offset;
}

/* Per mm of length. */
static double inertia_of(const struct work *w)
{
    double t = w->r->thickness;

    return t * t * t / 12.0;
}

/* A screw line under the middle shortens the bottom: crowned on top. */
static double cup_of(const struct work *w, double moment)
{
    return moment / (w->r->E_across * inertia_of(w)) * (w->width * w->width / 8.0);
}

static void find_forces(struct work *w)
{
    const struct bt_clamping_request *r = w->r;
    struct bt_clamping *plan = &w->plan;
    double sum = 0.0, one_side = 0.0, both_sides = 0.0;

    for (size_t i = 0; i < plan->nplace; i++) {
        const struct bt_clamp_kind *kind = &r->kind[plan->place[i].kind];
        double moment = kind->force * offset_of(kind);

        sum += kind->force;
        one_side += moment;
        both_sides += plan->place[i].above ? -moment : moment;
    }
    /* without a clamp stated nothing is known of any */
    if (r->nkind == 0)
        sum = one_side = both_sides = NAN;
    plan->force_reached = sum;
    plan->pressure_reached = sum / (r->thickness * r->length);
    plan->moment = one_side / r->length;
    plan->cup_clamped = cup_of(w, plan->moment);
    plan->cup_alternating = cup_of(w, both_sides / r->length);
    plan->buckling = plan->force_joint * w->width * w->width /
                     (pi * pi * r->E_across * inertia_of(w) * r->length);
}

static bool computable(const struct bt_clamping *plan)
{
    return above_zero(plan->force_joint) && !isinf(plan->force_reached) &&
           !isinf(plan->cup_clamped) && !isinf(plan->buckling) &&
           above_zero(plan->spacing_spread);
}

/* ---- all of it ---- */

static enum bt_status no_memory(struct bt_error *err)
{
    return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

static enum bt_status too_large(struct bt_error *err)
{
    return bt_error_set(err, BT_EINPUT, 0, 0,
                        "the numbers are too large or too small to compute with");
}

static enum bt_status find(struct work *w, struct bt_error *err)
{
    const struct bt_clamping_request *r = w->r;
    struct bt_clamping *plan = &w->plan;
    size_t set, sets;
    enum bt_status status;

    plan->pressure_least = bt_joint_rule(BT_RULE_PRESSURE_LIGHTEST)->value;
    plan->pressure_most = bt_joint_rule(BT_RULE_PRESSURE_HEAVIEST)->value;
    plan->pressure =
        isnan(r->pressure) ? bt_pressure_of_density(r->density) : r->pressure;
    plan->force_joint = plan->pressure * r->thickness * r->length;
    if (!above_zero(plan->force_joint) || !isfinite(w->width))
        return too_large(err);
    sort_kinds(w);
    status = find_number(w, err);
    if (status != BT_OK)
        return status;
    find_in_time(w);
    if (!place(w))
        return no_memory(err);
    find_forces(w);
    if (!computable(plan))
        return too_large(err);
    set = plan->nplace ? plan->nplace : plan->needed;
    sets = r->nkind == 0 ? r->nboard : w->owned / set;
    return bt_stages_plan(r, set, sets ? sets : 1, plan) ? BT_OK : no_memory(err);
}

enum bt_status bt_clamping_plan(const struct bt_clamping_request *request,
                                struct bt_clamping *plan, struct bt_error *err)
{
    struct work w = {.r = request};
    enum bt_status status = check(request, err);

    if (status != BT_OK)
        return status;
    for (size_t i = 0; i < request->nboard; i++)
        w.width += request->width[i];
    w.usable = bt_alloc(request->nkind, sizeof *w.usable);
    status = w.usable ? find(&w, err) : no_memory(err);
    bt_free(w.usable);
    if (status == BT_OK)
        *plan = w.plan;
    else
        bt_clamping_clear(&w.plan);
    return status;
}

void bt_clamping_clear(struct bt_clamping *plan)
{
    if (!plan)
        return;
    bt_free(plan->place);
    bt_free(plan->stage);
    bt_free(plan->order);
    memset(plan, 0, sizeof *plan);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/stages.h"

#include <math.h>

#include "benchtrue/base/alloc.h"

/* Joints that are glued in one go, and after how many others of their part. */
struct assembly {
    size_t first, count, level;
};

struct split {
    const struct bt_clamping_request *request;
    struct bt_clamping *plan;
    double clamping; /* minutes for the clamps of one assembly */
    size_t sets;     /* assemblies that can be clamped at one time */
    size_t most;     /* joints in one go */
    size_t norder;   /* joints that are in the plan's order */
    size_t n;
    struct assembly *assembly; /* of each at most one joint less than there are */
    size_t *left;              /* joints not glued yet, ascending */
};

/* Levels of a part of so many joints: its two halves come before it. */
static size_t level_of(size_t joints, size_t most)
{
    size_t level = 0;

    /* the larger half decides: joints / 2 of them */
    for (; joints > most; joints /= 2)
        level++;
    return level;
}

/* Depth is that of halving: the stack is safe. */
static void part(struct split *split, size_t first, size_t count)
{
    size_t middle = first + count / 2;

    if (count == 0)
        return;
    if (count <= split->most) {
        split->assembly[split->n++] = (struct assembly){first, count, 0};
        return;
    }
    part(split, first, middle - first);
    part(split, middle + 1, first + count - middle - 1);
    split->assembly[split->n++] =
        (struct assembly){middle, 1, level_of(count, split->most)};
}

/* Whether so many joints can be spread and clamped in the open time. */
static bool in_time(const struct bt_clamping_request *r, size_t joints, double clamping)
{
    return (double)joints * r->spread_time + clamping <= r->open_time;
}

/* The most joints in one go; what the maker wants, and one in any case. */
static size_t most_of(const struct bt_clamping_request *r, double clamping)
{
    size_t low = 1, high = r->nboard - 1;

    if (r->most_joints && r->most_joints < high)
        high = r->most_joints;
    while (low < high) {
        size_t middle = low + (high - low + 1) / 2;

        if (in_time(r, middle, clamping))
            low = middle;
        else
            high = middle - 1;
    }
    return low;
}

static void begin_stage(const struct split *split)
{
    struct bt_clamping *plan = split->plan;

    plan->stage[plan->nstage++] = (struct bt_stage){.first = split->norder};
}

/* Into the stage begun last. */
static void add_assembly(struct split *split, const size_t joint[], size_t count)
{
    struct bt_clamping *plan = split->plan;
    struct bt_stage *stage = &plan->stage[plan->nstage - 1];

    stage->minutes = fmax(stage->minutes, (double)count * split->request->spread_time +
                                              split->clamping);
    stage->assemblies++;
    for (size_t k = 0; k < count; k++)
        plan->order[split->norder++] = joint[k];
    stage->count = split->norder - stage->first;
}

/* ---- halves first ---- */

/* Assemblies of one level from the back, as many a stage as there are clamps for. */
static void take_level(struct split *split, size_t level)
{
    size_t in_stage = split->sets;

    for (size_t i = 0; i < split->n; i++) {
        const struct assembly *a = &split->assembly[i];

        if (a->level != level)
            continue;
        if (in_stage == split->sets) {
            begin_stage(split);
            in_stage = 0;
        }
        add_assembly(split, &split->left[a->first], a->count);
        in_stage++;
    }
}

static size_t stages_of_halves(const struct split *split, size_t top)
{
    size_t stages = 0;

    for (size_t level = 0; level <= top; level++) {
        size_t n = 0;

        for (size_t i = 0; i < split->n; i++)
            n += split->assembly[i].level == level ? 1 : 0;
        stages += n / split->sets + (n % split->sets ? 1 : 0);
    }
    return stages;
}

/* ---- fewest stages ---- */

/* Joints of one stage, of so many not glued yet, in so many assemblies: between two
 * assemblies a joint must wait, or they would be one. */
static size_t joints_in(const struct split *split, size_t left, size_t assemblies)
{
    const size_t open = left - (assemblies - 1);

    /* by division: the product may not fit */
    return open / assemblies < split->most ? open : assemblies * split->most;
}

/* The number of assemblies that glues most.  Gluing most leaves fewest, and where fewer
 * are left no more stages follow: which they are matters nothing, since what is glued
 * is one part. */
static size_t assemblies_of(const struct split *split, size_t left)
{
    size_t full = (left + 1) / (split->most + 1), best = 1;

    if (full > split->sets)
        full = split->sets;
    if (full > best)
        best = full;
    /* one more, not filled, may still glue more */
    if (best < split->sets && best + 1 <= left / 2 + left % 2 &&
        joints_in(split, left, best + 1) > joints_in(split, left, best))
        best++;
    return best;
}

static size_t fewest_stages(const struct split *split, size_t left)
{
    size_t stages = 0;

    for (; left > 0; stages++)
        left -= joints_in(split, left, assemblies_of(split, left));
    return stages;
}

/* From the back edge on; returns how many joints are left. */
static size_t take_stage(struct split *split, size_t left)
{
    const size_t assemblies = assemblies_of(split, left);
    const size_t joints = joints_in(split, left, assemblies);
    size_t at = 0, kept = 0;

    begin_stage(split);
    for (size_t k = 0; k < assemblies; k++) {
        /* the first ones have one more where they do not come out even */
        const size_t count = joints / assemblies + (k < joints % assemblies ? 1 : 0);

        add_assembly(split, &split->left[at], count);
        at += count;
        if (at < left)
            split->left[kept++] = split->left[at++];
    }
    while (at < left)
        split->left[kept++] = split->left[at++];
    return kept;
}

/* ---- all of it ---- */

static void take_all(struct split *split, size_t njoint)
{
    const size_t top = level_of(njoint, split->most);

    for (size_t i = 0; i < njoint; i++)
        split->left[i] = i;
    part(split, 0, njoint);
    if (stages_of_halves(split, top) <= fewest_stages(split, njoint)) {
        for (size_t level = 0; level <= top; level++)
            take_level(split, level);
        return;
    }
    for (size_t left = njoint; left > 0;)
        left = take_stage(split, left);
}

bool bt_stages_plan(const struct bt_clamping_request *request, size_t clamps,
                    size_t sets, struct bt_clamping *plan)
{
    const size_t njoint = request->nboard - 1;
    const double clamping = (double)clamps * request->place_time;
    struct split split = {.request = request,
                          .plan = plan,
                          .clamping = clamping,
                          .sets = sets,
                          .most = most_of(request, clamping)};

    plan->order = bt_alloc(njoint, sizeof *plan->order);
    plan->stage = bt_alloc(njoint, sizeof *plan->stage);
    split.assembly = bt_alloc(njoint, sizeof *split.assembly);
    split.left = bt_alloc(njoint, sizeof *split.left);
    if (plan->order && plan->stage && split.assembly && split.left) {
        plan->open_time_short = !in_time(request, 1, clamping);
        take_all(&split, njoint);
    }
    bt_free(split.left);
    bt_free(split.assembly);
    return split.norder == njoint;
}

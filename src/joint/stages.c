/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/stages.h"

#include <math.h>

#include "benchtrue/base/alloc.h"

/* Joints that are glued in one go, and after how many others of their part. */
struct assembly {
    size_t first, count, level;
};

struct split {
    size_t most; /* joints in one go */
    size_t n;
    struct assembly *assembly; /* of each at most one joint less than there are */
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

static void begin_stage(struct bt_clamping *plan, size_t first)
{
    plan->stage[plan->nstage++] = (struct bt_stage){.first = first};
}

/* Assemblies of one level from the back, as many a stage as there are clamps for. */
static void take_level(const struct bt_clamping_request *r, const struct split *split,
                       size_t level, size_t sets, double clamping,
                       struct bt_clamping *plan, size_t *norder)
{
    size_t in_stage = sets;

    for (size_t i = 0; i < split->n; i++) {
        const struct assembly *a = &split->assembly[i];
        struct bt_stage *stage;

        if (a->level != level)
            continue;
        if (in_stage == sets) {
            begin_stage(plan, *norder);
            in_stage = 0;
        }
        stage = &plan->stage[plan->nstage - 1];
        stage->minutes =
            fmax(stage->minutes, (double)a->count * r->spread_time + clamping);
        stage->assemblies++;
        in_stage++;
        for (size_t k = 0; k < a->count; k++)
            plan->order[(*norder)++] = a->first + k;
        stage->count = *norder - stage->first;
    }
}

bool bt_stages_plan(const struct bt_clamping_request *request, size_t clamps,
                    size_t sets, struct bt_clamping *plan)
{
    const size_t njoint = request->nboard - 1;
    const double clamping = (double)clamps * request->place_time;
    struct split split = {.most = most_of(request, clamping)};
    size_t top = level_of(njoint, split.most), norder = 0;

    plan->order = bt_alloc(njoint, sizeof *plan->order);
    plan->stage = bt_alloc(njoint, sizeof *plan->stage);
    split.assembly = bt_alloc(njoint, sizeof *split.assembly);
    if (plan->order && plan->stage && split.assembly) {
        plan->open_time_short = !in_time(request, 1, clamping);
        part(&split, 0, njoint);
        for (size_t level = 0; level <= top; level++)
            take_level(request, &split, level, sets, clamping, plan, &norder);
    }
    bt_free(split.assembly);
    return norder == njoint;
}

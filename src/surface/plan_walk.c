/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "surface/plan_private.h"

static double apart(const struct bt_point *a, const struct bt_point *b)
{
    return hypot(a->x - b->x, a->y - b->y);
}

/* Steps that may be walked from either end. */
static bool turns(const struct bt_plan_request *request,
                  const struct bt_plan_step *step)
{
    if (step->kind == BT_PLAN_LEVEL)
        return !request->instrument[step->instrument].zero_unknown;
    return step->kind == BT_PLAN_LINE || step->kind == BT_PLAN_BAR;
}

static void turn(const struct bt_plan_step *step, struct bt_point place[])
{
    for (size_t a = step->first, b = step->first + step->n - 1; a < b; a++, b--) {
        const struct bt_point p = place[a];
        place[a] = place[b];
        place[b] = p;
    }
}

/* Distance to the near end, and whether that is the far end of the step as it is. */
static double way(const struct bt_plan_request *request, const struct bt_plan *plan,
                  const struct bt_plan_step *step, const struct bt_point *here,
                  bool *from_end)
{
    const double first = apart(here, &plan->place[step->first]);
    const double last = apart(here, &plan->place[step->first + step->n - 1]);

    *from_end = turns(request, step) && last < first;
    return *from_end ? last : first;
}

void plan_walk(const struct bt_plan_request *request, struct bt_plan *plan)
{
    struct bt_point here = {0, 0};

    for (size_t k = 0; k < plan->nstep; k++) {
        size_t best = k;
        bool from_end = false;
        double least = HUGE_VAL;
        struct bt_plan_step step;

        for (size_t i = k; i < plan->nstep; i++) {
            bool end;
            const double d = way(request, plan, &plan->step[i], &here, &end);
            /* One instrument is put down before the next is taken up. */
            const bool same =
                k == 0 || plan->step[i].instrument == plan->step[k - 1].instrument;
            const double reckoned = same ? d : d + 1e9;
            if (reckoned < least - 1e-9) {
                least = reckoned;
                best = i;
                from_end = end;
            }
        }
        step = plan->step[best];
        plan->step[best] = plan->step[k];
        plan->step[k] = step;
        if (from_end)
            turn(&step, plan->place);
        here = plan->place[step.first + step.n - 1];
    }
}

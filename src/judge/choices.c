/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/judge/choices.h"

#include <math.h>
#include <string.h>

#include "judge/choices_ways.h"

const char *bt_choice_name(enum bt_choice_kind kind)
{
#define NAME(code, name) [code] = (name),
    static const char *const names[] = {BT_CHOICE_LIST(NAME)};
#undef NAME

    return (unsigned)kind < BT_CHOICES ? names[kind] : "unknown choice";
}

const char *bt_choice_state_name(enum bt_choice_state state)
{
    switch (state) {
    case BT_CHOICE_POSSIBLE:
        return "possible";
    case BT_CHOICE_OPEN:
        return "cannot tell";
    case BT_CHOICE_NOT:
        return "no";
    }
    return "unknown state";
}

/* ---- what is asked ---- */

static bool above(double value)
{
    return isnan(value) || (value > 0 && isfinite(value));
}

static bool not_below(double value)
{
    return isnan(value) || (value >= 0 && isfinite(value));
}

static bool plan_is_right(const struct bt_work_plan *p)
{
    return above(p->least_thickness) && above(p->least_width) &&
           above(p->depth_per_pass) && above(p->machine_width) && above(p->shaving) &&
           not_below(p->kerf) && not_below(p->jointing) && not_below(p->trim) &&
           above(p->setup_time) && above(p->pass_time) && above(p->plane_time) &&
           above(p->joint_time) && above(p->screw_time) && above(p->hand_force) &&
           above(p->hand_gap) && isnan(p->hand_force) == isnan(p->hand_gap) &&
           above(p->screw_diameter) && above(p->screw_thread) &&
           (p->screw_lines == 0 || p->screw_lines >= 3);
}

static enum bt_status check(const struct bt_choices_request *r, struct bt_error *err)
{
    for (size_t f = 0; f < BT_FIGURE_COUNT; f++)
        if (!above(r->limit[f]))
            return bt_error_set(err, BT_EINPUT, f, 0, "a limit must be over 0 mm");
    if (!plan_is_right(&r->plan))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "a length, time or force of the plan is out of its range");
    if (!above(r->length) || !above(r->width) || !above(r->thickness))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "length, width and thickness must be over 0 mm");
    return BT_OK;
}

/* ---- what the ways are reckoned with ---- */

/* A figure that holds keeps its limit, lest planing for another breaks it. */
static bool find_aims(const struct bt_choices_request *r, double aim[])
{
    bool any = false;

    for (int f = 0; f < BT_FIGURE_COUNT; f++) {
        const double u = isnan(r->u[f]) ? 0 : r->u[f];

        aim[f] = NAN;
        if (isnan(r->limit[f]) || r->verdict[f] == BT_NOT_SEEN)
            continue;
        aim[f] = fmax(r->limit[f] - 2 * u, r->limit[f] / 2);
        any = true;
    }
    return any;
}

/* A face that shows no such level is no error here: the choice says so. */
static enum bt_status find_spots(const struct bt_choices_request *r,
                                 struct bt_choices *out, struct bt_error *err)
{
    struct bt_high_spots_request request = {.face = r->face,
                                            .rectangle = r->rectangle,
                                            .local_span = r->local_span,
                                            .band = r->band,
                                            .step = NAN};
    enum bt_status status;

    if (r->face.n == 0 || !find_aims(r, out->aim))
        return BT_OK;
    memcpy(request.aim, out->aim, sizeof request.aim);
    status = bt_high_spots_find(&request, &out->spots, err);
    out->spots_found = status == BT_OK;
    return status == BT_ENOMEM ? status : BT_OK;
}

static enum bt_status find_pair(const struct bt_choices_request *r,
                                struct bt_choices *out, struct bt_error *err)
{
    enum bt_status status;

    if (r->face.n == 0 || (isnan(r->thickness) && !r->under))
        return BT_OK;
    out->pair_exact = r->under != NULL;
    if (r->under)
        status = bt_removal_parallel(&r->face, r->under, &out->pair, err);
    else
        status =
            bt_removal_nominal(&r->face, r->thickness, r->u_thickness, &out->pair, err);
    out->pair_found = status == BT_OK;
    return status;
}

static enum bt_status find_ways(const struct bt_choices_request *r,
                                struct bt_choices *out, struct bt_error *err)
{
    static bt_choice_way *const ways[BT_CHOICES] = {
        [BT_CHOICE_LEAVE] = bt_choice_leave,
        [BT_CHOICE_WAIT] = bt_choice_wait,
        [BT_CHOICE_PULL] = bt_choice_pull,
        [BT_CHOICE_HIGH_SPOTS] = bt_choice_high_spots,
        [BT_CHOICE_FLATTEN] = bt_choice_flatten,
        [BT_CHOICE_ELSEWHERE] = bt_choice_elsewhere,
        [BT_CHOICE_REGLUE] = bt_choice_reglue,
    };
    const struct bt_measured not_known = {NAN, NAN, false};
    enum bt_status status = BT_OK;

    for (int k = 0; k < BT_CHOICES && status == BT_OK; k++) {
        struct bt_choice *c = &out->choice[k];

        *c = (struct bt_choice){.kind = (enum bt_choice_kind)k,
                                .thickness = not_known,
                                .width = not_known,
                                .removed = not_known,
                                .removed_other = NAN,
                                .volume = NAN,
                                .passes = NAN,
                                .force = not_known,
                                .force_holds = NAN,
                                .stress = not_known,
                                .stress_holds = NAN,
                                .minutes = NAN,
                                .cup = not_known,
                                .bow = not_known,
                                .twist = not_known};
        status = ways[k](r, out, c, err);
        if (status == BT_OK)
            status = bt_choice_form_left(r, out, c, err);
    }
    return status;
}

/* ---- order ---- */

/* Most that comes off at a place of either face; what is not known comes last. */
static double off(const struct bt_choice *c)
{
    const double other = isnan(c->removed_other) ? 0 : c->removed_other;

    return c->removed.seen ? c->removed.value + other : INFINITY;
}

/* Less apart than this is alike: nobody feels it. */
static const double alike = 0.01;

static bool goes_before(const struct bt_choice *a, const struct bt_choice *b)
{
    if (a->state != b->state)
        return a->state < b->state;
    if (a->rank != b->rank)
        return a->rank < b->rank;
    if (!(fabs(off(a) - off(b)) <= alike) && off(a) != off(b))
        return off(a) < off(b);
    /* one's own work before somebody else's, whose time is not known */
    if (isnan(a->minutes) != isnan(b->minutes))
        return isnan(b->minutes);
    return a->minutes < b->minutes;
}

static void sort(struct bt_choice choice[BT_CHOICES])
{
    for (size_t i = 1; i < BT_CHOICES; i++) {
        const struct bt_choice one = choice[i];
        size_t to = i;

        for (; to > 0 && goes_before(&one, &choice[to - 1]); to--)
            choice[to] = choice[to - 1];
        choice[to] = one;
    }
}

enum bt_status bt_choices_find(const struct bt_choices_request *request,
                               struct bt_choices *out, struct bt_error *err)
{
    struct bt_choices made = {.pair_found = false};
    enum bt_status status = check(request, err);

    if (status != BT_OK)
        return status;
    for (int f = 0; f < BT_FIGURE_COUNT; f++)
        made.aim[f] = NAN;
    made.plan = bt_work_plan_usual(&request->plan);
    if (!bt_choice_holds(request))
        status = find_spots(request, &made, err);
    if (status == BT_OK)
        status = find_pair(request, &made, err);
    if (status == BT_OK)
        status = find_ways(request, &made, err);
    if (status != BT_OK) {
        bt_choices_clear(&made);
        return status;
    }
    sort(made.choice);
    *out = made;
    return BT_OK;
}

void bt_choices_clear(struct bt_choices *choices)
{
    if (!choices)
        return;
    bt_high_spots_clear(&choices->spots);
    memset(choices, 0, sizeof *choices);
}

const struct bt_choice *bt_choices_best(const struct bt_choices *choices)
{
    return choices->choice[0].state == BT_CHOICE_POSSIBLE ? &choices->choice[0] : NULL;
}

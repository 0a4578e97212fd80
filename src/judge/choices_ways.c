/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "judge/choices_ways.h"

#include <math.h>

static const struct bt_measured not_known = {NAN, NAN, false};

bool bt_choice_wrong(const struct bt_choices_request *r, enum bt_figure figure)
{
    return !isnan(r->limit[figure]) && r->verdict[figure] != BT_WITHIN;
}

static bool limited(const struct bt_choices_request *r)
{
    for (int f = 0; f < BT_FIGURE_COUNT; f++)
        if (!isnan(r->limit[f]))
            return true;
    return false;
}

static bool over(const struct bt_choices_request *r)
{
    for (int f = 0; f < BT_FIGURE_COUNT; f++)
        if (!isnan(r->limit[f]) && r->verdict[f] == BT_OVER)
            return true;
    return false;
}

bool bt_choice_holds(const struct bt_choices_request *r)
{
    for (int f = 0; f < BT_FIGURE_COUNT; f++)
        if (bt_choice_wrong(r, (enum bt_figure)f))
            return false;
    return limited(r);
}

static enum bt_status refuse(struct bt_choice *c, enum bt_choice_state state,
                             enum bt_choice_reason reason)
{
    c->state = state;
    c->reason = reason;
    return BT_OK;
}

/* The worse of what speaks against a choice stays. */
static void object(struct bt_choice *c, enum bt_choice_state state,
                   enum bt_choice_reason reason)
{
    if (state > c->state)
        refuse(c, state, reason);
}

static bool moves(const struct bt_choices_request *r)
{
    return r->moving_known && r->moving == BT_TREND_MOVED;
}

static bool rests(const struct bt_choices_request *r)
{
    return r->moving_known && r->moving == BT_TREND_SETTLED;
}

static struct bt_measured now(double value, double u)
{
    return (struct bt_measured){value, u, !isnan(value)};
}

/* ---- leave it, wait ---- */

enum bt_status bt_choice_leave(const struct bt_choices_request *r,
                               const struct bt_choices *out, struct bt_choice *c,
                               struct bt_error *err)
{
    (void)out;
    (void)err;
    c->thickness = now(r->thickness, r->u_thickness);
    c->width = now(r->width, 0);
    c->removed = now(0, 0);
    c->volume = c->minutes = 0;
    c->rank = BT_RANK_NOTHING_TO_DO;
    if (!limited(r))
        return refuse(c, BT_CHOICE_OPEN, BT_REASON_NO_LIMITS);
    if (over(r))
        return refuse(c, BT_CHOICE_NOT, BT_REASON_LIMIT_OVER);
    if (!bt_choice_holds(r))
        return refuse(c, BT_CHOICE_OPEN, BT_REASON_LIMIT_OPEN);
    return BT_OK;
}

enum bt_status bt_choice_wait(const struct bt_choices_request *r,
                              const struct bt_choices *out, struct bt_choice *c,
                              struct bt_error *err)
{
    (void)out;
    (void)err;
    c->thickness = now(r->thickness, r->u_thickness);
    c->width = now(r->width, 0);
    c->removed = now(0, 0);
    c->volume = 0;
    c->rank = moves(r) ? BT_RANK_MOVES : BT_RANK_UNSURE;
    return rests(r) ? refuse(c, BT_CHOICE_NOT, BT_REASON_SETTLED) : BT_OK;
}

/* ---- pull it flat ---- */

static double extent_of(const struct bt_choices_request *r, bool along)
{
    const double stated = along ? r->length : r->width;

    return !isnan(stated) ? stated
           : along        ? r->rectangle.x1 - r->rectangle.x0
                          : r->rectangle.y1 - r->rectangle.y0;
}

/* How much of the extent lies outside the outermost lines, each side: where a rail can
 * be screwed (common practice, no source). */
static const double margin = 0.05;

/* E across the grain where it is not known how the boards are cut: midway between
 * tangential and radial, with half their difference over sqrt(3) in u. */
static struct bt_wood_value across_of(const struct bt_wood *w)
{
    const struct bt_wood_value *t = &w->e_tangential, *r = &w->e_radial;
    struct bt_wood_value out = *t;

    if (isnan(r->value))
        return out;
    out.value = (t->value + r->value) / 2;
    out.u = hypot(fmax(t->u, r->u), (t->value - r->value) / 2 / sqrt(3));
    return out;
}

/* Cup or bow by lines of screws. */
static enum bt_status pull_bend(const struct bt_choices_request *r,
                                const struct bt_choices *out, bool along,
                                struct bt_pull *pull, struct bt_error *err)
{
    enum { MOST = 1000 };
    double line[MOST];
    const size_t n = out->plan.screw_lines < MOST ? out->plan.screw_lines : MOST;
    const double extent = extent_of(r, along);
    struct bt_pull_request request = {.extent = extent,
                                      .breadth = extent_of(r, !along),
                                      .thickness = r->thickness,
                                      .E =
                                          along ? r->wood->e_along : across_of(r->wood),
                                      .form = along ? r->bow : r->cup,
                                      .nline = n,
                                      .line = line,
                                      .screws = out->plan.screws,
                                      .hand_force = along ? NAN : r->plan.hand_force,
                                      .hand_gap = along ? NAN : r->plan.hand_gap,
                                      .u_hand = NAN};

    for (size_t i = 0; i < n; i++)
        line[i] = extent * (margin + (1 - 2 * margin) * (double)i / (double)(n - 1));
    return bt_pull_evaluate(&request, pull, err);
}

/* What the screw and the wood carry for good. */
static void find_strength(const struct bt_choices_request *r, struct bt_choice *c)
{
    const struct bt_screw screw = {r->plan.screw_diameter, r->plan.screw_thread};
    const double gravity = r->wood->density.value / 1120; /* wood.h */

    c->force_holds = bt_screw_pull_out(gravity, &screw) / BT_SCREW_SAFETY;
    c->stress_holds =
        bt_pull_tension_strength(gravity, r->hardwood) * BT_PULL_STRESS_SHARE;
}

static void keep_worse(struct bt_choice *c, const struct bt_pull *pull, bool along)
{
    if (!c->force.seen || pull->screw > c->force.value)
        c->force = (struct bt_measured){pull->screw, pull->u_screw, true};
    /* along the grain wood is many times stronger: its stress is not what breaks it */
    if (!along && (!c->stress.seen || pull->stress > c->stress.value))
        c->stress = (struct bt_measured){pull->stress, pull->u_stress, true};
}

/* In proportion to the form that is pulled. */
static struct bt_measured left_of(const struct bt_measured *form,
                                  const struct bt_pull *pull)
{
    return now(copysign(pull->left, form->value),
               pull->left * form->u / fabs(form->value));
}

static enum bt_status pull_one(const struct bt_choices_request *r,
                               const struct bt_choices *out, enum bt_figure figure,
                               struct bt_choice *c, struct bt_error *err)
{
    const bool along = figure == BT_FIGURE_BOW;
    struct bt_pull pull = {0};
    enum bt_status status;

    if (figure == BT_FIGURE_TWIST) {
        const struct bt_measured force =
            bt_pull_twist(extent_of(r, true), extent_of(r, false), r->thickness,
                          &r->wood->g_along, &r->twist);

        if (force.seen && (!c->force.seen || fabs(force.value) > c->force.value))
            c->force = (struct bt_measured){fabs(force.value), force.u, true};
        if (force.seen)
            c->twist = now(0, NAN);
        return BT_OK;
    }
    if ((along ? r->bow.value : r->cup.value) == 0)
        return BT_OK;
    status = pull_bend(r, out, along, &pull, err);
    if (status == BT_OK) {
        keep_worse(c, &pull, along);
        *(along ? &c->bow : &c->cup) = left_of(along ? &r->bow : &r->cup, &pull);
    }
    bt_pull_clear(&pull);
    return status;
}

/* Figures that fixings can take out, as far as they are wrong and seen. */
static bool pulls(const struct bt_choices_request *r, enum bt_figure figure)
{
    const struct bt_measured *m = figure == BT_FIGURE_CUP   ? &r->cup
                                  : figure == BT_FIGURE_BOW ? &r->bow
                                                            : &r->twist;

    return bt_choice_wrong(r, figure) && m->seen;
}

static const enum bt_figure bends[] = {BT_FIGURE_CUP, BT_FIGURE_BOW, BT_FIGURE_TWIST};
enum { BENDS = sizeof bends / sizeof *bends };

static void judge_pull(struct bt_choice *c)
{
    if (c->stress.seen && !(c->stress.value + 2 * c->stress.u <= c->stress_holds))
        object(c, BT_CHOICE_NOT, BT_REASON_WOOD_TOO_WEAK);
    else if (isnan(c->force_holds))
        object(c, BT_CHOICE_OPEN, BT_REASON_NO_SCREWS);
    else if (!(c->force.value + 2 * c->force.u <= c->force_holds))
        object(c, BT_CHOICE_NOT, BT_REASON_SCREWS_TOO_WEAK);
}

enum bt_status bt_choice_pull(const struct bt_choices_request *r,
                              const struct bt_choices *out, struct bt_choice *c,
                              struct bt_error *err)
{
    enum bt_status status = BT_OK;
    bool any = false;

    c->thickness = now(r->thickness, r->u_thickness);
    c->width = now(r->width, 0);
    c->removed = now(0, 0);
    c->volume = 0;
    c->minutes =
        out->plan.screw_time * (double)(out->plan.screw_lines * out->plan.screws);
    c->rank = BT_RANK_NO_WOOD_OFF;
    if (bt_choice_holds(r))
        return refuse(c, BT_CHOICE_NOT, BT_REASON_HOLDS);
    if (!limited(r))
        return refuse(c, BT_CHOICE_OPEN, BT_REASON_NO_LIMITS);
    for (int i = 0; i < BENDS; i++)
        any = any || pulls(r, bends[i]);
    if (!any)
        return refuse(c, BT_CHOICE_NOT, BT_REASON_NOT_A_BEND);
    if (isnan(r->thickness))
        return refuse(c, BT_CHOICE_OPEN, BT_REASON_NO_THICKNESS);
    if (!r->wood || isnan(r->wood->e_tangential.value) || isnan(r->wood->e_along.value))
        return refuse(c, BT_CHOICE_OPEN, BT_REASON_NO_WOOD);
    find_strength(r, c);
    for (int i = 0; i < BENDS && status == BT_OK; i++)
        if (pulls(r, bends[i]))
            status = pull_one(r, out, bends[i], c, err);
    if (status == BT_OK)
        judge_pull(c);
    return status;
}

/* ---- taking off wood ---- */

/* What speaks against any of these before its figures are looked at. */
static void object_to_cutting(const struct bt_choices_request *r, struct bt_choice *c)
{
    if (bt_choice_holds(r))
        object(c, BT_CHOICE_NOT, BT_REASON_HOLDS);
    else if (moves(r))
        object(c, BT_CHOICE_NOT, BT_REASON_MOVING);
    else if (!limited(r))
        object(c, BT_CHOICE_OPEN, BT_REASON_NO_LIMITS);
}

static void object_to_thickness(const struct bt_choices_request *r, struct bt_choice *c)
{
    const struct bt_measured *left = &c->thickness;

    if (!left->seen)
        object(c, BT_CHOICE_OPEN, BT_REASON_NO_THICKNESS);
    else if (left->seen && !(left->value > 0))
        object(c, BT_CHOICE_NOT, BT_REASON_TOO_THIN);
    else if (isnan(r->plan.least_thickness))
        object(c, BT_CHOICE_OPEN, BT_REASON_NO_LEAST_THICKNESS);
    else if (!(left->value - 2 * fmax(0, isnan(left->u) ? 0 : left->u) >=
               r->plan.least_thickness))
        object(c, BT_CHOICE_NOT, BT_REASON_TOO_THIN);
}

static double area_of(const struct bt_choices_request *r)
{
    return extent_of(r, true) * extent_of(r, false);
}

enum bt_status bt_choice_high_spots(const struct bt_choices_request *r,
                                    const struct bt_choices *out, struct bt_choice *c,
                                    struct bt_error *err)
{
    (void)err;
    c->rank = BT_RANK_LEAST_OFF;
    c->width = now(r->width, 0);
    object_to_cutting(r, c);
    if (r->face.n == 0)
        object(c, BT_CHOICE_OPEN, BT_REASON_NO_SURFACE);
    else if (!out->spots_found)
        object(c, BT_CHOICE_OPEN, BT_REASON_NO_LEVEL);
    if (!out->spots_found)
        return BT_OK;
    c->removed = (struct bt_measured){out->spots.largest, out->spots.u, true};
    c->volume = out->spots.mean * area_of(r);
    c->passes = bt_removal_passes(out->spots.largest, out->plan.shaving);
    /* shavings of one thickness over what is taken off, in square metres */
    c->minutes = c->volume / out->plan.shaving / 1e6 * out->plan.plane_time;
    if (!isnan(r->thickness))
        c->thickness = (struct bt_measured){
            r->thickness - out->spots.largest,
            hypot(isnan(r->u_thickness) ? 0 : r->u_thickness, out->spots.u), true};
    object_to_thickness(r, c);
    return BT_OK;
}

/* Both faces: the second pass over the machine makes them parallel. */
static void fill_pair(const struct bt_choices_request *r, const struct bt_choices *out,
                      struct bt_choice *c)
{
    const struct bt_removal_pair *pair = &out->pair;

    if (!out->pair_found)
        return;
    c->removed = (struct bt_measured){pair->top.largest, pair->top.u, true};
    c->removed_other = pair->bottom.largest;
    c->volume = (pair->top.mean + pair->bottom.mean) * area_of(r);
    c->passes = bt_removal_passes(pair->top.largest, out->plan.depth_per_pass) +
                bt_removal_passes(pair->bottom.largest, out->plan.depth_per_pass);
    c->thickness = (struct bt_measured){pair->thickness, pair->u, true};
}

static void flatten(const struct bt_choices_request *r, const struct bt_choices *out,
                    struct bt_choice *c)
{
    c->rank = BT_RANK_LEAST_OFF;
    c->width = now(r->width, 0);
    object_to_cutting(r, c);
    if (r->face.n == 0)
        object(c, BT_CHOICE_OPEN, BT_REASON_NO_SURFACE);
    fill_pair(r, out, c);
    object_to_thickness(r, c);
}

enum bt_status bt_choice_flatten(const struct bt_choices_request *r,
                                 const struct bt_choices *out, struct bt_choice *c,
                                 struct bt_error *err)
{
    (void)err;
    flatten(r, out, c);
    c->minutes = out->plan.setup_time + c->passes * out->plan.pass_time;
    if (isnan(r->plan.machine_width))
        object(c, BT_CHOICE_OPEN, BT_REASON_NO_MACHINE);
    else if (!(extent_of(r, false) <= r->plan.machine_width))
        object(c, BT_CHOICE_NOT, BT_REASON_TOO_WIDE);
    return BT_OK;
}

enum bt_status bt_choice_elsewhere(const struct bt_choices_request *r,
                                   const struct bt_choices *out, struct bt_choice *c,
                                   struct bt_error *err)
{
    (void)err;
    flatten(r, out, c);
    return BT_OK;
}

/* ---- rip and glue again ---- */

/* Taken for flattening a panel fresh from the clamps, both faces (common practice, no
 * source). */
static const double after_glue = 2;

static void object_to_joints(const struct bt_choices_request *r, struct bt_choice *c)
{
    if (r->njoint == 0)
        object(c, BT_CHOICE_NOT, BT_REASON_NO_JOINTS);
    else if (r->joints == BT_JOINTS_STRAIGHT)
        object(c, BT_CHOICE_NOT, BT_REASON_SMOOTH);
    else if (r->joints == BT_JOINTS_UNSURE)
        object(c, BT_CHOICE_OPEN, BT_REASON_JOINTS_UNSURE);
}

static void object_to_width(const struct bt_choices_request *r, struct bt_choice *c)
{
    if (!c->width.seen)
        object(c, BT_CHOICE_OPEN, BT_REASON_NO_WIDTH);
    else if (!(c->width.value > 0))
        object(c, BT_CHOICE_NOT, BT_REASON_TOO_NARROW);
    else if (isnan(r->plan.least_width))
        object(c, BT_CHOICE_OPEN, BT_REASON_NO_LEAST_WIDTH);
    else if (!(c->width.value - 2 * c->width.u >= r->plan.least_width))
        object(c, BT_CHOICE_NOT, BT_REASON_TOO_NARROW);
}

/* Of a kerf or a jointing cut, mm (common practice, no source). */
static const double u_cut = 0.1;

enum bt_status bt_choice_reglue(const struct bt_choices_request *r,
                                const struct bt_choices *out, struct bt_choice *c,
                                struct bt_error *err)
{
    const struct bt_rip_request rip = {.width = r->width,
                                       .njoint = r->nripped,
                                       .kerf = out->plan.kerf,
                                       .jointing = out->plan.jointing,
                                       .trim = out->plan.trim,
                                       .u_cut = u_cut};
    struct bt_rip left;
    enum bt_status status;

    c->rank = BT_RANK_LAST;
    object_to_cutting(r, c);
    object_to_joints(r, c);
    if (!isnan(r->thickness))
        c->thickness =
            now(r->thickness - after_glue, isnan(r->u_thickness) ? 0 : r->u_thickness);
    if (!isnan(r->width)) {
        status = bt_removal_rip(&rip, &left, err);
        if (status != BT_OK)
            return status;
        c->width = (struct bt_measured){left.width, left.u, true};
        if (!isnan(r->thickness))
            c->volume = left.lost * extent_of(r, true) * r->thickness;
    }
    c->removed = not_known;
    c->minutes = (double)r->nripped * out->plan.joint_time;
    object_to_width(r, c);
    object_to_thickness(r, c);
    return BT_OK;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/joint/spring.h"

#include <math.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/joint/rules.h"
#include "joint/pressing.h"

static bool above_zero(double value)
{
    return value > 0.0 && isfinite(value);
}

static double rule(enum bt_joint_rule_code code)
{
    return bt_joint_rule(code)->value;
}

/* ---- the request ---- */

static const char *board_fault(const struct bt_spring_board *board)
{
    if (!above_zero(board->width))
        return "the width of a board must be a number above 0";
    if (!above_zero(board->thickness))
        return "the thickness of a board must be a number above 0";
    if (!above_zero(board->E) || !above_zero(board->G))
        return "the stiffness of a board must be a number above 0";
    return NULL;
}

static const char *fault_of(const struct bt_spring_request *r)
{
    const char *fault;

    if (!above_zero(r->length))
        return "the length of the joint must be a number above 0";
    fault = board_fault(&r->a);
    if (!fault)
        fault = board_fault(&r->b);
    if (!fault && !isnan(r->clamp_force) && !above_zero(r->clamp_force))
        fault = "the force of a clamp must be a number above 0";
    if (!fault && !above_zero(r->gap_most))
        fault = "the gap that the glue bridges must be a number above 0";
    if (!fault && isinf(r->hollow))
        fault = "the hollow must be a number";
    return fault;
}

static enum bt_status check(const struct bt_spring_request *r, struct bt_error *err)
{
    const char *fault = fault_of(r);

    if (fault)
        return bt_error_set(err, BT_EINPUT, 0, 0, "%s", fault);
    if (r->nclamp > BT_SPRING_MOST_CLAMPS)
        return bt_error_set(err, BT_EINPUT, 0, 0, "more than %d clamps on one joint",
                            BT_SPRING_MOST_CLAMPS);
    for (size_t i = 0; i < r->nclamp; i++) {
        if (!(r->clamp[i] > 0.0 && r->clamp[i] < r->length))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "clamp %zu does not stand inside the joint", i + 1);
        if (i > 0 && !(r->clamp[i] > r->clamp[i - 1]))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "clamp %zu does not stand after the one before it",
                                i + 1);
    }
    return BT_OK;
}

/* ---- the beam ---- */

/* Flexibility at the middle, mm/N, of one board on edge. */
struct flexibility {
    double bending, shear;
};

static struct flexibility flexibility_of(double length,
                                         const struct bt_spring_board *board)
{
    double area = board->width * board->thickness;
    double inertia = area * board->width * board->width / 12.0;

    return (struct flexibility){
        length * length * length / (48.0 * board->E * inertia),
        length / (4.0 * rule(BT_RULE_SHEAR_COEFFICIENT) * board->G * area)};
}

/* ---- how far the clamps close it ---- */

/* Gap that a hollow keeps where each clamp presses with force. */
static double gap_left(struct bt_pressing *press, double stiffness, double force,
                       double hollow)
{
    double at;

    bt_pressing_pressed(press, force / (stiffness * hollow));
    return hollow * bt_pressing_gap(press, &at);
}

/*
 * Largest hollow of which no more than gap_most stays open.  One of gap_most always
 * does; above gap_most + n F/stiffness the clamps together, all at the middle, could
 * not.  False position between (Illinois), with halving where it is slow.
 */
static double closes(struct bt_pressing *press, double stiffness, double force,
                     double gap_most)
{
    double low = gap_most, high = gap_most + (double)press->nclamp * force / stiffness;
    double below = gap_left(press, stiffness, force, low) - gap_most, above;

    if (press->nclamp == 0)
        return gap_most;
    above = gap_left(press, stiffness, force, high) - gap_most;
    if (!(above > 0.0))
        return high;
    for (int i = 0; i < 60 && high - low > 1e-7 * high; i++) {
        double middle = i % 3 == 2 ? 0.5 * (low + high)
                                   : low + (high - low) * below / (below - above);
        double gap = gap_left(press, stiffness, force, middle) - gap_most;

        if (gap > 0.0) {
            high = middle;
            above = gap;
            below *= 0.5;
        } else {
            low = middle;
            below = gap;
            above *= 0.5;
        }
    }
    return low;
}

/* ---- the answer ---- */

/* Forces and gaps for a hollow of 1. */
struct unit {
    double force_largest, force_sum, gap, gap_at;
};

static struct unit closed(struct bt_pressing *press)
{
    struct unit unit = {0};

    bt_pressing_closed(press);
    for (size_t i = 0; i < press->n; i++)
        if (press->is_clamp[i] && press->force[i] > 0.0) {
            unit.force_largest = fmax(unit.force_largest, press->force[i]);
            unit.force_sum += press->force[i];
        }
    unit.gap = bt_pressing_gap(press, &unit.gap_at);
    return unit;
}

static void set_aim(const struct bt_spring_request *r, struct bt_pressing *press,
                    double unit_gap, struct bt_spring_joint *out)
{
    double most;

    out->aim_least = rule(BT_RULE_SPRING_LEAST);
    out->aim_most = out->closes_most = NAN;
    if (!isnan(r->clamp_force)) {
        out->closes_most = closes(press, out->stiffness, r->clamp_force, r->gap_most);
        out->aim_most =
            closes(press, out->stiffness, rule(BT_RULE_SPRING_SHARE) * r->clamp_force,
                   r->gap_most);
    }
    most = isnan(out->aim_most) ? r->gap_most / unit_gap : out->aim_most;
    out->aim = fmin(rule(BT_RULE_SPRING_USUAL), most);
    if (r->nclamp == 0 || out->aim < out->aim_least)
        out->aim = 0.0;
}

static void set_figures(const struct bt_spring_request *r, const struct unit *middle,
                        const struct unit *planned, struct bt_spring_joint *out)
{
    double hollow;

    out->hollow = hollow = isnan(r->hollow) ? out->aim : r->hollow;
    out->crown = hollow < 0.0;
    if (out->crown)
        hollow = NAN;
    out->force_middle = hollow * out->stiffness;
    out->gap_middle = hollow * middle->gap;
    out->gap_middle_at = out->crown ? NAN : r->length * middle->gap_at;
    out->force_planned = hollow * out->stiffness * planned->force_largest;
    out->force_sum = hollow * out->stiffness * planned->force_sum;
    out->gap_planned = hollow * planned->gap;
    out->gap_planned_at = out->crown ? NAN : r->length * planned->gap_at;
}

/* What a middle clamp leaves: none of the boards' touching is needed for that, but the
 * same way serves. */
static bool one_at_the_middle(double shear, struct unit *unit)
{
    const double middle = 0.5;
    struct bt_pressing press;

    if (!bt_pressing_open(&press, shear, 1, &middle, 1.0))
        return false;
    *unit = closed(&press);
    bt_pressing_close(&press);
    return true;
}

static bool computable(const struct bt_spring_joint *out)
{
    return above_zero(out->stiffness) && isfinite(out->aim) &&
           (out->crown || (isfinite(out->force_planned) && isfinite(out->force_sum) &&
                           isfinite(out->gap_planned)));
}

enum bt_status bt_spring_joint_find(const struct bt_spring_request *request,
                                    struct bt_spring_joint *joint, struct bt_error *err)
{
    struct bt_spring_joint out = {0};
    struct bt_pressing press;
    struct flexibility a, b;
    struct unit middle, planned;
    enum bt_status status = check(request, err);
    double whole, shear;

    if (status != BT_OK)
        return status;
    a = flexibility_of(request->length, &request->a);
    b = flexibility_of(request->length, &request->b);
    shear = a.shear + b.shear;
    whole = a.bending + b.bending + shear;
    out.stiffness = 1.0 / whole;
    if (!above_zero(whole) || !above_zero(out.stiffness))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the numbers are too large or too small to compute with");
    if (!one_at_the_middle(shear / whole, &middle) ||
        !bt_pressing_open(&press, shear / whole, request->nclamp, request->clamp,
                          request->length))
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    planned = closed(&press);
    set_aim(request, &press, planned.gap, &out);
    set_figures(request, &middle, &planned, &out);
    bt_pressing_close(&press);
    if (!computable(&out))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the numbers are too large or too small to compute with");
    *joint = out;
    return BT_OK;
}

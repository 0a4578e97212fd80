/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/holding.h"

#include <math.h>

#define PI 3.14159265358979323846

/* lb/in2 in N/mm2 */
#define PSI 0.0068947572931683613

double bt_screw_pull_out(double gravity, const struct bt_screw *screw)
{
    if (!(gravity > 0.0) || !(screw->diameter > 0.0) || !(screw->thread > 0.0))
        return NAN;
    return 108.25 * gravity * gravity * screw->diameter * screw->thread;
}

double bt_screw_pull_out_board(double gravity, const struct bt_screw *screw)
{
    const double depth = screw->thread - screw->diameter / 3;

    if (!(gravity > 0.0) || !(screw->diameter > 0.0) || !(depth > 0.0))
        return NAN;
    return 41.1 * sqrt(screw->diameter) * pow(depth, 1.25) * gravity * gravity;
}

double bt_head_holds(double gravity, double head, double through, double opening)
{
    double force, rim = 1;

    if (!(gravity > 0) || !(head > 0) || !(through > 0) || opening < 0)
        return NAN;
    if (opening >= head)
        return 0;
    if (opening > 0)
        rim = 1 - 2 / PI * asin(opening / head);
    force = through <= 2.5 * head ? 690 * PSI * PI * head * through
                                  : 1725 * PSI * PI * head * head;
    return force * gravity * gravity * rim;
}

static double thread_holds(const struct bt_fixing *f, double gravity,
                           const char **source)
{
    static const char wood[] =
        "FPL-GTR-190 (2010) ch. 8, wood screws, over 5.5 (from memory)";
    static const char board[] =
        "FPL-GTR-190 (2010) ch. 8, particle board, over 5.5 (from memory)";
    const struct bt_screw screw = {f->screw, f->thread};
    double force = NAN;

    switch (f->into) {
    case BT_INTO_SOLID_WOOD:
        force = bt_screw_pull_out(gravity, &screw) / BT_SCREW_SAFETY;
        *source = wood;
        break;
    case BT_INTO_PLYWOOD:
        force = BT_PLYWOOD_SHARE * bt_screw_pull_out(BT_GRAVITY_PLYWOOD, &screw) /
                BT_SCREW_SAFETY;
        *source = "0.7 of solid wood of gravity 0.55 (common practice, no source)";
        break;
    case BT_INTO_PARTICLE_BOARD:
        force = bt_screw_pull_out_board(BT_GRAVITY_PARTICLE_BOARD, &screw) /
                BT_SCREW_SAFETY;
        *source = board;
        break;
    case BT_INTO_MDF:
        force = bt_screw_pull_out_board(BT_GRAVITY_MDF, &screw) / BT_SCREW_SAFETY;
        *source = "as particle board (common practice, no source)";
        break;
    case BT_INTO_METAL:
        *source = "metal";
        return INFINITY;
    case BT_INTO_KINDS:
        break;
    }
    if (isnan(force))
        *source = "";
    return force;
}

/* Plates and clips of metal lie between the head and the wood. */
static bool head_on_wood(enum bt_fixing_kind kind)
{
    return kind == BT_FIXING_ROUND_HOLE || kind == BT_FIXING_SLOT ||
           kind == BT_FIXING_BUTTON;
}

struct bt_hold bt_hold_of(const struct bt_fixing *fixing, double gravity, double rail,
                          double share)
{
    struct bt_hold hold = {.share = share, .thread_source = "", .head_source = ""};
    const double opening = fixing->kind == BT_FIXING_SLOT ? fixing->hole : NAN;

    hold.thread = thread_holds(fixing, gravity, &hold.thread_source);
    hold.head_diameter = !isnan(fixing->head) ? fixing->head
                         : fixing->washer     ? BT_WASHER_TIMES * fixing->screw
                                              : BT_HEAD_TIMES * fixing->screw;
    hold.head = INFINITY;
    if (head_on_wood(fixing->kind)) {
        hold.head = bt_head_holds(rail, hold.head_diameter, fixing->through, opening);
        if (!isnan(hold.head))
            hold.head_source = "ANSI/AWC NDS-2018, 12.2.5 (from memory)";
    }
    hold.both = isnan(hold.thread) ? NAN : fmin(hold.thread, hold.head);
    return hold;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/opening.h"

#include <math.h>
#include <stdio.h>

const char *bt_wall_name(enum bt_wall wall)
{
    static const char *const names[BT_WALLS] = {"back", "right", "front", "left"};

    return (unsigned)wall < BT_WALLS ? names[wall] : "unknown wall";
}

void bt_wall_corners(enum bt_wall wall, int *from, int *to)
{
    static const int ends[BT_WALLS][2] = {{0, 1}, {1, 2}, {3, 2}, {0, 3}};

    *from = ends[wall][0];
    *to = ends[wall][1];
}

const char *bt_opening_kind_name(enum bt_opening_kind kind)
{
    static const char *const names[BT_OPENING_KINDS] = {
        "side", "diagonal", "width", "depth", "angle", "offset", "point"};

    return (unsigned)kind < BT_OPENING_KINDS ? names[kind] : "unknown kind";
}

const char *bt_opening_reading_name(char out[BT_OPENING_NAME_ROOM],
                                    const struct bt_opening_reading *reading)
{
    const char *kind = bt_opening_kind_name(reading->kind);

    switch (reading->kind) {
    case BT_OPENING_SIDE:
    case BT_OPENING_OFFSET:
    case BT_OPENING_POINT:
        snprintf(out, BT_OPENING_NAME_ROOM, "%s %s", kind,
                 bt_wall_name((enum bt_wall)reading->where));
        break;
    case BT_OPENING_DIAGONAL:
        snprintf(out, BT_OPENING_NAME_ROOM, "%s %s", kind,
                 reading->where ? "BD" : "AC");
        break;
    case BT_OPENING_ANGLE:
        snprintf(out, BT_OPENING_NAME_ROOM, "%s %c", kind, "ABCD"[reading->where & 3]);
        break;
    default:
        snprintf(out, BT_OPENING_NAME_ROOM, "%s", kind);
        break;
    }
    return out;
}

struct bt_opening_plan bt_opening_plan_none(void)
{
    return (struct bt_opening_plan){.joint = NAN,
                                    .back_joint = NAN,
                                    .sealant = NAN,
                                    .clearance = NAN,
                                    .overhang = NAN,
                                    .headroom = NAN,
                                    .scribe = NAN,
                                    .thickness = NAN,
                                    .spacer = -1,
                                    .page = BT_PAGE_A4};
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/fixing.h"

#include <math.h>

const char *bt_fixing_kind_name(enum bt_fixing_kind kind)
{
    switch (kind) {
    case BT_FIXING_ROUND_HOLE:
        return "round hole";
    case BT_FIXING_SLOT:
        return "slot";
    case BT_FIXING_FIGURE_EIGHT:
        return "figure-eight";
    case BT_FIXING_CLIP:
        return "clip";
    case BT_FIXING_BUTTON:
        return "button";
    case BT_FIXING_BRACKET:
        return "bracket";
    case BT_FIXING_KINDS:
        break;
    }
    return "unknown kind";
}

const char *bt_fixing_into_name(enum bt_fixing_into into)
{
    switch (into) {
    case BT_INTO_SOLID_WOOD:
        return "solid wood";
    case BT_INTO_PLYWOOD:
        return "plywood";
    case BT_INTO_PARTICLE_BOARD:
        return "particle board";
    case BT_INTO_MDF:
        return "mdf";
    case BT_INTO_METAL:
        return "metal";
    case BT_INTO_KINDS:
        break;
    }
    return "unknown material";
}

struct bt_fixing_setup bt_fixing_none(void)
{
    return (struct bt_fixing_setup){
        .fixed_at = NAN, .ends_width = NAN, .ends_play = NAN, .load = NAN};
}

double bt_fixed_line_at(const struct bt_fixing_setup *setup, double width)
{
    switch (setup->fixed) {
    case BT_FIXED_BACK:
        return 0;
    case BT_FIXED_FRONT:
        return width;
    case BT_FIXED_AT:
        return setup->fixed_at;
    case BT_FIXED_NOT_STATED:
    case BT_FIXED_CENTRE:
        break;
    }
    return width / 2;
}

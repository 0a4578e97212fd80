/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/layout_setup.h"

#include <math.h>

struct bt_layout_setup bt_layout_none(void)
{
    return (struct bt_layout_setup){.width = NAN,
                                    .length = NAN,
                                    .narrowest = NAN,
                                    .jointing = NAN,
                                    .width_u = NAN,
                                    .spare = NAN,
                                    .ends = NAN,
                                    .turn = NAN,
                                    .beside = NAN,
                                    .clearance = NAN};
}

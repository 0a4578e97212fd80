/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "benchtrue/judge/work_plan.h"

struct bt_work_plan bt_work_plan_none(void)
{
    return (struct bt_work_plan){
        .least_thickness = NAN,
        .least_width = NAN,
        .depth_per_pass = NAN,
        .machine_width = NAN,
        .shaving = NAN,
        .kerf = NAN,
        .jointing = NAN,
        .trim = NAN,
        .setup_time = NAN,
        .pass_time = NAN,
        .plane_time = NAN,
        .joint_time = NAN,
        .screw_time = NAN,
        .hand_force = NAN,
        .hand_gap = NAN,
        .screw_diameter = NAN,
        .screw_thread = NAN,
    };
}

static void usually(double *value, double usual)
{
    if (isnan(*value))
        *value = usual;
}

struct bt_work_plan bt_work_plan_usual(const struct bt_work_plan *plan)
{
    struct bt_work_plan out = *plan;

    usually(&out.depth_per_pass, 0.5);
    usually(&out.shaving, 0.1);
    usually(&out.kerf, 3);
    usually(&out.jointing, 1);
    usually(&out.trim, 0);
    usually(&out.setup_time, 30);
    usually(&out.pass_time, 6);
    usually(&out.plane_time, 12);
    usually(&out.joint_time, 25);
    usually(&out.screw_time, 3);
    if (!out.screw_lines)
        out.screw_lines = 3;
    if (!out.screws)
        out.screws = 4;
    return out;
}

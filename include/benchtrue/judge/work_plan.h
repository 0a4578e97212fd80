/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JUDGE_WORK_PLAN_H
#define BENCHTRUE_JUDGE_WORK_PLAN_H

#include <stddef.h>

#include "benchtrue/export.h"

/* What may be removed, and how fast the work goes: [plan] of job.ini.  NaN, 0 for a
 * count: not stated. */
struct bt_work_plan {
    double least_thickness, least_width; /* that the piece needs, > 0 */
    double depth_per_pass;               /* of the machine that flattens, > 0 */
    double machine_width;                /* widest panel that it takes, > 0 */
    double shaving;                      /* of the hand plane, > 0 */
    double kerf, jointing, trim; /* of the saw; taken off each sawn edge, each outer
                                    edge, >= 0 */
    double setup_time;           /* before the first pass, > 0 */
    double pass_time;            /* one pass over the panel, > 0 */
    double plane_time;           /* one shaving off a square metre by hand, > 0 */
    double joint_time;           /* rip, joint and glue one joint, > 0 */
    double screw_time;           /* one screw, > 0 */
    double hand_force, hand_gap; /* a push by hand closed this gap, > 0, both or none */
    double screw_diameter, screw_thread; /* of a fixing: shank, thread in the panel */
    size_t screw_lines;                  /* 3 or more */
    size_t screws;                       /* on each line */
};

/* Nothing stated. */
BT_API struct bt_work_plan bt_work_plan_none(void);

/* The same with what is usual (common practice, no source) where nothing is stated:
 * passes of 0.5 mm and 6 min after a setup of 30 min, shavings of 0.1 mm at 12 min a
 * square metre, kerf 3 mm, jointing 1 mm an edge, no trim, 25 min a joint, 3 min a
 * screw, 3 lines of 4 screws.  Limits, the machine's width, the screws' size and the
 * push by hand are left as they are: nobody can guess them. */
BT_API struct bt_work_plan bt_work_plan_usual(const struct bt_work_plan *plan);

#endif

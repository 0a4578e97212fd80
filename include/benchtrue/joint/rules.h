/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JOINT_RULES_H
#define BENCHTRUE_JOINT_RULES_H

#include "benchtrue/export.h"

/* Constants of spring joints, glue and clamps, each with its source: made from
 * reference/joint_rules.csv when the program is built. */
#define BT_JOINT_RULE_LIST(X)                                                          \
    X(BT_RULE_PRESSURE_LIGHTEST, "pressure for the lightest wood") /* MPa */           \
    X(BT_RULE_PRESSURE_HEAVIEST, "pressure for the heaviest wood") /* MPa */           \
    X(BT_RULE_DENSITY_LIGHTEST, "density of the lightest wood")    /* kg/m3 */         \
    X(BT_RULE_DENSITY_HEAVIEST, "density of the heaviest wood")    /* kg/m3 */         \
    X(BT_RULE_SPRING_USUAL, "usual hollow of a spring joint")      /* mm */            \
    X(BT_RULE_SPRING_LEAST, "least hollow of a spring joint")      /* mm */            \
    X(BT_RULE_SPRING_SHARE, "share of the clamp force for bending")                    \
    X(BT_RULE_SHEAR_COEFFICIENT, "shear coefficient of a rectangle")                   \
    X(BT_RULE_GLUE_HALVING, "temperature step that halves a time of glue") /* K */

#define BT_JOINT_RULE_CODE(code, name) code,
enum bt_joint_rule_code { BT_JOINT_RULE_LIST(BT_JOINT_RULE_CODE) BT_JOINT_RULE_COUNT };
#undef BT_JOINT_RULE_CODE

struct bt_joint_rule {
    const char *name;
    double value; /* in the unit above */
    const char *unit, *status, *source;
};

/* NULL for a number outside the list. */
BT_API const struct bt_joint_rule *bt_joint_rule(enum bt_joint_rule_code code);

#endif

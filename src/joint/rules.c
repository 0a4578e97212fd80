/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/joint/rules.h"

#include <stddef.h>

/* Made from reference/joint_rules.csv by make_joint_rules. */
static const struct bt_joint_rule rules[BT_JOINT_RULE_COUNT] = {
#include "joint_rules.inc"
};

const struct bt_joint_rule *bt_joint_rule(enum bt_joint_rule_code code)
{
    if ((int)code < 0 || code >= BT_JOINT_RULE_COUNT)
        return NULL;
    return &rules[code];
}

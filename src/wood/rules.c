/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "wood/rules.h"

#include "benchtrue/wood/wood.h"

/* Made from reference/wood_rules.csv and emc_equation.csv by make_rules. */
#include "wood_rules.inc"

const struct bt_wood_rule *bt_wood_rule(enum bt_wood_rule_code code)
{
    if ((int)code < 0 || code >= BT_WOOD_RULE_COUNT)
        return NULL;
    return &rules[code];
}

const bt_emc_row *bt_emc_coefficients(void)
{
    return emc;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/stock_rules.h"

#include <math.h>
#include <string.h>

/* static const struct bt_quarter quarters[] and struct bt_stock_rule rules[], made from
 * reference/quarters.csv and stock_rules.csv by make_stock. */
#include "stock_rules.inc"

size_t bt_quarter_count(void)
{
    return sizeof quarters / sizeof *quarters;
}

const struct bt_quarter *bt_quarter_at(size_t i)
{
    return i < bt_quarter_count() ? &quarters[i] : NULL;
}

const struct bt_quarter *bt_quarter_find(const char *name, size_t length)
{
    for (size_t i = 0; i < bt_quarter_count(); i++)
        if (strlen(quarters[i].name) == length &&
            memcmp(quarters[i].name, name, length) == 0)
            return &quarters[i];
    return NULL;
}

const struct bt_quarter *bt_quarter_for(double thickness)
{
    for (size_t i = 0; i < bt_quarter_count(); i++)
        if (quarters[i].two_sides >= thickness)
            return &quarters[i];
    return NULL;
}

const struct bt_stock_rule *bt_stock_rule(enum bt_stock_rule_code code)
{
    if ((int)code < 0 || code >= BT_STOCK_RULE_COUNT)
        return NULL;
    return &rules[code];
}

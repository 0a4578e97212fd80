/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_STOCK_RULES_H
#define BENCHTRUE_FIT_STOCK_RULES_H

#include <stddef.h>

#include "benchtrue/export.h"

/*
 * The quarter system of rough stock, and rules for surfacing it: made from
 * reference/quarters.csv and stock_rules.csv when the program is built.
 */
struct bt_quarter {
    const char *name; /* `4/4`: rough thickness in quarters of an inch; under 4/4 in
                         inches, as `5/8` */
    double rough;     /* mm */
    double one_side;  /* usual thickness surfaced on one side, mm; NaN none published */
    double two_sides; /* on both, mm */
    const char *source;
};

BT_API size_t bt_quarter_count(void);

/* Thinnest first; NULL beyond the last. */
BT_API const struct bt_quarter *bt_quarter_at(size_t i);

/* NULL for a name that is not in the table. */
BT_API const struct bt_quarter *bt_quarter_find(const char *name, size_t length);

/* The thinnest rough size that usually yields that thickness, mm, surfaced on both
 * sides; NULL where none does, or the thickness is NaN. */
BT_API const struct bt_quarter *bt_quarter_for(double thickness);

#define BT_STOCK_RULE_LIST(X)                                                          \
    X(BT_RULE_JOINTER_LENGTH, "least length for the jointer")     /* mm */             \
    X(BT_RULE_PLANER_LENGTH, "least length for the planer")       /* mm */             \
    X(BT_RULE_PLANER_THICKNESS, "least thickness for the planer") /* mm */             \
    X(BT_RULE_SCANT, "scant of kiln-dried rough stock")           /* mm */             \
    X(BT_RULE_METER_PRECISION, "precision of a moisture meter")   /* % */              \
    X(BT_RULE_METER_MOST, "most moisture that a meter reads")     /* % */

#define BT_STOCK_RULE_CODE(code, name) code,
enum bt_stock_rule_code { BT_STOCK_RULE_LIST(BT_STOCK_RULE_CODE) BT_STOCK_RULE_COUNT };
#undef BT_STOCK_RULE_CODE

struct bt_stock_rule {
    const char *name;
    double value; /* mm or percent */
    const char *source;
};

/* NULL for a number outside the list. */
BT_API const struct bt_stock_rule *bt_stock_rule(enum bt_stock_rule_code code);

#endif

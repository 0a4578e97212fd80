/* SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Run while the program is built: make_joint_rules joint_rules.csv OUT.inc makes the
 * rows of a C table of struct bt_joint_rule, in the order of BT_JOINT_RULE_LIST, each
 * of which must be there once.  A bad row is refused with file and line, and nothing is
 * written.  Exit status 0, 1 for a fault, 2 for a wrong call.
 */
#include <string.h>

#include "benchtrue/joint/rules.h"
#include "make/table.h"

enum { RULE, VALUE, UNIT, STATUS, SOURCE, NOTE, COLUMNS };

static const char *const column_names[COLUMNS] = {"rule",   "value",  "unit",
                                                  "status", "source", "note"};

#define RULE_NAME(code, name) name,
static const char *const rule_names[BT_JOINT_RULE_COUNT] = {
    BT_JOINT_RULE_LIST(RULE_NAME)};

/* What the code takes each to be in. */
static const char *const units[BT_JOINT_RULE_COUNT] = {
    "MPa", "MPa", "kg/m3", "kg/m3", "mm", "mm", "1", "1", "K"};

struct rule {
    bool there;
    double value;
    char status[TABLE_CELL], source[TABLE_CELL];
};

struct maker {
    struct table table;
    struct rule rule[BT_JOINT_RULE_COUNT];
};

static void take_row(struct table *t, void *data)
{
    struct maker *m = data;
    size_t at = table_index(BT_JOINT_RULE_COUNT, rule_names, t->cell[RULE]);
    struct rule *rule;

    if (at == BT_JOINT_RULE_COUNT) {
        table_fault(t, "unknown rule", t->cell[RULE]);
        return;
    }
    rule = &m->rule[at];
    if (rule->there)
        table_fault(t, "the rule is there already", t->cell[RULE]);
    if (!table_decimal(t->cell[VALUE], &rule->value) || !(rule->value > 0.0))
        table_fault(t, "value must be a number above 0", t->cell[VALUE]);
    if (strcmp(t->cell[UNIT], units[at]) != 0)
        table_fault(t, "the unit of this rule is another", t->cell[UNIT]);
    table_check_source(t, t->cell[STATUS], t->cell[SOURCE]);
    strcpy(rule->status, t->cell[STATUS]);
    strcpy(rule->source, t->cell[SOURCE]);
    rule->there = true;
}

static void put_rules(FILE *out, const void *data)
{
    const struct maker *m = data;

    fputs("/* Made by make_joint_rules from reference/joint_rules.csv; edit that. */\n",
          out);
    for (size_t i = 0; i < BT_JOINT_RULE_COUNT; i++) {
        fputs("    {", out);
        table_put_text(out, rule_names[i]);
        fputs(", ", out);
        table_put_number(out, m->rule[i].value);
        fputs(", ", out);
        table_put_text(out, units[i]);
        fputs(", ", out);
        table_put_text(out, m->rule[i].status);
        fputs(", ", out);
        table_put_text(out, m->rule[i].source);
        fputs("},\n", out);
    }
}

static bool make(void *maker, char **argv)
{
    struct maker *m = maker;

    if (!table_read_as(&m->table, argv[1], COLUMNS, column_names, take_row, m))
        return false;
    for (size_t i = 0; i < BT_JOINT_RULE_COUNT; i++)
        if (!m->rule[i].there)
            table_fault(&m->table, "the rule is missing", rule_names[i]);
    return !m->table.failed && table_write(argv[2], put_rules, m);
}

int main(int argc, char **argv)
{
    static const struct table_tool tool = {"make_joint_rules", "TABLE.csv", 1,
                                           sizeof(struct maker), make};

    return table_tool_run(&tool, argc, argv);
}

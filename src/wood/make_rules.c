/* SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Run while the program is built: make_rules wood_rules.csv emc_equation.csv OUT.inc
 * makes the constants of the wood room that are not about one species: rules[] in the
 * order of BT_WOOD_RULE_LIST, each of which must be there once, and emc[4][3], the
 * coefficients of the equilibrium moisture for degrees Celsius.  A bad row is refused
 * with file and line, and nothing is written.  Exit status 0, 1 for a fault, 2 for a
 * wrong call.
 */
#include <string.h>

#include "benchtrue/wood/wood.h"
#include "make/table.h"

enum { RULE, VALUE, UNIT, STATUS, SOURCE, NOTE, RULE_COLUMNS };
enum { OF_T, PARAMETER, A0, A1, A2, EMC_STATUS, EMC_SOURCE, EMC_NOTE, EMC_COLUMNS };
enum { PARAMETERS = 4 };

static const char *const rule_columns[RULE_COLUMNS] = {"rule",   "value",  "unit",
                                                       "status", "source", "note"};
static const char *const emc_columns[EMC_COLUMNS] = {
    "unit_of_T",   "parameter", "a0",     "a1_times_T",
    "a2_times_T2", "status",    "source", "note"};
static const char *const parameters[PARAMETERS] = {"W", "K", "K1", "K2"};

#define RULE_NAME(code, name) name,
static const char *const rule_names[BT_WOOD_RULE_COUNT] = {
    BT_WOOD_RULE_LIST(RULE_NAME)};

struct rule {
    bool there;
    double value;
    char unit[TABLE_CELL], status[TABLE_CELL], source[TABLE_CELL];
};

struct maker {
    struct table table;
    struct rule rule[BT_WOOD_RULE_COUNT];
    bool has[PARAMETERS];
    double emc[PARAMETERS][3];
};

static void take_rule(struct table *t, void *data)
{
    struct maker *m = data;
    size_t at = table_index(BT_WOOD_RULE_COUNT, rule_names, t->cell[RULE]);
    struct rule *rule;

    if (at == BT_WOOD_RULE_COUNT) {
        table_fault(t, "unknown rule", t->cell[RULE]);
        return;
    }
    rule = &m->rule[at];
    if (rule->there)
        table_fault(t, "the rule is there already", t->cell[RULE]);
    if (!table_decimal(t->cell[VALUE], &rule->value) || !(rule->value > 0.0))
        table_fault(t, "value must be a number above 0", t->cell[VALUE]);
    if (!t->cell[UNIT][0])
        table_fault(t, "the unit is missing", t->cell[RULE]);
    table_check_source(t, t->cell[STATUS], t->cell[SOURCE]);
    strcpy(rule->unit, t->cell[UNIT]);
    strcpy(rule->status, t->cell[STATUS]);
    strcpy(rule->source, t->cell[SOURCE]);
    rule->there = true;
}

static void take_emc(struct table *t, void *data)
{
    struct maker *m = data;
    size_t at = table_index(PARAMETERS, parameters, t->cell[PARAMETER]);

    if (!table_status_known(t->cell[EMC_STATUS]))
        table_fault(t, "unknown status", t->cell[EMC_STATUS]);
    if (!t->cell[EMC_SOURCE][0])
        table_fault(t, "the source is missing for status", t->cell[EMC_STATUS]);
    if (strcmp(t->cell[OF_T], "degC") != 0)
        return;
    if (at == PARAMETERS) {
        table_fault(t, "parameter must be W, K, K1 or K2", t->cell[PARAMETER]);
        return;
    }
    if (m->has[at])
        table_fault(t, "the parameter is there already", t->cell[PARAMETER]);
    for (size_t i = 0; i < 3; i++)
        if (!table_decimal(t->cell[A0 + i], &m->emc[at][i]))
            table_fault(t, "a coefficient must be a number", t->cell[A0 + i]);
    m->has[at] = true;
}

static void put_rules(FILE *out, const void *data)
{
    const struct maker *m = data;

    fputs("/* Made by make_rules from reference/wood_rules.csv and emc_equation.csv;\n"
          " * edit those. */\n"
          "static const struct bt_wood_rule rules[BT_WOOD_RULE_COUNT] = {\n",
          out);
    for (size_t i = 0; i < BT_WOOD_RULE_COUNT; i++) {
        fputs("    {", out);
        table_put_text(out, rule_names[i]);
        fputs(", ", out);
        table_put_number(out, m->rule[i].value);
        fputs(", ", out);
        table_put_text(out, m->rule[i].unit);
        fputs(", ", out);
        table_put_text(out, m->rule[i].status);
        fputs(", ", out);
        table_put_text(out, m->rule[i].source);
        fputs("},\n", out);
    }
    fputs("};\nstatic const double emc[4][3] = {\n", out);
    for (size_t i = 0; i < PARAMETERS; i++) {
        fputs("    {", out);
        for (size_t j = 0; j < 3; j++) {
            fputs(j ? ", " : "", out);
            table_put_number(out, m->emc[i][j]);
        }
        fputs("},\n", out);
    }
    fputs("};\n", out);
}

static bool make(void *maker, char **argv)
{
    struct maker *m = maker;

    if (!table_read_as(&m->table, argv[1], RULE_COLUMNS, rule_columns, take_rule, m))
        return false;
    for (size_t i = 0; i < BT_WOOD_RULE_COUNT; i++)
        if (!m->rule[i].there)
            table_fault(&m->table, "the rule is missing", rule_names[i]);
    if (m->table.failed ||
        !table_read_as(&m->table, argv[2], EMC_COLUMNS, emc_columns, take_emc, m))
        return false;
    for (size_t i = 0; i < PARAMETERS; i++)
        if (!m->has[i])
            table_fault(&m->table, "the parameter is missing for degC", parameters[i]);
    return !m->table.failed && table_write(argv[3], put_rules, m);
}

int main(int argc, char **argv)
{
    static const struct table_tool tool = {
        "make_rules", "wood_rules.csv emc_equation.csv", 2, sizeof(struct maker), make};

    return table_tool_run(&tool, argc, argv);
}

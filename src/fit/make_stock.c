/* SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Run while the program is built: make_stock quarters.csv stock_rules.csv OUT.inc makes
 * the C tables `quarters` (thinnest first) and `rules` (in the order of
 * BT_STOCK_RULE_LIST).  Inches become mm.  A bad row is refused with file and line, and
 * nothing is written.  Exit status 0, 1 for a fault, 2 for a wrong call.
 */
#include <math.h>
#include <string.h>

#include "benchtrue/fit/stock_rules.h"
#include "make/table.h"

#define INCH 25.4

enum { NOMINAL, ROUGH, ONE_SIDE, TWO_SIDES, Q_UNIT, Q_STATUS, Q_SOURCE, Q_NOTE, Q_ALL };
static const char *const quarter_columns[Q_ALL] = {
    "nominal", "rough", "one_side", "two_sides", "unit", "status", "source", "note"};

enum { RULE, VALUE, R_UNIT, R_STATUS, R_SOURCE, R_NOTE, R_ALL };
static const char *const rule_columns[R_ALL] = {"rule",   "value",  "unit",
                                                "status", "source", "note"};

#define RULE_NAME(code, name) name,
static const char *const rule_names[BT_STOCK_RULE_COUNT] = {
    BT_STOCK_RULE_LIST(RULE_NAME)};
static const char *const rule_units[BT_STOCK_RULE_COUNT] = {"in", "in", "in",
                                                            "in", "%",  "%"};

enum { MAX_QUARTERS = 32 };

struct row {
    bool there;
    char name[TABLE_CELL], source[2 * TABLE_CELL + 4];
    double value[3]; /* rough, one side, two sides; of a rule the first alone */
};

struct maker {
    struct table table, rule_table;
    size_t nquarter;
    struct row quarter[MAX_QUARTERS], rule[BT_STOCK_RULE_COUNT];
};

static void take_source(struct table *t, struct row *row, int status, int source)
{
    table_check_source(t, t->cell[status], t->cell[source]);
    strcpy(row->source, t->cell[source]);
    strcat(row->source, "; ");
    strcat(row->source, t->cell[status]);
}

static double length(struct table *t, int column)
{
    double inches = 0;

    if (!table_decimal(t->cell[column], &inches) || !(inches > 0))
        table_fault(t, "value must be a number above 0", t->cell[column]);
    return inches * INCH;
}

static void take_quarter(struct table *t, void *data)
{
    struct maker *m = data;
    struct row *row = &m->quarter[m->nquarter];

    if (m->nquarter == MAX_QUARTERS) {
        table_fault(t, "too many sizes", t->cell[NOMINAL]);
        return;
    }
    if (strcmp(t->cell[Q_UNIT], "in") != 0)
        table_fault(t, "the unit of this table is in", t->cell[Q_UNIT]);
    strcpy(row->name, t->cell[NOMINAL]);
    row->value[0] = length(t, ROUGH);
    row->value[1] = *t->cell[ONE_SIDE] ? length(t, ONE_SIDE) : (double)NAN;
    row->value[2] = length(t, TWO_SIDES);
    if (row->value[1] >= row->value[0] || !(row->value[2] < row->value[0]) ||
        row->value[2] > row->value[1])
        table_fault(t, "surfaced thicker than it was", t->cell[NOMINAL]);
    if (m->nquarter && !(row->value[0] > row[-1].value[0]))
        table_fault(t, "sizes go from thin to thick", t->cell[NOMINAL]);
    take_source(t, row, Q_STATUS, Q_SOURCE);
    m->nquarter++;
}

static void take_rule(struct table *t, void *data)
{
    struct maker *m = data;
    size_t at = table_index(BT_STOCK_RULE_COUNT, rule_names, t->cell[RULE]);
    struct row *row;

    if (at == BT_STOCK_RULE_COUNT) {
        table_fault(t, "unknown rule", t->cell[RULE]);
        return;
    }
    row = &m->rule[at];
    if (row->there)
        table_fault(t, "the rule is there already", t->cell[RULE]);
    if (strcmp(t->cell[R_UNIT], rule_units[at]) != 0)
        table_fault(t, "the unit of this rule is another", t->cell[R_UNIT]);
    row->value[0] = length(t, VALUE);
    if (strcmp(rule_units[at], "%") == 0)
        row->value[0] /= INCH;
    strcpy(row->name, rule_names[at]);
    take_source(t, row, R_STATUS, R_SOURCE);
    row->there = true;
}

static void put_row(FILE *out, const struct row *row, int nvalue)
{
    fputs("    {", out);
    table_put_text(out, row->name);
    for (int i = 0; i < nvalue; i++) {
        fputs(", ", out);
        table_put_number(out, row->value[i]);
    }
    fputs(", ", out);
    table_put_text(out, row->source);
    fputs("},\n", out);
}

static void put_tables(FILE *out, const void *data)
{
    const struct maker *m = data;

    fputs("/* Made by make_stock from reference/quarters.csv and stock_rules.csv; edit "
          "those. */\nstatic const struct bt_quarter quarters[] = {\n",
          out);
    for (size_t i = 0; i < m->nquarter; i++)
        put_row(out, &m->quarter[i], 3);
    fputs("};\nstatic const struct bt_stock_rule rules[BT_STOCK_RULE_COUNT] = {\n",
          out);
    for (size_t i = 0; i < BT_STOCK_RULE_COUNT; i++)
        put_row(out, &m->rule[i], 1);
    fputs("};\n", out);
}

static bool make(void *maker, char **argv)
{
    struct maker *m = maker;

    if (!table_read_as(&m->table, argv[1], Q_ALL, quarter_columns, take_quarter, m) ||
        !table_read_as(&m->rule_table, argv[2], R_ALL, rule_columns, take_rule, m))
        return false;
    if (m->nquarter == 0)
        table_fault(&m->table, "no size", "");
    for (size_t i = 0; i < BT_STOCK_RULE_COUNT; i++)
        if (!m->rule[i].there)
            table_fault(&m->rule_table, "the rule is missing", rule_names[i]);
    return !m->table.failed && !m->rule_table.failed &&
           table_write(argv[3], put_tables, m);
}

int main(int argc, char **argv)
{
    static const struct table_tool tool = {"make_stock", "QUARTERS.csv RULES.csv", 2,
                                           sizeof(struct maker), make};

    return table_tool_run(&tool, argc, argv);
}

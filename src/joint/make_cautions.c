/* SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Run while the program is built: make_cautions cautions.csv OUT.inc makes the rows of
 * a C table of struct bt_caution, in the order of the table.  A bad row is refused with
 * file and line, and nothing is written.  Exit status 0, 1 for a fault, 2 for a wrong
 * call.
 */
#include <math.h>
#include <string.h>

#include "benchtrue/joint/cautions.h"
#include "make/table.h"

enum { WHEN, LENGTH, WIDTH, THICKNESS, UNIT, STATUS, SOURCE, TEXT, NOTE, COLUMNS };

enum { MAX_CAUTIONS = 64, SIZES = 3, VERBS = 6 };

static const char *const column_names[COLUMNS] = {
    "when", "length", "width", "thickness", "unit", "status", "source", "text", "note"};

/* In the order of the bits of enum bt_caution_when. */
static const char *const verbs[VERBS] = {"fence", "edges",  "glueup",
                                         "stock", "decide", "cut"};

struct caution {
    char text[TABLE_CELL], source[2 * TABLE_CELL + 4];
    unsigned when;
    double least[SIZES]; /* mm; NaN: none */
};

struct maker {
    struct table table;
    size_t ncaution;
    struct caution caution[MAX_CAUTIONS];
};

/* Words with one blank between them; 0 after a fault. */
static unsigned read_when(struct table *t)
{
    char words[TABLE_CELL];
    unsigned when = 0;

    strcpy(words, t->cell[WHEN]);
    for (char *word = words, *end; word; word = end) {
        size_t at;

        end = strchr(word, ' ');
        if (end)
            *end++ = '\0';
        at = table_index(VERBS, verbs, word);
        if (at == VERBS || when & 1u << at) {
            table_fault(t,
                        "when must be some of fence, edges, glueup, stock, decide, cut",
                        t->cell[WHEN]);
            return 0;
        }
        when |= 1u << at;
    }
    return when;
}

static double read_size(struct table *t, size_t column, double unit)
{
    double size;

    if (!t->cell[column][0])
        return NAN;
    if (!table_decimal(t->cell[column], &size) || !(size > 0.0)) {
        table_fault(t, "a size must be empty or a number above 0", t->cell[column]);
        return NAN;
    }
    return size * unit;
}

static void take_row(struct table *t, void *data)
{
    struct maker *m = data;
    struct caution *caution = &m->caution[m->ncaution];
    double unit = strcmp(t->cell[UNIT], "in") == 0 ? 25.4 : 1.0;

    if (m->ncaution == MAX_CAUTIONS) {
        table_fault(t, "too many cautions", t->cell[TEXT]);
        return;
    }
    if (unit == 1.0 && strcmp(t->cell[UNIT], "mm") != 0)
        table_fault(t, "unit must be mm or in", t->cell[UNIT]);
    if (!t->cell[TEXT][0])
        table_fault(t, "the text is missing", t->cell[WHEN]);
    table_check_source(t, t->cell[STATUS], t->cell[SOURCE]);
    caution->when = read_when(t);
    for (size_t i = 0; i < SIZES; i++)
        caution->least[i] = read_size(t, LENGTH + i, unit);
    strcpy(caution->text, t->cell[TEXT]);
    snprintf(caution->source, sizeof caution->source, "%s%s%s", t->cell[SOURCE],
             t->cell[SOURCE][0] ? "; " : "", t->cell[STATUS]);
    m->ncaution++;
}

static void put_cautions(FILE *out, const void *data)
{
    const struct maker *m = data;

    fputs("/* Made by make_cautions from reference/cautions.csv; edit that. */\n", out);
    for (size_t i = 0; i < m->ncaution; i++) {
        fputs("    {", out);
        table_put_text(out, m->caution[i].text);
        fputs(",\n     ", out);
        table_put_text(out, m->caution[i].source);
        fprintf(out, ",\n     %u", m->caution[i].when);
        for (size_t k = 0; k < SIZES; k++) {
            fputs(", ", out);
            table_put_number(out, m->caution[i].least[k]);
        }
        fputs("},\n", out);
    }
}

static bool make(void *maker, char **argv)
{
    struct maker *m = maker;

    if (!table_read_as(&m->table, argv[1], COLUMNS, column_names, take_row, m))
        return false;
    if (m->ncaution == 0) {
        table_fault(&m->table, "there is no caution in the table", "");
        return false;
    }
    return table_write(argv[2], put_cautions, m);
}

int main(int argc, char **argv)
{
    static const struct table_tool tool = {"make_cautions", "TABLE.csv", 1,
                                           sizeof(struct maker), make};

    return table_tool_run(&tool, argc, argv);
}

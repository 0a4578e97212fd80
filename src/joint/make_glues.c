/* SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Run while the program is built: make_glues glues.csv OUT.inc makes the rows of a C
 * table of struct bt_glue, one a glue, in the order in which the glues first come.  A
 * figure that is not there is NaN.  A bad row is refused with file and line, and
 * nothing is written.  Exit status 0, 1 for a fault, 2 for a wrong call.
 */
#include <math.h>
#include <string.h>

#include "make/table.h"

enum { GLUE, FIGURE, VALUE, UNIT, STATUS, SOURCE, NOTE, COLUMNS };

/* In the order of the members of struct bt_glue. */
enum { GAP, OPEN, OPEN_AT, CLAMP, FULL, SURFACE, LEAST_AT, FIGURES };

enum { MAX_GLUES = 32, NAME_ROOM = 32 };

static const char *const column_names[COLUMNS] = {"glue",   "figure", "value", "unit",
                                                  "status", "source", "note"};
static const char *const figure_names[FIGURES] = {
    "gap",       "open time",    "open temperature", "clamp time",
    "full time", "surface time", "least temperature"};
static const char *const units[FIGURES] = {"mm", "min", "degC", "min",
                                           "h",  "d",   "degC"};

struct glue {
    char name[NAME_ROOM];
    double value[FIGURES]; /* NaN: none */
    char source[FIGURES][2 * TABLE_CELL + 4];
};

struct maker {
    struct table table;
    size_t nglue;
    struct glue glue[MAX_GLUES];
};

static double read_value(struct table *t, size_t figure)
{
    double value = 0.0;

    if (!table_decimal(t->cell[VALUE], &value) || !(value > 0.0))
        table_fault(t, "value must be a number above 0", t->cell[VALUE]);
    if (strcmp(t->cell[UNIT], units[figure]) != 0)
        table_fault(t, "the unit of this figure is another", t->cell[UNIT]);
    return value;
}

static bool name_fits(const char *name)
{
    size_t length = strlen(name);

    return length > 0 && length < NAME_ROOM && name[0] != ' ' &&
           name[length - 1] != ' ';
}

/* The glue of the row, begun where it is new; NULL when there are too many. */
static struct glue *glue_of(struct maker *m, const char *name)
{
    struct glue *glue = &m->glue[m->nglue];

    for (size_t i = 0; i < m->nglue; i++)
        if (strcmp(m->glue[i].name, name) == 0)
            return &m->glue[i];
    if (m->nglue == MAX_GLUES)
        return NULL;
    strcpy(glue->name, name);
    for (size_t i = 0; i < FIGURES; i++)
        glue->value[i] = NAN;
    m->nglue++;
    return glue;
}

static void take_row(struct table *t, void *data)
{
    size_t figure = table_index(FIGURES, figure_names, t->cell[FIGURE]);
    struct glue *glue;

    if (!name_fits(t->cell[GLUE]))
        table_fault(t, "glue must have 1 to 31 characters", t->cell[GLUE]);
    if (figure == FIGURES)
        table_fault(t, "unknown figure", t->cell[FIGURE]);
    table_check_source(t, t->cell[STATUS], t->cell[SOURCE]);
    if (t->failed)
        return;
    glue = glue_of(data, t->cell[GLUE]);
    if (!glue) {
        table_fault(t, "too many glues", t->cell[GLUE]);
    } else if (!isnan(glue->value[figure])) {
        table_fault(t, "the glue has this figure already", t->cell[FIGURE]);
    } else {
        glue->value[figure] = read_value(t, figure);
        snprintf(glue->source[figure], sizeof glue->source[figure], "%s%s%s",
                 t->cell[SOURCE], t->cell[SOURCE][0] ? "; " : "", t->cell[STATUS]);
    }
}

static void put_glues(FILE *out, const void *data)
{
    const struct maker *m = data;

    fputs("/* Made by make_glues from reference/glues.csv; edit that. */\n", out);
    for (size_t i = 0; i < m->nglue; i++) {
        fputs("    {", out);
        table_put_text(out, m->glue[i].name);
        for (size_t k = 0; k < FIGURES; k++) {
            fputs(",\n     {", out);
            table_put_number(out, m->glue[i].value[k]);
            fputs(", ", out);
            table_put_text(out, m->glue[i].source[k]);
            fputs("}", out);
        }
        fputs("},\n", out);
    }
}

static bool make(void *maker, char **argv)
{
    struct maker *m = maker;

    if (!table_read_as(&m->table, argv[1], COLUMNS, column_names, take_row, m))
        return false;
    if (m->nglue == 0) {
        table_fault(&m->table, "there is no glue in the table", "");
        return false;
    }
    return table_write(argv[2], put_glues, m);
}

int main(int argc, char **argv)
{
    static const struct table_tool tool = {"make_glues", "TABLE.csv", 1,
                                           sizeof(struct maker), make};

    return table_tool_run(&tool, argc, argv);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Run while the program is built: make_bands TABLE.csv OUT.inc turns
 * reference/use_bands.csv into the rows of a C table of struct bt_band, one a use,
 * in the order in which the uses first come.  A bad row is refused with file and
 * line, and nothing is written.  Exit status 0, 1 for a fault, 2 for a wrong call.
 */
#include <math.h>
#include <string.h>

#include "benchtrue/judge/limits.h"
#include "make/table.h"

enum column { USE, FIGURE, LIMIT, UNIT, STATUS, SOURCE, NOTE, COLUMNS };

enum { MAX_BANDS = 64 };

static const char *const column_names[COLUMNS] = {"use",    "figure", "limit", "unit",
                                                  "status", "source", "note"};

#define FIGURE_NAME(code, name) name,
static const char *const figure_names[BT_FIGURE_COUNT] = {BT_FIGURE_LIST(FIGURE_NAME)};

struct band {
    char use[TABLE_CELL];
    double limit[BT_FIGURE_COUNT]; /* NaN: none */
    char source[BT_FIGURE_COUNT][2 * TABLE_CELL + 4];
};

struct maker {
    struct table table;
    size_t nband;
    struct band band[MAX_BANDS];
};

/* The limit in mm; 0 after a fault. */
static double read_limit(struct table *t)
{
    double limit;

    if (!table_decimal(t->cell[LIMIT], &limit) || !(limit > 0.0)) {
        table_fault(t, "limit must be a number above 0", t->cell[LIMIT]);
        return 0.0;
    }
    if (strcmp(t->cell[UNIT], "in") == 0)
        return limit * 25.4;
    if (strcmp(t->cell[UNIT], "mm") != 0)
        table_fault(t, "unit must be mm or in", t->cell[UNIT]);
    return limit;
}

static void check_use(struct table *t)
{
    const char *use = t->cell[USE];
    size_t length = strlen(use);

    if (length == 0 || length >= sizeof((struct bt_limits *)0)->use)
        table_fault(t, "use must have 1 to 31 characters", use);
    else if (strspn(use, "abcdefghijklmnopqrstuvwxyz ") != length || use[0] == ' ' ||
             use[length - 1] == ' ')
        table_fault(t, "use must be lower-case words", use);
}

/* The band of the row's use, begun where it is new; NULL when there are too many. */
static struct band *band_of(struct maker *m, const char *use)
{
    struct band *band = &m->band[m->nband];

    for (size_t i = 0; i < m->nband; i++)
        if (strcmp(m->band[i].use, use) == 0)
            return &m->band[i];
    if (m->nband == MAX_BANDS)
        return NULL;
    strcpy(band->use, use);
    for (size_t i = 0; i < BT_FIGURE_COUNT; i++)
        band->limit[i] = NAN;
    m->nband++;
    return band;
}

static void take_row(struct table *t, void *data)
{
    size_t figure = table_index(BT_FIGURE_COUNT, figure_names, t->cell[FIGURE]);
    double limit = read_limit(t);
    struct band *band;

    check_use(t);
    table_check_source(t, t->cell[STATUS], t->cell[SOURCE]);
    /* `local` needs a span, for which the table has no column. */
    if (figure == BT_FIGURE_COUNT || figure == BT_FIGURE_LOCAL)
        table_fault(t, "figure must be cup, bow, twist, range or zone",
                    t->cell[FIGURE]);
    if (t->failed)
        return;
    band = band_of(data, t->cell[USE]);
    if (!band) {
        table_fault(t, "too many uses", t->cell[USE]);
    } else if (!isnan(band->limit[figure])) {
        table_fault(t, "the use has this figure already", t->cell[FIGURE]);
    } else {
        band->limit[figure] = limit;
        snprintf(band->source[figure], sizeof band->source[figure], "%s%s%s",
                 t->cell[SOURCE], t->cell[SOURCE][0] ? "; " : "", t->cell[STATUS]);
    }
}

static void put_band(FILE *out, const struct band *band)
{
    fputs("    {", out);
    table_put_text(out, band->use);
    fputs(", {", out);
    for (size_t i = 0; i < BT_FIGURE_COUNT; i++) {
        fputs(i ? ", " : "", out);
        table_put_number(out, band->limit[i]);
    }
    fputs("},\n     {", out);
    for (size_t i = 0; i < BT_FIGURE_COUNT; i++) {
        fputs(i ? ",\n      " : "", out);
        table_put_text(out, band->source[i]);
    }
    fputs("}},\n", out);
}

static void put_bands(FILE *out, const void *data)
{
    const struct maker *m = data;

    fputs("/* Made by make_bands from reference/use_bands.csv; edit that. */\n", out);
    for (size_t i = 0; i < m->nband; i++)
        put_band(out, &m->band[i]);
}

static bool make(void *maker, char **argv)
{
    struct maker *m = maker;

    if (!table_read_as(&m->table, argv[1], COLUMNS, column_names, take_row, m))
        return false;
    if (m->nband == 0) {
        table_fault(&m->table, "there is no band in the table", "");
        return false;
    }
    return table_write(argv[2], put_bands, m);
}

int main(int argc, char **argv)
{
    static const struct table_tool tool = {"make_bands", "TABLE.csv", 1,
                                           sizeof(struct maker), make};

    return table_tool_run(&tool, argc, argv);
}

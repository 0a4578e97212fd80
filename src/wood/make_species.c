/* SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Run while the program is built: make_species shrinkage.csv dimensional_change.csv
 * mechanical.csv OUT.inc joins the three tables by the name of the species (join.h
 * where the names differ) and makes the rows of a C table of struct bt_species in the
 * order of the alphabet.  A bad row, a name of join.h that no row carries and a species
 * made twice are refused, and nothing is written.  Exit status 0, 1 for a fault, 2 for
 * a wrong call.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "make/table.h"
#include "wood/join.h"

/* Values in the order of struct bt_species. */
enum slot {
    SHRINK_R,
    SHRINK_T,
    C_R,
    C_T,
    SATURATION,
    GRAVITY,
    MOE,
    RATIO_T,
    RATIO_R,
    C_PERP,
    SLOTS
};

enum { SHRINKAGE, CHANGE, MECHANICAL, TABLES };
enum { MAX_ROWS = 256, MAX_SPECIES = 320, NO_COLUMN = TABLE_COLUMNS };

static const size_t home[SLOTS] = {SHRINKAGE,  SHRINKAGE,  CHANGE,     CHANGE,
                                   CHANGE,     MECHANICAL, MECHANICAL, MECHANICAL,
                                   MECHANICAL, MECHANICAL};

static const char *const shrinkage_columns[] = {"species",
                                                "botanical_name",
                                                "group",
                                                "shrink_radial_pct",
                                                "shrink_tangential_pct",
                                                "shrink_volumetric_pct",
                                                "T_over_R",
                                                "status",
                                                "source_edition_table",
                                                "url_or_place",
                                                "note"};
static const char *const change_columns[] = {"species",
                                             "botanical_name",
                                             "group",
                                             "C_R_per_pct_MC",
                                             "C_T_per_pct_MC",
                                             "status_C_R",
                                             "status_C_T",
                                             "source_edition_table",
                                             "url_or_place",
                                             "shrinkage_row_used_for_check",
                                             "fsp_for_check_pct",
                                             "C_R_from_shrinkage",
                                             "C_T_from_shrinkage",
                                             "C_R_diff",
                                             "C_T_diff",
                                             "note"};
static const char *const mechanical_columns[] = {"species",
                                                 "SG_12pct",
                                                 "MOE_Mpsi",
                                                 "MOE_MPa",
                                                 "C_perp_psi",
                                                 "C_perp_kPa",
                                                 "unit_system_of_source",
                                                 "status_SG",
                                                 "status_MOE",
                                                 "status_C_perp",
                                                 "source_edition_table",
                                                 "url_or_place",
                                                 "E_T_over_E_L",
                                                 "E_R_over_E_L",
                                                 "status_ratios",
                                                 "source_ratios",
                                                 "note"};

/* Where a table has a value, and its status and source. */
struct field {
    enum slot slot;
    size_t value, status, source;
    double scale;
};

static const struct field shrinkage_fields[] = {{SHRINK_R, 3, 7, 8, 1},
                                                {SHRINK_T, 4, 7, 8, 1}};
static const struct field change_fields[] = {{C_R, 3, 5, 7, 1}, {C_T, 4, 6, 7, 1}};
static const struct field mechanical_fields[] = {{GRAVITY, 1, 7, 10, 1},
                                                 {MOE, 3, 8, 10, 1},
                                                 {C_PERP, 5, 9, 10, 1e-3},
                                                 {RATIO_T, 12, 14, 15, 1},
                                                 {RATIO_R, 13, 14, 15, 1}};

static const struct {
    size_t ncolumn, nfield;
    const char *const *column;
    const struct field *field;
    size_t botanical, group, note;
} layout[TABLES] = {
    {11, 2, shrinkage_columns, shrinkage_fields, 1, 2, 10},
    {16, 2, change_columns, change_fields, 1, 2, 15},
    {17, 5, mechanical_columns, mechanical_fields, NO_COLUMN, NO_COLUMN, 16},
};

struct value {
    double value;
    char status[80], source[120];
};

struct row {
    char name[80], botanical[60], group[40], note[TABLE_CELL];
    bool used; /* by join.h or by a species of the same name */
    struct value v[SLOTS];
};

struct species {
    const char *name;
    const char *botanical, *group; /* NULL: of its rows */
    const struct row *row[TABLES]; /* NULL: none */
};

struct maker {
    struct table table;
    size_t reading; /* table in hand */
    size_t nrow[TABLES];
    struct row row[TABLES][MAX_ROWS];
    size_t nspecies;
    struct species species[MAX_SPECIES];
};

static bool about_species(const char *name)
{
    size_t n = sizeof not_species / sizeof *not_species;

    return table_index(n, not_species, name) == n;
}

static void copy(struct table *t, char *to, size_t room, const char *text)
{
    if (strlen(text) >= room)
        table_fault(t, "the text is too long here", text);
    else
        strcpy(to, text);
}

static void read_value(struct table *t, const struct field *f, struct value *v)
{
    const char *status = t->cell[f->status], *source = t->cell[f->source];

    v->value = NAN;
    if (!t->cell[f->value][0])
        return;
    if (!table_decimal(t->cell[f->value], &v->value) || !(v->value > 0.0)) {
        table_fault(t, "must be a number above 0", t->cell[f->value]);
        return;
    }
    v->value *= f->scale;
    if (!table_status_known(status))
        table_fault(t, "unknown status", status);
    else if (!*source)
        table_fault(t, "the source is missing for status", status);
    copy(t, v->status, sizeof v->status, status);
    copy(t, v->source, sizeof v->source, source);
}

/* A saturation other than the usual one is a footnote of the table of coefficients,
 * which has no status of its own: its rows say `from memory` in their note. */
static void read_saturation(struct table *t, struct value *v)
{
    double percent = 30.0;

    v->value = NAN;
    if (t->cell[10][0] && !table_decimal(t->cell[10], &percent))
        table_fault(t, "must be a number above 0", t->cell[10]);
    if (!(percent < 30.0))
        return;
    v->value = percent;
    strcpy(v->status, "from memory");
    strcpy(v->source, "FPL-GTR-190 (2010), Table 13-5, footnote");
}

static void take_row(struct table *t, void *data)
{
    struct maker *m = data;
    size_t at = m->reading;
    struct row *row;

    if (!about_species(t->cell[0]))
        return;
    for (size_t i = 0; i < m->nrow[at]; i++)
        if (strcmp(m->row[at][i].name, t->cell[0]) == 0)
            table_fault(t, "the species has a row already", t->cell[0]);
    if (m->nrow[at] == MAX_ROWS)
        table_fault(t, "too many rows", t->cell[0]);
    if (!t->cell[0][0])
        table_fault(t, "the species is missing", t->cell[0]);
    if (t->failed)
        return;
    row = &m->row[at][m->nrow[at]++];
    copy(t, row->name, sizeof row->name, t->cell[0]);
    if (layout[at].botanical != NO_COLUMN)
        copy(t, row->botanical, sizeof row->botanical, t->cell[layout[at].botanical]);
    if (layout[at].group != NO_COLUMN)
        copy(t, row->group, sizeof row->group, t->cell[layout[at].group]);
    copy(t, row->note, sizeof row->note, t->cell[layout[at].note]);
    for (size_t i = 0; i < layout[at].nfield; i++)
        read_value(t, &layout[at].field[i], &row->v[layout[at].field[i].slot]);
    if (at == CHANGE)
        read_saturation(t, &row->v[SATURATION]);
}

static struct row *row_of(struct maker *m, size_t at, const char *name)
{
    for (size_t i = 0; i < m->nrow[at]; i++)
        if (strcmp(m->row[at][i].name, name) == 0)
            return &m->row[at][i];
    return NULL;
}

static bool complain(const char *what, const char *text)
{
    fprintf(stderr, "make_species: %s: '%s'\n", what, text);
    return false;
}

static struct species *add(struct maker *m, const char *name)
{
    static const struct species none;
    struct species *s = &m->species[m->nspecies];

    for (size_t i = 0; i < m->nspecies; i++)
        if (strcmp(m->species[i].name, name) == 0) {
            complain("two species of the same name", name);
            return NULL;
        }
    if (m->nspecies == MAX_SPECIES) {
        complain("too many species", name);
        return NULL;
    }
    *s = none;
    s->name = name;
    m->nspecies++;
    return s;
}

static bool take_join(struct maker *m, const struct join *join)
{
    const char *const names[TABLES] = {join->shrinkage, join->change, join->mechanical};
    struct species *s = add(m, join->name);

    if (!s)
        return false;
    s->botanical = join->botanical;
    s->group = join->group;
    for (size_t at = 0; at < TABLES; at++) {
        struct row *row = names[at] ? row_of(m, at, names[at]) : NULL;
        if (names[at] && !row)
            return complain("join.h names a row that is not there", names[at]);
        if (row)
            row->used = true;
        s->row[at] = row;
    }
    return true;
}

/* Rows that join.h does not name go together by name. */
static bool take_same_names(struct maker *m, size_t first)
{
    for (size_t i = 0; i < m->nrow[first]; i++) {
        struct row *row = &m->row[first][i];
        struct species *s;
        if (row->used)
            continue;
        s = add(m, row->name);
        if (!s)
            return false;
        for (size_t at = first; at < TABLES; at++) {
            struct row *same = row_of(m, at, row->name);
            if (same && !same->used) {
                same->used = true;
                s->row[at] = same;
            }
        }
    }
    return true;
}

static int by_name(const void *a, const void *b)
{
    const struct species *p = a, *q = b;

    return strcmp(p->name, q->name);
}

static bool join_all(struct maker *m)
{
    for (size_t i = 0; i < sizeof joins / sizeof *joins; i++)
        if (!take_join(m, &joins[i]))
            return false;
    for (size_t at = 0; at < TABLES; at++)
        if (!take_same_names(m, at))
            return false;
    if (m->nspecies == 0)
        return complain("there is no species in the tables", "");
    qsort(m->species, m->nspecies, sizeof *m->species, by_name);
    return true;
}

/* The first that says anything. */
static const char *first_text(const struct species *s, size_t offset)
{
    for (size_t at = 0; at < TABLES; at++) {
        const char *text = s->row[at] ? (const char *)s->row[at] + offset : "";
        if (*text)
            return text;
    }
    return "";
}

static void put_notes(FILE *out, const struct species *s)
{
    char all[TABLES * TABLE_CELL + 8] = "";

    for (size_t at = 0; at < TABLES; at++)
        if (s->row[at] && s->row[at]->note[0]) {
            strcat(all, *all ? " " : "");
            strcat(all, s->row[at]->note);
        }
    table_put_text(out, all);
}

static void put_value(FILE *out, const struct species *s, size_t slot)
{
    const struct row *row = s->row[home[slot]];
    bool there = row && !isnan(row->v[slot].value);

    fputs("     {", out);
    table_put_number(out, there ? row->v[slot].value : NAN);
    fputs(", ", out);
    table_put_text(out, there ? row->name : "");
    fputs(", ", out);
    table_put_text(out, there ? row->v[slot].status : "");
    fputs(", ", out);
    table_put_text(out, there ? row->v[slot].source : "");
    fputs("},\n", out);
}

static void put_one(FILE *out, const struct species *s)
{
    const struct row *mechanical = s->row[MECHANICAL];

    fputs("    {", out);
    table_put_text(out, s->name);
    fputs(", ", out);
    table_put_text(out, s->botanical ? s->botanical
                                     : first_text(s, offsetof(struct row, botanical)));
    fputs(", ", out);
    table_put_text(out,
                   s->group ? s->group : first_text(s, offsetof(struct row, group)));
    fputs(",\n", out);
    for (size_t slot = 0; slot < SLOTS; slot++) {
        put_value(out, s, slot);
        if (slot == GRAVITY)
            fputs(mechanical && strstr(mechanical->note, "SG on green volume")
                      ? "     true,\n"
                      : "     false,\n",
                  out);
    }
    fputs("     ", out);
    put_notes(out, s);
    fputs("},\n", out);
}

static void put_species(FILE *out, const void *data)
{
    const struct maker *m = data;

    fputs("/* Made by make_species from reference/shrinkage.csv,\n"
          " * dimensional_change.csv and mechanical.csv; edit those. */\n",
          out);
    for (size_t i = 0; i < m->nspecies; i++)
        put_one(out, &m->species[i]);
}

static bool make(void *maker, char **argv)
{
    struct maker *m = maker;

    for (m->reading = 0; m->reading < TABLES; m->reading++) {
        if (!table_read_as(&m->table, argv[1 + m->reading], layout[m->reading].ncolumn,
                           layout[m->reading].column, take_row, m))
            return false;
    }
    return join_all(m) && table_write(argv[1 + TABLES], put_species, m);
}

int main(int argc, char **argv)
{
    static const struct table_tool tool = {
        "make_species", "shrinkage.csv dimensional_change.csv mechanical.csv", TABLES,
        sizeof(struct maker), make};

    return table_tool_run(&tool, argc, argv);
}

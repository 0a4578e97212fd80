/* SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Run while the program is built: make_bands TABLE.csv OUT.inc turns
 * reference/use_bands.csv into the rows of a C table of struct bt_band, one a use,
 * in the order in which the uses first come.  A bad row is refused with file and
 * line, and nothing is written.  Exit status 0, 1 for a fault, 2 for a wrong call.
 */
#include <csv.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/judge/limits.h"

enum column { USE, FIGURE, LIMIT, UNIT, STATUS, SOURCE, NOTE, COLUMNS };

enum { MAX_BANDS = 64, CELL = 400 };

static const char *const column_names[COLUMNS] = {"use",    "figure", "limit", "unit",
                                                  "status", "source", "note"};

#define FIGURE_NAME(code, name) name,
static const char *const figure_names[BT_FIGURE_COUNT] = {BT_FIGURE_LIST(FIGURE_NAME)};

static const char common[] = "common practice, no source";
static const char *const statuses[] = {"seen", "seen (secondary quotation)",
                                       "recomputed", "from memory", common};

struct band {
    char use[CELL];
    double limit[BT_FIGURE_COUNT]; /* 0: none */
    char source[BT_FIGURE_COUNT][2 * CELL + 4];
};

struct maker {
    const char *path;
    size_t line;   /* of the byte being read */
    size_t row;    /* line on which the row began */
    size_t column; /* cells of the row so far */
    char cell[COLUMNS][CELL];
    bool has_header, failed;
    size_t nband;
    struct band band[MAX_BANDS];
};

static void fault(struct maker *m, const char *what, const char *text)
{
    if (!m->failed)
        fprintf(stderr, "%s:%zu: %s: '%s'\n", m->path, m->row, what, text);
    m->failed = true;
}

static void take_cell(void *text, size_t length, void *data)
{
    struct maker *m = data;
    size_t at = m->column++;

    if (at >= COLUMNS)
        return; /* end_row says so */
    if (length >= CELL || memchr(text ? text : "", '\0', length)) {
        fault(m, "the cell is too long or holds a NUL", column_names[at]);
        length = 0;
    }
    if (length)
        memcpy(m->cell[at], text, length);
    m->cell[at][length] = '\0';
    for (const char *c = m->cell[at]; *c; c++)
        if (*c < ' ' || *c > '~')
            fault(m, "only printable ASCII can be used here", m->cell[at]);
}

static size_t index_of(size_t n, const char *const names[], const char *text)
{
    size_t i = 0;

    while (i < n && strcmp(names[i], text) != 0)
        i++;
    return i;
}

/* The limit in mm; 0 after a fault. */
static double read_limit(struct maker *m)
{
    const char *text = m->cell[LIMIT];
    char *end;
    double limit = strtod(text, &end);

    if (*text < '0' || *text > '9' || *end != '\0' || strpbrk(text, "xX") ||
        !isfinite(limit) || !(limit > 0.0)) {
        fault(m, "limit must be a number above 0", text);
        return 0.0;
    }
    if (strcmp(m->cell[UNIT], "in") == 0)
        return limit * 25.4;
    if (strcmp(m->cell[UNIT], "mm") != 0)
        fault(m, "unit must be mm or in", m->cell[UNIT]);
    return limit;
}

static void check_use(struct maker *m)
{
    const char *use = m->cell[USE];
    size_t length = strlen(use);

    if (length == 0 || length >= sizeof((struct bt_limits *)0)->use)
        fault(m, "use must have 1 to 31 characters", use);
    else if (strspn(use, "abcdefghijklmnopqrstuvwxyz ") != length || use[0] == ' ' ||
             use[length - 1] == ' ')
        fault(m, "use must be lower-case words", use);
}

static void check_source(struct maker *m)
{
    size_t n = sizeof statuses / sizeof *statuses;
    bool is_common = strcmp(m->cell[STATUS], common) == 0;

    if (index_of(n, statuses, m->cell[STATUS]) == n)
        fault(m, "unknown status", m->cell[STATUS]);
    else if (is_common && m->cell[SOURCE][0])
        fault(m, "common practice has no source", m->cell[SOURCE]);
    else if (!is_common && !m->cell[SOURCE][0])
        fault(m, "the source is missing for status", m->cell[STATUS]);
}

/* The band of the row's use, begun where it is new; NULL when there are too many. */
static struct band *band_of(struct maker *m)
{
    for (size_t i = 0; i < m->nband; i++)
        if (strcmp(m->band[i].use, m->cell[USE]) == 0)
            return &m->band[i];
    if (m->nband == MAX_BANDS)
        return NULL;
    strcpy(m->band[m->nband].use, m->cell[USE]);
    return &m->band[m->nband++];
}

static void take_row(struct maker *m)
{
    size_t figure = index_of(BT_FIGURE_COUNT, figure_names, m->cell[FIGURE]);
    double limit = read_limit(m);
    struct band *band;

    check_use(m);
    check_source(m);
    /* `local` needs a span, for which the table has no column. */
    if (figure == BT_FIGURE_COUNT || figure == BT_FIGURE_LOCAL)
        fault(m, "figure must be cup, bow, twist, range or zone", m->cell[FIGURE]);
    if (m->failed)
        return;
    band = band_of(m);
    if (!band) {
        fault(m, "too many uses", m->cell[USE]);
    } else if (band->limit[figure] > 0.0) {
        fault(m, "the use has this figure already", m->cell[FIGURE]);
    } else {
        band->limit[figure] = limit;
        snprintf(band->source[figure], sizeof band->source[figure], "%s%s%s",
                 m->cell[SOURCE], m->cell[SOURCE][0] ? "; " : "", m->cell[STATUS]);
    }
}

static void end_row(int separator, void *data)
{
    struct maker *m = data;

    (void)separator;
    if (m->column != COLUMNS) {
        fault(m, "a row has 7 cells", m->column ? m->cell[0] : "");
    } else if (m->has_header) {
        take_row(m);
    } else {
        for (size_t i = 0; i < COLUMNS; i++)
            if (strcmp(m->cell[i], column_names[i]) != 0)
                fault(m, "the header must be use,figure,limit,unit,status,source,note",
                      m->cell[i]);
        m->has_header = true;
    }
    m->column = 0;
}

/* Byte by byte, so that the line of each row is known. */
static void read_table(struct maker *m, FILE *in)
{
    struct csv_parser parser;
    int c;

    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI) != 0) {
        fault(m, "no parser", "");
        return;
    }
    m->line = m->row = 1;
    while (!m->failed && (c = getc(in)) != EOF) {
        char byte = (char)c;
        if (csv_parse(&parser, &byte, 1, take_cell, end_row, m) != 1)
            fault(m, "the CSV is not well formed", csv_strerror(csv_error(&parser)));
        if (c == '\n')
            m->line++;
        if (m->column == 0)
            m->row = m->line;
    }
    if (ferror(in))
        fault(m, "cannot be read", "");
    if (!m->failed && csv_fini(&parser, take_cell, end_row, m) != 0)
        fault(m, "the CSV is not well formed", csv_strerror(csv_error(&parser)));
    if (!m->failed && m->nband == 0)
        fault(m, "there is no band in the table", "");
    csv_free(&parser);
}

static void put_text(FILE *out, const char *text)
{
    putc('"', out);
    for (; *text; text++) {
        if (*text == '"' || *text == '\\' || *text == '?')
            putc('\\', out);
        putc(*text, out);
    }
    putc('"', out);
}

static void put_band(FILE *out, const struct band *band)
{
    fputs("    {", out);
    put_text(out, band->use);
    fputs(", {", out);
    for (size_t i = 0; i < BT_FIGURE_COUNT; i++)
        if (band->limit[i] > 0.0)
            fprintf(out, "%s%.17g", i ? ", " : "", band->limit[i]);
        else
            fprintf(out, "%sNAN", i ? ", " : "");
    fputs("},\n     {", out);
    for (size_t i = 0; i < BT_FIGURE_COUNT; i++) {
        fputs(i ? ",\n      " : "", out);
        put_text(out, band->source[i]);
    }
    fputs("}},\n", out);
}

static bool write_table(const struct maker *m, const char *path)
{
    FILE *out = fopen(path, "w");
    bool written;

    if (!out)
        return false;
    fputs("/* Made by make_bands from reference/use_bands.csv; edit that. */\n", out);
    for (size_t i = 0; i < m->nband; i++)
        put_band(out, &m->band[i]);
    written = !ferror(out);
    written = fclose(out) == 0 && written;
    if (!written)
        remove(path);
    return written;
}

static int make(struct maker *m, const char *out)
{
    FILE *in = fopen(m->path, "rb");

    if (!in) {
        fprintf(stderr, "%s: cannot be opened\n", m->path);
        return 1;
    }
    read_table(m, in);
    fclose(in);
    if (m->failed)
        return 1;
    if (!write_table(m, out)) {
        fprintf(stderr, "%s: cannot be written\n", out);
        return 1;
    }
    return 0;
}

int main(int argc, char **argv)
{
    struct maker *m;
    int status;

    if (argc != 3) {
        fputs("usage: make_bands TABLE.csv OUT.inc\n", stderr);
        return 2;
    }
    m = calloc(1, sizeof *m);
    if (!m) {
        fputs("make_bands: out of memory\n", stderr);
        return 1;
    }
    m->path = argv[1];
    status = make(m, argv[2]);
    free(m);
    return status;
}

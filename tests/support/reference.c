/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/reference.h"

#include <csv.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct reference {
    char *name;
    char **cell; /* row after row, header first */
    size_t ncell, room;
    size_t ncolumn; /* of the header; 0 until its end */
    size_t row_start;
    size_t line; /* rows ended so far */
};

static _Noreturn void fail(const struct reference *table, const char *format, ...)
{
    va_list args;

    fprintf(stderr, "reference table %s/%s: ", BT_REFERENCE_DIR,
            table ? table->name : "?");
    va_start(args, format);
    vfprintf(stderr, format, args);
    va_end(args);
    fputc('\n', stderr);
    abort();
}

static char *copy(const struct reference *table, const char *text, size_t length)
{
    char *made = malloc(length + 1);

    if (!made)
        fail(table, "no memory");
    if (length)
        memcpy(made, text, length);
    made[length] = '\0';
    return made;
}

static void take_cell(void *text, size_t length, void *data)
{
    struct reference *table = data;

    if (table->ncell == table->room) {
        size_t room = table->room ? 2 * table->room : 256;
        char **moved = realloc(table->cell, room * sizeof *moved);
        if (!moved)
            fail(table, "no memory");
        table->cell = moved;
        table->room = room;
    }
    table->cell[table->ncell++] = copy(table, text ? text : "", length);
}

static void end_row(int separator, void *data)
{
    struct reference *table = data;
    size_t n = table->ncell - table->row_start;

    (void)separator;
    table->line++;
    if (table->ncolumn == 0)
        table->ncolumn = n;
    if (n != table->ncolumn)
        fail(table, "row %zu has %zu cells, the header has %zu", table->line, n,
             table->ncolumn);
    table->row_start = table->ncell;
}

static void parse(struct reference *table, FILE *file)
{
    struct csv_parser parser;
    char block[4096];
    size_t n;

    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI) != 0)
        fail(table, "no parser");
    while ((n = fread(block, 1, sizeof block, file)) > 0)
        if (csv_parse(&parser, block, n, take_cell, end_row, table) != n)
            fail(table, "after row %zu: %s", table->line,
                 csv_strerror(csv_error(&parser)));
    if (ferror(file))
        fail(table, "cannot be read");
    if (csv_fini(&parser, take_cell, end_row, table) != 0)
        fail(table, "at the end: %s", csv_strerror(csv_error(&parser)));
    csv_free(&parser);
}

struct reference *reference_load(const char *name)
{
    struct reference *table = calloc(1, sizeof *table);
    char path[1024];
    FILE *file;
    int n;

    if (!table)
        fail(NULL, "no memory");
    table->name = copy(table, name, strlen(name));
    n = snprintf(path, sizeof path, "%s/%s", BT_REFERENCE_DIR, name);
    if (n < 0 || (size_t)n >= sizeof path)
        fail(table, "the path is too long");
    file = fopen(path, "rb");
    if (!file)
        fail(table, "cannot be opened");
    parse(table, file);
    fclose(file);
    if (table->line < 2)
        fail(table, "has no row below its header");
    return table;
}

void reference_free(struct reference *table)
{
    if (!table)
        return;
    for (size_t i = 0; i < table->ncell; i++)
        free(table->cell[i]);
    free(table->cell);
    free(table->name);
    free(table);
}

size_t reference_rows(const struct reference *table)
{
    return table->line - 1;
}

size_t reference_columns(const struct reference *table)
{
    return table->ncolumn;
}

size_t reference_column(const struct reference *table, const char *column)
{
    for (size_t j = 0; j < table->ncolumn; j++)
        if (strcmp(table->cell[j], column) == 0)
            return j;
    fail(table, "has no column '%s'", column);
}

size_t reference_find(const struct reference *table, const char *column,
                      const char *text, size_t from)
{
    size_t j = reference_column(table, column);

    for (size_t i = from; i < reference_rows(table); i++)
        if (strcmp(reference_text_at(table, i, j), text) == 0)
            return i;
    fail(table, "has no row with '%s' in column '%s' from row %zu on", text, column,
         from);
}

const char *reference_text_at(const struct reference *table, size_t row, size_t column)
{
    if (!(row < reference_rows(table)) || !(column < table->ncolumn))
        fail(table, "has no row %zu or no column %zu", row, column);
    return table->cell[(row + 1) * table->ncolumn + column];
}

double reference_number_at(const struct reference *table, size_t row, size_t column)
{
    const char *text = reference_text_at(table, row, column);
    char *end;
    double value = strtod(text, &end);

    if (end == text || *end != '\0')
        fail(table, "row %zu, column '%s': '%s' is not a number", row,
             table->cell[column], text);
    return value;
}

const char *reference_text(const struct reference *table, size_t row,
                           const char *column)
{
    return reference_text_at(table, row, reference_column(table, column));
}

bool reference_empty(const struct reference *table, size_t row, const char *column)
{
    return reference_text(table, row, column)[0] == '\0';
}

double reference_number(const struct reference *table, size_t row, const char *column)
{
    return reference_number_at(table, row, reference_column(table, column));
}
